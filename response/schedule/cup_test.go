package schedule

import (
	"testing"

	"tidehold/response/plan"
)

// A first change or a first batch that is a cup too small sends somebody back four hours later: it is made so much
// larger, and nobody comes back. What is more than a cup short stays a plan of two changes.
func TestNobodyComesBackForACup(t *testing.T) {
	kept := placeOf(reef(400), vatOf("vat", 300, 440))
	mixes := placeOf(reef(400), vatOf("vat", 0, 440), pureOf("pure", 300, 400))
	mixes.Salts = append(mixes.Salts, houseSalt(40))
	change := func(share float64) move {
		return move{kind: toChange, change: change{share: share}, job: noJob}
	}
	for _, c := range []struct {
		p             *problem
		guide         []move
		before, after int // changes
	}{
		{laid(t, kept, plan.Demand{Aims: []plan.Aim{share(0.4, 24)}}), []move{change(1 - 1e-5)}, 2, 1},
		{laid(t, kept, plan.Demand{Aims: []plan.Aim{share(0.4, 24)}}), []move{change(0.95)}, 2, 2},
		{laid(t, mixes, plan.Demand{Aims: []plan.Aim{share(0.4, 24)}}), []move{{kind: toWork, job: job{batchL: 160, share: 1 - 1e-5}}, change(1)}, 2, 1},
	} {
		x := new(search)
		x.begin(c.p)
		x.retrace(styles[0], nil, &c.p.start, c.guide, soonest)
		changes := func() (n int) {
			for k := range x.best {
				if x.best[k].kind == toChange {
					n++
				}
			}
			return n
		}
		before := changes()
		x.spareACup(styles[0])
		if after := changes(); before != c.before || after != c.after || x.score.missed > 0 {
			t.Errorf("%+v: %d changes, then %d: %+v", c.guide, before, after, x.best)
		}
	}
}

// TestNobodyStirsInASpoonful: 5.5 g of salt were to be stirred into 12 L, from 34.7 to 35.0, of which a change could be made
// as well without, to a hair.
func TestNobodyStirsInASpoonful(t *testing.T) {
	p := planOf(t, siteOf(t, "a-spoonful"))[0]
	for _, x := range p.Prepared {
		if x.SaltKg > 0 || x.AddL > 0 {
			t.Errorf("%s %s: %.3g kg of salt, %.3g L of purified water", x.What, x.StoreID, x.SaltKg, x.AddL)
		}
	}
	if len(p.Steps) < 5 {
		t.Errorf("%d changes", len(p.Steps))
	}
}
