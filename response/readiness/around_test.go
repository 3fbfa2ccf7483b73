package readiness

import (
	"math"
	"strings"
	"testing"

	"tidehold/refs/outside"
)

// TestAStretchFarBelow: 100 on mends, and so does a short stretch at half of it or at a fifth. Both its
// ends are told. Before the ladder was climbed down, only nine and seven tenths were tried.
func TestAStretchFarBelow(t *testing.T) {
	for _, share := range []float64{0.97, 0.86, 0.6, 0.5, 0.2} {
		low, high := 100*share-0.5, 100*share+1.5
		mends := func(x float64) bool { return x >= 100 || x >= low && x < high }
		found, ok := smallest(by(mends), never, 1000, 0, ladder...)
		if !ok || found.least < low || found.least > low*1.0051 || found.tooMuch < high || found.tooMuch > high*1.0041 {
			t.Errorf("mends from %g to %g and from 100 on: %+v, %v", low, high, found, ok)
		}
	}
	// The test between sees nothing of it, and the ladder ends where there is no hope.
	quick, full := func(x float64) bool { return x >= 100 }, func(x float64) bool { return x >= 100 || x >= 49 && x < 52 }
	if found, ok := smallest(by(full, quick, full), never, 1000, 0, ladder...); !ok || found.least < 49 || found.least > 52 || found.tooMuch < 52 || found.tooMuch > 52.3 {
		t.Errorf("%+v, %v", found, ok)
	}
	if found, ok := smallest(by(full, quick, full), func(x float64) bool { return x < 55 }, 1000, 0, ladder...); !ok || found.least < 100 || found.least > 100.5 || found.tooMuch != 0 {
		t.Errorf("without hope below 55: %+v, %v", found, ok)
	}
	// What the quickest does not see is looked for in the widest steps only, whatever the amount:
	// a share of it, divided by it again, need not be the share.
	for top := 100.0; top < 200; top += 3.7 {
		quick := func(x float64) bool { return x >= top }
		for share, want := range map[float64]float64{0.9: 0.89, 0.6: 1} {
			full := func(x float64) bool { return x >= top || x >= top*(share-0.01) && x < top*(share+0.02) }
			if found, ok := smallest(by(quick, quick, full), never, 1000, 0, ladder...); !ok || found.least < top*want || found.least > top*want*1.0051 {
				t.Errorf("%g, unseen by the quickest, at %g: %+v, %v", top, share, found, ok)
			}
		}
	}
}

// TestWhatIsKnownToMendIsNotLost: stretches of a hundredth, each nine tenths of the one above; more of them than
// there are rounds. What comes out mends, and is less than the first.
func TestWhatIsKnownToMendIsNotLost(t *testing.T) {
	mends := func(x float64) bool {
		for k := range 30 {
			if edge := 100 * math.Pow(0.9, float64(k)); x >= edge*0.999 && x < edge*1.01 {
				return true
			}
		}
		return x >= 100
	}
	found, ok := smallest(by(mends), never, 1000, 0, 0.9)
	if !ok || !mends(found.least) || found.least > 60 {
		t.Errorf("%+v, %v", found, ok)
	}
}

// TestNextToNothingIsNone: what a search misses and finds with two millionths of a litre more lacks
// nothing that could be bought.
func TestNextToNothingIsNone(t *testing.T) {
	for edge, found := range map[float64]bool{2e-6: false, 9e-6: false, 1.1e-5: true, 1e-4: true} {
		if x, ok := smallest(by(func(x float64) bool { return x >= edge }), never, 500, 0); ok != found {
			t.Errorf("from %g on: %+v, %v", edge, x, ok)
		}
	}
}

// TestHowMuchIsTooMuchStaysKnown: what is lacking, in a container of its own, is the same remedy with the same
// upper end.
func TestHowMuchIsTooMuchStaysKnown(t *testing.T) {
	b, ways := benchOn(t, head+vat("150 L")+halve)
	known := 50.1
	b.lackingL, b.tooMuchL = &known, 51
	container := of(ways, StoredSaltwater)[1]
	if a, ok := b.one(container, container.most); !ok || a.x != known || a.tooMuch != 51 {
		t.Errorf("%+v, %v", a, ok)
	}
	litres, tooMuch := b.lacking(200, 50)
	if litres == nil || *litres < 50 || *litres > 50.3 || tooMuch != 0 {
		t.Errorf("%v lacking, too much from %g", show(litres), tooMuch)
	}
}

// coldAndFull is a house whose vat without a heater holds water that is 20 K too cold. Emptied
// and mixed again with the purified water, which is warm, it serves.
const coldAndFull = `format: 1
systems: [{id: s, net_volume: 400 L, drawdown: 40 %, change_every: 4 h, lead: 0 h, water: {salinity: 35, temperature: 25 C}, limits: {temperature_step: 1 C, temperature_per_day: 1 C}}]
stores:
  - {id: a, holds: saltwater, capacity: 400 L, volume: 200 L, salinity: 35, temperature: 5 C, mixed: 2026-11-20, transfer: 1200 L/h}
  - {id: pure, holds: purified, capacity: 900 L, volume: 0 L, temperature: 25 C}
salts: [{id: house, on_hand: 40 kg, dose: 38.4 g/L}]
mixing: {emergency_time: 1 h, in: [a]}
events: [{id: e, system: s, remove: 40 %, within: 3 h}]
`

// TestPurifiedWaterThoughMuchColdWouldNotDo: some 140 L more of the warm purified water mend it. All that there
// could be in a container besides, at the 19 °C of the room, would make the batch too cold: that does not
// speak against the first. A batch takes 0.98 L of purified water a litre; of 160 L some 20 may be
// of the cold.
func TestPurifiedWaterThoughMuchColdWouldNotDo(t *testing.T) {
	f := fixOf(judged(t, coldAndFull).Events[0], StoredPurified)
	if f == nil || f.Where != "pure" || f.Amount < 130 || f.Amount > 160 {
		t.Errorf("%+v", f)
	}
}

// TestMoreTimeIsWhatThePlanIsLateBy, to the minute: half of 400 L by three changes of 25 %, each 29 h
// after the last, within 7 h. Found by halving it was up to 0.4 % more, some 7 min.
func TestMoreTimeIsWhatThePlanIsLateBy(t *testing.T) {
	text := strings.NewReplacer("drawdown: 50 %", "drawdown: 25 %", "change_every: 4 h", "change_every: 29 h").Replace(head) + vat("600 L") + strings.Replace(halve, "2 h", "7 h", 1)
	e := judged(t, text).Events[0]
	f := fixOf(e, MoreTime)
	if f == nil || e.DoneAtH == nil || f.Amount < *e.DoneAtH-7 || f.Amount > *e.DoneAtH-7+1.0/60 {
		t.Errorf("late by %v h, more time %+v", show(e.DoneAtH), f)
	}
}

// TestTheWholeLadderIsClimbedDown by the last test where the quick one sees nothing: 100 on mends, and 49 to 52.
func TestTheWholeLadderIsClimbedDown(t *testing.T) {
	quick, full := func(x float64) bool { return x >= 100 }, func(x float64) bool { return x >= 100 || x >= 49 && x < 52 }
	tests := by(quick, quick, full)
	found := climbedDown(edge{least: 100}, tests, never, 1000)
	if found.least < 49 || found.least > 52 || found.tooMuch < 52 || found.tooMuch > 52.3 {
		t.Errorf("%+v", found)
	}
	// What they do not see they do not lead to the lower end of either: a rung is seldom the least.
	for _, low := range []float64{42, 45.3, 47, 49.6} {
		full := func(x float64) bool { return x >= 100 || x >= low && x < 52 }
		if found := climbedDown(edge{least: 100}, by(quick, quick, full), never, 1000); found.least < low || found.least > low*1.0051 || found.tooMuch < 52 || found.tooMuch > 52.3 {
			t.Errorf("from %g to 52: %+v", low, found)
		}
	}
	if found := climbedDown(edge{100, 130}, tests, func(x float64) bool { return x < 55 }, 1000); found != (edge{100, 130}) {
		t.Errorf("without hope below 55: %+v", found)
	}
	if found := climbedDown(edge{100, 130}, by(quick), never, 1000); found != (edge{100, 130}) {
		t.Errorf("nothing below: %+v", found)
	}
}

// TestALowerAmountHasItsOwnUpperEnd: with the longest search 10 to 13 mends beside 95 on, and of that the answer is
// not "10 or more".
func TestALowerAmountHasItsOwnUpperEnd(t *testing.T) {
	longest := func(x float64) bool { return x >= 95 || x >= 10 && x < 13 }
	found := provedLeast(edge{least: 100}, longest, never, 1000)
	if found.least < 10 || found.least > 10.1 || found.tooMuch < 13 || found.tooMuch > 13.1 {
		t.Errorf("%+v", found)
	}
	if found := provedLeast(edge{95, 130}, longest, never, 1000); found != (edge{95, 130}) {
		t.Errorf("nothing less: %+v", found)
	}
}

// TestOnePerCentLessIsAskedOfTheSearchOfAShownPlan: in a house of several events that goes on beyond the one by which
// amounts are found. A purifier of 7.68 L/h was asked for where 7.2 makes the water in time.
func TestOnePerCentLessIsAskedOfTheSearchOfAShownPlan(t *testing.T) {
	if outside.Cases(1, 1, 0) == 0 {
		t.Skip("a second")
	}
	b, ways := benchOn(t, `format: 1
systems: [{id: reef, net_volume: 480 L ± 12 %, change_every: 8 h, lead: 20 min, least_change: 1 %, water: {salinity: 35, temperature: 26 C}, limits: {salinity_low: 31, salinity_high: 37, temperature_low: 23 C, temperature_high: 29 C}}]
stores:
  - {id: low, holds: saltwater, capacity: 192 L, volume: 96 L, salinity: 35, temperature: 14 C, mixed: 2026-11-20}
  - {id: wide, holds: saltwater, capacity: 720 L, volume: 144 L, salinity: 35.4, temperature: 17 C, mixed: 2026-11-20, transfer: 4000 L/h}
salts: [{id: house, on_hand: 19.2 kg, dose: 40 g/L}]
events:
  - {id: copper, system: reef, within: 48 h, contaminant: copper, start: 20 ug/L, target: 7 ug/L, reheats: yes}
  - {id: ammonia, system: reef, within: 24 h, contaminant: ammonia, start: 1 mg/L, target: 0.4 mg/L}
`)
	b.thorough = true
	a, ok := b.kind(of(ways, PurifierRate))
	if !ok || a.x > 7.5 {
		t.Fatalf("%+v", a)
	}
	for share, want := range map[float64]bool{1: true, proofStep: false} {
		p, q := b.with([]amount{{way: a.way, x: a.x * share}})
		if out, err := p.run(q, false); err != nil || out.Plans[0].InTime != want {
			t.Errorf("with %g L/h in time: %v", a.x*share, !want)
		}
	}
}
