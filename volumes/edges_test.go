package volumes

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"tidehold/refs/units"
	"tidehold/salinity/mixing"
)

// TestSmallAmountsCount: half a litre, half a milligram a litre, half a centimetre are amounts.
func TestSmallAmountsCount(t *testing.T) {
	half := units.Exact(0.5)
	// 0.5 L of fresh water for 0.5 L out of 10 L: 35·9.5/10 by volume, nearly.
	e, err := FromExchange(Exchange{RemovedL: half, AddedL: &half, Before: units.Exact(35), After: units.Exact(33.25), With: units.Exact(0), Temperature: 25, WithTemperature: 25})
	if err != nil || !(math.Abs(float64(e.Volume)-10) <= 0.3) {
		t.Errorf("%+v, %v, want about 10 L", e, err)
	}
	// 100 mg in half a litre into 200 L at 0.5 mg/L: (200·0.5 + 100)/200.5.
	d := Dose{MassMg: units.Exact(100), BeforeMgL: half, AfterMgL: units.Exact((200*0.5 + 100) / 200.5), InL: half}
	if e, err := FromDose(d); err != nil || !(math.Abs(float64(e.Volume)-200) <= 1e-9) {
		t.Errorf("%+v, %v, want 200 L", e, err)
	}
	// None before, and the dose dry: 100 mg make 0.5 mg/L in 200 L.
	d = Dose{MassMg: units.Exact(100), AfterMgL: half}
	if e, err := FromDose(d); err != nil || !(math.Abs(float64(e.Volume)-200) <= 1e-9) {
		t.Errorf("%+v, %v, want 200 L", e, err)
	}
	// Half a milligram, and half a kilogram: 500 g of dry salt take 100 L of 1.0233 kg/L (102.3 kg, 35.2 g/kg
	// of it salt, as [mfwm2008] has it of salinity 35) to (3.6 + 0.5) kg of 102.8 kg, salinity 39.7.
	d = Dose{MassMg: half, AfterMgL: half}
	if e, err := FromDose(d); err != nil || !(math.Abs(float64(e.Volume)-1) <= 1e-12) {
		t.Errorf("%+v, %v, want 1 L", e, err)
	}
	if e, err := FromSalt(SaltDose{MassKg: half, DryFraction: 1, Before: units.Exact(35), After: units.Exact(39.68), Temperature: 25}); err != nil || !(math.Abs(float64(e.Volume)-100) <= 1) {
		t.Errorf("%+v, %v, want about 100 L", e, err)
	}
	if _, err := FromSalt(SaltDose{MassKg: half, Before: units.Exact(34), After: units.Exact(35), Temperature: 25}); err == nil || !strings.Contains(err.Error(), "dry fraction of the salt is 0; above 0 to 1") {
		t.Errorf("salt that is none: %v", err)
	}
	if _, err := FromDose(Dose{AfterMgL: half}); err == nil || !strings.Contains(err.Error(), "more than 0") {
		t.Errorf("no dose: %v", err)
	}
	box, err := New("box", map[string]float64{"length": 50, "width": 40, "height": 30}, nil)
	if err != nil {
		t.Fatal(err)
	}
	if room, err := (Part{Shape: box, BrimCm: 0.5}).Room(); err != nil || !(math.Abs(float64(room)-1) <= 1e-12) {
		t.Errorf("room of half a centimetre of 50 × 40 cm: %v L, %v, want 1 L", room, err)
	}
}

// TestTheLargestExchangeIntoSaltyWater: the exchange that is named makes a step of just the
// limit with water that has salt in it too.
func TestTheLargestExchangeIntoSaltyWater(t *testing.T) {
	x := Exchange{RemovedL: units.Exact(200), Before: units.Exact(35), After: units.Exact(33), With: units.Exact(30), Temperature: 25, WithTemperature: 20}
	c, over := x.Caution(1, 500)
	if !over || c.Step != 2 {
		t.Fatalf("%+v, %v", c, over)
	}
	mix, err := mixing.Blend(mixing.Water{Volume: 500 - c.Largest, Salinity: 35, Temperature: 25}, mixing.Water{Volume: c.Largest, Salinity: 30, Temperature: 20})
	if err != nil || !(math.Abs(float64(mix.Salinity)-34) <= 1e-9) {
		t.Errorf("%g L bring it to %v, %v, want 34", c.Largest, mix.Salinity, err)
	}
}

// TestOfTwoEquallyGoodEstimatesNeitherIsBetter, and a combination lists the weightiest first.
func TestOfTwoEquallyGoodEstimatesNeitherIsBetter(t *testing.T) {
	a, b := Estimate{Method: "walls", Volume: 640, U: 20}, Estimate{Method: "dose", Volume: 630, U: 20}
	if a.Against(b).Better || b.Against(a).Better {
		t.Error("one of two with 20 L each is better")
	}
	// Weights 1/U²: of 40 and 10 they are 1/17 and 16/17, which contribute 40/17 and 160/17 L.
	c, err := Combine([]Estimate{{Method: "walls", Volume: 640, U: 40}, {Method: "dose", Volume: 640, U: 10}})
	if err != nil || len(c.Budget) != 2 || c.Budget[0].What != "dose" || !(math.Abs(c.Budget[0].U-160.0/17) <= 1e-9) || !(math.Abs(c.Budget[1].U-40.0/17) <= 1e-9) {
		t.Errorf("%+v, %v", c.Budget, err)
	}
}

// TestTheEndsOfWhatIsAllowed: the least and the most belong to it.
func TestTheEndsOfWhatIsAllowed(t *testing.T) {
	polygon := func(sides float64) error {
		_, err := New("polygon", map[string]float64{"sides": sides, "side": 10, "height": 30}, nil)
		return err
	}
	for sides, ok := range map[float64]bool{2: false, 3: true, 3.5: false, maxSides: true, maxSides + 1: false} {
		if (polygon(sides) == nil) != ok {
			t.Errorf("%g sides: %v", sides, polygon(sides))
		}
	}
	for length, ok := range map[float64]bool{minLengthCm: true, minLengthCm * 0.99: false, maxLengthCm: true, maxLengthCm * 1.01: false} {
		if _, err := New("box", map[string]float64{"length": length, "width": 10, "height": 10}, nil); (err == nil) != ok {
			t.Errorf("a box %g cm long: %v", length, err)
		}
	}
	for litres, ok := range map[units.Litres]bool{1e9: true, 1.005e9: false} {
		if _, err := New("strapping", nil, []Point{{10, 5}, {maxLengthCm, litres}}); (err == nil) != ok {
			t.Errorf("a table up to %g L: %v", float64(litres), err)
		}
	}
	// A bow front whose wall leaves half a centimetre between the panes at the ends holds water.
	s, err := New("bow_front", map[string]float64{"length": 60, "width": 2.6, "bow": 10, "height": 30, "wall": 1}, nil)
	if err != nil || !(s.Full() > 0) {
		t.Errorf("%v", err)
	}
	box, _ := New("box", map[string]float64{"length": 100, "width": 10, "height": 10}, nil)
	tall, _ := New("box", map[string]float64{"length": 100, "width": 10, "height": maxChartRows / 128.0}, nil)
	if _, err := Chart(tall, 1/128.0, 0, 0); err != nil {
		t.Errorf("as many rows as there may be: %v", err)
	}
	if rows, err := Chart(box, 5, box.Full(), 0); err != nil || rows[len(rows)-1].Usable != 0 {
		t.Errorf("a heel up to the brim: %+v, %v", rows, err)
	}
}

// TestFaultsNameWhatWasGiven: in percent, as it was written.
func TestFaultsNameWhatWasGiven(t *testing.T) {
	box, _ := New("box", map[string]float64{"length": 100, "width": 40, "height": 50}, nil)
	part := Part{ID: "tank", Shape: box, LevelCm: units.Exact(40), Displaced: Displaced{RockMassKg: units.Exact(10), RockDensity: units.Exact(2), RockPorosity: units.Exact(1.2)}}
	if _, err := NetVolume([]Part{part}); err == nil || !strings.Contains(err.Error(), "rock porosity is 120 %") {
		t.Errorf("%v", err)
	}
	// A mix that is half water of crystallisation cannot make water saltier than itself.
	_, err := FromSalt(SaltDose{MassKg: units.Exact(1), DryFraction: 0.03, Before: units.Exact(34), After: units.Exact(35), Temperature: 25})
	if err == nil || !strings.Contains(err.Error(), "a salt mix that is 3 % salt cannot bring water to salinity 35") {
		t.Errorf("%v", err)
	}
}

// TestChartOfSmallSteps: half a centimetre, half a litre at the bottom, two thousand rows, in order.
func TestChartOfSmallSteps(t *testing.T) {
	box, _ := New("box", map[string]float64{"length": 100, "width": 10, "height": 100}, nil)
	rows, err := Chart(box, 0.5, 0.5, 3)
	if err != nil {
		t.Fatal(err)
	}
	got := ""
	for i, r := range rows {
		if i > 0 && !(r.LevelCm > rows[i-1].LevelCm) {
			t.Errorf("%g cm after %g", r.LevelCm, rows[i-1].LevelCm)
		}
		if !(math.Abs(float64(r.Volume)-r.LevelCm) <= 1e-9) || !(math.Abs(float64(r.Usable)-max(0, r.LevelCm-0.5)) <= 1e-9) { // a litre a centimetre
			t.Errorf("%+v", r)
		}
		got += string(r.Mark)
	}
	if got != "heelbrim" || len(rows) != 7 {
		t.Errorf("%d rows, marks %q", len(rows), got)
	}
	for step, ok := range map[float64]bool{0.05: true, 0.0499: false, 0: false, -1: false, 100: true} {
		if _, err := Chart(box, step, 0, 0); (err == nil) != ok {
			t.Errorf("steps of %g cm: %v", step, err)
		}
	}
}

// TestBoundsByHand: grains as dense as aragonite and a little more, all of a mix salt, a bow of
// half the length, estimates just apart, a small ratio.
func TestBoundsByHand(t *testing.T) {
	box, _ := New("box", map[string]float64{"length": 100, "width": 40, "height": 50}, nil)
	rock := func(density float64) error {
		_, err := NetVolume([]Part{{ID: "tank", Shape: box, LevelCm: units.Exact(40), Displaced: Displaced{RockMassKg: units.Exact(10), RockDensity: units.Exact(density), RockPorosity: units.Exact(0.5)}}})
		return err
	}
	if err := rock(1.5); err != nil {
		t.Error(err)
	}
	if err := rock(1.51); err == nil || !strings.Contains(err.Error(), "porosity 50 % would have grains of 3.02 kg/L") {
		t.Error(err)
	}
	if _, err := FromSalt(SaltDose{MassKg: units.Exact(1), DryFraction: 1, Before: units.Exact(34), After: units.Exact(35), Temperature: 25}); err != nil {
		t.Error(err)
	}
	for bow, ok := range map[float64]bool{25: true, 30: true, 30.1: false} {
		if _, err := New("bow_front", map[string]float64{"length": 60, "width": 40, "bow": bow, "height": 30}, nil); (err == nil) != ok {
			t.Errorf("a bow of %g in 60 cm: %v", bow, err)
		}
	}
	walls := Estimate{Volume: 600, U: 40}
	for volume, agree := range map[units.Litres]bool{650: true, 649: true, 651: false, 680: false} { // U 40 and 30: 50 together
		if c := (Estimate{Volume: volume, U: 30}).Against(walls); c.Agree != agree {
			t.Errorf("%g ± 30 beside 600 ± 40: %+v", volume, c)
		}
	}
	// 60 L for fresh water leave a third of the salt of 90 L.
	e, err := FromExchange(Exchange{RemovedL: units.Exact(60), Before: units.Exact(35), After: units.Exact(35.0 / 3), With: units.Exact(0), Temperature: 25, WithTemperature: 25})
	if err != nil || !(math.Abs(float64(e.Volume)-90) <= 1) {
		t.Errorf("%+v, %v, want about 90 L", e, err)
	}
	// Reading to the nearest half: 0.25/√3, twice [gum].
	if got := math.Round(2*0.25/math.Sqrt(3)*100) / 100; got != ScaleReading {
		t.Errorf("%g, and ScaleReading is %g", got, float64(ScaleReading))
	}
	// A hand refractometer may be off by 1 of salinity [instrument-accuracy].
	if SharedOffset != 1 {
		t.Errorf("%g", float64(SharedOffset))
	}
	// Where the density of the water poured is not known no exchange is named.
	x := Exchange{RemovedL: units.Exact(10), Before: units.Exact(35), After: units.Exact(36), With: units.Exact(60), Temperature: 25, WithTemperature: 25}
	if c, over := x.Caution(0.5, 400); !over || c.Largest != 0 || c.Step != 1 {
		t.Errorf("%+v, %v", c, over)
	}
	// Half a centimetre of radius is room.
	for kind, values := range map[string]map[string]float64{
		"tapered_round": {"bottom_diameter": 3, "top_diameter": 30, "height": 30, "wall": 1}, "tapered_rect": {"bottom_length": 3, "bottom_width": 3, "top_length": 30, "top_width": 30, "height": 30, "wall": 1},
	} {
		if s, err := New(kind, values, nil); err != nil || !(s.Full() > 0) {
			t.Errorf("%s: %v", kind, err)
		}
	}
}

// TestTablesMadeWithABucket: levels in the first stretch, and faults by the number of the point.
func TestTablesMadeWithABucket(t *testing.T) {
	s, err := New("strapping", nil, []Point{{10, 5}, {20, 30}})
	if err != nil {
		t.Fatal(err)
	}
	for volume, level := range map[units.Litres]float64{0: 0, 2: 4, 5: 10, 17.5: 15, 30: 20} {
		if got, err := s.LevelOf(volume); err != nil || !(math.Abs(got-level) <= 1e-12) {
			t.Errorf("%g L at %g cm, %v, want %g", volume, got, err, level)
		}
		if got, err := s.VolumeAt(level); err != nil || !(math.Abs(float64(got-volume)) <= 1e-12) {
			t.Errorf("%g cm: %g L, %v", level, got, err)
		}
	}
	for want, table := range map[string][]Point{"point 2 (-1 cm": {{10, 5}, {-1, 30}}, "at point 2: 20 cm 4 L after 10 cm 5 L": {{10, 5}, {20, 4}}, "at point 2: 0 cm": {{0, 5}, {0, 6}}, "point 1 (NaN cm": {{math.NaN(), 5}, {20, 30}}} {
		if _, err := New("strapping", nil, table); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v: %v, want %q", table, err, want)
		}
	}
	_, err = FromDose(Dose{MassMg: units.Exact(1), BeforeMgL: units.Exact(3), AfterMgL: units.Exact(2)})
	if err == nil || !strings.Contains(err.Error(), "concentration after (2 mg/L) does not exceed that before (3 mg/L)") {
		t.Error(err)
	}
	// The same fault is named every time, whatever order a map has.
	first := ""
	for range 30 {
		_, err := New("box", map[string]float64{"length": 10, "width": 10, "height": 10, "zeal": 1, "bow": 1, "wit": 1}, nil)
		if first == "" {
			first = err.Error()
		}
		if err.Error() != first {
			t.Fatalf("%v, before %s", err, first)
		}
	}
}

// TestADoseThatSaysNothingOfTheTank: 1 mg in a litre and 1 mg/L after it leave no tank, and
// equal readings before and after none that is known; half a litre and a rise of half a
// milligram a litre are amounts.
func TestADoseThatSaysNothingOfTheTank(t *testing.T) {
	one := units.Exact(1)
	for name, d := range map[string]Dose{
		"as strong as the dose": {MassMg: one, AfterMgL: one, InL: one},
		"no rise":               {MassMg: one, BeforeMgL: one, AfterMgL: one},
		"no rise, all of it":    {MassMg: one, BeforeMgL: one, AfterMgL: one, InL: one},
	} {
		if e, err := FromDose(d); err == nil || !strings.Contains(err.Error(), "does not exceed") {
			t.Errorf("%s: %+v, %v", name, e, err)
		}
	}
	// 1 mg makes 2 mg/L of half a litre, and 0.5 mg/L more of two litres that had 3.
	for want, d := range map[float64]Dose{0.5: {MassMg: one, AfterMgL: units.Exact(2)}, 2: {MassMg: one, BeforeMgL: units.Exact(3), AfterMgL: units.Exact(3.5)}} {
		if e, err := FromDose(d); err != nil || !(math.Abs(float64(e.Volume)-want) <= 1e-9) {
			t.Errorf("%+v, %v, want %g L", e, err, want)
		}
	}
}

// TestASmallCrystalOfRock: half a kilogram of rock and half a litre of what else there is count.
func TestASmallCrystalOfRock(t *testing.T) {
	box, err := New("box", map[string]float64{"length": 100, "width": 40, "height": 50}, nil)
	if err != nil {
		t.Fatal(err)
	}
	bare, err := NetVolume([]Part{{ID: "tank", Shape: box, LevelCm: units.Exact(40)}})
	if err != nil {
		t.Fatal(err)
	}
	half := units.Exact(0.5)
	// 0.5 kg of 2 kg/L are 0.25 L.
	net, err := NetVolume([]Part{{ID: "tank", Shape: box, LevelCm: units.Exact(40), Displaced: Displaced{RockMassKg: half, RockDensity: units.Exact(2), OtherL: half}}})
	if err != nil || !(math.Abs(float64(bare.Volume-net.Volume)-0.75) <= 1e-9) {
		t.Errorf("%v, %v L less, want 0.75", err, bare.Volume-net.Volume)
	}
}

// TestAChartSaysWhichStepsItHas: of a vat 100 cm high 2000 rows are 0.05 cm each.
func TestAChartSaysWhichStepsItHas(t *testing.T) {
	box, err := New("box", map[string]float64{"length": 50, "width": 40, "height": 100}, nil)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Chart(box, 0.01, 0, 0); err == nil || !strings.Contains(err.Error(), "0.05 to 100 cm is allowed") {
		t.Error(err)
	}
}

// TestABowFrontOfWallsAlone: by 3, 4 and 5 the outer arc has a radius of 5 cm, the inner one of
// 2.5 cm, and the panes meet at the ends: nothing is left of the width, and no box.
func TestABowFrontOfWallsAlone(t *testing.T) {
	values := map[string]float64{"length": 8, "width": 3.5, "bow": 2, "height": 30, "wall": 2.5}
	if _, err := New("bow_front", values, nil); err == nil || !strings.Contains(err.Error(), "no room inside a width of 3.5 cm") {
		t.Error(err)
	}
	values["width"] = 3.6
	if _, err := New("bow_front", values, nil); err != nil {
		t.Error(err)
	}
}

// TestNoRoomAtTheBrim: full to the brim a part takes nothing more, and a millimetre below it 0.2 L.
func TestNoRoomAtTheBrim(t *testing.T) {
	box, err := New("box", map[string]float64{"length": 50, "width": 40, "height": 30}, nil)
	if err != nil {
		t.Fatal(err)
	}
	for level, want := range map[float64]float64{30: 0, 29.9: 0.2, 20: 20} {
		room, err := Part{ID: "tank", Shape: box, LevelCm: units.Exact(level)}.Room()
		if err != nil || !(math.Abs(float64(room)-want) <= 1e-9) {
			t.Errorf("at %g cm %v, %v, want %g L", level, room, err, want)
		}
	}
}

// TestNoLengthIsSpecial: a vessel of which every length is a 64th holds a 64th of a 64th of a 64th, and
// there is room in it where there is room in the large one.
func TestNoLengthIsSpecial(t *testing.T) {
	const less = 64
	rapid.Check(t, func(t *rapid.T) {
		ofEveryKind(t, func(k KindSpec, large map[string]float64) {
			small := map[string]float64{}
			for name, x := range large {
				if x > 0 {
					x = max(x, less*minLengthCm)
				}
				if large[name], small[name] = x, x; name != "sides" {
					small[name] /= less
				}
			}
			a, errA := New(k.Name, large, nil)
			b, errB := New(k.Name, small, nil)
			if (errA == nil) != (errB == nil) {
				t.Fatalf("%s %v: %v, and of a 64th %v", k.Name, large, errA, errB)
			}
			if errA != nil {
				return // no room inside
			}
			level := rapid.Float64Range(0.1, 1).Draw(t, "share of height")
			va, errA := a.VolumeAt(level * a.HeightCm())
			vb, errB := b.VolumeAt(level * b.HeightCm())
			if errA != nil || errB != nil || !(math.Abs(float64(vb)*less*less*less-float64(va)) <= 1e-9*float64(a.Full())) {
				t.Fatalf("%s %v at %g of the height: %v L and %v L (%v, %v)", k.Name, large, level, va, vb, errA, errB)
			}
		})
	})
}

// TestAFrontThatIsHalfACircle: bow and half the length are 30 cm. Inside a wall of 1 cm there are a
// rectangle of 58 by 39 cm and half a disc of 29 cm, 29 cm high.
func TestAFrontThatIsHalfACircle(t *testing.T) {
	s, err := New("bow_front", map[string]float64{"length": 60, "width": 40, "bow": 30, "height": 30, "wall": 1}, nil)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "litres", float64(s.Full()), (58*39+math.Pi/2*29*29)*29/1000, 1e-9)
}

// TestLittleSandAndALittleRock: a centimetre of sand displaces what a hundredth of a metre does, and
// rock of less than a kilogram or lighter than water is rock.
func TestLittleSandAndALittleRock(t *testing.T) {
	for depth, want := range map[float64]float64{0: 0, 0.5: 1.5, 1: 3, 2: 6} { // 100 by 50 cm, 60 % of it grains
		sand, err := Displaced{SandDepthCm: units.Exact(depth), SandPorosity: units.Exact(0.4)}.SandL(box(t, 100, 50, 40))
		if err != nil {
			t.Fatal(err)
		}
		near(t, fmt.Sprintf("%g cm of sand", depth), sand, want, 1e-9)
	}
	for _, kg := range []float64{0.5, 1, 2} {
		for _, density := range []float64{0.5, 1, 2} {
			d := Displaced{RockMassKg: units.Exact(kg), RockDensity: units.Exact(density)}
			if err := d.check(); err != nil {
				t.Errorf("%g kg of %g kg/L: %v", kg, density, err)
			}
			near(t, fmt.Sprintf("%g kg of %g kg/L", kg, density), d.RockL(), kg/density, 1e-12)
		}
	}
	if err := (Displaced{RockMassKg: units.Exact(1)}).check(); err == nil {
		t.Error("rock without a density passes")
	}
}

// TestACombinationIsAsSureAsItsWorstPart: one estimate that is not to be relied on makes the whole so.
func TestACombinationIsAsSureAsItsWorstPart(t *testing.T) {
	sure, not := Estimate{Method: "walls", Volume: 640, U: 40}, Estimate{Method: "dose", Volume: 640, U: 10, Unreliable: true}
	for _, c := range []struct {
		in   []Estimate
		want bool
	}{{[]Estimate{sure, sure}, false}, {[]Estimate{sure, not}, true}, {[]Estimate{not, sure}, true}, {[]Estimate{not, not}, true}} {
		if got, err := Combine(c.in); err != nil || got.Unreliable != c.want {
			t.Errorf("%+v: %+v, %v", c.in, got, err)
		}
	}
	// Two without an uncertainty agree where they are the same, either way round.
	for volume, agree := range map[units.Litres]bool{639: false, 640: true, 641: false} {
		if c := (Estimate{Volume: volume}).Against(Estimate{Volume: 640}); c.Agree != agree || c.En != 0 {
			t.Errorf("%v beside 640: %+v", volume, c)
		}
	}
}

// TestTheTipOfASegment: x − sin x by its series, x³/6·(1 − x²/20·(1 − x²/42)), which a difference of two numbers
// of ten digits in common is not; and by the difference where there is nothing to lose.
func TestTheTipOfASegment(t *testing.T) {
	for _, x := range []float64{1e-6, 1e-4, 1e-3, 0.02} {
		near(t, fmt.Sprintf("x − sin x of %g", x), minusSin(x)/(x*x*x/6*(1-x*x/20*(1-x*x/42))), 1, 1e-12)
	}
	for _, x := range []float64{1, 2, 3, 6} {
		near(t, fmt.Sprintf("x − sin x of %g", x), minusSin(x), x-math.Sin(x), 1e-14)
	}
}
