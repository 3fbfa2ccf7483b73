package hazards

import (
	"cmp"
	"fmt"
	"slices"

	"tidehold/volumes/site"
)

// supply is a battery or generator, whose it is, and what it feeds.
type supply struct {
	owner string
	site.Equipment
	load
}

// load is what a supply feeds, what the animals need first first, and its power in W.
type load struct {
	fed    []site.Device
	powerW float64
}

// loadOf orders devices by need and adds their power up.
func loadOf(devices []site.Device) load {
	l := load{fed: slices.Clone(devices)}
	slices.SortStableFunc(l.fed, func(a, b site.Device) int {
		return cmp.Compare(slices.Index(needed, a.Equipment.Kind), slices.Index(needed, b.Equipment.Kind))
	})
	for _, d := range l.fed {
		l.powerW += d.Equipment.PowerW
	}
	return l
}

// needed is the order in which animals need their devices when power is short.
var needed = []site.EquipmentKind{site.Air, site.Circulation, site.Return, site.Heater, site.Chiller, site.Skimmer, site.TopOff, site.Doser}

// mostSiteWide is how many generators that name nothing are taken to feed every
// system; those beyond it count for their own system alone, so that a huge file does
// not list each generator beside each system.
const mostSiteWide = 10

// standbys collects what stands by when the mains fail: by the system it feeds, and
// what feeds the whole site.
type standbys struct {
	bySystem map[string][]*supply
	siteWide []*supply
	all      []*supply
}

func newStandbys(s *site.Site) standbys {
	b := standbys{bySystem: map[string][]*supply{}}
	var whole *load
	for i := range s.Systems {
		sys := &s.Systems[i]
		for k := range sys.Equipment {
			e := &sys.Equipment[k]
			if e.Kind != site.Battery && e.Kind != site.Generator {
				continue
			}
			one := &supply{owner: sys.ID, Equipment: *e}
			if e.Kind == site.Generator && len(e.Feeds) == 0 {
				if whole == nil {
					all := loadOf(s.Fed(sys, e))
					whole = &all
				}
				one.load = *whole
				b.addSiteWide(one)
			} else {
				one.load = loadOf(s.Fed(sys, e))
				b.addFor(one)
			}
			b.all = append(b.all, one)
		}
	}
	return b
}

func (b *standbys) addSiteWide(one *supply) {
	if len(b.siteWide) < mostSiteWide {
		b.siteWide = append(b.siteWide, one)
		return
	}
	b.bySystem[one.owner] = append(b.bySystem[one.owner], one)
}

func (b *standbys) addFor(one *supply) {
	seen := map[string]bool{}
	for _, d := range one.fed {
		if !seen[d.System.ID] {
			seen[d.System.ID] = true
			b.bySystem[d.System.ID] = append(b.bySystem[d.System.ID], one)
		}
	}
}

// supplies are the guards between a power cut and a limit of a system: the batteries
// and generators that run a device of one of the kinds in it. The first guard of a
// battery or generator holds the date of its last test under load.
func (j *judge) supplies(system string, kinds ...site.EquipmentKind) []site.Guard {
	var out []site.Guard
	for _, s := range j.standby.bySystem[system] {
		runs := s.Kind == site.Generator && len(s.Feeds) == 0 || slices.ContainsFunc(s.fed, func(d site.Device) bool {
			return d.System.ID == system && slices.Contains(kinds, d.Equipment.Kind)
		})
		if runs {
			out = append(out, s.asGuard())
		}
	}
	for _, s := range j.standby.siteWide {
		out = append(out, s.asGuard())
	}
	return out
}

func (s *supply) asGuard() site.Guard {
	g := site.Guard{Kind: string(s.Kind) + " " + s.ID}
	if len(s.Guards) > 0 {
		g.Tested, g.SharedWith = s.Guards[0].Tested, s.Guards[0].SharedWith
	}
	return g
}

// name is a device as system/id, or its id alone in the system of the supply.
func (s *supply) name(d site.Device) string {
	if d.System.ID == s.owner {
		return d.Equipment.ID
	}
	return d.System.ID + "/" + d.Equipment.ID
}

// runtimeH is how long a battery runs a load in W, hours: its energy, as far as it may
// be used, over what the load takes through the inverter and what the inverter itself
// draws. False when nothing draws power.
//
//	480 Wh of which 50 % is usable, 12 W through an inverter of 85 % that draws 10 W:
//	240 / (12/0.85 + 10) = 9.95 h.
//
// Source: the energy balance.
func runtimeH(e site.Equipment, loadW float64) (float64, bool) {
	if e.LastsH != nil {
		return *e.LastsH, true
	}
	inverter := e.Inverter
	if !(inverter > 0) {
		inverter = 1 // runs straight from the battery
	}
	draw := loadW/inverter + e.IdleW
	if !(loadW > 0) {
		return 0, false
	}
	return e.EnergyWh * e.Usable / draw, true
}

// battery is the hours a battery runs what it feeds.
func (s *supply) battery() Battery {
	b := Battery{System: s.owner, ID: s.ID, Feeds: append([]string{}, s.Feeds...), PowerW: s.powerW}
	hours, ok := runtimeH(s.Equipment, b.PowerW)
	switch {
	case !ok:
		b.Detail = "it feeds nothing that draws power: name the equipment it runs under feeds, with its watts"
		return b
	case s.LastsH != nil:
		b.Detail = fmt.Sprintf("lasts %s, as stated or measured", hoursText(&hours))
	default:
		b.Detail = fmt.Sprintf("%.0f Wh, %.0f %% of it usable, %.0f %% of that through the inverter, which draws %.0f W: %.0f W run for %s", s.EnergyWh, s.Usable*100, s.Inverter*100, s.IdleW, b.PowerW, hoursText(&hours))
	}
	b.Hours = &hours
	return b
}

// power reports what stands by: how long each battery and generator lasts.
func (j *judge) power() {
	j.out.Batteries, j.out.Generators = []Battery{}, []Generator{}
	for _, s := range j.standby.all {
		if s.Kind == site.Generator {
			j.out.Generators = append(j.out.Generators, s.generator(j.units))
			continue
		}
		b := s.battery()
		j.out.Batteries = append(j.out.Batteries, b)
		if b.Hours == nil {
			j.warn("%s: %s", b.ID, b.Detail)
		}
	}
}
