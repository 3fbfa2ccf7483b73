package incident

import (
	"math"
	"testing"
	"time"
)

// Concentration decay, the arithmetic of ASTM E741 (tracer gas dilution, two-point
// average: A = [ln C(t1) − ln C(t2)]/(t2 − t1)) and of ISO 12569 (the slope of ln C by
// least squares): what leaves a mixed volume without changes, as carbon in a tank does.
// The formulas are from memory; the numbers follow from them.
func TestConcentrationDecayOfTheStandards(t *testing.T) {
	const volume = 640.0
	series := func(pairs ...[2]float64) Series {
		s := Series{T0: time.Date(2026, 11, 25, 3, 0, 0, 0, time.UTC), VolumeL: volume}
		for i, p := range pairs {
			s.Samples = append(s.Samples, Sample{ID: i + 2, AtH: p[0], UgL: p[1], U: 0.1 * p[1]})
		}
		return s
	}
	taken := func(s Series) Fit {
		return s.fit(s.observations(nil), s.models()[3], nil)
	}
	// Two points: 100 to 20 in 3 h are ln 5 / 3 = 0.536 changes of volume an hour.
	got := taken(series([2]float64{0, 100}, [2]float64{3, 20})).CleanedLH.Value / volume
	if want := math.Log(5) / 3; !(math.Abs(got/want-1) <= 1e-6) {
		t.Errorf("two points: %v per hour, want %v", got, want)
	}
	// Many points on an exponential: the slope of ln C, by its own arithmetic.
	var pairs [][2]float64
	var n, sx, sy, sxx, sxy float64
	for h := 0.0; h <= 6; h++ {
		c := 80 * math.Exp(-0.25*h) * (1 + 0.002*math.Sin(3*h))
		pairs = append(pairs, [2]float64{h, c})
		n, sx, sy, sxx, sxy = n+1, sx+h, sy+math.Log(c), sxx+h*h, sxy+h*math.Log(c)
	}
	slope := -(n*sxy - sx*sy) / (n*sxx - sx*sx)
	fit := taken(series(pairs...))
	// Relative weights in C and equal weights in ln C agree to the square of the scatter.
	if !(math.Abs(fit.CleanedLH.Value/volume/slope-1) <= 1e-3) {
		t.Errorf("slope: %v per hour, want %v", fit.CleanedLH.Value/volume, slope)
	}
	// Its standard error is that of a slope whose points are known to U/2 = 5 %.
	want := 0.05 * math.Sqrt(n/(n*sxx-sx*sx))
	if se := fit.CleanedLH.SE / volume; !(math.Abs(se/want-1) <= 0.01) {
		t.Errorf("standard error of the slope: %v per hour, want %v", se, want)
	}
}

// Constant injection, as arithmetic of the same standards: in a volume that nothing
// leaves, S = V·ΔC/Δt. 6.4 mg/h in 640 L raises the level by 10 µg/L an hour.
func TestConstantSourceRaisesTheLevelByItsRate(t *testing.T) {
	s := Series{T0: time.Date(2026, 11, 25, 3, 0, 0, 0, time.UTC), VolumeL: 640}
	for i, h := range []float64{0, 2, 5} {
		s.Samples = append(s.Samples, Sample{ID: i + 2, AtH: h, UgL: 20 + 10*h, U: 2})
	}
	f := s.fit(s.observations(nil), s.models()[1], nil)
	if !(math.Abs(f.SourceMgH.Value-6.4) <= 1e-6) || !(math.Abs(f.Start.Value-20) <= 1e-6) {
		t.Errorf("source %v mg/h from %v µg/L, want 6.4 from 20", f.SourceMgH.Value, f.Start.Value)
	}
}

// Rhodamine-like dilution: a change of r in V leaves (1 − r/V); the net volume follows
// from the levels before and after, V = r·C0/(C0 − C1), to the ± of both.
func TestVolumeFromTheFallAtAChange(t *testing.T) {
	s := Series{T0: time.Date(2026, 11, 25, 3, 0, 0, 0, time.UTC), VolumeL: 500, VolumeU: 400, doses: []dose{{1, 150, 0}}}
	s.Samples = []Sample{{ID: 2, AtH: 0.9, UgL: 40, U: 0.04}, {ID: 3, AtH: 1.1, UgL: 30, U: 0.03, doses: 1}}
	f := s.fit(s.observations(nil), s.models()[0], nil)
	if want := 150 * 40.0 / (40 - 30); !(math.Abs(f.VolumeL.Value/want-1) <= 1e-3) {
		t.Errorf("volume %v L, want %v", f.VolumeL.Value, want)
	}
}
