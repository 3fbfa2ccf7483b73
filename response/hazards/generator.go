package hazards

import (
	"fmt"

	"tidehold/refs/units"
	"tidehold/volumes/site"
)

// mostNamed is how many devices a generator's lists name: a site of thousands of
// systems is not run by one.
const mostNamed = 50

// generator is the hours a generator runs on the fuel there is, and what it can run at
// once of all that it feeds: as much as its power carries, what is needed first first.
func (s *supply) generator(u units.System) Generator {
	g := Generator{System: s.owner, ID: s.ID, PowerW: s.PowerW, LoadW: s.powerW, Runs: []string{}, Waits: []string{}}
	used, compressor := 0.0, false
	for _, d := range s.fed {
		list := &g.Waits
		if used+d.Equipment.PowerW <= s.PowerW {
			used += d.Equipment.PowerW
			list = &g.Runs
			compressor = compressor || d.Equipment.Kind == site.Chiller
		}
		if len(*list) == mostNamed {
			break
		}
		*list = append(*list, s.name(d))
	}
	if s.FuelL > 0 && s.UsePerHourL > 0 {
		hours := s.FuelL / s.UsePerHourL
		g.Hours = &hours
		g.Detail = fmt.Sprintf("%s of fuel at %s last %s", u.Volume(s.FuelL, units.Down), u.Flow(s.UsePerHourL), hoursText(&hours))
	} else {
		g.Detail = "how long it runs needs fuel (on hand) and use (per hour)"
	}
	if g.LoadW > g.PowerW {
		g.Detail += fmt.Sprintf("; its %s do not carry the %s connected: without %s", units.Watts(g.PowerW), units.Watts(g.LoadW), units.List(g.Waits, "some"))
	}
	if len(g.Runs) > 1 {
		g.Detail += "; start one device at a time"
	}
	if compressor {
		g.Detail += "; a chiller takes several times its running power to start: see its label"
	}
	return g
}
