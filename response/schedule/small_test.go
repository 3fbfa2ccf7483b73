package schedule

import (
	"fmt"
	"math/rand/v2"

	"tidehold/refs/outside"
	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// fewer is n cases in long runs, half of them in plain ones, and a part in short ones.
func fewer(n, part int) int { return outside.Cases(n, max(n/2, n/part), n/part) }

// small is a random site with few decisions.
func small(r *rand.Rand) (*site.Site, []plan.Demand) {
	sys := reef(200 + 600*r.Float64())
	sys.Drawdown = 0.2 + 0.4*r.Float64()
	sys.ChangeEveryH = []float64{1, 2, 4, 6}[r.IntN(4)]
	s := placeOf(sys)
	s.Mixing.EmergencyTimeH = []float64{1, 2, 5}[r.IntN(3)]
	s.Reserve.Saltwater = units.Litres(float64(r.IntN(3)) * 20)
	for i := range 1 + r.IntN(3) {
		v := vatOf(fmt.Sprint("vat", i), float64(r.IntN(250)), 250+float64(r.IntN(200)))
		v.Heel = units.Litres(r.IntN(15))
		if r.IntN(2) == 0 {
			v.Water.Temperature = units.Celsius(18 + 7*r.Float64())
			v.HeaterW = float64(r.IntN(3)) * 300
			if r.IntN(2) == 0 {
				v.HeatLossWK = ptr(6)
			}
		}
		if r.IntN(3) == 0 {
			v.Water.Salinity = units.Practical(33 + 4*r.Float64())
		}
		if r.IntN(3) == 0 {
			v.TransferLH = nil
		}
		v.Background = map[string]float64{"copper": 2 * r.Float64()}
		s.Stores = append(s.Stores, v)
	}
	if r.IntN(2) == 0 {
		s.Salts = []site.Salt{houseSalt(20 * r.Float64())}
		s.Stores = append(s.Stores, pureOf("pure", float64(r.IntN(200)), 200))
		if r.IntN(2) == 0 {
			s.Purifier = &site.Purifier{RateLH: 5 + 30*r.Float64(), RatedAt: 25, Feed: units.Celsius(5 + 15*r.Float64())}
		}
	}
	if r.IntN(3) == 0 {
		s.Deliveries = []site.Delivery{{AfterH: 10 * r.Float64(), Saltwater: units.Litres(150 * r.Float64())}}
	}
	a := share(0.3+0.5*r.Float64(), float64(r.IntN(40)))
	if r.IntN(2) == 0 {
		a = plan.Aim{Contaminant: "copper", Start: 20 + 40*r.Float64(), Target: 4 + 12*r.Float64(), WithinH: float64(r.IntN(40))}
		if r.IntN(2) == 0 {
			a.SourceMgH = r.Float64()
		}
		if r.IntN(4) == 0 {
			a.BoundRatio, a.BoundRatePerH = 0.5, 0.1
		}
	}
	return s, []plan.Demand{{System: &s.Systems[0], Aims: []plan.Aim{a}, Reheats: r.IntN(2) == 0}}
}
