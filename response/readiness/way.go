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
// decide: what can be bought or made this week first, then what somebody else must
// bring, what has to be built, and last to ask for less.
const (
	MoreSalt        Remedy = "salt"
	StoredPurified  Remedy = "stored-purified"
	StoredSaltwater Remedy = "stored-saltwater"
	Delivered       Remedy = "delivery"
	VatHeater       Remedy = "vat-heater"
	PurifierRate    Remedy = "purifier-rate"
	VatCapacity     Remedy = "vat-capacity"
	MoreTime        Remedy = "more-time"
)

// kinds are all remedies by effort.
var kinds = []Remedy{MoreSalt, StoredPurified, StoredSaltwater, Delivered, VatHeater, PurifierRate, VatCapacity, MoreTime}

// effort orders remedies of unknown price.
var effort = func() map[Remedy]int {
	m := map[Remedy]int{}
	for i, k := range kinds {
		m[k] = i
	}
	return m
}()

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

// deliveredAfterH are the times within which a delivery is asked for, the easiest to
// keep first: rules of this tool, not published figures.
var deliveredAfterH = []float64{48, 24, 12, 6, 3}

// newContainer names water that has to stand in a container the site does not
// have yet.
const newContainer = "a new container"

// way is one way of having more: of what, where, and how to apply an amount to a trial.
type way struct {
	what Remedy
	unit string
	// in are the stores it goes to, in order, as indices of the site; where names it
	// when there are none.
	in    []int
	where string
	// most is the largest amount tried.
	most  float64
	apply func(t *trial, x float64)
	// second is tried only when no other way of the same kind mends; needsRoom
	// says that the site has no vat for it.
	second, needsRoom bool
	// water is what is to be kept; nil for anything but water. asWarm: each store as warm as it is.
	water  *site.Chemistry
	asWarm bool
	// brings is what it brings along, µg/L, where that is assumed.
	brings map[string]float64
	// afterH is when a delivery is there.
	afterH float64
}

// amount is a way with a size, and the size from which on more is too much (0: no
// such size was met).
type amount struct {
	way
	x, tooMuch float64
}

// trial is a stock and what strikes it.
type trial struct {
	*site.Site
	scenario
}

// ways lists what could be had more of, by effort. demandL bounds the water tried.
func (b bench) ways(demandL float64) []way {
	litres := demandL*mostWater + b.keptBack()
	var out []way
	for i := range b.site.Salts {
		out = append(out, way{what: MoreSalt, unit: "kg", where: b.site.Salts[i].ID, most: litres * mostSaltKgL, apply: func(t *trial, x float64) {
			t.Salts[i].OnHand = t.Salts[i].OnHand.Add(decimal.NewFromFloat(x))
		}})
	}
	out = append(out, b.water(site.Purified, litres)...)
	out = append(out, b.water(site.Saltwater, litres)...)
	out = append(out, b.deliveries(litres)...)
	out = append(out, b.vats(litres)...)
	out = append(out, way{what: PurifierRate, unit: "L/h", most: mostRateLH, apply: func(t *trial, x float64) {
		if t.Purifier == nil {
			t.Purifier = &site.Purifier{RatedAt: ratedAt, Feed: ratedAt}
		}
		t.Purifier.RateLH += x
	}})
	return append(out, way{what: MoreTime, unit: "h", most: mostHours, apply: func(t *trial, x float64) {
		for i := range t.scenario {
			for a := range t.scenario[i].Aims {
				if h := &t.scenario[i].Aims[a].WithinH; *h > 0 {
					*h += x
				}
			}
		}
	}})
}

// keptBack is the water of a site that does not count: heels, reserves and the routine.
func (b bench) keptBack() float64 {
	litres := float64(b.site.Reserve.Saltwater + b.site.Reserve.Purified)
	for _, st := range b.site.Stores {
		litres += float64(st.Heel)
	}
	for _, r := range b.site.Routine {
		litres += float64(r.Volume)
	}
	return litres
}

// water is more water of one kind: in a store that has room and whose water counts,
// spread over all of them, and in a new container.
func (b bench) water(holds site.Holds, litres float64) []way {
	what := StoredSaltwater
	if holds == site.Purified {
		what = StoredPurified
	}
	var in []int
	for i, st := range b.site.Stores {
		if st.Holds == holds && st.Room() > 0 && !st.OverAge(b.now) {
			in = append(in, i)
		}
	}
	roomy := func(i int) float64 { return float64(b.site.Stores[i].Room()) }
	b.rank(in, roomy)
	var out []way
	for _, i := range b.alike(in, roomy) {
		st := &b.site.Stores[i]
		out = append(out, way{what: what, unit: "L", in: []int{i}, most: min(litres, float64(st.Room())), apply: filling([]int{i}), water: &st.Water})
	}
	for len(in) > 0 {
		var like []int
		if like, in = b.ofSalinity(in); len(like) < 2 {
			continue
		}
		room, asWarm, first := 0.0, false, &b.site.Stores[like[0]].Water
		for _, i := range like {
			room, asWarm = room+roomy(i), asWarm || b.site.Stores[i].Water.Temperature != first.Temperature
		}
		out = append(out, way{what: what, unit: "L", in: like, most: min(litres, room), second: true, apply: filling(like), water: first, asWarm: asWarm})
	}
	return append(out, b.container(holds, litres))
}

// ofSalinity parts the stores that are as salty as the first from the rest: water of another salinity is
// no more of the same.
func (b bench) ofSalinity(in []int) (like, rest []int) {
	for _, i := range in {
		if b.site.Stores[i].Water.Salinity == b.site.Stores[in[0]].Water.Salinity {
			like = append(like, i)
		} else {
			rest = append(rest, i)
		}
	}
	return like, rest
}

// container is water in a container that the site does not have yet.
func (b bench) container(holds site.Holds, litres float64) way {
	w := containerFor(b.site, b.now, b.first(), holds, 0)
	what := StoredSaltwater
	if holds == site.Purified {
		what = StoredPurified
	}
	return way{what: what, unit: "L", where: newContainer, most: litres, second: true, needsRoom: true, water: &w.Water, brings: w.Background, apply: func(t *trial, x float64) {
		t.Stores = append(t.Stores, containerFor(b.site, b.now, b.first(), holds, x))
	}}
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
// salinity and temperature, or purified water at the room's. It is moved with the
// best pump there is for such water, and brings what the site's salt brings, or
// without a salt the most that any of its stores does.
func containerFor(s *site.Site, now time.Time, sys *site.System, holds site.Holds, x float64) site.Store {
	st := site.Store{ID: newContainer, Holds: holds, Capacity: units.Litres(x), Volume: decimal.NewFromFloat(x), Mixed: &now, MaxAgeH: 24 * 365}
	st.Water.Temperature = sys.Ambient.Usual
	if holds == site.Saltwater {
		st.Water.Salinity, st.Water.Temperature = sys.Water.Salinity, sys.Water.Temperature
	}
	for i := range s.Stores {
		other := &s.Stores[i]
		if other.Holds != holds {
			continue
		}
		if h := other.TransferLH; h != nil && (st.TransferLH == nil || *h > *st.TransferLH) {
			st.TransferLH = h
		}
	}
	if len(s.Salts) == 0 {
		st.Background = mostBrought(s, holds)
	}
	return st
}

// mostBrought is the most that the water in any store of a kind brings, µg/L.
func mostBrought(s *site.Site, holds site.Holds) map[string]float64 {
	var most map[string]float64
	for i := range s.Stores {
		if s.Stores[i].Holds != holds {
			continue
		}
		for id, ugL := range s.Stores[i].Background {
			if most == nil {
				most = map[string]float64{}
			}
			most[id] = max(most[id], ugL)
		}
	}
	return most
}

// deliveries is saltwater that somebody brings, as the system's own, within ever
// shorter times. It brings what the site's salt does, or without a salt the most that any of its stores does.
func (b bench) deliveries(litres float64) []way {
	var out []way
	brings := mostBrought(b.site, site.Saltwater)
	if len(b.site.Salts) > 0 {
		brings = b.site.Salts[0].Background
	}
	for _, h := range deliveredAfterH {
		out = append(out, way{what: Delivered, unit: "L", most: litres, afterH: h, water: &b.first().Water, brings: brings, second: true, apply: func(t *trial, x float64) {
			// It is this water to whatever system it is tried on.
			came := site.Delivery{AfterH: h, Saltwater: units.Litres(x), Salinity: &b.first().Water.Salinity, Temperature: &b.first().Water.Temperature, Background: brings}
			t.Deliveries = append(t.Deliveries[:len(t.Deliveries):len(t.Deliveries)], came)
		}})
	}
	out[0].second = false
	return out
}

// vats is a stronger heater in a saltwater vat, or a larger vat for batches.
func (b bench) vats(litres float64) []way {
	var salt, mixes []int
	for i, st := range b.site.Stores {
		if st.Holds != site.Saltwater {
			continue
		}
		salt = append(salt, i)
		for _, id := range b.site.Mixing.In {
			if id == st.ID {
				mixes = append(mixes, i)
			}
		}
	}
	var out []way
	for _, i := range b.alike(salt, func(i int) float64 { return float64(b.site.Stores[i].Usable()) }) {
		out = append(out, way{what: VatHeater, unit: "W", in: []int{i}, most: mostHeaterW, apply: func(t *trial, x float64) { t.Stores[i].HeaterW += x }})
	}
	for _, i := range b.alike(mixes, func(i int) float64 { return float64(b.site.Stores[i].Capacity) }) {
		out = append(out, way{what: VatCapacity, unit: "L", in: []int{i}, most: litres, apply: func(t *trial, x float64) { t.Stores[i].Capacity += units.Litres(x) }})
	}
	return out
}

// place names where an amount goes: only the stores that it reaches.
func (a amount) place(s *site.Site) string {
	if len(a.in) == 0 {
		return a.where
	}
	var names []string
	left := a.x
	for _, i := range a.in {
		names = append(names, s.Stores[i].ID)
		if left -= float64(s.Stores[i].Room()); left <= 0 {
			break
		}
	}
	return strings.Join(names, ", then ")
}

// counted is what its water is taken to bring of what a scenario is to bring down; nil where it is nothing.
func (a amount) counted(q scenario) map[string]float64 {
	out := map[string]float64{}
	for _, d := range q {
		for _, aim := range d.Aims {
			if ugL := a.brings[aim.Contaminant]; ugL > 0 {
				out[aim.Contaminant] = ugL
			}
		}
	}
	if len(out) == 0 {
		return nil
	}
	return out
}
