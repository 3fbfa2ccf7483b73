package readiness

import (
	"strings"
	"time"

	"github.com/shopspring/decimal"

	"tidehold/refs/units"
	"tidehold/volumes/site"
)

// Remedy is a kind of thing to have more of.
type Remedy string

// The remedies, in the order of effort by which they are listed where no prices
// decide: what can be bought or made this week first, what has to be built next,
// and last to ask for less.
const (
	MoreSalt        Remedy = "salt"
	StoredPurified  Remedy = "stored-purified"
	StoredSaltwater Remedy = "stored-saltwater"
	VatHeater       Remedy = "vat-heater"
	PurifierRate    Remedy = "purifier-rate"
	VatCapacity     Remedy = "vat-capacity"
	MoreTime        Remedy = "more-time"
)

// effort orders remedies of unknown price.
var effort = map[Remedy]int{MoreSalt: 0, StoredPurified: 1, StoredSaltwater: 2, VatHeater: 3, PurifierRate: 4, VatCapacity: 5, MoreTime: 6}

// The largest amounts that are tried. Beyond them nobody would call it a remedy.
const (
	// mostWater is a multiple of the event's demand; heels and reserves come on
	// top, litres.
	mostWater = 3.0
	// mostHeaterW is about what one household circuit of 16 A at 230 V carries.
	mostHeaterW = 3600.0
	// mostRateLH is far above any purifier for the home, L/h.
	mostRateLH = 10000.0
	// mostHours of more time: two months. Beside another remedy a week.
	mostHours, mostPairHours = 1440.0, 168.0
	// mostSaltKgL is above the salt any litre of seawater takes, kg.
	mostSaltKgL = 0.1
	// ratedAt is the feed temperature purifiers are rated at, °C: common practice.
	ratedAt = 25.0
)

// newContainer names water that has to stand in a container the site does not
// have yet.
const newContainer = "a new container"

// change is one way of having more: of what, where, and how to apply an amount to
// a site.
type change struct {
	what  Remedy
	unit  string
	where string
	// most is the largest amount tried.
	most  float64
	apply func(t *trial, x float64)
	// second is tried only when no other way of the same kind mends; needsRoom
	// says that the site has no vat for it.
	second, needsRoom bool
}

// trial is a site and the events that strike it at once.
type trial struct {
	*site.Site
	struck
}

// copy returns a trial whose stores, salts, purifier and events may be changed
// without touching the original; the rest is shared.
func (t trial) copy() trial {
	c := *t.Site
	c.Systems = t.systems
	c.Stores = append(make([]site.Store, 0, len(c.Stores)+2), c.Stores...)
	c.Salts = append([]site.Salt(nil), c.Salts...)
	if c.Purifier != nil {
		p := *c.Purifier
		c.Purifier = &p
	}
	t.Site, t.events = &c, append([]site.Event(nil), t.events...)
	return t
}

// changesFor lists what could be had more of at a site, in the order
// of the stores. demandL bounds the water tried.
func changesFor(s *site.Site, now time.Time, sys *site.System, demandL float64) []change {
	litres := demandL*mostWater + float64(s.Reserve.Saltwater+s.Reserve.Purified)
	for _, st := range s.Stores {
		litres += float64(st.Heel)
	}
	for _, r := range s.Routine {
		litres += float64(r.Volume)
	}
	var out []change
	for i := range s.Salts {
		out = append(out, change{what: MoreSalt, unit: "kg", where: s.Salts[i].ID, most: litres * mostSaltKgL, apply: func(t *trial, x float64) {
			t.Salts[i].OnHand = t.Salts[i].OnHand.Add(decimal.NewFromFloat(x))
		}})
	}
	out = append(out, waterChanges(s, now, sys, litres, site.Purified, StoredPurified)...)
	out = append(out, waterChanges(s, now, sys, litres, site.Saltwater, StoredSaltwater)...)
	out = append(out, vatChanges(s, litres)...)
	out = append(out, change{what: PurifierRate, unit: "L/h", most: mostRateLH, apply: func(t *trial, x float64) {
		if t.Purifier == nil {
			t.Purifier = &site.Purifier{RatedAt: ratedAt, Feed: ratedAt}
		}
		t.Purifier.RateLH += x
	}})
	return append(out, change{what: MoreTime, unit: "h", most: mostHours, apply: func(t *trial, x float64) {
		for i := range t.events {
			t.events[i].WithinH += x
		}
	}})
}

// waterChanges is more water of one kind: in each store that has room and whose
// water counts, spread over all of them, and in a new container.
func waterChanges(s *site.Site, now time.Time, sys *site.System, litres float64, holds site.Holds, what Remedy) []change {
	var out []change
	var in []int
	var names []string
	room := 0.0
	for i, st := range s.Stores {
		if st.Holds != holds || st.Room() <= 0 || st.OverAge(now) {
			continue
		}
		in, names, room = append(in, i), append(names, st.ID), room+float64(st.Room())
		out = append(out, change{what: what, unit: "L", where: st.ID, most: min(litres, float64(st.Room())), apply: filling([]int{i})})
	}
	if len(in) > 1 {
		out = append(out, change{what: what, unit: "L", where: strings.Join(names, ", then "), most: min(litres, room), second: true, apply: filling(in)})
	}
	return append(out, change{what: what, unit: "L", where: newContainer, most: litres, second: true, needsRoom: true, apply: func(t *trial, x float64) {
		t.Stores = append(t.Stores, containerFor(s, now, sys, holds, x))
	}})
}

// filling adds water to stores, each up to its brim before the next.
func filling(in []int) func(*trial, float64) {
	return func(t *trial, x float64) {
		for _, i := range in {
			put := min(x, float64(t.Stores[i].Room()))
			t.Stores[i].Volume = t.Stores[i].Volume.Add(decimal.NewFromFloat(put))
			x -= put
		}
	}
}

// containerFor is x litres in a container of their own, emptied to the last drop,
// and not a vat for batches: saltwater mixed today and kept at the system's own
// salinity and temperature, or purified water at the room's.
func containerFor(s *site.Site, now time.Time, sys *site.System, holds site.Holds, x float64) site.Store {
	st := site.Store{ID: newContainer, Holds: holds, Capacity: units.Litres(x), Volume: decimal.NewFromFloat(x), Mixed: &now, MaxAgeH: 24 * 365}
	st.Water.Temperature = sys.Ambient.Usual
	if holds == site.Saltwater {
		st.Water.Salinity, st.Water.Temperature = sys.Water.Salinity, sys.Water.Temperature
	}
	for _, other := range s.Stores {
		if other.Holds == holds {
			st.TransferLH, st.Background = other.TransferLH, other.Background
			break
		}
	}
	return st
}

// vatChanges is a stronger heater in a saltwater vat, or a larger vat for
// batches.
func vatChanges(s *site.Site, litres float64) []change {
	var out []change
	for i, st := range s.Stores {
		if st.Holds != site.Saltwater {
			continue
		}
		out = append(out, change{what: VatHeater, unit: "W", where: st.ID, most: mostHeaterW, apply: func(t *trial, x float64) {
			t.Stores[i].HeaterW += x
		}})
		for _, id := range s.Mixing.In {
			if id == st.ID {
				out = append(out, change{what: VatCapacity, unit: "L", where: st.ID, most: litres, apply: func(t *trial, x float64) {
					t.Stores[i].Capacity += units.Litres(x)
				}})
			}
		}
	}
	return out
}
