package mixing

import (
	"github.com/shopspring/decimal"

	"tidehold/refs/units"
)

// Bill is what an amount of salt mix means in bags and money.
type Bill struct {
	// Bags to have: part of a bag counts as one. Nil when the size is not known.
	Bags *int `json:"bags"`
	// WholeBags to empty in, and LooseKg to weigh from the next.
	WholeBags int     `json:"whole_bags"`
	LooseKg   float64 `json:"loose_kg"`
	// Cost of the salt used, rounded up to the hundredth. Nil when the price is
	// not known.
	Cost *decimal.Decimal `json:"cost"`
}

// costPlaces of a price: hundredths of the currency. massPlaces of a weight that is paid for:
// milligrams; what lies below is left by sums of float64, and would round a price up.
const (
	costPlaces = 2
	massPlaces = 6
)

// BillFor divides saltKg into bags of bagKg (0 where not known) and prices it at
// price per kilogram (nil where not known). A remainder below a milligram per
// kilogram is rounding, not salt. This is the one place where a weight from
// physics becomes money: the product of both, rounded up.
//
// Errors: a negative weight, bag or price (*InputError).
func BillFor(saltKg, bagKg float64, price *decimal.Decimal) (Bill, error) {
	if err := checkAmount("salt", saltKg, "kg"); err != nil {
		return Bill{}, err
	}
	if err := checkAmount("bag", bagKg, "kg"); err != nil {
		return Bill{}, err
	}
	b := Bill{LooseKg: saltKg}
	if bagKg > 0 {
		const trace = 1e-6
		if !(saltKg/bagKg <= mostBags) {
			return Bill{}, &InputError{What: "bag", Found: short(bagKg) + " kg", Allowed: "a bag that holds more", Hint: "it would take over a million bags"}
		}
		b.WholeBags = int(units.Down.To(saltKg/bagKg+trace, 1))
		b.LooseKg = saltKg - float64(b.WholeBags)*bagKg
		bags := b.WholeBags
		if b.LooseKg > trace*saltKg {
			bags++
		} else {
			b.LooseKg = 0
		}
		b.Bags = &bags
	}
	if price != nil {
		if price.IsNegative() {
			return Bill{}, &InputError{What: "price", Found: price.String(), Allowed: "zero or more"}
		}
		cost := decimal.NewFromFloat(saltKg).Round(massPlaces).Mul(*price).RoundCeil(costPlaces)
		b.Cost = &cost
	}
	return b, nil
}

// mostBags keeps the count an integer on every machine.
const mostBags = 1e6
