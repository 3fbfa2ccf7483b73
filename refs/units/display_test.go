package units

import (
	"testing"
)

func TestDisplayRounding(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{Metric.Volume(288.2, Up), "289 L"},
		{Metric.Volume(288.9, Down), "288 L"},
		{Metric.Volume(288.0000000001, Up), "288 L"},
		{Metric.Volume(12.34, Up), "12.4 L"},
		{Metric.Volume(0.123, Up), "0.13 L"},
		{US.Volume(640, Nearest), "169 gal"},
		{US.Volume(37.85411784, Nearest), "10.0 gal"},
		{Metric.Mass(12.345, Up), "12.4 kg"},
		{Metric.Mass(7.6815, Up), "7.69 kg"},
		{Metric.Mass(0.2501, Up), "251 g"},
		{US.Mass(0.2, Up), "7.1 oz"},
		{US.Mass(5, Up), "11.05 lb"},
		{Metric.Temperature(25.04), "25.0 °C"},
		{US.Temperature(25), "77.0 °F"},
		{US.TempStep(1), "1.8 °F"},
		{Metric.TempStep(1), "1.0 °C"},
		{Metric.Length(78.2, Down), "78.0 cm"},
		{US.Length(25.4, Nearest), "10.00 in"},
		{Metric.Flow(1500), "1500 L/h"},
		{US.Flow(9), "2.38 gal/h"},
		{Dissolved(3.1), "3.10 µg/L"},
		{Dissolved(1234), "1.23 mg/L"},
		{Hours(0.5), "30 min"},
		{Hours(2.5), "2 h 30 min"},
		{Hours(4), "4 h"},
		{Hours(72), "3 d"},
		{Hours(76.2), "3 d 4 h"},
		{Percent(0.4567, 0), "46 %"},
		{Fixed(-0.0001, 2), "0.00"},
		{Significant(0, 3), "0"},
		{Significant(123456, 3), "123000"},
		{Significant(9.996, 3), "10.0"}, {Significant(0.09996, 2), "0.10"}, {Significant(1000, 4), "1000"}, {Significant(1000, 5), "1000.0"}, {Significant(-9.996, 3), "-10.0"}, {Significant(0.001, 1), "0.001"},
		// Each band of steps begins where DESIGN's precision says, and not a step later.
		{Metric.Volume(0.994, Nearest), "0.99 L"}, {Metric.Volume(1, Nearest), "1.0 L"}, {Metric.Volume(1.54, Nearest), "1.5 L"},
		{Metric.Volume(19.94, Nearest), "19.9 L"}, {Metric.Volume(20, Nearest), "20 L"}, {Metric.Volume(20.4, Nearest), "20 L"}, {Metric.Volume(641, Nearest), "641 L"},
		{US.Volume(0.5*litresPerGallon, Nearest), "0.50 gal"}, {US.Volume(1.54*litresPerGallon, Nearest), "1.5 gal"},
		{US.Volume(50.4*litresPerGallon, Nearest), "50 gal"}, {US.Volume(51*litresPerGallon, Nearest), "51 gal"},
		{Metric.Mass(0.9004, Nearest), "900 g"}, {Metric.Mass(1, Nearest), "1.00 kg"}, {Metric.Mass(1.5, Nearest), "1.50 kg"}, {Metric.Mass(10.04, Nearest), "10.0 kg"},
		{US.Mass(0.5*kgPerPound, Nearest), "8.0 oz"}, {US.Mass(1*kgPerPound, Nearest), "1.00 lb"}, {US.Mass(1.5*kgPerPound, Nearest), "1.50 lb"},
		{US.Mass(20.04*kgPerPound, Nearest), "20.0 lb"}, {US.Mass(150.14*kgPerPound, Nearest), "150.1 lb"},
		{Metric.Flow(1234), "1230 L/h"}, {Dissolved(999.4), "999 µg/L"}, {Dissolved(999.5), "1.00 mg/L"}, {Dissolved(1004), "1.00 mg/L"}, {Dissolved(500_500), "501 mg/L"},
		{Hours(59.0 / 60), "59 min"}, {Hours(1), "1 h"}, {Hours(12 + 1.0/60), "12 h 1 min"}, {Hours(24), "1 d"}, {Hours(24.2), "1 d"}, {Hours(24.5), "1 d 1 h"}, {Hours(241), "10 d 1 h"},
		{Hours(1e12), "41666666666 d 16 h"}, {Hours(1.005e12), noNumber}, {Percent(0.9, 1), "90.0 %"},
		{Metric.Volume(-1e-9, Nearest), "0.00 L"}, {Metric.Volume(-1.005e-9, Nearest), noNumber},
		{Metric.String() + US.String(), "metricus"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}

func TestParseSystem(t *testing.T) {
	if s, err := ParseSystem("us"); err != nil || s != US {
		t.Error(s, err)
	}
	if s, err := ParseSystem("metric"); err != nil || s != Metric {
		t.Error(s, err)
	}
	if _, err := ParseSystem("imperial"); err == nil {
		t.Error("imperial was accepted")
	}
}

// TestAStepIsMetWithinABillionth: what rounding leaves over a step does not cost another.
func TestAStepIsMetWithinABillionth(t *testing.T) {
	for _, c := range []struct{ x, want float64 }{{1, 1}, {1 + 0.9e-9, 1}, {1 + 1.005e-9, 2}, {1 + 1.5e-9, 2}, {1e-9, 1}, {0.9e-9, 0}, {1000 + 0.9e-6, 1000}, {1000 + 1.1e-6, 1001}} {
		if got := Up.To(c.x, 1); got != c.want {
			t.Errorf("%.12g up: %g, want %g", c.x, got, c.want)
		}
	}
}

// TestHoursThatAreNeeded are rounded up to what is shown: a minute, or an hour from a day on; what is had, down.
func TestHoursThatAreNeeded(t *testing.T) {
	for _, c := range []struct {
		h        float64
		up, down string
	}{{0.51, "31 min", "30 min"}, {2.118, "2 h 8 min", "2 h 7 min"}, {23.99, "1 d", "23 h 59 min"}, {24.01, "1 d 1 h", "1 d"}, {49.2, "2 d 2 h", "2 d 1 h"}, {48, "2 d", "2 d"}} {
		if up, down := HoursTo(c.h, Up), HoursTo(c.h, Down); up != c.up || down != c.down {
			t.Errorf("%g h: %q and %q, want %q and %q", c.h, up, down, c.up, c.down)
		}
	}
}

// TestNothingIsSaidInOneDigit: 0 L of purified water, not 0.00 L; what is left of a drop keeps its decimals.
func TestNothingIsSaidInOneDigit(t *testing.T) {
	for got, want := range map[string]string{
		Metric.Volume(0, Down): "0 L", US.Volume(0, Up): "0 gal", Metric.Mass(0, Up): "0 g", US.Mass(0, Up): "0 oz", Metric.Length(0, Nearest): "0 cm", Metric.Volume(0.004, Down): "0.00 L",
	} {
		if got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
