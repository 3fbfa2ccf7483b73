package units

import (
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"github.com/shopspring/decimal"
)

func TestDisplayRounding(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{Metric.Volume(288.2, Up), "289 L"},
		{Metric.Volume(288.9, Down), "288 L"},
		{Metric.Volume(288.0000000001, Up), "288 L"},
		{Metric.Volume(12.34, Up), "12.4 L"},
		{Metric.Volume(0.123, Up), "0.13 L"},
		{US.Volume(640, Nearest), "169.1 gal"},
		{US.Volume(37.85411784, Nearest), "10.0 gal"},
		{Metric.Mass(12.345, Up), "12.4 kg"},
		{Metric.Mass(7.6815, Up), "7.69 kg"},
		{Metric.Mass(0.2501, Up), "251 g"},
		{US.Mass(0.2, Up), "7.1 oz"},
		{US.Mass(5, Up), "11.05 lb"},
		{Metric.Temperature(25.04), "25.0 °C"},
		{US.Temperature(25), "77.0 °F"},
		{US.TempStep(1), "1.8 °F"},
		{US.TemperatureTo(130.0/9, Down), "58.0 °F"}, {US.TemperatureTo(41.34, Up), "106.5 °F"}, {Metric.TemperatureTo(41.34, Down), "41.3 °C"}, {Metric.TemperatureTo(41.31, Up), "41.4 °C"},
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
		{Metric.Volume(19.94, Nearest), "19.9 L"}, {Metric.Volume(20, Nearest), "20 L"}, {Metric.Volume(20.44, Nearest), "20.4 L"}, {Metric.Volume(199.94, Down), "199.9 L"}, {Metric.Volume(200.4, Nearest), "200 L"}, {Metric.Volume(641, Nearest), "641 L"},
		{US.Volume(0.5*litresPerGallon, Nearest), "0.50 gal"}, {US.Volume(1.54*litresPerGallon, Nearest), "1.5 gal"}, {US.Volume(19.94*litresPerGallon, Nearest), "19.9 gal"}, {US.Volume(20*litresPerGallon, Nearest), "20 gal"},
		{US.Volume(50.4*litresPerGallon, Nearest), "50.4 gal"}, {US.Volume(51*litresPerGallon, Nearest), "51 gal"}, {US.Volume(200.4*litresPerGallon, Nearest), "200 gal"},
		{Metric.Mass(0.9004, Nearest), "900 g"}, {Metric.Mass(1, Nearest), "1.00 kg"}, {Metric.Mass(1.5, Nearest), "1.50 kg"}, {Metric.Mass(10.04, Nearest), "10.0 kg"},
		{US.Mass(0.5*KgPerPound, Nearest), "8.0 oz"}, {US.Mass(1*KgPerPound, Nearest), "1.00 lb"}, {US.Mass(1.5*KgPerPound, Nearest), "1.50 lb"},
		{US.Mass(20.04*KgPerPound, Nearest), "20.0 lb"}, {US.Mass(150.14*KgPerPound, Nearest), "150 lb"}, {US.Mass(1149.8*KgPerPound, Up), "1150 lb"}, {Metric.Mass(609.96, Down), "609 kg"}, {Metric.Mass(499.94, Nearest), "499.9 kg"}, {Metric.Mass(500.4, Nearest), "500 kg"}, {Metric.Mass(99.96, Up), "100.0 kg"}, {Watts(9999.4), "9999 W"}, {Watts(60000), "60 kW"}, {Watts(12490), "12.5 kW"}, {Watts(0), "0 W"}, {Watts(9999.6), "10 kW"}, {Watts(math.NaN()), noNumber},
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

// TestPartsAddUpToTheirTotal: a row said 98 gal: 54 gal + 45.0 gal, another 110 L: 49 L + 59 L.
func TestPartsAddUpToTheirTotal(t *testing.T) {
	for _, c := range []struct {
		s     System
		total float64
		r     Rounding
		parts []float64
		want  string
	}{
		{Metric, 108.3, Up, []float64{49.2, 59.1}, "49.2 L + 59.1 L"},
		{Metric, 44.3, Up, []float64{35.3, 9}, "35.3 L + 9.0 L"},
		{US, 98.6 * litresPerGallon, Down, []float64{53.6 * litresPerGallon, 45 * litresPerGallon}, "53.6 gal + 45 gal"},
		{Metric, 300.4, Down, []float64{300, 0.4}, "299.6 L + 0.4 L"}, // a part is never 0 L
		{Metric, 131.21, Up, []float64{100, 31.21}, "100 L + 31.3 L"}, // the vat that was all poured has no more
		{Metric, 412.7, Up, []float64{200.5, 212.2}, "201 L + 212 L"},
		{Metric, 12.34, Up, []float64{6.17, 6.17}, "6.2 L + 6.2 L"},
		{Metric, 10, Nearest, []float64{9.9996, 0.0004}, "10.00 L + 0.00 L"}, // three decimals are never printed
		{Metric, 30, Down, []float64{30}, "30 L"},
		{Metric, 0, Down, []float64{0, 0}, "0 L + 0 L"},
		{Metric, 100, Down, nil, ""},
	} {
		if got := strings.Join(c.s.VolumeParts(c.total, c.r, c.parts, nil).Each, " + "); got != c.want {
			t.Errorf("%g as %v: %q, want %q", c.total, c.parts, got, c.want)
		}
	}
	r := rand.New(rand.NewPCG(3, 11))
	for range 2000 {
		parts, sum := make([]float64, 1+r.IntN(5)), 0.0
		for i := range parts {
			parts[i] = math.Exp(8*r.Float64() - 1)
			sum += parts[i]
		}
		for _, s := range []System{Metric, US} {
			for _, how := range []Rounding{Nearest, Up, Down} {
				printed := 0.0
				for i, text := range s.VolumeParts(sum, how, parts, nil).Each {
					x, _ := strconv.ParseFloat(strings.Fields(text)[0], 64)
					printed += x
					own, _, _ := s.volumeBands()
					if off := math.Abs(x - parts[i]/own); off > 2 || x == 0 {
						t.Fatalf("%s for %g", text, parts[i])
					}
				}
				total, _ := strconv.ParseFloat(strings.Fields(s.VolumeParts(sum, how, parts, nil).Whole)[0], 64)
				if own := s.LitresPer(); !(math.Abs(total-sum/own) <= 0.01*sum/own) {
					t.Fatalf("%g is printed for %g", total, sum/own)
				}
				if !(math.Abs(printed-total) <= 1e-6) {
					t.Fatalf("%v add up to %g of %g", s.VolumeParts(sum, how, parts, nil).Each, printed, total)
				}
			}
		}
	}
}

// TestWhatIsPouredIsWithinOneInAHundred: three changes of 1.6 L in a tank of 8 L were printed as 1.5 L each,
// 6 % less, and 0.109 gal as 0.10 gal.
func TestWhatIsPouredIsWithinOneInAHundred(t *testing.T) {
	for _, c := range []struct {
		got, want string
	}{
		{Metric.VolumeToPour(1.599, Down), "1.59 L"}, {Metric.VolumeToPour(0.191, Up), "0.191 L"}, {Metric.VolumeToPour(0.4136, Down), "0.41 L"},
		{US.VolumeToPour(0.109*litresPerGallon, Down), "0.109 gal"}, {US.VolumeToPour(0.4225*litresPerGallon, Down), "0.42 gal"},
		{Metric.VolumeToPour(4.643, Up), "4.65 L"}, {Metric.VolumeToPour(4.68, Up), "4.7 L"}, {Metric.VolumeToPour(142.13, Down), "142.1 L"}, {Metric.VolumeToPour(0, Up), "0 L"},
		{Metric.VolumeToPour(0.9996, Up), "1.0 L"}, {Metric.VolumeToPour(0.98501, Up), "0.99 L"}, {Metric.VolumeToPour(math.NaN(), Up), noNumber},
	} {
		if c.got != c.want {
			t.Errorf("%s, want %s", c.got, c.want)
		}
	}
	r := rand.New(rand.NewPCG(5, 2))
	for range 2000 {
		l := math.Exp(12*r.Float64() - 2)
		for _, s := range []System{Metric, US} {
			for _, how := range []Rounding{Nearest, Up, Down} {
				text := s.VolumeToPour(l, how)
				q, err := Parse(text, Volume) // what is printed can be entered as it stands
				if err != nil || !(math.Abs(q.Value-l) <= 0.01*l+1e-12) || how == Up && q.Value < l*(1-1e-9) || how == Down && q.Value > l*(1+1e-9) {
					t.Fatalf("%g L as %s: %v", l, text, err)
				}
			}
		}
	}
}

// TestWhatIsWeighedIsWithinOneInAHundred: 7.6 g of salt were printed as 8 g, 5 % more, and 0.52 oz as 0.6 oz.
func TestWhatIsWeighedIsWithinOneInAHundred(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{Metric.MassToPour(0.00761, Up), "7.7 g"}, {Metric.MassToPour(0.05414, Up), "54.2 g"}, {Metric.MassToPour(0.25, Up), "250 g"}, {Metric.MassToPour(0.2501, Up), "251 g"},
		{Metric.MassToPour(4.2, Up), "4.20 kg"}, {Metric.MassToPour(0, Up), "0 g"}, {US.MassToPour(0.52/16*KgPerPound, Up), "0.52 oz"}, {US.MassToPour(1.655*KgPerPound, Up), "1.66 lb"},
		{US.MassToPour(1.695*KgPerPound, Up), "1.70 lb"}, {Metric.MassToPour(math.Inf(1), Up), noNumber},
	} {
		if c.got != c.want {
			t.Errorf("%s, want %s", c.got, c.want)
		}
	}
	r := rand.New(rand.NewPCG(8, 2))
	for range 2000 {
		kg := math.Exp(10*r.Float64() - 5.5)
		for s, finest := range map[System]float64{Metric: 0.1e-3, US: 0.01 / 16 * KgPerPound} {
			for _, how := range []Rounding{Nearest, Up, Down} {
				text := s.MassToPour(kg, how)
				if q, err := Parse(text, Mass); err != nil || !(math.Abs(q.Value-kg) <= max(0.01*kg, finest)*(1+1e-9)) {
					t.Fatalf("%g kg as %s: %v", kg, text, err)
				}
			}
		}
	}
}

// TestTheEndOfABandIsTheNextBand: 20 L and 20.0 L stood for the same water.
func TestTheEndOfABandIsTheNextBand(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{Metric.Volume(19.96, Up), "20 L"}, {Metric.Volume(19.96, Nearest), "20 L"}, {Metric.Volume(19.96, Down), "19.9 L"}, {Metric.Volume(20, Nearest), "20 L"},
		{Metric.Volume(0.996, Nearest), "1.0 L"}, {US.Volume(19.97*litresPerGallon, Up), "20 gal"}, {Metric.Volume(199.96, Up), "200 L"}, {Metric.Mass(9.996, Up), "10.0 kg"},
	} {
		if c.got != c.want {
			t.Errorf("%s, want %s", c.got, c.want)
		}
	}
	for _, s := range []System{Metric, US} {
		own, name, _ := s.volumeBands()
		for _, l := range []float64{0.3, 3.3, 33.3, 108.3, 333.3} {
			for _, r := range []Rounding{Up, Down, Nearest} {
				printed, _ := strconv.ParseFloat(strings.Fields(s.VolumeParts(l, r, nil, nil).Whole)[0], 64)
				if got := s.VolumeParts(l, r, nil, nil).WholeL; !(math.Abs(got-printed*own) <= 1e-9) {
					t.Errorf("%g %s are printed for %g L, %g L are meant", printed, name, l, got)
				}
			}
		}
	}
}

func TestWhatWasGivenIsPrintedPlainly(t *testing.T) {
	for _, c := range []struct {
		x    float64
		n    int
		want string
	}{
		{1250000, 6, "1250000"}, {1e15, 6, "1000000000000000"}, {0.00001234567, 6, "0.0000123457"}, {-2.5, 6, "-2.5"}, {0, 6, "0"},
		{math.NaN(), 6, "NaN"}, {math.Inf(1), 6, "+Inf"}, {math.Inf(-1), 6, "-Inf"},
	} {
		if got := Given(c.x, c.n); got != c.want {
			t.Errorf("%v: %q, want %q", c.x, got, c.want)
		}
	}
}

func TestWhatIsPrintedOfAnEntryCanBeTyped(t *testing.T) {
	for typed, want := range map[string]string{"5": "5 L", "5.50": "5.5 L", "37.854": "37.85 L", "37.856": "37.86 L", "0.25": "0.25 L", "0.004": "4 mL", "0.250": "0.25 L", "0.1234": "123 mL", "1.001": "1 L", "150": "150 L"} {
		got := Entered(decimal.RequireFromString(typed))
		if got != want {
			t.Errorf("%s: %q, want %q", typed, got, want)
		}
		if _, err := Parse(got, Volume); err != nil {
			t.Errorf("%s: what is printed is refused: %v", typed, err)
		}
	}
}
