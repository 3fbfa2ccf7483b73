package schedule

import (
	"math"
	"testing"

	"tidehold/volumes/site"
)

// TestLeadPutsOffTheFirstChange: people and power come first; the interval counts from
// the first change.
func TestLeadPutsOffTheFirstChange(t *testing.T) {
	s := placeOf(reef(400), vatOf("vat", 380, 400))
	s.Systems[0].LeadH = 0.75
	s.Events = []site.Event{{ID: "half", System: "reef", Remove: ptr(0.6), WithinH: 24}}
	list, err := Demands(s)
	if err != nil {
		t.Fatal(err)
	}
	out, err := Run(s, noon, list, Options{})
	if err != nil {
		t.Fatal(err)
	}
	steps := out.Plans[0].Steps
	if len(steps) != 2 || !(math.Abs(steps[0].AtH-0.75) <= 1e-9) || !(math.Abs(steps[1].AtH-4.75) <= 1e-9) {
		t.Errorf("changes start at %+v; 0.75 h and 4.75 h are due", steps)
	}
}

// TestNothingStartsWhilePeopleSleep: from noon, awake 07:00 to 20:00, a change every
// 6 h. 12:00 and 18:00 are made, midnight waits for 07:00, 19 h after noon.
func TestNothingStartsWhilePeopleSleep(t *testing.T) {
	s := placeOf(reef(400), vatOf("vat", 700, 800))
	s.Systems[0].ChangeEveryH = 6
	s.Awake = &site.Awake{FromH: 7, ToH: 20}
	p := planned(t, s, Options{}, true, share(0.8, 72))
	var at []float64
	for _, x := range p.Steps {
		at = append(at, x.AtH)
		if clock := math.Mod(12+x.AtH, 24); x.AtH > site.AlwaysAwakeH && (clock < 7-1e-6 || clock > 20+1e-6) {
			t.Errorf("a change starts at %.2f h, %.2f o'clock", x.AtH, clock)
		}
	}
	if len(at) != 3 || !(math.Abs(at[2]-19) <= 1e-6) {
		t.Errorf("changes start at %v; 0, 6 and 19 h are due", at)
	}
}

// TestTheFirstHoursAreAlwaysAwake: whoever discovers it at 03:00 does not sleep first.
func TestTheFirstHoursAreAlwaysAwake(t *testing.T) {
	a := awake{clockH: 3, hours: site.Awake{FromH: 7, ToH: 20}, alwaysUntilH: site.AlwaysAwakeH}
	for h, want := range map[float64]float64{0: 0, 3.9: 3.9, 5: 5, 17: 17, 17.5: 28, 27.9: 28} {
		if got := a.next(h); !(math.Abs(got-want) <= 1e-6) {
			t.Errorf("next(%g) = %g, want %g", h, got, want)
		}
	}
}

// TestPurifiedWaterIsDelivered: salt is there and no water to dissolve it in until 5 h.
func TestPurifiedWaterIsDelivered(t *testing.T) {
	s := placeOf(reef(400), vatOf("vat", 0, 300))
	s.Salts = []site.Salt{houseSalt(20)}
	if p := planned(t, s, Options{}, true, share(0.4, 24)); p.DoneAtH != nil {
		t.Errorf("done at %v without water", *p.DoneAtH)
	}
	s.Deliveries = []site.Delivery{{AfterH: 5, Purified: 250}}
	p := planned(t, s, Options{}, true, share(0.4, 24))
	if p.DoneAtH == nil || *p.DoneAtH < 5+2 || p.PurifiedL > 250 {
		t.Errorf("%+v", p)
	}
}
