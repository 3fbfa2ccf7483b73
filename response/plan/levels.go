package plan

import "tidehold/refs/units"

// TotalAmmonia is the id of total ammonia, as nitrogen, among the contaminants.
const TotalAmmonia = "ammonia_total"

// LevelUnit is the unit in which a substance's levels are told, and the µg/L that one of it is: that of its goal, so that
// the two compare at a glance, and for total ammonia mg/L, as its kits have it.
func LevelUnit(contaminant string, goalUgL float64) (per float64, unit string) {
	if contaminant == TotalAmmonia {
		return units.UgPerMg, "mg/L"
	}
	return units.DissolvedUnit(goalUgL)
}

// LevelText is a level in the unit of its goal, µg/L both.
func LevelText(contaminant string, ugL, goalUgL float64) string {
	per, unit := LevelUnit(contaminant, goalUgL)
	return units.Significant(ugL/per, 3) + " " + unit
}
