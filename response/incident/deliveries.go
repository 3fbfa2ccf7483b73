package incident

import (
	"slices"
	"time"

	"tidehold/refs/units"
	"tidehold/volumes/site"
	"tidehold/volumes/stock"
)

// A delivery comes so long after an event began, not after each look at it: two days later a plan still
// waited for what had been poured on the first.

// Arrival is a delivery whose time has come, and what is left of it.
type Arrival struct {
	// N is its number in the site file, from 1.
	N  int
	At time.Time
	site.Delivery
}

// await sets the deliveries to what is still to come at st.Now, entered being what was since the first incident began.
// Of one whose time has come, what was entered since as come from outside is taken off: poured
// from elsewhere, put into a store, bought.
func (st *State) await(s *site.Site, entered []stock.Entry, since time.Time) {
	came := cameIn(s, entered)
	st.deliveries = slices.Clone(s.Deliveries)
	for i := range st.deliveries {
		d := &st.deliveries[i]
		at := since.Add(hours(d.AfterH))
		d.AfterH = max(0, at.Sub(st.Now).Hours())
		if d.AfterH > 0 {
			continue
		}
		d.Saltwater, came.Saltwater = less(d.Saltwater, came.Saltwater)
		d.Purified, came.Purified = less(d.Purified, came.Purified)
		d.SaltKg, came.SaltKg = less(d.SaltKg, came.SaltKg)
		if d.Saltwater > 0 || d.Purified > 0 || d.SaltKg > 0 {
			st.Arrived = append(st.Arrived, Arrival{i + 1, at, *d})
		}
	}
}

// less takes b off a, and what of b is left after that.
func less[T ~float64](a, b T) (T, T) {
	used := min(a, b)
	return a - used, b - used
}

// cameIn is what was entered as come from outside the site.
func cameIn(s *site.Site, entered []stock.Entry) (came site.Delivery) {
	for _, e := range entered {
		switch e.Kind {
		case stock.Change:
			pours, _ := e.Pours() // what cannot be read is told where the log is read
			for _, p := range pours {
				if p.Store == "" {
					came.Saltwater += units.Litres(p.Litres.InexactFloat64())
				}
			}
		case stock.Add:
			l := units.Litres(e.Litres.InexactFloat64())
			if store := s.StoreByID(e.Store); store != nil && store.Holds == site.Purified {
				came.Purified += l
			} else {
				came.Saltwater += l
			}
		case stock.Salt:
			if e.BoughtKg != nil {
				came.SaltKg += e.BoughtKg.InexactFloat64()
			}
		}
	}
	return came
}

// supplied is a site with its deliveries, and the warmth of its vats, as they stand now; the site itself where nobody
// asked (UnderWay).
func (st *State) supplied(s *site.Site) *site.Site {
	out := *s
	if st.deliveries != nil {
		out.Deliveries = st.deliveries
	}
	if st.warmed != nil {
		out.Stores = slices.Clone(s.Stores)
		for i := range out.Stores {
			if c, ok := st.warmed[out.Stores[i].ID]; ok {
				out.Stores[i].Water.Temperature = c
			}
		}
	}
	return &out
}

// since is when the first of the incidents began that are open.
func (st *State) since() time.Time {
	first := st.Log.OpenedAt
	for _, l := range st.Besides {
		if l.OpenedAt.Before(first) {
			first = l.OpenedAt
		}
	}
	return first
}
