package schedule

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/salinity/mixing"
	"tidehold/volumes/site"
)

// told writes jobs down, sorted: what a keeper would be told.
func told(jobs []job) string {
	var list []string
	for _, j := range jobs {
		if j.vat < 0 {
			list = append(list, "leave")
			continue
		}
		var words []string
		if j.removeL > leastDrawL {
			words = append(words, fmt.Sprintf("pour %.2f", j.removeL))
		}
		if j.correct {
			words = append(words, "correct")
		}
		if j.batchL > 0 {
			words = append(words, fmt.Sprintf("mix %.2f", j.batchL))
		}
		if j.fromH > 0 {
			words = append(words, fmt.Sprintf("at %.2f", j.fromH))
		}
		list = append(list, strings.Join(words, " "))
	}
	slices.Sort(list)
	return strings.Join(list, "; ")
}

// batchWater is the purified water of a litre of new water at 35 and 25 °C.
func batchWater(t *testing.T) float64 {
	t.Helper()
	b, err := mixing.New(1, 35, 25, 25, houseSalt(1).Dose())
	if err != nil {
		t.Fatal(err)
	}
	return float64(b.Water)
}

// workshop is a system of 400 L (180 L at once, at least 20) that is to be brought down by
// 40 %: 160 L. A vat of 440 L, 100 L of purified water and 10 L/h more, salt for plenty.
func workshop(stored, pure, rate float64) *site.Site {
	s := placeOf(reef(400), vatOf("vat", stored, 440), pureOf("pure", pure, 600))
	s.Salts = []site.Salt{houseSalt(40)}
	if rate > 0 {
		s.Purifier = &site.Purifier{RateLH: rate, RatedAt: 25, Feed: 25}
	}
	return s
}

// Sizes of batches, each alone, as rules.go says what they are; worked by hand with w litres
// of purified water to a litre of seawater.
func TestSizesOfBatches(t *testing.T) {
	w := batchWater(t)
	ask := func(s *site.Site, z size, edit func(*rules), at func(*problem, *state)) string {
		p := laid(t, s, plan.Demand{Aims: []plan.Aim{share(0.4, 48)}})
		r := style{Sizes: []size{z}, Correct: true}.narrow()
		if edit != nil {
			edit(&r)
		}
		if at != nil {
			at(p, &p.start)
		}
		return told(p.jobs(&p.start, &r, nil))
	}
	later := func(p *problem, s *state) { s.nextH = 6 }
	for _, c := range []struct {
		name string
		s    *site.Site
		z    size
		edit func(*rules)
		at   func(*problem, *state)
		want string
	}{
		{"all, when there is the water for it", workshop(0, 100, 10), asNeeded, nil, nil, fmt.Sprintf("mix 160.00 at %.2f", (160*w-100)/10)},
		{"all of it at once", workshop(0, 200, 10), asNeeded, nil, nil, "mix 160.00"},
		{"all, and nothing more comes", workshop(0, 100, 0), asNeeded, nil, nil, ""},
		{"what there is water for", workshop(0, 100, 10), atOnce, nil, nil, fmt.Sprintf("mix %.2f", 100/w)},
		{"no trickle while more is made", workshop(0, 40, 10), atOnce, nil, nil, ""},
		{"a little where no more comes", workshop(0, 40, 0), atOnce, nil, nil, fmt.Sprintf("mix %.2f", 40/w)},
		{"no trickle while a little more is made", workshop(0, 40, 0.5), atOnce, nil, nil, ""},
		{"all, when a slow purifier has made it", workshop(0, 100, 0.5), asNeeded, nil, nil, fmt.Sprintf("mix 160.00 at %.2f", (160*w-100)/0.5)},
		{"in time, by a slow purifier", workshop(0, 100, 0.5), inTime, nil, later, fmt.Sprintf("mix %.2f at 4.00", 102/w)},
		{"a trickle of a slow purifier", workshop(0, 10, 0.5), trickle, nil, nil, fmt.Sprintf("mix 20.00 at %.2f", (20*w-10)/0.5)},
		{"half", workshop(0, 100, 10), half, nil, nil, "mix 80.00"},
		{"a little more", workshop(0, 200, 10), ample, nil, nil, "mix 163.60"},
		{"for the next change", workshop(0, 200, 10), forNext, nil, nil, "mix 160.00"},
		{"a full-size change", workshop(0, 200, 10), fresh, nil, nil, "mix 160.00"},
		{"as much of it as there is water for", workshop(0, 100, 10), fresh, nil, nil, fmt.Sprintf("mix %.2f", 100/w)},
		{"but not less than is worth a change", workshop(0, 15, 10), fresh, nil, nil, ""},
		{"where any change is worth making, a hundredth of the system", func() *site.Site {
			s := workshop(0, 3, 10)
			s.Systems[0].LeastChange = 0
			return s
		}(), fresh, nil, nil, ""},
		{"so late that it is in time", workshop(0, 100, 10), inTime, nil, later, fmt.Sprintf("mix %.2f at 4.00", 140/w)},
		{"in time at once is no waiting", workshop(0, 100, 10), inTime, nil, nil, ""},
		{"in time with all of it there", workshop(0, 200, 10), inTime, nil, later, ""},
		{"a trickle", workshop(0, 10, 10), trickle, nil, nil, fmt.Sprintf("mix 20.00 at %.2f", (20*w-10)/10)},
		{"a trickle for a later change", workshop(0, 10, 10), trickle, nil, later, fmt.Sprintf("mix %.2f at 4.00", 50/w)},
		{"nobody mixes a cupful", workshop(0, 200, 10), asNeeded, nil, func(p *problem, s *state) { s.conc[0].UgL = 0.6001 }, "mix 4.00"},
		{"water that fits badly counts", func() *site.Site {
			s := workshop(0, 200, 10)
			s.Stores = append(s.Stores, vatOf("cold", 100, 440))
			s.Stores[2].Water.Temperature, s.Mixing.In = 20, []string{"vat"}
			return s
		}(), asNeeded, nil, nil, "mix 60.00"},
		{"where it is enough, it is what fits that is lacking", func() *site.Site {
			s := workshop(0, 200, 10)
			s.Stores = append(s.Stores, vatOf("cold", 300, 440))
			s.Stores[2].Water.Temperature, s.Mixing.In = 20, []string{"vat"}
			return s
		}(), asNeeded, nil, nil, "mix 160.00"},
		{"less salt", func() *site.Site {
			s := workshop(0, 200, 10)
			s.Salts[0].OnHand = decimal.NewFromFloat(50 * 0.0384)
			return s
		}(), asNeeded, nil, nil, "mix 50.00"},
		{"less room", func() *site.Site {
			s := workshop(0, 200, 10)
			s.Stores[0].Capacity = 90
			return s
		}(), asNeeded, nil, nil, "mix 90.00"},
		{"a dead heel is filled too", func() *site.Site {
			s := workshop(0, 200, 10)
			s.Stores[0].Heel = 12
			return s
		}(), asNeeded, nil, nil, "mix 172.00"},
		{"no mixing in it", func() *site.Site {
			s := workshop(0, 200, 10)
			s.Mixing.In = []string{"other"}
			return s
		}(), asNeeded, nil, nil, ""},
		{"on top of 100 L", workshop(100, 200, 10), asNeeded, func(r *rules) { r.Fill = true }, later, "leave; mix 60.00"},
		{"on top of water hardly odd", func() *site.Site {
			s := workshop(100, 200, 10)
			s.Stores[0].Water.Salinity = 35.2
			return s
		}(), asNeeded, func(r *rules) { r.Fill = true }, later, "leave; mix 60.00"},
		{"what there is comes first", workshop(100, 200, 10), asNeeded, nil, nil, ""},
		{"while the next change is far", workshop(100, 200, 10), asNeeded, nil, later, "leave; mix 60.00"},
		{"hardly anything in it", workshop(3, 200, 10), asNeeded, nil, nil, "mix 157.00"},
		{"a hundredth of the system in it, as good as nothing", workshop(4, 200, 10), asNeeded, nil, nil, "mix 156.00"},
		{"water a step away fits", func() *site.Site {
			s := workshop(0, 200, 10)
			s.Stores = append(s.Stores, vatOf("cool", 300, 440))
			s.Stores[2].Water.Temperature, s.Mixing.In = 24, []string{"vat"}
			return s
		}(), asNeeded, nil, nil, ""},
		{"on top of the reserve", func() *site.Site {
			s := workshop(62, 200, 10)
			s.Reserve.Saltwater = 60
			return s
		}(), asNeeded, nil, nil, "leave; mix 158.00"},
		{"in time, and nothing more comes", workshop(0, 100, 0), inTime, nil, later, ""},
		{"a trickle, and nothing more comes", workshop(0, 10, 0), trickle, nil, nil, ""},
		{"half of little", workshop(0, 200, 10), half, nil, func(p *problem, s *state) { s.conc[0].UgL = 0.6 / (1 - 60.0/400) }, ""},
		{"a vat that is all heel", func() *site.Site {
			s := workshop(0, 200, 10)
			s.Stores[0].Capacity, s.Stores[0].Heel = 90, 90
			return s
		}(), asNeeded, nil, nil, ""},
		{"colder than may ever be used", func() *site.Site {
			s := workshop(0, 200, 10)
			s.Stores[1].Water.Temperature, s.Systems[0].Limits.TemperatureLow = 20, 25
			return s
		}(), asNeeded, nil, nil, ""},
		{"to be warmed before it is used", func() *site.Site {
			s := workshop(0, 200, 10)
			s.Stores[1].Water.Temperature, s.Systems[0].Limits.TemperatureLow, s.Stores[0].HeaterW = 20, 25, 100
			return s
		}(), asNeeded, nil, nil, "mix 160.00"},
		{"cold, and room for it", func() *site.Site {
			s := workshop(0, 200, 10)
			s.Stores[1].Water.Temperature, s.Systems[0].Limits.TemperatureLow = 20, 24.9
			return s
		}(), asNeeded, nil, nil, "mix 160.00"},
		{"no batches at all", workshop(0, 200, 10), asNeeded, func(r *rules) { r.Idle = true }, nil, ""},
		{"or none in this vat", workshop(0, 200, 10), asNeeded, func(r *rules) { r.Leave = true }, nil, "leave; mix 160.00"},
	} {
		if got := ask(c.s, c.z, c.edit, c.at); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

// Work on water that does not fit: cut at once, as much as there is purified water for, later;
// lifted; poured away for a batch; by package mixing.
func TestWorkOnWaterThatDoesNotFit(t *testing.T) {
	cut := func(litres, sal float64) (pure, grows float64) {
		c, err := mixing.Correct(mixing.Water{Volume: units.Litres(litres), Salinity: units.Practical(sal), Temperature: 25}, 35, mixing.Means{Source: 25})
		if err != nil {
			t.Fatal(err)
		}
		return float64(c.AddWater), float64(c.Volume) / litres
	}
	pure, grows := cut(200, 39)
	vat := func(litres, sal, purified, rate float64) *site.Site {
		s := workshop(litres, purified, rate)
		s.Stores[0].Water.Salinity = units.Practical(sal)
		s.Salts[0].OnHand = decimal.NewFromInt(0)
		return s
	}
	brim, slow := vat(440, 39, 100, 0), vat(440, 39, 10, 5)
	brimful, _ := cut(440, 39)
	for _, c := range []struct {
		name string
		s    *site.Site
		r    rules
		at   float64
		want string
	}{
		{"all of it", vat(200, 39, 100, 0), style{Sizes: nowFirst, Correct: true}.narrow(), 0, "correct; leave"},
		{"as much as there is purified water for", vat(200, 39, 10, 0), style{Sizes: nowFirst, Correct: true}.narrow(), 0, fmt.Sprintf("correct; leave; pour %.2f correct", 200-200*10/pure)},
		{"or later", vat(200, 39, 10, 5), style{Sizes: nowFirst, Correct: true}.narrow(), 0, fmt.Sprintf("correct; correct at %.2f; leave; pour %.2f correct", (pure-10)/5, 200-200*10/pure)},
		{"or much later, by a slow purifier", vat(200, 39, 10, 0.5), style{Sizes: nowFirst, Correct: true}.narrow(), 0, fmt.Sprintf("correct; correct at %.2f; leave; pour %.2f correct", (pure-10)/0.5, 200-200*10/pure)},
		{"in time for the next change", vat(200, 39, 10, 5), style{Sizes: nowFirst, Correct: true}.narrow(), 2, fmt.Sprintf("correct; correct at 1.75; correct at %.2f; leave; pour %.2f correct", (pure-10)/5, 200-200*10/pure)},
		{"with room made for it", brim, style{Sizes: nowFirst, Correct: true}.narrow(), 0, fmt.Sprintf("leave; pour %.2f correct", 440-440/grows)},
		{"with room made for it, later", slow, style{Sizes: nowFirst, Correct: true}.narrow(), 0,
			fmt.Sprintf("leave; pour %.2f correct; pour %.2f correct; pour %.2f correct at %.2f", 440-440*10/brimful, 440-440/grows, 440-440/grows, (brimful/grows-10)/5)},
		{"with more than enough that fits beside it", func() *site.Site {
			s := workshop(100, 200, 0)
			s.Stores[0].Water.Salinity, s.Mixing.In = 37, []string{"vat"}
			s.Stores = append(s.Stores, vatOf("fits", 300, 440))
			return s
		}(), style{Sizes: nowFirst}.narrow(), 0, ""},
		{"nothing to cut it with", vat(200, 39, 0, 0), style{Sizes: nowFirst, Correct: true}.narrow(), 0, ""},
		{"nothing to cut a little with", vat(10, 35.5, 0, 0), style{Sizes: nowFirst, Correct: true}.narrow(), 0, ""},
		{"hardly odd", vat(200, 35.2, 100, 0), style{Sizes: nowFirst, Correct: true}.narrow(), 0, ""},
		{"just odd enough", vat(200, 35.25, 100, 0), style{Sizes: nowFirst, Correct: true}.narrow(), 0, "correct; leave"},
		{"who corrects nothing", vat(200, 39, 100, 0), style{Sizes: nowFirst}.narrow(), 0, ""},
		{"a step away, all of it or none", vat(200, 36, 100, 0), style{Sizes: nowFirst, Correct: true}.broad(), 0, "correct; leave"},
		{"all of it or none where salinity may not change", func() *site.Site {
			s := vat(200, 39, 100, 0)
			s.Systems[0].Limits.SalinityStep = 0
			return s
		}(), style{Sizes: nowFirst, Correct: true}.broad(), 0, "correct; leave"},
		{"a step colder, and not poured away for it", func() *site.Site {
			s := workshop(200, 200, 0)
			s.Stores[0].Water.Temperature = 24
			return s
		}(), style{Sizes: nowFirst, Correct: true}.broad(), 0, "leave; mix 160.00"},
		{"colder than a step", func() *site.Site {
			s := workshop(200, 200, 0)
			s.Stores[0].Water.Temperature = 23.9
			return s
		}(), style{Sizes: nowFirst, Correct: true}.broad(), 0, fmt.Sprintf("leave; mix 160.00; pour 200.00 mix %.2f", 200/batchWater(t))},
		{"no salt to lift it", vat(200, 30, 100, 0), style{Sizes: nowFirst, Correct: true}.narrow(), 0, ""},
		{"lifted", func() *site.Site {
			s := vat(200, 30, 0, 0)
			s.Salts[0].OnHand = decimal.NewFromInt(3)
			return s
		}(), style{Sizes: nowFirst, Correct: true}.narrow(), 0, "correct; leave"},
		{"too little salt to lift it", func() *site.Site {
			s := vat(200, 30, 0, 0)
			s.Salts[0].OnHand = decimal.NewFromFloat(0.5)
			return s
		}(), style{Sizes: nowFirst, Correct: true}.narrow(), 0, ""},
	} {
		p := laid(t, c.s, plan.Demand{Aims: []plan.Aim{share(0.4, 48)}})
		p.start.nextH = c.at
		if got := told(p.jobs(&p.start, &c.r, nil)); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

// Where there is not the purified water for all of a vat, no more is cut than the next change takes: all the way, or as
// far as the salinity may rise in it; at once, or as soon as there is enough.
func TestNoMoreIsCutThanTheNextChangeTakes(t *testing.T) {
	tub := func(pure, rate float64) *site.Site {
		sys := reef(100)
		sys.Water.Salinity, sys.Limits.SalinityLow, sys.Limits.SalinityHigh, sys.Drawdown = 18, 15, 18.4, 0.2
		s := placeOf(sys, vatOf("vat", 200, 400), pureOf("pure", pure, 200))
		if rate > 0 {
			s.Purifier = &site.Purifier{RateLH: rate, RatedAt: 25, Feed: 25}
		}
		return s
	}
	// The whole change of 20 L may be at 18 + 0.4·100/20 = 20 before the tank is at 18.4.
	for _, c := range []struct {
		pure, rate float64
		want       []float64 // litres kept, and the hour, of what follows the correction of all
	}{
		{12, 0, []float64{10.16, 0, 11.31, 0}}, // of 200 L it takes 191 L
		{9, 0, []float64{11.31, 0}},            // 9.9 L for all the way, 8.7 L for a part
		{5, 2, []float64{10.16, 2.43, 11.31, 1.85}},
		{195, 0, nil},
	} {
		p := laid(t, tub(c.pure, c.rate), plan.Demand{Aims: []plan.Aim{share(0.5, 48)}})
		r := style{Sizes: nowFirst, Correct: true, Idle: true, Sparing: true}.straight()
		w := wants{p: p, s: &p.start, r: &r}
		w.look()
		v := &p.start.vats[0]
		got := []float64{}
		for _, j := range w.sized(0, v.volL, p.correction(&p.start, 0, v.volL), nil) {
			if got = append(got, j.keepL, j.fromH); math.Abs(j.removeL+j.keepL-v.volL) > 1e-9 || !j.correct {
				t.Errorf("%g L: %+v", c.pure, j)
			}
		}
		if len(got) != len(c.want) {
			t.Errorf("%g L: %v, want %v", c.pure, got, c.want)
			continue
		}
		for i := range got {
			if !(math.Abs(got[i]-c.want[i]) <= 0.03) {
				t.Errorf("%g L: %v, want %v", c.pure, got, c.want)
			}
		}
	}
}

// Part of a vat that is being warmed is poured away: all but what the next change takes, or
// the next two.
func TestSheddingKeepsWhatTheNextChangesTake(t *testing.T) {
	s := placeOf(reef(400), vatOf("vat", 400, 440))
	s.Stores[0].HeaterW, s.Stores[0].Water.Temperature = 100, 20
	r := style{Sizes: nowFirst}.broad()
	for _, c := range []struct {
		remove float64
		want   string
	}{{0.4, "leave; pour 240.00"}, {0.6, fmt.Sprintf("leave; pour %.2f; pour 220.00", 400-180-400*(1-0.4/0.55))}, {0.9, "leave; pour 220.00; pour 40.00"}} {
		p := laid(t, s, plan.Demand{Aims: []plan.Aim{share(c.remove, 48)}})
		if got := told(p.jobs(&p.start, &r, nil)); got != c.want {
			t.Errorf("%g: %q, want %q", c.remove, got, c.want)
		}
	}
	for name, edit := range map[string]func(*site.Store){
		"warm":             func(v *site.Store) { v.Water.Temperature = 25 },
		"without a heater": func(v *site.Store) { v.HeaterW = 0 },
		"hardly more":      func(v *site.Store) { v.Volume = decimal.NewFromInt(162) },
	} {
		other := placeOf(reef(400), s.Stores[0])
		edit(&other.Stores[0])
		p := laid(t, other, plan.Demand{Aims: []plan.Aim{share(0.4, 48)}})
		if got := told(p.jobs(&p.start, &r, nil)); got != "" {
			t.Errorf("%s: %q", name, got)
		}
	}
}

// Every job that is listed, anywhere on the way of plans made by chance, can be done: there is
// room for it, salt and purified water by then, the vat is free, and no job is listed twice.
func TestJobsCanBeDone(t *testing.T) {
	kinds := map[string]int{}
	cases := uint64(360)
	for seed := range cases {
		r := rand.New(rand.NewPCG(seed, 55))
		s, d := harsh(r)
		if r.IntN(3) == 0 {
			s.Salts = append(s.Salts, houseSalt(5*r.Float64()))
			s.Salts[len(s.Salts)-1].ID = "other"
		}
		pl, err := New(s, noon)
		if err != nil {
			t.Fatal(err)
		}
		p, err := pl.problem(&d[0], Options{HorizonH: 72}.withDefaults(s), nil)
		if err != nil {
			t.Fatal(err)
		}
		w := wanderer{p: p, r: r}
		w.s.copyFrom(&p.start)
		w.lazy = r.Float64()
		var table table
		for range 12 {
			st := styles[r.IntN(len(styles))]
			rule := st.broad()
			if r.IntN(2) == 0 {
				rule = st.narrow()
			}
			for w.s.ask.workFrom = 0; w.s.ask.workFrom < len(w.s.vats); w.s.ask.workFrom++ {
				list := p.jobs(&w.s, &rule, nil)
				for k, j := range list {
					p.doable(t, fmt.Sprintf("seed %d at %g h: %+v", seed, w.s.atH, j), &w.s, &rule, j, kinds)
					for _, o := range list[:k] {
						if o == j {
							t.Errorf("seed %d: %+v twice", seed, j)
						}
					}
				}
			}
			w.s.ask.workFrom = 0
			if options := table.options(p, &w.s, rule.Taste, rule.Tastes, false); len(options) > 0 && w.s.atH >= w.s.nextH && r.IntN(2) == 0 {
				p.change(&w.s, &options[r.IntN(len(options))])
			}
			if len(w.s.vats) > 0 && r.IntN(2) == 0 {
				w.work(r.IntN(len(w.s.vats)))
			}
			to, _ := p.nextMoment(&w.s)
			if to = min(to, w.s.atH+3*r.Float64()); to < p.horizonH {
				p.passTo(&w.s, to)
			}
		}
	}
	for _, kind := range []string{"leave", "shed", "cut now", "cut later", "lift", "batch now", "batch later", "batch after pouring", "batch on a correction"} {
		if kinds[kind] == 0 {
			t.Errorf("no %s among %v", kind, kinds)
		}
	}
}

// doable fails where a job cannot be done.
func (p *problem) doable(t *testing.T, name string, s *state, r *rules, j job, kinds map[string]int) {
	t.Helper()
	if j.vat < 0 {
		kinds["leave"]++
		return
	}
	v, w := &s.vats[j.vat], &p.vessels[j.vat]
	const eps = 1e-6
	unusable := w.overAge && v.batch == 0
	if s.atH < max(v.usedH, w.fromH, w.freeH)-eps || v.readyH > s.atH+eps && !unusable || w.store < 0 {
		t.Errorf("%s: the vat is not free: %+v", name, v)
	}
	if j.removeL < 0 || j.removeL > max(0, v.volL-w.heelL)+eps || j.fromH < s.atH-eps && j.fromH != 0 {
		t.Errorf("%s: %g L in it, heel %g", name, v.volL, w.heelL)
	}
	had := v.volL - j.removeL
	pure, salt := s.pure.litres+p.works.rateLH*max(0, max(j.fromH, s.atH)-s.pure.atH), p.saltLitres(s)
	if j.fromH <= s.atH {
		pure = p.pureAt(s, s.atH)
	}
	if j.correct {
		if v.s > p.tank.own.s-oddSalinity && v.s < p.tank.own.s+oddSalinity || had <= 0 || !(r.Correct || r.Leave) {
			t.Errorf("%s: correcting %g L at %g", name, had, v.s)
		}
		c := p.correction(s, j.vat, had)
		if j.batchL > 0 || j.fromH <= s.atH {
			pure, salt = pure-c.pureL, salt-c.saltL
		}
		had *= c.grows
		switch {
		case j.batchL > 0:
			kinds["batch on a correction"]++
			if pure < -eps || salt < -eps {
				t.Errorf("%s: %g L of purified water, salt for %g left after correcting", name, pure, salt)
			}
		case c.saltL > 0:
			kinds["lift"]++
			if salt < -eps {
				t.Errorf("%s: salt for %g L left after lifting", name, salt)
			}
		case j.fromH > s.atH:
			kinds["cut later"]++
		default:
			kinds["cut now"]++
		}
	}
	if had+j.batchL > w.capL+eps {
		t.Errorf("%s: %g L in a vat of %g", name, had+j.batchL, w.capL)
	}
	if j.batchL <= 0 {
		if !j.correct {
			kinds["shed"]++
			if j.removeL <= 0 || w.heaterW <= 0 || v.warmH <= s.atH {
				t.Errorf("%s: pouring for nothing", name)
			}
		}
		return
	}
	if !w.mixes || j.batchL > salt+eps {
		t.Errorf("%s: salt for %g L, mixes %v", name, salt, w.mixes)
	}
	if need := p.pureFor(s, j.batchL); need > pure+eps {
		t.Errorf("%s: %g L of purified water of %g", name, pure, need)
	}
	switch {
	case j.removeL > 0:
		kinds["batch after pouring"]++
	case j.fromH > s.atH:
		kinds["batch later"]++
	default:
		kinds["batch now"]++
	}
}

// What is made of dirtier salt takes more of it; what is there is reckoned as it is.
func TestDirtySaltTakesMore(t *testing.T) {
	for _, c := range []struct {
		stored, reserve float64
		want            string
	}{{50, 50, "leave; mix 160.00"}, {140, 0, ""}, {50, 0, fmt.Sprintf("leave; mix %.2f", 400*20/(60-10*(400/3.0-50)/(400/3.0))-50)}, {0, 0, fmt.Sprintf("mix %.2f", 400*20/50.0)}} {
		s := workshop(c.stored, 300, 0)
		s.Reserve.Saltwater = units.Litres(c.reserve)
		s.Salts[0].Background = map[string]float64{"copper": 10}
		s.Stores[0].Background = map[string]float64{"copper": 0}
		p := laid(t, s, plan.Demand{Aims: []plan.Aim{{Contaminant: "copper", Start: 60, Target: 40, WithinH: 24}}})
		r := style{Sizes: []size{asNeeded}, Fill: true}.narrow()
		if got := told(p.jobs(&p.start, &r, nil)); got != c.want {
			t.Errorf("%g L stored: %q, want %q", c.stored, got, c.want)
		}
	}
}

// A job that has waited is done with what there is by then: a cut of as much as there is
// purified water for, a batch of what there is room for.
func TestWhatHasWaitedIsSettled(t *testing.T) {
	s := workshop(200, 20, 0)
	s.Stores[0].Water.Salinity = 39
	p := laid(t, s, plan.Demand{Aims: []plan.Aim{share(0.4, 48)}})
	f := &p.start
	c := p.correction(f, 0, 200)
	j := p.settled(f, job{vat: 0, correct: true, fromH: 3})
	close2(t, "kept", 200-j.removeL, 200*20/c.pureL, 1e-9)
	f.pure.litres = 5 // for half of the way
	j = p.settled(f, job{vat: 0, correct: true, share: 0.5})
	close2(t, "kept of a cut that goes half of the way", 200-j.removeL, 200*5/(c.pureL/2), 1e-9)
	f.vats[0].s, f.pure.litres = 31, 0
	if j = p.settled(f, job{vat: 0, correct: true}); j.removeL != 0 || !j.correct {
		t.Errorf("lifted without purified water: %+v", j)
	}
	f.vats[0].s, f.pure.litres = 39, 100
	if j = p.settled(f, job{vat: 0, correct: true, removeL: 50}); j.removeL != 0 || j.batchL > 0 {
		t.Errorf("with water for all of it: %+v", j)
	}
	p.vessels[0].capL = 210
	j = p.settled(f, job{vat: 0, correct: true})
	close2(t, "kept below the brim", 200-j.removeL, 210/c.grows, 1e-9)
	j = p.settled(f, job{vat: 0, correct: true, share: 0.5})
	close2(t, "kept below the brim of a cut that goes half of the way", 200-j.removeL, 210/(1+(c.grows-1)/2), 1e-9)
	j = p.settled(f, job{vat: 0, batchL: 300, removeL: 500})
	close2(t, "no more poured than is in it", j.removeL, 200, 1e-9)
	close2(t, "room for it", j.batchL, 210, 1e-9)
	p.vessels[0].heelL = 15
	j = p.settled(f, job{vat: 0, batchL: 300, removeL: 500})
	close2(t, "above the heel", j.removeL, 185, 1e-9)
	close2(t, "room above the heel", j.batchL, 195, 1e-9)
	j = p.settled(f, job{vat: 0, batchL: 10, removeL: 20, correct: true})
	close2(t, "a batch on a correction is as decided", j.removeL, 20, 0)
	close2(t, "of its size", j.batchL, 10, 0)
	j = p.settled(f, job{vat: 0, batchL: 0.5, removeL: 20, correct: true})
	close2(t, "a jug on a correction is as decided", j.removeL, 20, 0)
	f.vats[0].volL = 12 // below the heel
	j = p.settled(f, job{vat: 0, batchL: 10, removeL: 20})
	close2(t, "nothing is poured out of a heel", j.removeL, 0, 0)
}

// Water beyond a limit that the system is kept at may never be used, unless it will be warmed.
func TestBarredWater(t *testing.T) {
	for _, c := range []struct {
		name string
		edit func(*site.Limits, *site.Store)
		want bool
	}{
		{"colder than the lowest", func(l *site.Limits, v *site.Store) { l.TemperatureLow, v.Water.Temperature = 25, 24 }, true},
		{"to be warmed", func(l *site.Limits, v *site.Store) { l.TemperatureLow, v.Water.Temperature, v.HeaterW = 25, 24, 100 }, false},
		{"colder, and room for it", func(l *site.Limits, v *site.Store) { l.TemperatureLow, v.Water.Temperature = 24.5, 24 }, false},
		{"saltier than the highest", func(l *site.Limits, v *site.Store) { l.SalinityHigh, v.Water.Salinity = 35, 36 }, true},
		{"saltier, and room for it", func(l *site.Limits, v *site.Store) { l.SalinityHigh, v.Water.Salinity = 35.5, 36 }, false},
		{"fresher than the lowest", func(l *site.Limits, v *site.Store) { l.SalinityLow, v.Water.Salinity = 35, 34 }, true},
		{"fresher, and room for it", func(l *site.Limits, v *site.Store) { l.SalinityLow, v.Water.Salinity = 34.5, 34 }, false},
		{"as the system", func(l *site.Limits, v *site.Store) { l.SalinityLow, l.SalinityHigh, l.TemperatureLow = 35, 35, 25 }, false},
	} {
		s := placeOf(reef(400), vatOf("vat", 100, 440))
		c.edit(&s.Systems[0].Limits, &s.Stores[0])
		p := laid(t, s, plan.Demand{Aims: []plan.Aim{share(0.4, 24)}})
		if got := p.barred(&p.start.vats[0], 0); got != c.want {
			t.Errorf("%s: barred %v", c.name, got)
		}
	}
}

// What a style does first: it mixes where there is nothing to draw, leaves a vat alone that has
// what the next change takes, or all that is asked for, and pours away what may not be drawn.
func TestTheFirstChoice(t *testing.T) {
	odd := func(litres float64) *site.Site {
		s := workshop(litres, 200, 0)
		s.Stores[0].Water.Salinity = 37
		return s
	}
	old := workshop(100, 200, 0)
	mixed := noon.Add(-40 * 24 * time.Hour)
	old.Stores[0].Mixed, old.Stores[0].MaxAgeH = &mixed, 24
	fresherThanLowest := workshop(100, 200, 0)
	fresherThanLowest.Stores[0].Water.Salinity, fresherThanLowest.Systems[0].Limits.SalinityLow = 34.9, 35
	now := style{Sizes: nowFirst, Correct: true}
	fill, idle, uncorrected, ofFresh, lean := now, now, now, now, now
	fill.Fill, idle.Idle, uncorrected.Correct, ofFresh.Sizes, lean.Idle, lean.Lean = true, true, false, freshFirst, true, true
	for _, c := range []struct {
		name string
		s    *site.Site
		r    rules
		want string
	}{
		{"nothing in it", workshop(0, 200, 0), now.narrow(), "mix 160.00"},
		{"a cup in it", workshop(3, 200, 0), now.narrow(), "mix 157.00"},
		{"a cup in it, and it may be left alone", workshop(3, 200, 0), now.broad(), "mix 157.00"},
		{"no batches", workshop(0, 200, 0), func() rules { r := idle.broad(); return r }(), "leave"},
		{"water in it", workshop(100, 200, 0), now.broad(), "leave"},
		{"water in it, to be filled", workshop(100, 200, 0), fill.narrow(), "mix 60.00"},
		{"all that is asked for in it", workshop(300, 200, 0), fill.broad(), "leave"},
		{"all in it, and what is new may be better", workshop(300, 200, 0), func() rules { r := ofFresh.narrow(); r.Fill, r.TopUp = true, true; return r }(), "mix 140.00"},
		{"too old", old, now.narrow(), "pour 100.00 mix 160.00"},
		{"too old, and corrected by nobody", old, uncorrected.narrow(), "pour 100.00 mix 160.00"},
		{"no batches, and nothing to pour away", workshop(0, 200, 0), lean.broad(), "leave"},
		{"beyond the limit that the system is kept at", fresherThanLowest, now.narrow(), "pour 100.00 mix 160.00"},
		{"too salty", odd(100), now.narrow(), "leave"},
		{"a step too salty, and corrected by nobody", func() *site.Site { s := odd(100); s.Stores[0].Water.Salinity = 36; return s }(), func() rules { r := uncorrected.broad(); r.Fill = true; return r }(), "leave"},
		{"too salty, and all of it in reserve", func() *site.Site { s := odd(100); s.Reserve.Saltwater = 100; return s }(), now.narrow(), "correct"},
		{"too salty, to be filled", odd(100), fill.narrow(), "pour 100.00 mix 160.00"},
		{"too salty, and corrected by nobody", odd(100), func() rules { r := uncorrected.broad(); r.Fill = true; return r }(), "leave"},
	} {
		p := laid(t, c.s, plan.Demand{Aims: []plan.Aim{share(0.4, 48)}})
		list := p.jobs(&p.start, &c.r, nil)
		if len(list) == 0 {
			t.Errorf("%s: nothing to choose from", c.name)
			continue
		}
		if got := told(list[:1]); got != c.want {
			t.Errorf("%s: %q first of %q, want %q", c.name, got, told(list), c.want)
		}
	}
}

// A batch on top of water that is cut or lifted leaves all that is asked for in the vat, though
// what is mixed shrinks.
func TestABatchOnACorrectionIsEnough(t *testing.T) {
	for _, sal := range []units.Practical{31, 37.5} {
		s := workshop(60, 300, 0)
		s.Stores[0].Water.Salinity, s.Stores[0].Water.Temperature, s.Stores[1].Water.Temperature = sal, 30, 10
		p := laid(t, s, plan.Demand{Aims: []plan.Aim{share(0.4, 48)}})
		r, n := style{Sizes: []size{asNeeded}, Correct: true, Fill: true}.narrow(), 0
		for _, j := range p.jobs(&p.start, &r, nil) {
			if j.vat < 0 || !j.correct || j.batchL <= 0 {
				continue
			}
			var f state
			f.copyFrom(&p.start)
			p.work(&f, j)
			if n++; f.vats[0].volL < 160 || f.vats[0].volL > 165 { // what it grows by is not reckoned
				t.Errorf("from %g: %g L, 160 are asked for", float64(sal), f.vats[0].volL)
			}
		}
		if n == 0 {
			t.Errorf("from %g: nothing is mixed", float64(sal))
		}
	}
}

// A batch made another size, by hand: within the room, the salt and the purified water that
// there is for it, less what correcting takes; when there is the water.
func TestABatchOfAnotherSize(t *testing.T) {
	w := batchWater(t)
	salty := workshop(100, 100, 10)
	salty.Stores[0].Water.Salinity = 37
	for _, c := range []struct {
		name   string
		s      *site.Site
		j      job
		litres float64
		batch  float64
		fromH  float64
	}{
		{"less", workshop(0, 200, 10), job{batchL: 100}, 80, 80, 1},
		{"more", workshop(0, 200, 10), job{batchL: 100}, 150, 150, 1},
		{"than can be purified by now", workshop(0, 100, 10), job{batchL: 50}, 160, 160, 1 + (160*w-110)/10},
		{"by a slow purifier", workshop(0, 100, 0.5), job{batchL: 50}, 160, 160, 1 + (160*w-100.5)/0.5},
		{"and nothing more comes", workshop(0, 100, 0), job{batchL: 50}, 160, 100 / w, 0},
		{"than there is room for", workshop(300, 600, 10), job{batchL: 50, removeL: 20}, 300, 160, 1},
		{"than there is salt for", func() *site.Site {
			s := workshop(0, 600, 10)
			s.Salts[0].OnHand = decimal.NewFromFloat(90 * 0.0384)
			return s
		}(), job{batchL: 50}, 300, 90, 1},
		{"its time is given", workshop(0, 100, 10), job{batchL: 50, size: inTime, fromH: 3}, 160, 130 / w, 3},
		{"its time is given, and there is enough", workshop(0, 100, 10), job{batchL: 50, size: trickle, fromH: 3}, 60, 60, 3},
		{"nothing", workshop(0, 100, 10), job{batchL: 50}, -3, 0, 1},
		{"on top of what is left as it is", salty, job{batchL: 50}, 150, 150, 1 + (150*w-110)/10},
	} {
		p := laid(t, c.s, plan.Demand{Aims: []plan.Aim{share(0.4, 48)}})
		p.passTo(&p.start, 1)
		want := wants{p: p, s: &p.start, r: &rules{}}
		want.look()
		want.resize(&c.j, c.litres)
		close2(t, c.name, c.j.batchL, c.batch, 1e-6)
		close2(t, c.name+": from", c.j.fromH, c.fromH, 1e-6)
	}
	// On top of 100 L at 37 that are cut first: what cutting leaves of the purified water, and of
	// the room.
	for _, room := range []units.Litres{440, 180} {
		s := workshop(100, 120, 0)
		s.Stores[0].Water.Salinity, s.Stores[0].Capacity = 37, room
		p := laid(t, s, plan.Demand{Aims: []plan.Aim{share(0.4, 48)}})
		want := wants{p: p, s: &p.start, r: &rules{}}
		want.look()
		j, cut := job{correct: true, batchL: 50}, p.correction(&p.start, 0, 100)
		want.resize(&j, 300)
		close2(t, "on a correction", j.batchL, min(float64(room)-100*cut.grows, (120-cut.pureL)/w), 1e-6)
	}
}

// What is wanted, by hand: 160 L, of 90 L that fit, 60 that are cold, 40 being warmed, 30 being
// mixed, 20 in reserve; what is too old, barred or not yet free does not count.
func TestWhatIsWanted(t *testing.T) {
	old := noon.Add(-40 * 24 * time.Hour)
	fits, cold, warmed, mixed, aged, later := vatOf("fits", 100, 440), vatOf("cold", 60, 440), vatOf("warmed", 40, 440), vatOf("mixed", 30, 440), vatOf("aged", 200, 440), vatOf("later", 25, 440)
	fits.Heel, cold.Water.Temperature, warmed.Water.Temperature, warmed.HeaterW, aged.Mixed, aged.MaxAgeH = 10, 20, 20, 200, &old, 24
	low := vatOf("below its heel", 5, 440)
	low.Heel = 8
	s := placeOf(reef(400), fits, cold, warmed, mixed, aged, later, low)
	s.Reserve.Saltwater, s.Salts = 20, []site.Salt{houseSalt(3.84)}
	s.Stores = append(s.Stores, pureOf("pure", 70, 100))
	p := laid(t, s, plan.Demand{Aims: []plan.Aim{share(0.4, 48)}})
	for k := range p.vessels {
		switch p.vessels[k].id {
		case "mixed":
			p.start.vats[k].readyH = 3
		case "later":
			p.vessels[k].fromH = 2
		}
	}
	w := wants{p: p, s: &p.start, r: &rules{}}
	w.look()
	close2(t, "ahead", w.aheadL, 160, 1e-6)
	close2(t, "lacking", w.needL, 160-200, 1e-6)
	close2(t, "lacking of what fits", w.fitL, 160-140, 1e-6)
	close2(t, "ready", w.readL, 170, 1e-6)
	close2(t, "lacking for the next change", w.nextL, 160-170, 1e-6)
	close2(t, "purified", w.pureL, 70, 1e-9)
	close2(t, "salt", w.saltL, 100, 1e-6)
	p.start.conc[0].UgL, p.aims[0].target = 1, 0.31 // two changes: 180 L, and 400·(1 − 0.31/0.55)
	w.look()
	close2(t, "for two changes", w.aheadL, 180+400*(1-0.31/0.55), 1e-6)
	close2(t, "for the first of them", w.nextL, 180-170, 1e-6)
}

// A share of a batch is that share of it, whether the vat is brought to the system's salinity before or
// not, and the rest of what there is for it is left for others.
func TestAShareOfABatchIsThatShare(t *testing.T) {
	n := 0
	for _, sal := range []units.Practical{35, 31, 37.5} {
		for _, pure := range []float64{60, 120, 400} {
			for _, kg := range []float64{3, 40} {
				s := workshop(60, pure, 10)
				s.Stores[0].Water.Salinity, s.Salts[0].OnHand = sal, decimal.NewFromFloat(kg)
				if kg > 3 {
					s.Purifier = nil
				}
				p := laid(t, s, plan.Demand{Aims: []plan.Aim{share(0.4, 48)}})
				x := &search{p: p, r: style{Sizes: nowFirst, Correct: true, Fill: true}.straight()}
				f := &frame{state: p.start}
				for _, z := range []size{asNeeded, atOnce, half} {
					j := job{vat: 0, correct: sal != 35, batchL: 1, size: z}
					all, ok := x.jobAgain(f, j, asLarge)
					if !ok {
						continue
					}
					for _, part := range []float64{0.9, 0.5} {
						j.share = part
						some, ok := x.jobAgain(f, j, asLarge)
						if n++; !ok || !(math.Abs(some.batchL-part*all.batchL) <= 1e-6) || some.fromH > all.fromH+1e-9 {
							t.Errorf("at %g with %g L of purified water and %g kg of salt: %g of %+v is %+v", float64(sal), pure, kg, part, all, some)
						}
					}
				}
			}
		}
	}
	if n < 60 {
		t.Errorf("%d shares", n)
	}
}
