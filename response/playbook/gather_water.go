package playbook

import (
	"math"

	"github.com/shopspring/decimal"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/response/hazards"
	"tidehold/response/plan"
	"tidehold/salinity"
	"tidehold/salinity/mixing"
	"tidehold/volumes/site"
)

// litres is a volume to plan with as a stock.
func litres(l float64) decimal.Decimal { return decimal.NewFromFloat(l) }

// bucketL is how far a bucket is filled: see the caution on lifting.
const bucketL = 10

func bucketTrips(l float64) int { return int(math.Ceil(l/bucketL - 1e-9)) }

// rungs is how many further changes the table of results goes up to.
const rungs = 5

// ladder lists, for each number of further full changes, the highest result that
// they bring down to the target: c_new + (target − c_new)/(1 − d)^k.
func (g *gatherer) ladder(p plan.Plan) {
	aim := p.Demand.Aims[0]
	if aim.Share() || !(g.sys.Drawdown < 1) {
		return
	}
	fresh := p.Aims[0].Background
	if aim.Target <= fresh {
		g.warn("The new water itself brings %.3g µg/L of %s: no number of changes goes below that", fresh, aim.Contaminant)
		return
	}
	for k := range rungs {
		upTo := fresh + (aim.Target-fresh)/math.Pow(1-g.sys.Drawdown, float64(k))
		g.facts.Ladder = append(g.facts.Ladder, Rung{UpToUgL: upTo, Changes: k, ChangeL: float64(g.sys.NetVolume) * g.sys.Drawdown})
	}
}

// small is the change that stays within one temperature step even when the new
// water is as cold as the coldest room, and the time a vat heater takes for 1 °C.
func (g *gatherer) small() {
	v := float64(g.sys.NetVolume)
	most := v * g.sys.Drawdown
	apart := float64(g.sys.Water.Temperature - g.sys.Ambient.Coldest)
	if apart > 0 {
		most = math.Min(most, v*g.sys.Limits.TemperatureStep/apart)
	}
	g.facts.SmallChangeL = &most
	for _, st := range g.site.Stores {
		if st.Holds != site.Saltwater || st.HeaterW <= 0 || !st.Volume.IsPositive() || st.Water.Temperature >= g.sys.Water.Temperature {
			continue
		}
		h := mixing.Heating{
			Water: mixing.Water{Volume: st.Usable() + st.Heel, Salinity: st.Water.Salinity, Temperature: st.Water.Temperature},
			To:    st.Water.Temperature + 1, Watts: st.HeaterW, Room: g.sys.Ambient.Usual,
		}
		if st.HeatLossWK != nil {
			h.LossWK = *st.HeatLossWK
		}
		if w, err := mixing.Warm(h); err == nil && w.Hours != nil {
			g.facts.VatWarmingH = w.Hours
			return
		}
	}
}

// move compares a bin of the clean water that is ready with changing the tank.
//
// The bin wins where the plan does not reach its aim in time: the same litres give
// the animals clean water at once. Its air is reckoned as in a power cut, fish
// restless and the surface still, from 90 % of saturation to the site's limit.
func (g *gatherer) move() {
	p := g.facts.Plan
	if p == nil {
		return
	}
	m := &Move{BinL: p.UsableNowL}
	g.facts.Move = m
	switch {
	case p.UsableNowL < 1:
		m.Why = "CHANGE or mix first: no clean water is ready for a bin."
		return
	case p.DoneAtH == nil || !p.InTime:
		m.Better = true
		m.Why = "MOVE the animals: " + g.facts.amount(p.UsableNowL, units.Down) + " of clean water is ready" + g.cold() + ", and changing the tank " + lateness(g.facts, p) + "."
	default:
		m.Why = "CHANGE the tank: it reaches the aim " + g.facts.when(*p.DoneAtH) + ". Move only animals that gasp."
	}
	if h, ok := g.binAir(m.BinL); ok {
		m.AirLowH, m.AirHighH = &h, &h
	}
}

// cold says that the water for a bin is not as warm as the tank, "" when it is.
func (g *gatherer) cold() string {
	t := g.facts.VatTemperature
	if t == nil || math.Abs(float64(*t-g.sys.Water.Temperature)) <= g.sys.Limits.TemperatureStep {
		return ""
	}
	return " but at " + g.facts.Units.Temperature(float64(*t))
}

// lateness says how a plan misses its aim.
func lateness(f *Facts, p *Plan) string {
	if p.DoneAtH == nil {
		return "never reaches the aim with the water there is"
	}
	return "reaches the aim only " + f.when(*p.DoneAtH)
}

// binAir is how long the fish have air in so much water without a pump.
func (g *gatherer) binAir(l float64) (float64, bool) {
	bin := *g.sys
	bin.NetVolume, bin.NetVolumeU = units.Litres(l), 0
	bin.Livestock.ReefAreaM2 = 0
	bin.SurfaceM2, bin.Equipment, bin.Parts, bin.DrainsBack = nil, nil, nil, nil
	if bin.Livestock.FishMassKg <= 0 {
		return 0, false
	}
	r, err := hazards.Judge(&site.Site{Name: g.site.Name, Systems: []site.System{bin}, TimeZone: g.site.TimeZone}, g.from, g.facts.Units)
	if err != nil {
		return 0, false
	}
	for _, h := range r.Hazards {
		if h.Failure == hazards.Outage && h.Limit == "oxygen_low" && h.HoursLow != nil {
			return *h.HoursLow, true
		}
	}
	return 0, false
}

// chronicAmmoniaMgL is the saltwater chronic criterion for un-ionised ammonia,
// mg NH3/L as a 4-day average.
// Source: [epa1989].
const chronicAmmoniaMgL = 0.035

// chlorineSteps are the readings, mg/L, that common test kits show.
var chlorineSteps = []float64{0.1, 0.5, 1, 2, 4}

// chemistry is the total ammonia that reaches the criterion in this system, and
// the thiosulfate for each chlorine reading.
func (g *gatherer) chemistry() {
	w := g.sys.Water
	asN, okN := refs.RatioByID("nh3_per_n")
	if w.PH != nil && okN {
		if frac, err := salinity.UnionisedFraction(salinity.EPA1989, *w.PH, w.Salinity, w.Temperature); err == nil {
			total := chronicAmmoniaMgL / frac / asN.Value
			g.facts.AmmoniaTotalMgL = &total
		}
	}
	low, okLow := refs.RatioByID("field_sodium_thiosulfate")
	high, okHigh := refs.RatioByID("thio5_per_cl2_tetrathionate")
	if !okLow || !okHigh {
		return
	}
	v, u := float64(g.sys.NetVolume), float64(g.sys.NetVolumeU)
	for _, mgL := range chlorineSteps {
		g.facts.Dechlorinator = append(g.facts.Dechlorinator, ChlorineDose{
			MgL:  mgL,
			LowG: mgL * math.Max(0, v-u) * low.Value / 1000, HighG: mgL * v * high.Value / 1000,
		})
	}
}
