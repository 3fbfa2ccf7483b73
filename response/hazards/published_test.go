package hazards

import (
	"math"
	"testing"

	"tidehold/refs/units"
	"tidehold/salinity"
	"tidehold/volumes/site"
)

// tank400 is 400 L at salinity 35 that starts at a temperature.
func tank400(start, lossWK float64) body {
	rho, _ := salinity.Density(35, 25)
	cp, _ := salinity.HeatCapacity(35, 25)
	return body{capacityJK: float64(rho) / 1000 * cp * 400, lossWK: lossWK, known: true, start: start}
}

// Cooling of 400 L from 26 °C in a room of 18 °C and a stuck 300 W heater, computed
// with TEOS-10 heat capacity and density (IOC, SCOR & IAPSO 2010, through the
// library python3-gsw 3.6.16): time constants 57, 28, 19 and 11 h, falls in the
// first hour (the table has the initial rate), hours to 22 °C, final rise above
// the room. Tolerance: half a unit
// of the last printed digit, plus 0.1 % because the heat capacity here is UNESCO
// 44's.
func TestCoolingAndHeatingAgainstPublishedExamples(t *testing.T) {
	for _, c := range []struct{ lossWK, tau, firstHour, to22, rise float64 }{
		{8, 57, 0.14, 39, 37},
		{16, 28, 0.28, 20, 19},
		{24, 19, 0.42, 13, 12},
		{40, 11, 0.70, 8, 7.5},
	} {
		b := tank400(26, c.lossWK)
		near(t, "time constant", b.capacityJK/b.lossWK/3600, c.tau, 0.5+c.tau*0.001)
		near(t, "initial rate, K/h", b.lossWK*8*3600/b.capacityJK, c.firstHour, 0.005)
		hours, ok := b.reaches(22, 0, 18, false)
		if !ok {
			t.Errorf("%v W/K: never at 22 °C", c.lossWK)
		}
		near(t, "hours to 22 °C", hours, c.to22, 0.5+c.to22*0.001)
		near(t, "final rise", b.settles(300, 18)-18, c.rise, 0.5)
	}
	near(t, "300 W in 400 L", 300*3600/tank400(25, 1).capacityJK, 0.66, 0.005)
}

// Oxygen examples: 10 fish of 50 g at rest at 25 °C use 102.6 mg/h (Clarke &
// Johnston 1999); 200 L at salinity 35 go from saturation, 6.7707 mg/L, to 2.0
// mg/L in 9.30 h, and with 0.2 m² of reef at 787 mg/(m² h) (Long et al. 2013) in
// 3.67 h.
func TestOxygenClockAgainstPublishedExamples(t *testing.T) {
	near(t, "one fish of 50 g, mg/h", fishRespiration(50, 25), 10.26, 0.005)
	for _, c := range []struct{ celsius, perKg float64 }{{24, 194}, {25, 205}, {26, 217}, {28, 243}, {30, 271}} {
		near(t, "mg/(kg h)", fishRespiration(50, c.celsius)*20, c.perKg, 0.5)
	}
	bare := lungs{saturation: 6.7707, start: 6.7707, volume: 200, rest: 10 * fishRespiration(50, 25)}
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
	l := lungs{saturation: 6.77, start: 6.0, volume: 400, rest: 100}
	if _, ok := l.hours(6.77-4.3, 100, 2.35/100*1000); ok {
		t.Error("falls below the steady state")
	}
	if _, ok := l.hours(6.77-4.2, 100, 2.35/100*1000); !ok {
		t.Error("does not fall to just above the steady state")
	}
}

// The closed forms against integration in small steps, written only here.
func TestClosedFormsAgainstIntegration(t *testing.T) {
	b := tank400(25, 18)
	room, input := 14.0, 60.0
	want, ok := b.reaches(22, input, room, false)
	if !ok {
		t.Fatal("never")
	}
	temp, hours, dt := b.start, 0.0, 1e-4
	for temp > 22 {
		slope := func(x float64) float64 { return (input - b.lossWK*(x-room)) * 3600 / b.capacityJK }
		k1 := slope(temp)
		k2 := slope(temp + dt/2*k1)
		temp += dt * k2
		hours += dt
	}
	near(t, "hours to 22 °C", want, hours, 2*dt)

	l := lungs{saturation: 6.8, start: 6.1, volume: 300}
	want, _ = l.hours(4, 150, 20)
	c, hours := l.start, 0.0
	for c > 4 {
		slope := func(x float64) float64 { return (20*(l.saturation-x) - 150) / l.volume }
		c += dt * slope(c+dt/2*slope(c))
		hours += dt
	}
	near(t, "hours to 4 mg/L", want, hours, 2*dt)
}

func TestCoolingTestGivesTheCoefficientBack(t *testing.T) {
	for _, pump := range []float64{0, 40} {
		for _, k := range []float64{2, 18, 60} {
			b := tank400(25.5, k)
			to := b.at(3, pump, 19)
			if to >= 25.5 {
				continue // the pumps hold it: no fall, no coefficient
			}
			got, ok := lossFromCooling(site.CoolingTest{From: 25.5, To: units.Celsius(to), InH: 3}, b.capacityJK, pump, 19)
			if !ok {
				t.Errorf("k %v, pump %v: refused", k, pump)
				continue
			}
			near(t, "coefficient", got, k, 1e-6*k)
		}
	}
	for _, bad := range []site.CoolingTest{{From: 25, To: 25.4, InH: 3}, {From: 25, To: 18, InH: 3}, {From: 25, To: 24, InH: 0}} {
		if _, ok := lossFromCooling(bad, 1e6, 0, 19); ok {
			t.Errorf("%+v was accepted", bad)
		}
	}
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %v, want %v ± %v", what, got, want, tolerance)
	}
}
