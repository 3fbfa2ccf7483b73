package main

import (
	"fmt"
	"math"
	"slices"
	"time"

	"github.com/shopspring/decimal"

	"tidehold/refs/units"
	"tidehold/volumes/stock"
)

// madeOf is by how much a batch may be more than what was there and went in: salt, and how well a level is read.
const madeOf = 1.1

// tooMuchMade warns of a batch of more water than it was made of: one wrong digit, and a plan counts on it; and of one whose
// volume nobody gave.
func (w entryWords) tooMuchMade(e stock.Entry) []string {
	d, err := e.Taken()
	if e.Kind != stock.Mixed || err != nil || d == nil || d.Store == "" {
		return nil
	}
	there := w.Before.StoreByID(e.Store).Volume
	if e.Litres == nil {
		return []string{fmt.Sprintf("CAUTION: water went in, and %s still counts as %s: tidehold stock dip %s VOLUME%s", e.Store, exact{there}.down(w.u), e.Store, w.here)}
	}
	pure := w.Before.StoreByID(d.Store).Volume.Sub(w.After.StoreByID(d.Store).Volume)
	if e.Litres.LessThanOrEqual(there.Add(pure).Mul(decimal.NewFromFloat(madeOf))) {
		return nil
	}
	return []string{fmt.Sprintf("CAUTION: %s in it and %s of purified water do not make %s. If it was mistyped: tidehold stock undo %d%s", exact{there}.down(w.u), exact{pure}.down(w.u), w.amount(e.Litres), e.ID, w.here)}
}

// saltOff is by how much the salinity of a batch may differ from what its salt and its water make: more is a slipped point, or a
// bag that nobody entered. A rule of this tool; its salt by the dose of the label is right within one.
const saltOff = 5

// saltedOtherwise warns of a batch whose salinity is not what was in the vat and went in: by "3.5" for 35 the next plan stirs in
// salt for a tenfold sea.
func (w entryWords) saltedOtherwise(e stock.Entry) []string {
	d, err := e.Taken()
	if e.Kind != stock.Mixed || e.Salinity == nil || e.Litres == nil || !e.Litres.IsPositive() || err != nil || d == nil && e.UsedKg == nil {
		return nil
	}
	whole := e.Litres.InexactFloat64()
	kept := whole // of what was in it: the rest was poured away before
	if d != nil {
		kept -= d.Litres.InexactFloat64()
	}
	before := w.Before.StoreByID(e.Store)
	saltL := max(0, min(kept, before.Volume.InexactFloat64())) * float64(before.Water.Salinity) // litres times salinity
	if salt, err := w.Before.FindSalt(e.SaltID); e.UsedKg != nil && err == nil && salt.DoseGL > 0 {
		saltL += e.UsedKg.InexactFloat64() * 1000 / salt.DoseGL * float64(salt.DoseSalinity)
	}
	makes := saltL / whole
	if math.Abs(makes-*e.Salinity) <= saltOff {
		return nil
	}
	return []string{fmt.Sprintf("CAUTION: what was in %s and went in make a salinity of about %s, not %s: measure it again before it is used. If it was mistyped: tidehold stock undo %d%s",
		e.Store, units.Fixed(makes, 0), units.Fixed(*e.Salinity, 1), e.ID, w.here)}
}

// readOtherwise warns of a vat that is read at a salinity far from its record, which no vat comes to by itself; of one that was
// mixed since without a reading the record says nothing.
func (w entryWords) readOtherwise(e stock.Entry) []string {
	before := w.Before.StoreByID(e.Store)
	if e.Kind != stock.Tested || e.Salinity == nil || before == nil || math.Abs(*e.Salinity-float64(before.Water.Salinity)) <= saltOff {
		return nil
	}
	for _, x := range slices.Backward(stock.Standing(w.entries, time.Time{}, e.Time)) {
		if x.Store == e.Store && x.Kind == stock.Mixed {
			if x.Salinity == nil {
				return nil
			}
			break
		}
	}
	return []string{fmt.Sprintf("CAUTION: by the record %s is at salinity %s, not %s: read it again before it is used. If it was mistyped: tidehold stock undo %d%s",
		e.Store, units.Fixed(float64(before.Water.Salinity), 1), units.Fixed(*e.Salinity, 1), e.ID, w.here)}
}
