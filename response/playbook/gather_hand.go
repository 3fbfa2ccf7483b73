package playbook

import (
	"math"
	"slices"

	"tidehold/refs"
	"tidehold/response/hazards"
	"tidehold/salinity"
	"tidehold/salinity/mixing"
	"tidehold/volumes/site"
)

// bucketL is how far a bucket is filled: see the caution on lifting.
const bucketL = refs.BucketL

// small is the change that stays within one temperature step even when the new
// water is as cold as the coldest room or as far from the tank as any vat, and the time a vat heater takes for 1 °C.
func (g *gatherer) small() {
	v := float64(g.sys.NetVolume)
	most := v * g.sys.Drawdown
	// As cold, or as warm, as its row may find a vat.
	apart := float64(g.sys.Water.Temperature - g.sys.Ambient.Coldest)
	for _, st := range g.site.Stores {
		if st.Holds == site.Saltwater {
			apart = max(apart, math.Abs(float64(g.sys.Water.Temperature-st.Water.Temperature))+1)
		}
	}
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

// purifier is how long the vat that the purifier fills has room, at its highest rate: of several the first full.
func (g *gatherer) purifier() {
	if g.site.Purifier == nil || g.site.Purifier.RateLH <= 0 {
		return
	}
	for _, st := range g.site.Stores {
		if h := float64(st.Room()) / g.site.Purifier.HighestLH(); st.FilledBy != "" && (g.facts.PurifierFullH == nil || h < *g.facts.PurifierFullH) {
			g.facts.PurifierFullH = &h
		}
	}
}

// binAirH is how long the air of a bin must last the fish without a pump.
const binAirH = 2.0

// bin finds the smallest bin whose air lasts the fish binAirH.
func (g *gatherer) bin() {
	if l, ok, err := hazards.BinL(*g.sys, binAirH); err == nil && ok {
		g.facts.BinL = &l
	}
}

// heat is the ice that takes 1 °C from the system, and the hours its good heaters
// need to add 1 °C when nothing is lost.
func (g *gatherer) heat() {
	aids, err := hazards.AidsFor(*g.sys)
	if err != nil {
		return
	}
	g.facts.IceKg = &aids.IceKgPerC
	worst := 0.0
	for _, e := range g.sys.Equipment {
		if e.Kind == site.Heater {
			worst = math.Max(worst, e.PowerW)
		}
	}
	g.facts.HeaterW = aids.HeaterW
	// The largest heater may be the one that failed.
	if g.facts.HeaterW > worst {
		g.facts.HeaterW -= worst
	}
	if g.facts.HeaterW > 0 {
		h := *aids.HeaterHoursPerC * aids.HeaterW / g.facts.HeaterW
		g.facts.HeatHours = &h
	}
}

// dose is what 100 mL of the first dosing bottle does to the system, the figure that
// hazards prints; what stays within a day's limit is by the low end of the volume.
func (g *gatherer) dose() {
	i := slices.IndexFunc(g.sys.Equipment, func(e site.Equipment) bool { return e.Kind == site.Doser && e.Strength > 0 })
	if i < 0 {
		return
	}
	step := hazards.Step(*g.sys, g.sys.Equipment[i])
	d := Dose{Equipment: step.ID, What: string(step.Doses), Unit: string(step.Unit), Per100mL: step.Per100ML}
	if low := float64(g.sys.NetVolume - g.sys.NetVolumeU); step.Doses == site.Alkalinity && low > 0 {
		safe := g.sys.Limits.AlkalinityPerDay / step.Per100ML * 100 * low / float64(g.sys.NetVolume)
		d.SafeML = &safe
	}
	g.facts.Dose = &d
}

// mend is what brings 100 L of vat water by 1 of salinity down or up; of vats that differ from
// the tank, the saltiest by 1, the others by less: it is read again.
func (g *gatherer) mend() {
	s := float64(g.sys.Water.Salinity)
	if s > 1 {
		saltiest := s
		for _, st := range g.site.Stores {
			if of := float64(st.Water.Salinity); st.Holds == site.Saltwater && of > s+g.sys.Limits.SalinityStep {
				saltiest = max(saltiest, of)
			}
		}
		cut := 100 / (saltiest + 1)
		g.facts.CutL = &cut
	}
	if len(g.site.Salts) > 0 && s > 1 {
		salt := g.site.Salts[0]
		if salt.DoseGL > 0 && salt.DoseSalinity > 0 {
			kg := salt.DoseGL * 100 / 1000 / float64(salt.DoseSalinity)
			g.facts.LiftKg = &kg
		}
	}
}

// The saltwater criteria for un-ionised ammonia, mg NH3/L: chronic as a 4-day
// average, acute as a 1-hour average.
// Source: [epa1989].
const (
	chronicAmmoniaMgL = 0.035
	acuteAmmoniaMgL   = 0.233
)

// dilution is how many parts the jug of a chlorine test has for one of the tank.
const dilution = 10

// chlorineSteps are what a jug diluted so may show, mg/L in the tank: the last two
// are what bleach brings.
var chlorineSteps = []float64{1, 4, 10, 20}

// firstDoseMgL is what the first dose is for, before any test.
const firstDoseMgL = 4.0

// thiosulfatePerChlorine is sodium thiosulfate (pentahydrate) for 1 mg of chlorine, mg,
// two to one by molar masses: the table's ratio to the figures of a label.
const thiosulfatePerChlorine = 7.0

// chemistry is the total ammonia that reaches the criteria in this system, and the
// thiosulfate for each chlorine reading.
func (g *gatherer) chemistry() {
	w := g.sys.Water
	asN, okN := refs.RatioByID("nh3_per_n")
	if w.PH != nil && okN {
		if frac, err := salinity.UnionisedFraction(salinity.EPA1989, *w.PH, w.Salinity, w.Temperature); err == nil {
			chronic, acute := chronicAmmoniaMgL/frac/asN.Value, acuteAmmoniaMgL/frac/asN.Value
			g.facts.AmmoniaChronicMgL, g.facts.AmmoniaAcuteMgL = &chronic, &acute
		}
	}
	if ratio, ok := refs.RatioByID("thio5_per_cl2_tetrathionate"); ok {
		for _, mgL := range chlorineSteps {
			g.facts.Dechlorinator = append(g.facts.Dechlorinator, ChlorineDose{MgL: mgL, G: mgL * float64(g.sys.NetVolume) * ratio.Value / 1000})
		}
	}
}
