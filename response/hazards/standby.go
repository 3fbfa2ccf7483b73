package hazards

import (
	"fmt"
	"slices"

	"tidehold/refs/units"
	"tidehold/volumes/site"
)

// standby are the guards between a power cut and a limit: the batteries and
// generators that run a device of one of the kinds. A generator that names nothing
// under feeds can run any. The first guard of a battery or generator holds the date
// of its last test under load.
func standby(sys site.System, kinds ...site.EquipmentKind) []site.Guard {
	var out []site.Guard
	for _, e := range sys.Equipment {
		switch {
		case e.Kind != site.Battery && e.Kind != site.Generator:
			continue
		case e.Kind == site.Generator && len(e.Feeds) == 0:
		case !slices.ContainsFunc(fed(sys, e), func(d site.Equipment) bool { return slices.Contains(kinds, d.Kind) }):
			continue
		}
		g := site.Guard{Kind: string(e.Kind) + " " + e.ID}
		if len(e.Guards) > 0 {
			g.Tested, g.SharedWith = e.Guards[0].Tested, e.Guards[0].SharedWith
		}
		out = append(out, g)
	}
	return out
}

// fed are the devices that a battery or generator names under feeds.
func fed(sys site.System, e site.Equipment) []site.Equipment {
	var out []site.Equipment
	for _, d := range sys.Equipment {
		if slices.Contains(e.Feeds, d.ID) {
			out = append(out, d)
		}
	}
	return out
}

// batteries are the hours each battery runs what it feeds.
func batteries(sys site.System) []Battery {
	var out []Battery
	for _, e := range sys.Equipment {
		if e.Kind != site.Battery {
			continue
		}
		b := Battery{System: sys.ID, ID: e.ID, Feeds: append([]string{}, e.Feeds...)}
		for _, d := range fed(sys, e) {
			b.PowerW += d.PowerW
		}
		if b.PowerW > 0 {
			hours := e.EnergyWh * e.Usable / b.PowerW
			b.Hours = &hours
			b.Detail = fmt.Sprintf("%.0f Wh, %.0f %% of it usable, run %.0f W for %s; an inverter takes 5 to 15 %% of that (from memory)", e.EnergyWh, e.Usable*100, b.PowerW, hoursText(&hours))
		} else {
			b.Detail = "it feeds nothing that draws power: name the equipment it runs under feeds, with its watts"
		}
		out = append(out, b)
	}
	return out
}

// generators are the hours each generator runs on the fuel there is, and whether it
// carries all that it feeds: everything, where feeds names nothing.
func generators(sys site.System, u units.System) []Generator {
	var out []Generator
	for _, e := range sys.Equipment {
		if e.Kind != site.Generator {
			continue
		}
		g := Generator{System: sys.ID, ID: e.ID, PowerW: e.PowerW}
		devices := sys.Equipment
		if len(e.Feeds) > 0 {
			devices = fed(sys, e)
		}
		for _, d := range devices {
			if d.Kind != site.Generator && d.Kind != site.Battery {
				g.LoadW += d.PowerW
			}
		}
		if e.FuelL > 0 && e.UsePerHourL > 0 {
			hours := e.FuelL / e.UsePerHourL
			g.Hours = &hours
			g.Detail = fmt.Sprintf("%s of fuel at %s last %s", u.Volume(e.FuelL, units.Down), u.Flow(e.UsePerHourL), hoursText(&hours))
		} else {
			g.Detail = "how long it runs needs fuel (on hand) and use (per hour)"
		}
		if g.LoadW > g.PowerW {
			g.Detail += fmt.Sprintf("; its %.0f W do not carry the %.0f W connected: pumps and air first, heaters one at a time", g.PowerW, g.LoadW)
		}
		out = append(out, g)
	}
	return out
}
