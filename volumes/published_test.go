package volumes

import (
	"math"
	"strings"
	"testing"

	"tidehold/refs/outside"
)

func TestPrintedAnswersOfPublishedTankExamples(t *testing.T) {
	litresPer := map[string]float64{"cm3": 0.001, "L": 1, "m3": 1000, "in3": 0.016387064, "gal": 3.785411784}
	claimed := map[string]bool{}
	for _, row := range outside.Table(t, "../testdata/tables/tank_examples.csv") {
		values := map[string]float64{}
		for _, pair := range strings.Split(row.Text("dimensions_cm"), ";") {
			name, x, _ := strings.Cut(pair, "=")
			values[name] = outside.Number(t, x)
		}
		s, err := New(row.Text("shape"), values, nil)
		if err != nil {
			t.Errorf("%s: %v", row.Text("source"), err)
			continue
		}
		claimed[row.Text("shape")] = true
		v, err := s.VolumeAt(row.Number("level_cm"))
		if err != nil {
			t.Errorf("%s: %v", row.Text("source"), err)
			continue
		}
		got := float64(v) / litresPer[row.Text("unit")]
		if row.Text("pi_used") != "" {
			// The source worked with a rounded π; every volume here is
			// proportional to it.
			got *= row.Number("pi_used") / math.Pi
		}
		want, tolerance := row.Number("printed"), row.Number("tolerance")
		if !(math.Abs(got-want) <= tolerance) {
			t.Errorf("%s %s at %s cm: %.6f %s, printed %s ± %g (%s)", row.Text("shape"), row.Text("dimensions_cm"), row.Text("level_cm"), got, row.Text("unit"), row.Text("printed"), tolerance, row.Text("source"))
		}
	}
	for _, k := range Kinds() {
		if !k.Table && !claimed[k.Name] {
			t.Errorf("no published example for %s", k.Name)
		}
	}
}

func TestLyingCylinderAgainstPublishedPartFullTables(t *testing.T) {
	const diameter, length = 100.0, 1000.0
	s, err := New("lying_cylinder", map[string]float64{"diameter": diameter, "length": length}, nil)
	if err != nil {
		t.Fatal(err)
	}
	compared := 0
	for _, row := range outside.Table(t, "../testdata/tables/lying_cylinder.csv") {
		v, err := s.VolumeAt(row.Number("depth_over_diameter") * diameter)
		if err != nil {
			t.Fatal(err)
		}
		got := float64(v / s.Full())
		if row.Text("quantity") == "area over diameter squared" {
			got = float64(v) * 1000 / length / (diameter * diameter)
		}
		d, tolerance := math.Abs(got-row.Number("printed")), row.Number("tolerance")
		if misprint := row.Text("note") != ""; misprint != (d > tolerance) {
			t.Errorf("depth %s: %s %.7f, printed %s ± %g (%s; %s)", row.Text("depth_over_diameter"), row.Text("quantity"), got, row.Text("printed"), tolerance, row.Text("source"), row.Text("note"))
		}
		compared++
	}
	if compared != 60 {
		t.Errorf("compared %d rows, want 60", compared)
	}
}

func TestPolygonApproachesTheCircle(t *testing.T) {
	// Area of a regular n-gon about a circle of diameter f: n/4 f² tan(π/n);
	// to second order π f²/4 (1 + π²/3n²).
	const flats = 80.0
	circle, err := New("upright_cylinder", map[string]float64{"diameter": flats, "height": 50}, nil)
	if err != nil {
		t.Fatal(err)
	}
	for n := 4.0; n <= maxSides; n += 2 {
		s, err := New("polygon", map[string]float64{"sides": n, "across_flats": flats, "height": 50}, nil)
		if err != nil {
			t.Fatal(err)
		}
		excess := float64(s.Full()/circle.Full()) - 1
		series := math.Pi * math.Pi / (3 * n * n)
		if !(excess > series && excess < series*(1+5/(n*n)+40/(n*n*n*n))) {
			t.Errorf("%v sides: %v above the circle, series gives %v", n, excess, series)
		}
	}
}
