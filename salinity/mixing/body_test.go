package mixing

import (
	"math"
	"testing"

	"tidehold/refs/outside"

	"pgregory.net/rapid"
)

// tank400 is 400 L at salinity 35 and 25 °C.
func tank400(lossWK, inputW, room float64) Body {
	perL, _ := LitreHeat(35, 25)
	return Body{CapacityJK: 400 * perL, LossWK: lossWK, InputW: inputW, RoomC: room}
}

var near = outside.Near

// Cooling of 400 L from 26 °C in a room of 18 °C and a stuck 300 W heater, computed
// with TEOS-10 heat capacity and density (IOC, SCOR & IAPSO 2010, through the
// library python3-gsw 3.6.16): time constants 57, 28, 19 and 11 h, falls in the
// first hour (the table has the initial rate), hours to 22 °C, final rise above
// the room. Tolerance: half a unit of the last printed digit, plus 0.1 % because
// the heat capacity here is UNESCO 44's.
func TestCoolingAndHeatingAgainstPublishedExamples(t *testing.T) {
	for _, c := range []struct{ lossWK, tau, firstHour, to22, rise float64 }{
		{8, 57, 0.14, 39, 37},
		{16, 28, 0.28, 20, 19},
		{24, 19, 0.42, 13, 12},
		{40, 11, 0.70, 8, 7.5},
	} {
		b := tank400(c.lossWK, 0, 18)
		near(t, "time constant", b.CapacityJK/b.LossWK/3600, c.tau, 0.5+c.tau*0.001)
		near(t, "initial rate, K/h", -b.NetW(26)*3600/b.CapacityJK, c.firstHour, 0.005)
		hours, ok := b.Course(26).HoursTo(22)
		if !ok {
			t.Errorf("%v W/K: never at 22 °C", c.lossWK)
		}
		near(t, "hours to 22 °C", hours, c.to22, 0.5+c.to22*0.001)
		b.InputW = 300
		end, _ := b.Settles()
		near(t, "final rise", end-18, c.rise, 0.5)
	}
	near(t, "300 W in 400 L, K/h", tank400(0, 300, 18).Course(25).At(1)-25, 0.66, 0.005)
}

// The closed form against the balance integrated in small steps (midpoint rule,
// written only here), whether the body warms, cools, or loses nothing.
func TestCourseAgreesWithIntegration(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := Body{
			CapacityJK: rapid.Float64Range(1e4, 1e7).Draw(t, "J/K"),
			LossWK:     rapid.SampledFrom([]float64{0, 0.5, 6, 40}).Draw(t, "W/K"),
			InputW:     rapid.Float64Range(0, 2000).Draw(t, "W"),
			RoomC:      rapid.Float64Range(-5, 35).Draw(t, "room"),
		}
		from := rapid.Float64Range(5, 35).Draw(t, "from")
		hours := rapid.Float64Range(0, 1).Draw(t, "share") * math.Min(48, 3*b.CapacityJK/math.Max(b.LossWK, 1e-3)/3600)
		const steps = 2000
		x, dt := from, hours*3600/steps
		for range steps {
			mid := x + dt/2*b.NetW(x)/b.CapacityJK
			x += dt * b.NetW(mid) / b.CapacityJK
		}
		course := b.Course(from)
		end := course.At(hours)
		if !(math.Abs(end-x) <= 1e-6*(1+math.Abs(x-from))) {
			t.Fatalf("after %v h %v °C, integrated %v", hours, end, x)
		}
		if math.Abs(end-from) < 1e-6 {
			return
		}
		if back, ok := course.HoursTo(end); !ok || !(math.Abs(back-hours) <= 1e-6*(1+hours)) {
			t.Fatalf("%v °C is reached after %v h (%v), want %v", end, back, ok, hours)
		}
		if _, ok := course.HoursTo(from - (end - from)); ok {
			t.Fatalf("it moves the other way, and gets there")
		}
		if settles, ok := b.Settles(); ok {
			if _, ok := course.HoursTo(settles); ok {
				t.Fatalf("%v °C is reached only in the limit", settles)
			}
		}
		if watts := b.WattsFor(from, end, hours); !(math.Abs(watts-b.InputW) <= 1e-5*(1+b.InputW)) {
			t.Fatalf("%v W take it there, want %v", watts, b.InputW)
		}
	})
}

func TestACoolingTestGivesTheLossBack(t *testing.T) {
	for _, pump := range []float64{0, 40} {
		for _, loss := range []float64{2, 18, 60} {
			b := tank400(loss, pump, 19)
			to := b.Course(25.5).At(3)
			got, ok := b.LossFrom(25.5, to, 3)
			if to >= 25.5 { // the pumps hold it: no fall, no coefficient
				if ok {
					t.Errorf("%v W/K from a rise to %v", got, to)
				}
				continue
			}
			if !ok {
				t.Errorf("loss %v, pump %v: refused", loss, pump)
			}
			near(t, "loss", got, loss, 1e-9*loss)
		}
	}
	b := tank400(0, 0, 19)
	for _, bad := range [][3]float64{{25, 25.4, 3}, {25, 18, 3}, {25, 24, 0}, {25, math.Nextafter(25, 0), 1e3}, {25, 19.0001, 1e-12}} {
		if got, ok := b.LossFrom(bad[0], bad[1], bad[2]); ok {
			t.Errorf("%v was accepted: %v W/K", bad, got)
		}
	}
}

func TestBodyWithoutLossNeverSettles(t *testing.T) {
	if end, ok := tank400(0, 300, 18).Settles(); ok {
		t.Errorf("settles at %v", end)
	}
	still := Still(21)
	if _, ok := still.HoursTo(22); ok || still.At(100) != 21 {
		t.Errorf("%+v moves", still)
	}
	if hours, ok := still.HoursTo(21); !ok || hours != 0 {
		t.Errorf("%v, %v: it is there", hours, ok)
	}
	if _, ok := tank400(0, 0, 18).Course(20).HoursTo(21); ok {
		t.Error("no heater warms it")
	}
	if _, err := LitreHeat(50, 20); err == nil {
		t.Error("salinity 50 has a heat capacity")
	}
}
