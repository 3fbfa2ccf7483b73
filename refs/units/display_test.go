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
