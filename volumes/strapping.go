package volumes

import (
	"fmt"
	"sort"

	"tidehold/refs/units"
)

// Point is one line of a strapping table: the volume found at a level.
type Point struct {
	// LevelCm is the level in cm above the lowest point.
	LevelCm float64
	// Volume is what the vessel holds up to there.
	Volume units.Litres
}

// strapping is a vessel measured with a bucket. Between two points the level is
// taken to rise evenly.
type strapping struct{ points []Point }

// newStrapping checks the table: at least two points, levels and volumes both
// rising from one to the next. A table that starts above level 0 is taken to
// start empty at 0; one that starts at level 0 with water in it has a floor the
// stick does not reach.
func newStrapping(kind string, table []Point) (Shape, error) {
	var points []Point
	if len(table) > 0 && table[0].LevelCm > 0 {
		points = append(points, Point{})
	}
	points = append(points, table...)
	if len(points) < 2 {
		return nil, fmt.Errorf("%s: the table needs at least one point above level 0, it has %d in all", kind, len(table))
	}
	offset := len(points) - len(table)
	for i, p := range points {
		if !(p.LevelCm >= 0 && p.LevelCm <= maxLengthCm && p.Volume >= 0 && p.Volume <= maxVolumeL) {
			return nil, fmt.Errorf("%s: point %d (%s cm, %s L) is out of range; levels 0 to %s cm and volumes 0 to %s L are allowed",
				kind, i+1-offset, number(p.LevelCm), number(float64(p.Volume)), number(maxLengthCm), number(maxVolumeL))
		}
		if i > 0 && !(p.LevelCm > points[i-1].LevelCm && p.Volume > points[i-1].Volume) {
			before := points[i-1]
			return nil, fmt.Errorf("%s: the table goes down or stands still at point %d: %s cm %s L after %s cm %s L; level and volume must both rise",
				kind, i+1-offset, number(p.LevelCm), number(float64(p.Volume)), number(before.LevelCm), number(float64(before.Volume)))
		}
	}
	return &strapping{points}, nil
}

func (s *strapping) Kind() string       { return "strapping" }
func (s *strapping) last() Point        { return s.points[len(s.points)-1] }
func (s *strapping) HeightCm() float64  { return s.last().LevelCm }
func (s *strapping) Full() units.Litres { return s.last().Volume }

func (s *strapping) VolumeAt(levelCm float64) (units.Litres, error) {
	h, ok := inside(levelCm, 0, s.HeightCm())
	if !ok {
		return 0, &RangeError{What: "level", Value: levelCm, High: s.HeightCm(), Unit: "cm"}
	}
	i := max(1, sort.Search(len(s.points), func(i int) bool { return s.points[i].LevelCm >= h }))
	a, b := s.points[i-1], s.points[i]
	if h == b.LevelCm {
		return b.Volume, nil
	}
	share := (h - a.LevelCm) / (b.LevelCm - a.LevelCm)
	return a.Volume + units.Litres(share)*(b.Volume-a.Volume), nil
}

func (s *strapping) LevelOf(v units.Litres) (float64, error) {
	low, full := float64(s.points[0].Volume), float64(s.Full())
	litres, ok := inside(float64(v), low, full)
	if !ok {
		return 0, &RangeError{What: "volume", Value: float64(v), Low: low, High: full, Unit: "L"}
	}
	i := max(1, sort.Search(len(s.points), func(i int) bool { return float64(s.points[i].Volume) >= litres }))
	a, b := s.points[i-1], s.points[i]
	if litres == float64(b.Volume) {
		return b.LevelCm, nil
	}
	share := (litres - float64(a.Volume)) / float64(b.Volume-a.Volume)
	return a.LevelCm + share*(b.LevelCm-a.LevelCm), nil
}
