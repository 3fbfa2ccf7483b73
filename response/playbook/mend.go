package playbook

import (
	"math"

	"tidehold/refs/units"
	"tidehold/volumes/site"
)

// mendTable is the salt or the purified water that moves a vat by 1 of salinity, by what it
// holds: "109 g in 100 L" was a sum for every vat there is. The columns are quarters of the
// fullest, or half and all of the least, half way and all of the fullest.
func (f *Facts) mendTable() Table {
	t := Table{Header: []string{"vat has, or more"}}
	fullest, least := 0.0, math.Inf(1)
	for _, st := range f.Stores {
		if holds := st.Volume.InexactFloat64(); st.Holds == site.Saltwater && holds >= 1 {
			fullest, least = max(fullest, holds), min(least, holds)
		}
	}
	if fullest == 0 {
		fullest, least = 100, 100 // empty vats, or none written down: as usual
	}
	shares := []float64{0.25, 0.5, 0.75, 1}
	if least < fullest/2 {
		shares = []float64{least / fullest / 2, least / fullest, 0.5, 1}
	}
	kg, cut := usualLiftKg, usualCutL
	if f.LiftKg != nil {
		kg = *f.LiftKg
	}
	if f.CutL != nil {
		cut = *f.CutL
	}
	salt, swap := []string{"too fresh: salt"}, []string{"too salty: swap"}
	for _, share := range shares {
		holds := f.amount(fullest*share, units.Down)
		litres := f.printed(holds)
		t.Header = append(t.Header, holds)
		salt = append(salt, f.Units.Mass(kg*litres/100, units.Nearest))
		swap = append(swap, f.amount(cut*litres/100, units.Nearest))
	}
	if !f.Profile.lacks([]string{"salt"}) {
		t.Rows = append(t.Rows, salt)
	}
	if !f.Profile.lacks([]string{"purified"}) {
		t.Rows = append(t.Rows, swap)
	}
	return t
}

// usualLiftKg and usualCutL mend 100 L at the usual salinity of 35, where no site says another:
// 38.4 g/L of salt over 35, and 1 part in 36.
const usualLiftKg, usualCutL = 0.110, 100.0 / 36

// mendOf is how much vat water is mended by the litres and the salt that a keeper's own
// card may name, a round amount in the reader's units; mendL is that in litres.
func (f *Facts) mendOf() (string, bool) {
	if f.Units == units.US {
		return "10 gal", true
	}
	return "100 L", true
}

func (f *Facts) mendL() float64 {
	text, _ := f.mendOf()
	return f.printed(text)
}
