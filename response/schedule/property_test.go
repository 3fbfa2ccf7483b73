package schedule

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/shopspring/decimal"

	"tidehold/refs/units"
	"tidehold/volumes/site"
)

// moreOf returns the site with more of something, and what that is.
func moreOf(s *site.Site, r *rand.Rand) (*site.Site, string) {
	more := *s
	more.Stores = append([]site.Store(nil), s.Stores...)
	more.Salts = append([]site.Salt(nil), s.Salts...)
	add := decimal.NewFromFloat(1 + 80*r.Float64()*r.Float64())
	switch k := r.IntN(4); {
	case k == 0 && len(s.Salts) > 0:
		more.Salts[0].OnHand = more.Salts[0].OnHand.Add(add.Div(decimal.NewFromInt(10)))
		return &more, "salt"
	case k == 1 && s.Purifier != nil:
		q := *s.Purifier
		q.RateLH *= 1 + r.Float64()
		more.Purifier = &q
		return &more, "purifier rate"
	case k == 2 && len(s.Salts) > 0:
		for i := range more.Stores {
			if more.Stores[i].Holds == site.Purified {
				more.Stores[i].Volume = more.Stores[i].Volume.Add(add)
				more.Stores[i].Capacity += units.Litres(add.InexactFloat64())
				return &more, "purified water"
			}
		}
	}
	// Water already usable: in a vat that holds some and has room for it.
	for _, i := range r.Perm(len(s.Stores)) {
		st := &more.Stores[i]
		if st.Holds == site.Saltwater && st.Usable() > 0 && st.Water.Temperature == 25 && st.Water.Salinity == 35 && float64(st.Room()) >= add.InexactFloat64() {
			st.Volume = st.Volume.Add(add)
			return &more, "water in " + st.ID
		}
	}
	return nil, ""
}

// moving is six minutes: a pump of 1200 L/h moves 60 L out and in.
const moving = 0.1

func TestMoreIsNeverWorse(t *testing.T) {
	n, met := 0, 0
	worse := map[string]int{}
	for seed := range uint64(6000) {
		r := rand.New(rand.NewPCG(seed, 77))
		s, d := small(r)
		alike(s)
		more, what := moreOf(s, r)
		if more == nil {
			continue
		}
		p, err := New(s, noon)
		if err != nil {
			t.Fatal(err)
		}
		out, err := p.Run(d, Options{})
		if err != nil {
			t.Fatal(err)
		}
		was := &out.Plans[0]
		if was.DoneAtH == nil {
			continue
		}
		n++
		// Whatever deadline the plan met can still be met, but for the minutes in which
		// more water is moved.
		d[0].Aims[0].WithinH = *was.DoneAtH + moving
		d[0].System = &more.Systems[0]
		p, err = New(more, noon)
		if err != nil {
			t.Fatal(err)
		}
		out, err = p.Run(d, Options{})
		if err != nil {
			t.Fatal(err)
		}
		is := &out.Plans[0]
		if is.Aims[0].InTime {
			met++
			continue
		}
		worse[what]++
		t.Logf("seed %d: with more %s done at %v instead of %g; steps %d, %d", seed, what, deref(is.DoneAtH), *was.DoneAtH, len(was.Steps), len(is.Steps))
	}
	t.Logf("%d of %d still met", met, n)
	if len(worse) > 0 {
		t.Errorf("worse with more: %v", worse)
	}
}

func deref(x *float64) float64 {
	if x == nil {
		return math.Inf(1)
	}
	return *x
}

// alike gives all stores the same pump and the same background.
func alike(s *site.Site) {
	for i := range s.Stores {
		s.Stores[i].TransferLH = ptr(1200)
		s.Stores[i].Background = map[string]float64{"copper": 1}
	}
}
