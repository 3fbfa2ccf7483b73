package assess

import (
	"cmp"
	"fmt"
	"slices"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/salinity"
	"tidehold/volumes/site"
)

// Criterion is one published level for a contaminant in this water.
type Criterion struct {
	UgL float64 `json:"ug_l"`
	// Authority in words, Source its key.
	Authority string `json:"authority"`
	Source    string `json:"source"`
}

func (c Criterion) String() string { return c.Authority + ", " + units.Dissolved(c.UgL) }

// Water is the system's water and who lives in it.
type Water struct {
	Salinity    units.Practical
	Temperature units.Celsius
	// PH on the total scale, nil when nobody knows it: then the end that harms most of
	// what tanks have counts.
	PH *float64
	// Sensitivity is the most delicate group kept; "" counts as coral.
	Sensitivity site.Sensitivity
}

// WaterOf is the water of a system of a site, and who lives in it.
func WaterOf(sys *site.System) Water {
	return Water{Salinity: sys.Water.Salinity, Temperature: sys.Water.Temperature, PH: sys.Water.PH, Sensitivity: sys.Livestock.Sensitivity}
}

// KgPerL is the density of the water in kg/L.
func (w Water) KgPerL() (float64, error) {
	rho, err := salinity.Density(w.Salinity, w.Temperature)
	return float64(rho) / 1000, err
}

// AlkalineEnd and AcidEnd of the pH of tanks, total scale, for a water whose pH is not
// known: ammonia harms most at the first, sulfide at the second. Common practice.
const (
	AlkalineEnd = 8.4
	AcidEnd     = 7.8
)

// pH is the water's, or the end that harms most.
func (w Water) pH(end float64) float64 {
	if w.PH != nil {
		return *w.PH
	}
	return end
}

// fitting are the published criteria for a contaminant, the one to judge by first,
// then the others, strictest first.
//
// For corals and invertebrates that is the strictest of all: criteria are set to
// protect most species, and some corals, urchins and anemones react below them. For
// fish alone it is that of the US EPA where there is one. The ANZG level is that for
// 95 % of species, or for 99 % where the authority recommends that one because the
// metal accumulates (cadmium, mercury).
func fitting(c refs.Contaminant, w Water) []Criterion {
	list := published(c, w)
	slices.SortStableFunc(list, func(x, y Criterion) int { return cmp.Compare(x.UgL, y.UgL) })
	if w.Sensitivity != site.Fish {
		return list
	}
	for i, x := range list {
		if x.Source == "epa-cst" || x.Source == "epa1989" {
			return append([]Criterion{x}, slices.Delete(slices.Clone(list), i, i+1)...)
		}
	}
	return list
}

// published are all the criteria there are, in this water.
func published(c refs.Contaminant, w Water) []Criterion {
	switch c.ID {
	case "ammonia_total":
		return ammoniaCriteria(c, w)
	case "sulfide":
		return sulfideCriteria(w)
	case "chloramine":
		// EPA counts combined chlorine among the oxidants, and the guideline for them is
		// likely to cover it.
		c, _ = refs.ContaminantByID("chlorine")
	default:
	}
	var list []Criterion
	add := func(ugL *float64, authority, source string) {
		if ugL != nil {
			list = append(list, Criterion{*ugL, authority, source})
		}
	}
	add(c.EPAChronic, "US EPA, 4 days", c.EPASource)
	add(c.EPAAcute, "US EPA, 1 hour", c.EPASource)
	add(anzg(c))
	add(c.BCChronic, "British Columbia, long-term", "bc-marine")
	add(c.BCAcute, "British Columbia, short-term", "bc-marine")
	return list
}

// accumulates are those for which ANZG recommends its level for 99 % of species.
//
// Source: [anzg2026].
var accumulates = []string{"cadmium", "mercury"}

// anzg is the default guideline value, in the table's species: that of tributyltin is
// set as tin.
func anzg(c refs.Contaminant) (ugL *float64, authority, source string) {
	ugL, authority = c.ANZG95, "ANZG, 95 % of species"
	if slices.Contains(accumulates, c.ID) {
		ugL, authority = c.ANZG99, "ANZG, 99 % of species"
	}
	if ratio, ok := refs.RatioByID("tbt_per_sn"); ok && c.ID == "tributyltin" && ugL != nil {
		asCation := *ugL * ratio.Value
		ugL = &asCation
	}
	return ugL, authority, c.ANZGSource
}

// ammoniaCriteria turns the criteria for un-ionised ammonia into totals as nitrogen at
// this water's pH, temperature and salinity, by their own formula: as the ammonia
// command and the cards do. That of ANZG is set for pH 8.
//
// Source: [epa1989].
func ammoniaCriteria(c refs.Contaminant, w Water) []Criterion {
	pH := w.pH(AlkalineEnd)
	a, err := salinity.UnionisedAmmonia(salinity.AmmoniaWater{TotalN: 0, PH: pH, Salinity: w.Salinity, Temperature: w.Temperature})
	var list []Criterion
	at := fmt.Sprintf(" at pH %s", units.Fixed(pH, 2))
	switch {
	case err == nil && a.Criteria != nil:
		list = append(list, Criterion{a.Criteria.ChronicTotalN * units.UgPerMg, "US EPA, 4 days" + at, "epa1989"},
			Criterion{a.Criteria.AcuteTotalN * units.UgPerMg, "US EPA, 1 hour" + at, "epa1989"})
	case err == nil:
		// The criteria's own formula ends at 35 °C; the seawater constants go on to 40.
		asN := salinity.AmmoniaChronic / a.Fraction * units.UgPerMg / salinity.NH3PerN
		list = append(list, Criterion{asN, "US EPA, 4 days" + at + " by the seawater constants", "epa1989"})
	}
	if c.ANZG95 != nil {
		list = append(list, Criterion{*c.ANZG95, "ANZG, 95 % of species, at pH 8", c.ANZGSource})
	}
	return list
}

// sulfideCriteria turns the criterion for undissociated hydrogen sulfide into total
// sulfide as sulfur at this water's pH. Outside the range of the constant all of it
// counts as undissociated.
//
// Source: [mpf1988] for the share, [epa-cst] for the criterion.
func sulfideCriteria(w Water) []Criterion {
	h2s, _ := refs.ContaminantByID("hydrogen_sulfide")
	pH := w.pH(AcidEnd)
	share, err := salinity.UndissociatedSulfide(pH, w.Salinity, w.Temperature)
	if err != nil {
		share = 1
	}
	return []Criterion{{*h2s.EPAChronic / (share * salinity.H2SPerSulfur),
		fmt.Sprintf("US EPA, 4 days, as H2S at pH %s", units.Fixed(pH, 2)), h2s.EPASource}}
}
