package mixing

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"tidehold/refs/units"
)

// TestAVatAlreadyWarmEnough: 100 L of fresh water at 20 °C are 99.82 kg of 4182 J/(kg K)
// (the usual tables of water's properties), so that 100 W warm it by 0.862 K/h at first.
func TestAVatAlreadyWarmEnough(t *testing.T) {
	w, err := Warm(Heating{Water: Water{Volume: 100, Temperature: 20}, To: 20, Watts: 100})
	if err != nil || !w.Possible || *w.Hours != 0 {
		t.Fatalf("%+v, %v", w, err)
	}
	if want := 100 * 3600 / (99.82 * 4182.0); !(math.Abs(w.FirstKPerH/want-1) <= 2e-3) {
		t.Errorf("warms by %g K/h at first, want %g", w.FirstKPerH, want)
	}
}

// TestRoomsThatCanBe: a room counts only where something is lost to it, however little.
func TestRoomsThatCanBe(t *testing.T) {
	for _, c := range []struct {
		loss float64
		room units.Celsius
		ok   bool
	}{{0, 100, true}, {0.5, 100, false}, {0.5, 60, true}, {0.5, -60, true}, {0.5, 60.5, false}, {0.5, -60.5, false}} {
		_, err := Warm(Heating{Water: Water{Volume: 100, Temperature: 20}, To: 22, Watts: 100, LossWK: c.loss, Room: c.room})
		if (err == nil) != c.ok {
			t.Errorf("a loss of %g W/K to a room of %g °C: %v", c.loss, c.room, err)
		}
	}
}

// TestStepsAskedForAndLimitsLeftOut: what is asked for is done though a limit breaks, and said.
func TestStepsAskedForAndLimitsLeftOut(t *testing.T) {
	s := Shift{System: Water{Volume: 400, Salinity: 35, Temperature: 25}, To: 33, Change: 80, EveryH: 24}
	p, err := PlanShift(s)
	if err != nil || p.Fewest != 1 || len(p.Steps) != 1 || p.Water != 80 || !p.WithinLimits {
		t.Errorf("without limits: %+v, %v, want one step", p, err)
	}
	s.StepLimit = 0.5
	p, err = PlanShift(s)
	if err != nil || p.Fewest != 4 || p.Water != 4*80 || p.Binding != "per step" {
		t.Errorf("2 in steps of 0.5: %+v, %v, want four of 80 L", p, err)
	}
	s.StepLimit, s.DayLimit, s.EveryH = 0, 0.5, 12
	if p, err = PlanShift(s); err != nil || p.Fewest != 8 || p.Binding != "per day" {
		t.Errorf("two a day within 0.5 a day: %+v, %v, want eight", p, err)
	}
	s.Steps = 1
	if p, err = PlanShift(s); err != nil || len(p.Steps) != 1 || p.WithinLimits || p.Fewest != 8 || p.Water != 80 {
		t.Errorf("one step asked for: %+v, %v", p, err)
	}
	s.Steps = mostSteps
	if _, err := PlanShift(s); err != nil {
		t.Error(err)
	}
	s.Steps = mostSteps + 1
	if _, err := PlanShift(s); err == nil {
		t.Error("more steps than there may be")
	}
}

// TestAsManyStepsAsThereMayBe: the most is allowed, one more is not.
func TestAsManyStepsAsThereMayBe(t *testing.T) {
	s := Shift{System: Water{Volume: 400, Salinity: 35, Temperature: 25}, To: 34, Change: 80, EveryH: 24, StepLimit: 1.0 / mostSteps}
	if p, err := PlanShift(s); err != nil || p.Fewest != mostSteps {
		t.Errorf("%d steps, %v", p.Fewest, err)
	}
	s.StepLimit = 1.0 / (mostSteps + 0.5)
	var many *TooManyStepsError
	if _, err := PlanShift(s); !errors.As(err, &many) {
		t.Errorf("%v", err)
	}
}

// TestNewWaterNearlyFresh: half of 100 L at 35 is taken out for nearly fresh water. By
// weight: 50 kg × 1.0233 of 35.17 g/kg and 50 kg × 0.9972 of almost none make 17.8.
func TestNewWaterNearlyFresh(t *testing.T) {
	s := Shift{System: Water{Volume: 100, Salinity: 35, Temperature: 25}, To: 18, Change: 50, EveryH: 24}
	p, err := PlanShift(s)
	if err != nil || p.One == nil {
		t.Fatalf("%+v, %v", p, err)
	}
	fresh := p.Steps[0].New
	if !(fresh > 0 && fresh < 1) || !(math.Abs(float64(*p.One-fresh)) <= 1e-9) {
		t.Fatalf("new water of %g and of %g", fresh, *p.One)
	}
	if after := change(t, s.System, s.Change, fresh); !(math.Abs(float64(after.Salinity-18)) <= 1e-9) {
		t.Errorf("ends at %.12g", after.Salinity)
	}
	// Not even the saltiest water does it in one step.
	s.System.Salinity, s.To, s.Change, s.Steps = 30, 40, 10, 1
	if p, err := PlanShift(s); err == nil && p.One != nil {
		t.Errorf("10 %% of new water of %g brings 30 to 40", *p.One)
	}
}

// TestTwoWatersOfOneSalinity: all that there is is enough, a drop more is not.
func TestTwoWatersOfOneSalinity(t *testing.T) {
	a := Water{Volume: 60, Salinity: 35, Temperature: 20}
	b := Water{Volume: 40, Salinity: 35, Temperature: 20}
	for volume, enough := range map[units.Litres]bool{100: true, 99.999: true, 100.001: false} {
		p, err := Match(volume, 35, a, b)
		if err != nil || p.Enough != enough || !(math.Abs(float64(p.Most-100)) <= 1e-9) {
			t.Errorf("%g L of 100: %+v, %v", volume, p, err)
		}
	}
}

// TestNothingToCorrect: at the salinity wanted no salt and no water goes in.
func TestNothingToCorrect(t *testing.T) {
	dose := Dose{GPerL: 38.4, Per: Finished, Salinity: 35, Temperature: 25}
	vat := Water{Volume: 300, Salinity: 35, Temperature: 25}
	for _, m := range []Means{{Dose: &dose, Source: 20}, {Dose: &dose, Source: 20, Fill: 200}, {Dose: &dose, Source: 20, Fill: 300, Brim: 300}} {
		c, err := Correct(vat, 35, m)
		if err != nil || c.AddSaltKg > 1e-9 || c.AddWater > 1e-9 {
			t.Errorf("%+v: %+v, %v, want nothing added", m, c, err)
		}
		want := max(m.Fill, 0)
		if want == 0 {
			want = 300
		}
		if !(math.Abs(float64(c.Volume-want)) <= 1e-9) {
			t.Errorf("%+v: ends with %g L, want %g", m, c.Volume, want)
		}
	}
}

// TestALittleWaterBesideTheSalt: where there is room for half a litre more than the salt
// takes, all of the vat is kept.
func TestALittleWaterBesideTheSalt(t *testing.T) {
	dose := Dose{GPerL: 38.4, Per: Finished, Salinity: 35, Temperature: 25}
	vat := Water{Volume: 100, Salinity: 33, Temperature: 25}
	salted, err := Correct(vat, 35, Means{Dose: &dose, Source: 25})
	if err != nil {
		t.Fatal(err)
	}
	c, err := Correct(vat, 35, Means{Dose: &dose, Source: 25, Fill: salted.Volume + 0.5})
	if err != nil || c.Remove != 0 || !(c.AddWater > 0.4 && c.AddWater < 0.5) || !(c.AddSaltKg > salted.AddSaltKg) {
		t.Errorf("%+v, %v, want about half a litre of water and nothing removed", c, err)
	}
}

// TestBagsThatCanBeCounted: up to a million.
func TestBagsThatCanBeCounted(t *testing.T) {
	if b, err := BillFor(1e6, 1, nil); err != nil || *b.Bags != 1_000_000 {
		t.Errorf("%+v, %v", b, err)
	}
	if _, err := BillFor(1.005e6, 1, nil); err == nil {
		t.Error("more than a million bags are counted")
	}
}

// TestLossOfACoolingTest: half an hour will do; a fall to the room itself or none tells nothing.
func TestLossOfACoolingTest(t *testing.T) {
	b := Body{CapacityJK: 1.6e6, LossWK: 18, RoomC: 18}
	if loss, ok := b.LossFrom(25, b.Course(25).At(0.5), 0.5); !ok || !(math.Abs(loss-18) <= 1e-6) {
		t.Errorf("half an hour: %g, %v", loss, ok)
	}
	for _, c := range []struct{ from, to, hours float64 }{{25, 18, 3}, {25, 25, 3}, {25, 24, 0}, {25, 26, 3}} {
		if loss, ok := b.LossFrom(c.from, c.to, c.hours); ok {
			t.Errorf("%+v: a loss of %g W/K", c, loss)
		}
	}
}

// TestTheLeastShareOfSaltIsThatOfHydrates: the least share of salt, from the composition of
// reference seawater (Millero et al. 2008, table 4, grams per 35.165 g of salt) and atomic
// weights: all magnesium sulfate with seven waters, the rest of the magnesium
// chloride with six, the calcium chloride with two.
func TestTheLeastShareOfSaltIsThatOfHydrates(t *testing.T) {
	const salt, magnesium, calcium, sulfate = 35.165, 1.28372 / 24.305, 0.41208 / 40.078, 2.71235 / 96.0626
	water := 18.0153 * (7*sulfate + 6*(magnesium-sulfate) + 2*calcium)
	if got := math.Round(100*salt/(salt+water)) / 100; got != LeastDryFraction {
		t.Errorf("%g, and LeastDryFraction is %g", got, float64(LeastDryFraction))
	}
}

// TestWhatTheLabelMeans: a dose without salinity and temperature is for 35 at 25 °C.
func TestWhatTheLabelMeans(t *testing.T) {
	if LabelSalinity != 35 || LabelTemperature != 25 {
		t.Errorf("%v at %v", LabelSalinity, LabelTemperature)
	}
}

// TestWhatCanBeWritten: bounds of a written water.
func TestWhatCanBeWritten(t *testing.T) {
	for text, ok := range map[string]bool{
		"1000000000L,35,25C": true, "1005000000L,35,25C": false, "1L,42,40C": true, "1L,42.1,25C": false, "1L,35,40.1C": false,
		"1L,35,25C,copper=1000000000ug/L": true, "1L,35,25C,copper=1005000000ug/L": false, "1L,35,25C,copper=0.5ug/L": true, "1L,35,25C,copper=0ug/L": true,
	} {
		if _, err := ParseWater(text); (err == nil) != ok {
			t.Errorf("%s: %v", text, err)
		}
	}
	if got := short(12345678); got != "12345700" {
		t.Errorf("%q in a message", got)
	}
}

// TestBlendsAtTheEndOfTheRange: waters of the saltiest and the warmest that there is have a
// blend, whatever rounding does in the last bit.
func TestBlendsAtTheEndOfTheRange(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 5))
	for range 2000 {
		s := units.Practical(42 * float64(r.IntN(2)))
		if r.IntN(2) == 0 {
			s = units.Practical(42 * r.Float64())
		}
		a, b, c := units.Litres(r.Float64()*100), units.Litres(r.Float64()), units.Litres(r.Float64()*1e4)
		for _, temp := range []units.Celsius{40, 0, 25} {
			mix, err := Blend(Water{Volume: a, Salinity: s, Temperature: temp}, Water{Volume: b, Salinity: s, Temperature: temp}, Water{Volume: c, Salinity: s, Temperature: temp})
			if err != nil || !(math.Abs(float64(mix.Salinity-s)) <= 1e-12) || mix.Salinity > 42 || !(math.Abs(float64(mix.Temperature-temp)) <= 1e-9) {
				t.Fatalf("%g, %g and %g L of %g at %g °C: %+v, %v", a, b, c, s, temp, mix, err)
			}
		}
	}
}

// TestShareOfTheAmmoniaChange: fresh water that makes up the whole by rounding, too much of it,
// none, and a little of a high pH.
func TestShareOfTheAmmoniaChange(t *testing.T) {
	now := Ammoniacal{buffered(640, 35, 25, 7.9, 2.5), 1}
	fresh := func(l, pH float64) Ammoniacal { return Ammoniacal{buffered(l, 35, 25, pH, 2.5), 0} }
	if c, err := ChangeAmmonia(now, fresh(640+3e-10, 8.2)); err != nil || c.Rises {
		t.Errorf("all of it, within rounding: %+v, %v", c, err)
	}
	var bad *InputError
	if _, err := ChangeAmmonia(now, fresh(400, 8.2), fresh(300, 8.2)); !errors.As(err, &bad) || bad.Found != "700 L" || bad.Allowed != "at most the 640 L of the system" {
		t.Errorf("700 L of 640: %v", err)
	}
	none, err := ChangeAmmonia(now, fresh(0, 9))
	if err != nil || none.Rises || none.Worst.NH3 != none.Now.NH3 {
		t.Errorf("nothing is changed: %+v, %v", none, err)
	}
	little, err := ChangeAmmonia(now, fresh(0.5, 9))
	if err != nil || !(little.Worst.NH3 > 5*little.Now.NH3) {
		t.Errorf("half a litre of pH 9 is the worst that a pH can come to: %+v, %v", little, err)
	}
	// Outside the carbonate constants (below 2 °C) the highest pH stands in, of what is there.
	pH, outside, err := BlendPHOrHighest(buffered(100, 35, 1, 7.9, 2.5), buffered(0.5, 35, 1, 8.4, 2.5), buffered(0, 35, 1, 9, 2.5))
	if err != nil || outside == nil || outside.Argument != "temperature" || pH != 8.4 {
		t.Errorf("pH %g, %v, %v", pH, outside, err)
	}
}

// TestNothingIsNeededToHoldTheRoomsTemperature, or a lower one; above it what is lost is.
func TestNothingIsNeededToHoldTheRoomsTemperature(t *testing.T) {
	for to, watts := range map[units.Celsius]float64{21: 0, 22: 0, 24: 20} {
		w, err := Warm(Heating{Water: Water{Volume: 100, Salinity: 35, Temperature: 20}, To: to, Watts: 300, LossWK: 10, Room: 22})
		if err != nil || w.HoldW != watts {
			t.Errorf("%g °C in a room of 22 °C: %g W, want %g (%v)", float64(to), w.HoldW, watts, err)
		}
	}
}

// TestABodyThatWarmsByOneDegree gets there, and one that warms by nothing stays.
func TestABodyThatWarmsByOneDegree(t *testing.T) {
	for _, gain := range []float64{0, 0.5, 1, 2} {
		c := Body{CapacityJK: 36000, LossWK: 10, InputW: 10 * gain, RoomC: 25}.Course(25)
		// The time constant is 36000 J/K by 10 W/K, an hour.
		for hours, left := range map[float64]float64{0: 1, 1: math.Exp(-1), 100: 0} {
			if got, want := c.At(hours), 25+gain*(1-left); !(math.Abs(got-want) <= 1e-12*25) {
				t.Errorf("by %g °C: %g °C after %g h, want %g", gain, got, hours, want)
			}
		}
	}
}

// TestACupIsFilled: half a litre is wanted of a third of a litre.
func TestACupIsFilled(t *testing.T) {
	d := Dose{GPerL: 38.4, Per: Finished, Salinity: 35, Temperature: 25}
	c, err := Correct(Water{Volume: 0.3, Salinity: 35, Temperature: 25}, 35, Means{Dose: &d, Source: 25, Brim: 0.8, Fill: 0.5})
	if err != nil || !(math.Abs(float64(c.Volume)-0.5) <= 1e-9) {
		t.Errorf("%+v, %v", c, err)
	}
}
