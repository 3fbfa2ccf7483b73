package volumes

import (
	"math"
	"strings"
	"testing"

	"tidehold/refs/units"
	"tidehold/salinity/mixing"
)

// TestSmallAmountsCount: half a litre, half a milligram a litre, half a centimetre are amounts.
func TestSmallAmountsCount(t *testing.T) {
	half := units.Exact(0.5)
	// 0.5 L of fresh water for 0.5 L out of 10 L: 35·9.5/10 by volume, nearly.
	e, err := FromExchange(Exchange{RemovedL: half, AddedL: &half, Before: units.Exact(35), After: units.Exact(33.25), With: units.Exact(0), Temperature: 25, WithTemperature: 25})
	if err != nil || math.Abs(float64(e.Volume)-10) > 0.3 {
		t.Errorf("%+v, %v, want about 10 L", e, err)
	}
	// 100 mg in half a litre into 200 L at 0.5 mg/L: (200·0.5 + 100)/200.5.
	d := Dose{MassMg: units.Exact(100), BeforeMgL: half, AfterMgL: units.Exact((200*0.5 + 100) / 200.5), InL: half}
	if e, err := FromDose(d); err != nil || math.Abs(float64(e.Volume)-200) > 1e-9 {
		t.Errorf("%+v, %v, want 200 L", e, err)
	}
	// None before, and the dose dry: 100 mg make 0.5 mg/L in 200 L.
	d = Dose{MassMg: units.Exact(100), AfterMgL: half}
	if e, err := FromDose(d); err != nil || math.Abs(float64(e.Volume)-200) > 1e-9 {
		t.Errorf("%+v, %v, want 200 L", e, err)
	}
	if _, err := FromDose(Dose{AfterMgL: half}); err == nil || !strings.Contains(err.Error(), "more than 0") {
		t.Errorf("no dose: %v", err)
	}
	box, err := New("box", map[string]float64{"length": 50, "width": 40, "height": 30}, nil)
	if err != nil {
		t.Fatal(err)
	}
	if room, err := (Part{Shape: box, BrimCm: 0.5}).Room(); err != nil || math.Abs(float64(room)-1) > 1e-12 {
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
	if err != nil || math.Abs(float64(mix.Salinity)-34) > 1e-9 {
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
	if err != nil || len(c.Budget) != 2 || c.Budget[0].What != "dose" || math.Abs(c.Budget[0].U-160.0/17) > 1e-9 || math.Abs(c.Budget[1].U-40.0/17) > 1e-9 {
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
	if _, err := New("strapping", nil, []Point{{10, 5}, {maxLengthCm, maxVolumeL}}); err != nil {
		t.Error(err)
	}
	// A bow front whose wall leaves half a centimetre between the panes at the ends holds water.
	s, err := New("bow_front", map[string]float64{"length": 60, "width": 2.6, "bow": 10, "height": 30, "wall": 1}, nil)
	if err != nil || !(s.Full() > 0) {
		t.Errorf("%v", err)
	}
	box, _ := New("box", map[string]float64{"length": 100, "width": 10, "height": 10}, nil)
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
