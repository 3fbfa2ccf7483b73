package volumes

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"tidehold/refs/units"
)

func TestShapesThatCannotBe(t *testing.T) {
	type m = map[string]float64
	for _, c := range []struct {
		kind   string
		values m
		table  []Point
		want   string
	}{
		{"boxx", nil, nil, `shape "boxx" is not known; allowed are box, upright_cylinder,`},
		{"box", m{"length": 10, "width": 10}, nil, "box: height is missing; needed are length, width, height"},
		{"box", m{"length": 10, "width": 10, "height": 10, "bow": 3}, nil, "box: bow does not belong to this shape"},
		{"box", m{"length": 10, "width": 10, "height": -1}, nil, "box: height is -1 cm; 0.01 to 20000 cm is allowed"},
		{"box", m{"length": 10, "width": 10, "height": math.NaN()}, nil, "height is NaN"},
		{"box", m{"length": math.Inf(1), "width": 10, "height": 10}, nil, "length is +Inf"},
		{"box", m{"length": 0, "width": 10, "height": 10}, nil, "length is 0"},
		{"box", m{"length": 2, "width": 10, "height": 10, "wall": 1}, nil, "box: walls of 2 cm in all leave nothing of length 2 cm"},
		{"box", m{"length": 10, "width": 2, "height": 10, "wall": 1}, nil, "nothing of width"},
		{"box", m{"length": 10, "width": 10, "height": 1, "wall": 1}, nil, "nothing of height"},
		{"box", m{"length": 10, "width": 10, "height": 10, "wall": -1}, nil, "wall is -1"},
		{"box", m{"length": 10, "width": 10, "height": 10}, []Point{{1, 1}}, "a table is for strapping only"},
		{"upright_cylinder", m{"diameter": 1, "height": 10, "wall": 0.5}, nil, "nothing of diameter"},
		{"upright_cylinder", m{"diameter": 10, "height": 1, "wall": 1}, nil, "nothing of height"},
		{"lying_cylinder", m{"diameter": 1, "length": 10, "wall": 0.5}, nil, "nothing of diameter"},
		{"lying_cylinder", m{"diameter": 10, "length": 1, "wall": 0.5}, nil, "nothing of length"},
		{"tapered_round", m{"bottom_diameter": 1, "top_diameter": 10, "height": 10, "wall": 1}, nil, "no room inside"},
		{"tapered_round", m{"bottom_diameter": 10, "top_diameter": 10, "height": 1, "wall": 1}, nil, "nothing of height"},
		{"tapered_rect", m{"bottom_length": 1, "bottom_width": 9, "top_length": 10, "top_width": 9, "height": 10, "wall": 1}, nil, "no room inside"},
		{"tapered_rect", m{"bottom_length": 9, "bottom_width": 9, "top_length": 10, "top_width": 9, "height": 1, "wall": 1}, nil, "nothing of height"},
		{"cone_bottom", m{"diameter": 10, "height": 10, "cone_height": 10, "bottom_diameter": 10}, nil, "bottom_diameter 10 cm is not less than diameter 10 cm"},
		{"cone_bottom", m{"diameter": 10, "height": 10, "cone_height": 10, "wall": 5}, nil, "no room inside"},
		{"cone_bottom", m{"diameter": 80, "height": 0.1, "cone_height": 30, "wall": 1}, nil, "no room inside"},
		{"cone_bottom", m{"diameter": 80, "bottom_diameter": 78, "height": 10, "cone_height": 0.5, "wall": 2}, nil, "no room inside"},
		{"bow_front", m{"length": 10, "width": 10, "height": 10, "bow": 6}, nil, "bow 6 cm is more than half the length, 5 cm"},
		{"bow_front", m{"length": 10, "width": 10, "height": 1, "bow": 2, "wall": 1}, nil, "nothing of height"},
		{"bow_front", m{"length": 10, "width": 10, "height": 20, "bow": 2, "wall": 5}, nil, "no room inside a length of 10 cm"},
		{"bow_front", m{"length": 10, "width": 1, "height": 20, "bow": 2, "wall": 1}, nil, "no room inside a width of 1 cm"},
		{"polygon", m{"sides": 2, "side": 10, "height": 10}, nil, "sides is 2; a whole number from 3 to 64 is allowed"},
		{"polygon", m{"sides": 6.5, "side": 10, "height": 10}, nil, "sides is 6.5"},
		{"polygon", m{"sides": math.NaN(), "side": 10, "height": 10}, nil, "sides is NaN"},
		{"polygon", m{"sides": 5, "across_flats": 10, "height": 10}, nil, "across_flats needs an even number of sides, not 5"},
		{"polygon", m{"sides": 6, "height": 10}, nil, "give exactly one of side, across_flats, not 0"},
		{"polygon", m{"sides": 6, "height": 10, "side": 10, "across_flats": 10}, nil, "not 2"},
		{"polygon", m{"sides": 6, "height": 10, "across_flats": 2, "wall": 1}, nil, "no room between the flats"},
		{"polygon", m{"sides": 6, "height": 1, "across_flats": 20, "wall": 1}, nil, "nothing of height"},
		{"strapping", nil, nil, "strapping: table is missing"},
		{"strapping", nil, []Point{}, "at least one point above level 0"},
		{"strapping", nil, []Point{{0, 10}}, "at least one point above level 0"},
		{"strapping", nil, []Point{{10, 20}, {20, 19}}, "the table goes down or stands still at point 2: 20 cm 19 L after 10 cm 20 L"},
		{"strapping", nil, []Point{{10, 20}, {10, 30}}, "at point 2"},
		{"strapping", nil, []Point{{10, 20}, {5, 30}}, "at point 2"},
		{"strapping", nil, []Point{{10, units.Litres(math.NaN())}}, "out of range"},
		{"strapping", nil, []Point{{-1, 1}, {5, 30}}, "point 1 (-1 cm, 1 L) is out of range"},
		{"strapping", nil, []Point{{1, 0}, {5, 30}}, "at point 1: 1 cm 0 L after 0 cm 0 L"},
		{"strapping", m{"wall": 1}, []Point{{1, 1}}, "wall does not belong to this shape"},
	} {
		_, err := New(c.kind, c.values, c.table)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s %v %v: got %v, want …%s…", c.kind, c.values, c.table, err, c.want)
		}
	}
}

func TestLevelsAndVolumesOutsideTheVessel(t *testing.T) {
	full := box(t, 10, 10, 10)
	table, err := New("strapping", nil, []Point{{0, 5}, {10, 20}, {20, 60}})
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range []Shape{full, table} {
		for _, h := range []float64{-1e-9, s.HeightCm() * (1 + 1e-9), math.NaN(), math.Inf(1)} {
			var out *RangeError
			if v, err := s.VolumeAt(h); !errors.As(err, &out) || v != 0 || out.Error() == "" {
				t.Errorf("%s: volume at %v cm: %v, %v", s.Kind(), h, v, err)
			}
		}
		for _, v := range []float64{-1, float64(s.Full()) * (1 + 1e-9), math.NaN()} {
			var out *RangeError
			if h, err := s.LevelOf(units.Litres(v)); !errors.As(err, &out) || h != 0 {
				t.Errorf("%s: level of %v L: %v, %v", s.Kind(), v, h, err)
			}
		}
		// 39.37 in and such come back a last bit above the brim.
		if v, err := s.VolumeAt(s.HeightCm() * (1 + 4e-16)); err != nil || v != s.Full() {
			t.Errorf("%s: a hair above the brim: %v, %v", s.Kind(), v, err)
		}
	}
	if _, err := table.LevelOf(4); err == nil || !strings.Contains(err.Error(), "volume 4 L is below the lowest allowed, 5 L") {
		t.Errorf("below the foot of the table: %v", err)
	}
	if h, err := table.LevelOf(40); err != nil || h != 15 {
		t.Errorf("level of 40 L: %v, %v", h, err)
	}
}

func TestKindsAndDimensionsBelongTogether(t *testing.T) {
	var names []string
	for _, d := range Dimensions() {
		names = append(names, d.Name)
	}
	used := map[string]bool{}
	for _, k := range Kinds() {
		if k.Description == "" {
			t.Errorf("%s has no description", k.Name)
		}
		for _, n := range k.All() {
			used[n] = true
			if !slices.Contains(names, n) {
				t.Errorf("%s uses %s, which is not described", k.Name, n)
			}
		}
	}
	for _, n := range names {
		if !used[n] {
			t.Errorf("%s is described and never used", n)
		}
	}
}
