package plan

import (
	"slices"
	"testing"

	"tidehold/refs/units"
)

// TestTheEarliestDeadlineCounts: an aim without one does not make it zero, in any order.
func TestTheEarliestDeadlineCounts(t *testing.T) {
	for _, c := range []struct {
		within []float64
		want   float64
	}{
		{nil, 0}, {[]float64{0}, 0}, {[]float64{0, 0}, 0}, {[]float64{6}, 6}, {[]float64{0, 6}, 6}, {[]float64{6, 0}, 6},
		{[]float64{6, 2, 12}, 2}, {[]float64{2, 6, 0}, 2}, {[]float64{12, 6}, 6},
	} {
		var d Demand
		for _, h := range c.within {
			d.Aims = append(d.Aims, Aim{WithinH: h})
		}
		if got := d.WithinH(); got != c.want {
			t.Errorf("%v: within %g h, want %g", c.within, got, c.want)
		}
	}
}

// TestEventsOfADemand: in the order of the aims; an aim that comes from no event has no
// place, and without any the list is empty, not null.
func TestEventsOfADemand(t *testing.T) {
	d := Demand{Aims: []Aim{{EventID: "spill"}, {}, {EventID: "copper"}}}
	if got := d.EventIDs(); !slices.Equal(got, []string{"spill", "copper"}) {
		t.Errorf("%q", got)
	}
	if got := (Demand{Aims: []Aim{{}}}).EventIDs(); got == nil || len(got) != 0 {
		t.Errorf("%#v", got)
	}
}

// TestLitresAreRoundedToTheSafeSide: a need up, so that the target is met; what a limit or
// the water there is sets, down, so that it is kept. 1 US gal is 3.785411784 L (NIST Handbook 44,
// appendix C), so that 142.6 L are 37.67 gal.
func TestLitresAreRoundedToTheSafeSide(t *testing.T) {
	for _, c := range []struct {
		by    Limit
		l     float64
		u     units.System
		shown string
	}{
		{ToTarget, 131.21, units.Metric, "131.3 L"}, {ByWater, 142.69, units.Metric, "142.6 L"}, {TemperatureStep, 287.9, units.Metric, "287 L"},
		{ToTarget, 287.1, units.Metric, "288 L"}, {ToTarget, 150, units.Metric, "150 L"}, {ByDrawdown, 150, units.Metric, "150 L"},
		{ToTarget, 142.6, units.US, "37.7 gal"}, {ByWater, 142.6, units.US, "37.6 gal"},
	} {
		p := Plan{Steps: []Step{{N: 1, RemoveL: c.l, LimitedBy: c.by}}}
		if got := p.ChangeLitres(&p.Steps[0], c.u); got != c.shown {
			t.Errorf("%g L limited by %s: %q, want %q", c.l, c.by, got, c.shown)
		}
	}
}
