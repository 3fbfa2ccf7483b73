package main

import (
	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/salinity"
	"tidehold/salinity/mixing"
)

// ammoniaResult is the water now and, where a change was asked for, after it.
type ammoniaResult struct {
	salinity.Ammonia
	// After is nil without a change; Rises says that the mixture has more than now.
	After *ammoniaAfter `json:"after"`
	Rises *bool         `json:"rises"`
}

// ammoniaAfter is the mixture, and the most that it could come to.
type ammoniaAfter struct {
	salinity.Ammonia
	// PHComputed is false where the carbonate constants do not reach: then the higher
	// pH counts.
	PHComputed bool    `json:"ph_computed"`
	WorstPH    float64 `json:"worst_ph"`
	WorstNH3   float64 `json:"worst_unionised_mg_l_as_nh3"`
	// HelpfulPH is the highest pH of the new water at which the mixture has no more than
	// now; null where none has, or it cannot be worked out.
	HelpfulPH *float64 `json:"helpful_up_to_ph"`

	worst   salinity.Ammonia
	outside *salinity.RangeError
}

// afterChange mixes the two waters and works out both states.
func (o *ammoniaOptions) afterChange(now salinity.AmmoniaWater) (ammoniaResult, []refs.Assumption, error) {
	tank := ammoniacal(now, 1)
	fresh := ammoniacal(salinity.AmmoniaWater{TotalN: o.asNitrogen(o.newTotal), PH: o.newPH.Or(now.PH),
		Salinity:    units.Practical(o.newSaline.Or(float64(now.Salinity))),
		Temperature: units.Celsius(o.newTemp.Or(float64(now.Temperature)))}, o.change.Value)
	natural, err := mixing.NaturalAlkalinityMeqL(tank.Water)
	if err != nil {
		return ammoniaResult{}, nil, waterFault(err, "--salinity", "--temp")
	}
	dkh := o.alkalinity.Or(salinity.AlkalinityFromMeq(natural).DKH)
	tank.AlkalinityMeqL = salinity.AlkalinityFromDKH(dkh).MeqPerLitre
	fresh.AlkalinityMeqL = salinity.AlkalinityFromDKH(o.newAlkalinity.Or(dkh)).MeqPerLitre
	c, err := mixing.ChangeAmmonia(tank, fresh)
	if err != nil {
		return ammoniaResult{}, nil, waterFault(err, "--salinity or --new-salinity", "--temp or --new-temp")
	}
	after := &ammoniaAfter{Ammonia: c.After, PHComputed: c.Outside == nil, WorstPH: c.Worst.PH, WorstNH3: c.Worst.NH3, worst: c.Worst, outside: c.Outside}
	if pH, ok := mixing.HelpfulPH(tank, fresh); ok {
		after.HelpfulPH = &pH
	}
	return ammoniaResult{Ammonia: c.Now, Rises: &c.Rises, After: after}, o.assumed(now, dkh), nil
}

// ammoniacal is a share of a water, for mixing.
func ammoniacal(w salinity.AmmoniaWater, share float64) mixing.Ammoniacal {
	return mixing.Ammoniacal{TotalN: w.TotalN, Buffered: mixing.Buffered{PH: w.PH,
		Water: mixing.Water{Volume: units.Litres(share), Salinity: w.Salinity, Temperature: w.Temperature}}}
}

// assumed lists what is not said of the waters that are mixed.
func (o *ammoniaOptions) assumed(now salinity.AmmoniaWater, dkh float64) []refs.Assumption {
	const same = "not given: taken as the system's"
	var out []refs.Assumption
	for _, d := range []struct {
		flag                *quantityFlag
		what, value, source string
	}{
		{o.alkalinity, "alkalinity", units.Fixed(dkh, 1) + " dKH", "natural seawater of this salinity [refcomp]"},
		{o.newAlkalinity, "alkalinity of the new water", units.Fixed(dkh, 1) + " dKH", same},
		{o.newPH, "pH of the new water", units.Fixed(now.PH, 2), same},
		{o.newTotal, "ammonia in the new water", "none", "not given: new water has none"},
		{o.newTemp, "temperature of the new water", units.Metric.Temperature(float64(now.Temperature)), same},
		{o.newSaline, "salinity of the new water", units.Fixed(float64(now.Salinity), 1), same},
	} {
		if !d.flag.Given {
			out = append(out, refs.Assumption{What: d.what, Value: d.value, Source: d.source})
		}
	}
	return out
}
