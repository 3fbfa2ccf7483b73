package hazards

import (
	"testing"

	"tidehold/refs/outside"
)

// Oxygen examples: 10 fish of 50 g at rest at 25 °C use 102.6 mg/h (Clarke &
// Johnston 1999); 200 L at salinity 35 go from saturation, 6.7707 mg/L, to 2.0
// mg/L in 9.30 h, and with 0.2 m² of reef at 787 mg/(m² h) (Long et al. 2013) in
// 3.67 h.
func TestOxygenClockAgainstPublishedExamples(t *testing.T) {
	near(t, "one fish of 50 g, mg/h", fishRespiration(50, 25), 10.26, 0.005)
	for _, c := range []struct{ celsius, perKg float64 }{{24, 194}, {25, 205}, {26, 217}, {28, 243}, {30, 271}} {
		near(t, "mg/(kg h)", fishRespiration(50, c.celsius)*20, c.perKg, 0.5)
	}
	bare := oxygenBudget{saturation: 6.7707, start: 6.7707, volume: 200, rest: 10 * fishRespiration(50, 25)}
	hours, ok := bare.hours(2, bare.rest, 0)
	if !ok {
		t.Fatal("never")
	}
	near(t, "fish alone, h", hours, 9.30, 0.005)
	hours, _ = bare.hours(2, bare.rest+0.2*reefRespiration, 0)
	near(t, "with reef, h", hours, 3.67, 0.005)
}

// Steady deficit: 100 mg/h through 1 m² at 2.35 cm/h leaves 4.3 mg/L below
// saturation (mass balance with the transfer velocity of Cole & Caraco 1998).
func TestSteadyOxygenDeficit(t *testing.T) {
	l := oxygenBudget{saturation: 6.77, start: 6.0, volume: 400, rest: 100}
	if _, ok := l.hours(6.77-4.3, 100, 2.35/100*1000); ok {
		t.Error("falls below the steady state")
	}
	if _, ok := l.hours(6.77-4.2, 100, 2.35/100*1000); !ok {
		t.Error("does not fall to just above the steady state")
	}
}

// The closed form against integration in small steps, written only here.
func TestOxygenClockAgainstIntegration(t *testing.T) {
	l := oxygenBudget{saturation: 6.8, start: 6.1, volume: 300}
	want, _ := l.hours(4, 150, 20)
	c, hours, dt := l.start, 0.0, 1e-4
	for c > 4 {
		slope := func(x float64) float64 { return (20*(l.saturation-x) - 150) / l.volume }
		c += dt * slope(c+dt/2*slope(c))
		hours += dt
	}
	near(t, "hours to 4 mg/L", want, hours, 2*dt)
}

var near = outside.Near
