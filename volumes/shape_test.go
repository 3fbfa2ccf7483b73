package volumes

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"tidehold/refs/units"
)

// drawShape builds a valid shape of any kind, with and without walls.
func drawShape(t *rapid.T) Shape {
	k := rapid.SampledFrom(Kinds()).Draw(t, "kind")
	if k.Table {
		s, err := New(k.Name, nil, drawTable(t))
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	values := drawDims(t, k, rapid.Bool().Draw(t, "walls"))
	s, err := New(k.Name, values, nil)
	if err != nil {
		t.Skip("no room inside:", err)
	}
	return s
}

// drawDims draws dimensions in cm for a kind.
func drawDims(t *rapid.T, k KindSpec, walls bool) map[string]float64 {
	names := append([]string{}, k.Required...)
	if len(k.OneOf) > 0 {
		names = append(names, rapid.SampledFrom(k.OneOf).Draw(t, "one of"))
	}
	values := map[string]float64{}
	for _, name := range names {
		values[name] = rapid.Float64Range(10, 400).Draw(t, name)
	}
	if _, ok := values["sides"]; ok {
		values["sides"] = float64(2 * rapid.IntRange(2, 32).Draw(t, "half the sides"))
	}
	if length, ok := values["length"]; ok && k.Name == "bow_front" {
		values["bow"] = length * rapid.Float64Range(0.001, 0.4).Draw(t, "bow share")
	}
	if k.Name == "cone_bottom" && rapid.Bool().Draw(t, "outlet") {
		values["bottom_diameter"] = values["diameter"] * rapid.Float64Range(0, 0.9).Draw(t, "outlet share")
	}
	if walls {
		values["wall"] = rapid.Float64Range(minLengthCm, 1.5).Draw(t, "wall")
	}
	return values
}

// ofEveryKind draws dimensions of every kind that has some, with walls and without, and has each tried.
func ofEveryKind(t *rapid.T, try func(k KindSpec, values map[string]float64)) {
	for _, k := range Kinds() {
		if k.Table {
			continue
		}
		for _, walls := range []bool{false, true} {
			try(k, drawDims(t, k, walls))
		}
	}
}

func drawTable(t *rapid.T) []Point {
	var table []Point
	level, volume := rapid.Float64Range(0, 5).Draw(t, "first level"), rapid.Float64Range(0, 5).Draw(t, "first volume")
	if level > 0 {
		volume += 0.01
	}
	for n := rapid.IntRange(2, 12).Draw(t, "points"); n > 0; n-- {
		table = append(table, Point{level, units.Litres(volume)})
		level += rapid.Float64Range(0.5, 30).Draw(t, "rise")
		volume += rapid.Float64Range(0.5, 80).Draw(t, "litres")
	}
	return table
}

func TestLevelAndVolumeAgreeBothWays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawShape(t)
		full := s.Full()
		least, err := s.VolumeAt(0)
		if err != nil {
			t.Fatal(err)
		}
		v := least + units.Litres(rapid.Float64Range(0, 1).Draw(t, "share of volume"))*(full-least)
		level, err := s.LevelOf(min(v, full))
		if err != nil {
			t.Fatal(err)
		}
		back, err := s.VolumeAt(level)
		if err != nil {
			t.Fatal(err)
		}
		if d := math.Abs(float64((back - v) / full)); !(d <= 1e-9) {
			t.Fatalf("%s: %v L -> %v cm -> %v L, off by %g of full", s.Kind(), v, level, back, d)
		}
		h := rapid.Float64Range(0, 1).Draw(t, "share of height") * s.HeightCm()
		at, err := s.VolumeAt(h)
		if err != nil {
			t.Fatal(err)
		}
		h2, err := s.LevelOf(at)
		if err != nil {
			t.Fatal(err)
		}
		again, _ := s.VolumeAt(h2)
		if d := math.Abs(float64((again - at) / full)); !(d <= 1e-9) {
			t.Fatalf("%s: %v cm -> %v L -> %v cm, off by %g of full", s.Kind(), h, at, h2, d)
		}
	})
}

func TestVolumeRisesFromEmptyToFull(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawShape(t)
		top, err := s.VolumeAt(s.HeightCm())
		if err != nil || top != s.Full() {
			t.Fatalf("%s: volume at the brim %v, full %v, %v", s.Kind(), top, s.Full(), err)
		}
		last := units.Litres(-1)
		for i := range 101 {
			v, err := s.VolumeAt(s.HeightCm() * float64(i) / 100)
			if err != nil || !(v > last) {
				t.Fatalf("%s: volume %v L at %d %% of the height does not rise above %v L (%v)", s.Kind(), v, i, last, err)
			}
			last = v
		}
		if h, err := s.LevelOf(s.Full()); err != nil || h != s.HeightCm() {
			t.Fatalf("%s: full is at %v cm, brim at %v (%v)", s.Kind(), h, s.HeightCm(), err)
		}
	})
}
