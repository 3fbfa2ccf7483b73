package schedule

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"tidehold/refs/units"
	"tidehold/salinity"
	"tidehold/salinity/mixing"
)

// The closed form against C·dT/dt = P − L·(T − T_room) integrated step by step with the
// heat capacity of each temperature: the plan holds the heat capacity at its start
// value, which differs by less than 0.2 % over the range.
func TestWarmingAgreesWithNumericalIntegration(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := vessel{
			heaterW: rapid.Float64Range(50, 1000).Draw(t, "heater"),
			lossWK:  rapid.SampledFrom([]float64{0, 2, 6, 15}).Draw(t, "loss"),
			roomC:   rapid.Float64Range(5, 22).Draw(t, "room"),
		}
		v := vat{volL: rapid.Float64Range(50, 800).Draw(t, "volume"), s: 35}
		c := rapid.Float64Range(10, 24).Draw(t, "start")
		heatTo(&v, &w, c, 3, 25)
		hours := rapid.Float64Range(0.1, 40).Draw(t, "hours")
		x, end := c, w.roomC+w.heaterW/math.Max(w.lossWK, 1e-12)
		const steps = 4000
		for range steps {
			rate := func(x float64) float64 {
				rho, _ := salinity.Density(35, units.Celsius(x))
				cp, _ := salinity.HeatCapacity(35, units.Celsius(x))
				return (w.heaterW - w.lossWK*(x-w.roomC)) / (v.volL * float64(rho) / 1000 * cp) * 3600
			}
			h := hours / steps
			x += h * rate(x+h/2*rate(x))
			x = min(x, 25)
		}
		if end <= c {
			x = c // a heater that cannot hold what there is: nothing is promised
		}
		if got := v.at(3 + hours); !(math.Abs(got-x) <= 0.002*(25-c)+1e-6) {
			t.Errorf("after %g h %g °C, integrated %g", hours, got, x)
		}
	})
}

// Warming times against the mixing package, which takes the mean heat capacity.
func TestWarmTimeAgreesWithMixing(t *testing.T) {
	for _, loss := range []float64{0, 6} {
		w := vessel{heaterW: 300, lossWK: loss, roomC: 19}
		v := vat{volL: 310, s: 35}
		heatTo(&v, &w, 21, 0, 25)
		want, err := mixing.Warm(mixing.Heating{Water: mixing.Water{Volume: 310, Salinity: 35, Temperature: 21}, To: 25, Watts: 300, Room: 19, LossWK: loss})
		if err != nil {
			t.Fatal(err)
		}
		close2(t, "hours", v.warmH, *want.Hours, 0.002**want.Hours)
	}
	weak := vat{volL: 310, s: 35}
	heatTo(&weak, &vessel{heaterW: 20, lossWK: 6, roomC: 19}, 20, 0, 25)
	if !math.IsInf(weak.warmH, 1) || weak.at(1e6) > 19+20.0/6+1e-9 {
		t.Errorf("a weak heater: %+v", weak)
	}
}

// heatTo sets a vat's course towards a temperature.
func heatTo(v *vat, w *vessel, c, h, target float64) {
	p := &problem{tank: tank{own: water{c: target}}}
	p.heat(v, w, c, h)
}
