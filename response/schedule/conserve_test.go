package schedule

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"tidehold/refs/outside"
	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/salinity/mixing"
	"tidehold/volumes/site"
)

// replayed follows the plans of an outcome store by store, in order of time, and fails
// where something is drawn that is not there.
func replayed(t *testing.T, name string, s *site.Site, out Outcome) {
	t.Helper()
	type move struct {
		atH   float64
		order int // at one time: batches are ready and drawn from before they are begun
		do    func()
	}
	var moves []move
	volume, ready := map[string]float64{}, map[string]float64{}
	delivered := map[int]float64{}
	salt, pure := 0.0, 0.0
	var pureBy []move // purified water taken
	for i := range s.Stores {
		st := &s.Stores[i]
		if st.Holds == site.Purified {
			pure += float64(st.Usable())
			continue
		}
		volume[st.ID] = st.Volume.InexactFloat64()
	}
	for _, x := range s.Salts {
		salt += x.OnHand.InexactFloat64()
	}
	for n, d := range s.Deliveries {
		delivered[n+1] = float64(d.Saltwater)
	}
	usedSalt := 0.0
	for p := range out.Plans {
		for _, b := range out.Plans[p].Batches {
			usedSalt += b.SaltKg
			moves = append(moves, move{b.StartH, 2, func() {
				volume[b.StoreID] += b.Litres
				ready[b.StoreID] = b.MixedH
				if brim := float64(s.StoreByID(b.StoreID).Capacity); volume[b.StoreID] > brim+1e-6 {
					t.Errorf("%s: %s holds %g of %g L", name, b.StoreID, volume[b.StoreID], brim)
				}
			}})
			pureBy = append(pureBy, move{atH: b.StartH, do: func() { pure -= b.PurifiedL }})
			if w := b.PurifiedL*0.99 + b.SaltKg*0; w <= 0 {
				t.Errorf("%s: a batch of no purified water", name)
			}
		}
		for _, x := range out.Plans[p].Prepared {
			usedSalt += x.SaltKg
			moves = append(moves, move{x.AtH, 1, func() {
				volume[x.StoreID] -= x.RemoveL
				if volume[x.StoreID] < -1e-6 {
					t.Errorf("%s: %g L poured out of %s beyond what is in it", name, -volume[x.StoreID], x.StoreID)
				}
				volume[x.StoreID] = x.Litres
				ready[x.StoreID] = max(ready[x.StoreID], x.ReadyH)
				if brim := float64(s.StoreByID(x.StoreID).Capacity); volume[x.StoreID] > brim+1e-6 {
					t.Errorf("%s: %s holds %g of %g L", name, x.StoreID, volume[x.StoreID], brim)
				}
			}})
			if x.AddL > 0 {
				pureBy = append(pureBy, move{atH: x.AtH, do: func() { pure -= x.AddL }})
			}
		}
		for _, step := range out.Plans[p].Steps {
			sum := 0.0
			for _, d := range step.From {
				sum += d.Litres
				moves = append(moves, move{step.AtH, 0, func() {
					if d.Delivery > 0 {
						delivered[d.Delivery] -= d.Litres
						if s.Deliveries[d.Delivery-1].AfterH > step.AtH || delivered[d.Delivery] < -1e-6 {
							t.Errorf("%s: delivery %d drawn before it comes or twice", name, d.Delivery)
						}
						return
					}
					volume[d.StoreID] -= d.Litres
					if heel := float64(s.StoreByID(d.StoreID).Heel); volume[d.StoreID] < heel-1e-6 {
						t.Errorf("%s: %s drawn to %g L, below its heel %g", name, d.StoreID, volume[d.StoreID], heel)
					}
					if ready[d.StoreID] > step.AtH+1e-9 {
						t.Errorf("%s: %s drawn at %g h, mixed at %g", name, d.StoreID, step.AtH, ready[d.StoreID])
					}
				}})
			}
			close2(t, name+": draws", sum, step.AddL, 1e-6)
			if most := float64(out.Plans[p].Demand.System.NetVolume) * out.Plans[p].Demand.System.Drawdown; step.RemoveL > most*(1+1e-9) {
				t.Errorf("%s: %g L out at once, %g allowed", name, step.RemoveL, most)
			}
		}
	}
	play := func(list []move, after func(atH float64)) {
		for len(list) > 0 {
			k := 0
			for i, m := range list {
				if m.atH < list[k].atH || m.atH == list[k].atH && m.order < list[k].order {
					k = i
				}
			}
			m := list[k]
			list = append(list[:k:k], list[k+1:]...)
			m.do()
			after(m.atH)
		}
	}
	play(moves, func(float64) {})
	rate := 0.0
	if s.Purifier != nil {
		rate = s.Purifier.RateLH * s.Purifier.Factors().Lowest
	}
	play(pureBy, func(atH float64) {
		if left := pure + rate*atH - float64(s.Reserve.Purified); left < -1e-6 {
			t.Errorf("%s: %g L of purified water short of the reserve at %g h", name, -left, atH)
		}
	})
	if usedSalt > salt+1e-9 {
		t.Errorf("%s: %g kg of salt used of %g", name, usedSalt, salt)
	}
	left := 0.0
	for i := range s.Stores {
		if st := &s.Stores[i]; st.Holds == site.Saltwater {
			left += max(0, volume[st.ID]-float64(st.Heel))
		}
	}
	for _, x := range delivered {
		left += x
	}
	drawn := 0.0
	for _, p := range out.Plans {
		drawn += p.WaterL
	}
	if drawn > 0 && left < float64(s.Reserve.Saltwater)-1e-6 {
		t.Errorf("%s: %g L left of a reserve of %g", name, left, float64(s.Reserve.Saltwater))
	}
}

func TestNothingIsDrawnTwiceAndReservesStay(t *testing.T) {
	shared := 0
	for seed := range uint64(outside.Cases(150, 30, 20)) {
		r := rand.New(rand.NewPCG(seed, 21))
		s, d := small(r)
		s.Reserve.Purified = units.Litres(r.IntN(3) * 15)
		for n := range r.IntN(3) {
			sys := reef(200 + 400*r.Float64())
			sys.ID = fmt.Sprint("other", n)
			s.Systems = append(s.Systems, sys)
		}
		for n := 1; n < len(s.Systems); n++ {
			d = append(d, plan.Demand{System: &s.Systems[n], Aims: []plan.Aim{share(0.2+0.5*r.Float64(), 24)}, Priority: r.IntN(3)})
			shared++
		}
		d[0].System = &s.Systems[0]
		out, err := Run(s, noon, d, Options{})
		if err != nil {
			t.Fatal(err)
		}
		replayed(t, fmt.Sprint("seed ", seed), s, out)
		limitsHold(t, fmt.Sprint("seed ", seed), out)
	}
	if shared < outside.Cases(80, 16, 10) {
		t.Errorf("only %d systems shared water", shared)
	}
}

// limitsHold checks the limits of every step from the plan's own account.
func limitsHold(t *testing.T, name string, out Outcome) {
	t.Helper()
	for _, p := range out.Plans {
		l := p.Demand.System.Limits
		for i, s := range p.Steps {
			if i > 0 && s.AtH < p.Steps[i-1].AtH+p.Demand.System.ChangeEveryH-1e-9 {
				t.Errorf("%s: change %d too soon", name, s.N)
			}
			if vol := float64(p.Demand.System.NetVolume); s.RemoveL > vol*p.Demand.System.Drawdown*(1+1e-9) || i < len(p.Steps)-1 && s.RemoveL < vol*p.Demand.System.LeastChange*(1-1e-9) {
				t.Errorf("%s: change %d of %g L", name, s.N, s.RemoveL)
			}
			if s.AtH < p.Demand.NotBeforeH-1e-9 {
				t.Errorf("%s: change %d at %g h, before %g", name, s.N, s.AtH, p.Demand.NotBeforeH)
			}
			// What is beyond a limit already may stay there, and go no further.
			if c, was := s.After.Temperature, s.Before.Temperature; c < min(float64(l.TemperatureLow), was)-2e-9 || c > max(float64(l.TemperatureHigh), was)+2e-9 {
				t.Errorf("%s: %g °C after %g", name, c, was)
			}
			if sal, was := s.After.Salinity, s.Before.Salinity; sal < min(float64(l.SalinityLow), was)-2e-9 || sal > max(float64(l.SalinityHigh), was)+2e-9 {
				t.Errorf("%s: salinity %g after %g", name, sal, was)
			}
			if d := math.Abs(s.After.Temperature - s.Before.Temperature); d > l.TemperatureStep+2e-9 {
				t.Errorf("%s: temperature step %g", name, d)
			}
			if d := math.Abs(s.After.Salinity - s.Before.Salinity); d > l.SalinityStep+2e-9 {
				t.Errorf("%s: salinity step %g", name, d)
			}
			for _, e := range p.Steps[:i+1] {
				if e.AtH < s.AtH-perDayH+1e-9 {
					continue
				}
				if d := math.Abs(s.After.Salinity - e.Before.Salinity); d > l.SalinityPerDay+1e-8 {
					t.Errorf("%s: salinity %g within a day", name, d)
				}
				if d := math.Abs(s.After.Temperature - e.Before.Temperature); d > l.TemperaturePerDay+1e-8 {
					t.Errorf("%s: temperature %g within a day", name, d)
				}
				if d := math.Abs(*s.After.AlkalinityDKH - *e.Before.AlkalinityDKH); d > l.AlkalinityPerDay+1e-8 {
					t.Errorf("%s: alkalinity %g within a day", name, d)
				}
			}
		}
	}
}

// The system's water after a change agrees with pouring the waters together.
func TestChangeAgreesWithBlend(t *testing.T) {
	for seed := range uint64(fewer(300, 5)) {
		s, d := small(rand.New(rand.NewPCG(seed, 9)))
		out, err := Run(s, noon, d, Options{Nodes: 150})
		if err != nil {
			t.Fatal(err)
		}
		for _, step := range out.Plans[0].Steps {
			waters := []mixing.Water{{Volume: s.Systems[0].NetVolume - units.Litres(step.RemoveL),
				Salinity: units.Practical(step.Before.Salinity), Temperature: units.Celsius(step.Before.Temperature)}}
			for _, f := range step.From {
				waters = append(waters, mixing.Water{Volume: units.Litres(f.Litres), Salinity: units.Practical(f.Salinity), Temperature: units.Celsius(f.Temperature)})
			}
			want, err := mixing.Blend(waters...)
			if err != nil {
				t.Fatal(err)
			}
			close2(t, "salinity", step.After.Salinity, float64(want.Salinity), 1e-9)
			close2(t, "temperature", step.After.Temperature, float64(want.Temperature), 1e-9)
		}
	}
}

// Two systems that share a vat: the one with priority is served as if it were alone,
// the other with the rest.
func TestPriorityDecidesWhoIsServedFirst(t *testing.T) {
	s := placeOf(reef(400), vatOf("vat", 300, 440))
	other := reef(300)
	other.ID = "other"
	s.Systems = append(s.Systems, other)
	d := []plan.Demand{
		{System: &s.Systems[0], Aims: []plan.Aim{share(0.4, 24)}, Priority: 2},
		{System: &s.Systems[1], Aims: []plan.Aim{share(0.4, 24)}, Priority: 1},
	}
	out, err := Run(s, noon, d, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if out.Plans[0].Index != 1 || out.Plans[1].Index != 0 {
		t.Fatalf("order %d, %d", out.Plans[0].Index, out.Plans[1].Index)
	}
	close2(t, "first", out.Plans[0].WaterL, 120, 1e-6)
	close2(t, "second", out.Plans[1].WaterL, 160, 1e-6)
	close2(t, "left for the second", out.Plans[1].UsableNowL, 180, 1e-6)
	d[0].Priority, d[1].Priority = 0, 0
	d[0].Aims[0].WithinH = 12
	out, err = Run(s, noon, d, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if out.Plans[0].Index != 0 {
		t.Error("the earlier deadline does not come first")
	}
}

func TestOneChangeServesAllEventsOfASystem(t *testing.T) {
	s := placeOf(reef(400), vatOf("vat", 440, 440))
	half := 0.5
	s.Events = []site.Event{
		{ID: "halve", System: "reef", Remove: &half, WithinH: 4.5, Reheats: true},
		{ID: "copper", System: "reef", Contaminant: "copper", StartUgL: 60, TargetUgL: 20, WithinH: 72, Priority: 1},
	}
	d, err := Demands(s)
	if err != nil {
		t.Fatal(err)
	}
	if len(d) != 1 || len(d[0].Aims) != 2 || d[0].Reheats || d[0].Priority != 1 || d[0].WithinH() != 4.5 || len(d[0].EventIDs()) != 2 {
		t.Fatalf("demands %+v", d)
	}
	out, err := Run(s, noon, d, Options{Explain: true})
	if err != nil {
		t.Fatal(err)
	}
	p := out.Plans[0]
	if len(p.Steps) != 2 || !p.Aims[0].InTime || !p.Aims[1].InTime {
		t.Fatalf("%+v", p)
	}
	close2(t, "copper at the end", p.Steps[1].Levels[1].After, 20, 1e-9)
	close2(t, "water", p.WaterL, 180+400*(1-20.0/60/0.55), 1e-6)
}
