package schedule

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// Water that is brought to the system's salinity is not poured away by the jug: all of the vat is
// kept, or so much less that it shows. Of houses with salty and fresh water, little to cut or lift it
// with, and room enough.
func TestNobodyPoursAJugAwayBeforeACut(t *testing.T) {
	corrected, poured := 0, 0
	for seed := range uint64(fewer(1200, 3)) {
		r := rand.New(rand.NewPCG(seed, 77))
		sys := reef(300)
		sys.Drawdown, sys.ChangeEveryH = 0.3+0.2*r.Float64(), oneOf(r, 1, 2, 4)
		s := placeOf(sys)
		for k := range 1 + r.IntN(2) {
			v := vatOf(fmt.Sprint("v", k), 60+150*r.Float64(), 300)
			v.Water.Salinity, v.Water.Temperature = units.Practical(oneOf(r, 33, 36.5, 38, 39)), units.Celsius(oneOf(r, 22, 25))
			s.Stores = append(s.Stores, v)
		}
		if s.Stores = append(s.Stores, pureOf("pure", 10+60*r.Float64(), 200)); r.IntN(2) == 0 {
			s.Salts = []site.Salt{houseSalt(4 * r.Float64())}
		}
		if r.IntN(2) == 0 {
			s.Purifier = &site.Purifier{RateLH: 10 * r.Float64(), RatedAt: 25, Feed: 25}
		}
		p := planned(t, s, Options{Nodes: 300, HorizonH: 96}, r.IntN(2) == 0, share(0.2+0.5*r.Float64(), 24))
		for _, x := range p.Prepared {
			if x.What != plan.Cut && x.What != plan.Lift {
				continue
			}
			if corrected++; x.RemoveL > 1e-6 {
				poured++
			}
			if x.RemoveL > 1e-6 && x.RemoveL < 0.01*float64(sys.NetVolume) {
				t.Errorf("seed %d: %.3f L poured away of %s, which then holds %.1f L", seed, x.RemoveL, x.StoreID, x.Litres)
			}
		}
	}
	if t.Logf("%d cut or lifted, %d of them after pouring", corrected, poured); corrected < fewer(300, 3) {
		t.Errorf("%d cut or lifted, %d of them after pouring", corrected, poured)
	}
}
