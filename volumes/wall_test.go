package volumes

import (
	"math"
	"testing"
)

// The room inside a wall is what lies at least the wall's thickness away from every outer
// face but the open top. Added up in thin slices, from the outer shape alone, it must be
// what a cone-bottomed vessel with a wall holds, and at every level.
func TestConeBottomWithAWallHoldsWhatIsAWallAwayFromItsFaces(t *testing.T) {
	for _, c := range []struct{ diameter, bottom, cone, height, wall float64 }{
		{80, 0, 30, 90, 1}, {80, 5, 20, 90, 0.6}, {60, 20, 10, 40, 2}, {100, 1, 60, 50, 1.5}, {50, 49, 3, 50, 1}, {60, 2, 30, 50, 1}, {60, 4, 35, 50, 2}, {80, 4, 20, 2, 1},
	} {
		s, err := New("cone_bottom", map[string]float64{"diameter": c.diameter, "bottom_diameter": c.bottom, "cone_height": c.cone, "height": c.height, "wall": c.wall}, nil)
		if err != nil {
			t.Fatalf("%+v: %v", c, err)
		}
		r, out := c.diameter/2, c.bottom/2
		tan := (r - out) / c.cone
		// radius is how far from the axis water reaches at a height above the outer bottom.
		radius := func(y float64) float64 {
			if y < c.wall {
				return 0
			}
			return math.Max(0, math.Min(r-c.wall, out+tan*y-c.wall*math.Hypot(1, tan)))
		}
		const slices = 400_000
		top := c.cone + c.height
		sum, floor, dy := 0.0, -1.0, top/slices
		want := map[float64]float64{}
		for i := range slices {
			y := (float64(i) + 0.5) * dy
			x := radius(y)
			if x > 0 && floor < 0 {
				floor = y - dy/2
			}
			sum += math.Pi * x * x * dy
			for _, share := range []float64{0.1, 0.3, 0.6} {
				if level := share * (top - c.wall); floor >= 0 && want[share] == 0 && y+dy/2-floor >= level {
					want[share] = sum / 1000
				}
			}
		}
		if full := float64(s.Full()); !(math.Abs(full-sum/1000) <= 1e-4*full) {
			t.Errorf("%+v: full %v L, by slices %v L", c, full, sum/1000)
		}
		if !(math.Abs(s.HeightCm()-(top-floor)) <= 1e-3*top) {
			t.Errorf("%+v: %v cm high inside, by slices %v cm", c, s.HeightCm(), top-floor)
		}
		for share, litres := range want {
			got, err := s.VolumeAt(share * (top - c.wall))
			if err != nil || !(math.Abs(float64(got)-litres) <= 2e-4*float64(s.Full())) {
				t.Errorf("%+v: %v L at %v of the height, by slices %v L, %v", c, got, share, litres, err)
			}
		}
	}
}
