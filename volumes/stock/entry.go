package stock

import (
	"encoding/json"
	"fmt"
	"time"

	"github.com/shopspring/decimal"
)

// Kind says what an entry records.
type Kind string

// The kinds of stock entries. Entries of any other kind belong to other records
// kept in the same journal (incidents); Fold passes over them.
const (
	// Dip is a store measured: LevelCm, or Litres for a store without shape.
	Dip Kind = "dip"
	// Draw is Litres taken out of a store.
	Draw Kind = "draw"
	// Add is Litres put into a store, with Salinity and TempC if they differ.
	Add Kind = "add"
	// Mixed is a new batch in a store: its age starts, and Litres, Salinity and
	// TempC, where given, are what the store holds now, in total. Salt and
	// UsedKg say what went in.
	Mixed Kind = "mixed"
	// Tested is a store found good: its age starts again.
	Tested Kind = "tested"
	// Salt is a change of dry salt: Kg counted, BoughtKg or UsedKg.
	Salt Kind = "salt"
	// Undo takes back the entry whose id is Undoes.
	Undo Kind = "undo"
	// Change is water changed during an incident: Data holds the incident and what
	// was drawn from where (Pours).
	Change Kind = "change"
)

// The kinds of entries of an incident besides Change. What their Data holds is said
// in package incident; they do not touch the stock.
const (
	Opened  Kind = "opened"
	Reading Kind = "reading"
	Result  Kind = "result"
	Remark  Kind = "note"
	Closed  Kind = "closed"
)

// OfIncident reports whether the kind belongs to the record of an incident. Such
// entries are dated when it happened, not when it was written down: they may come
// late and out of order.
func (k Kind) OfIncident() bool {
	switch k {
	case Opened, Change, Reading, Result, Remark, Closed:
		return true
	}
	return false
}

// stockKind reports whether Fold acts on the kind.
func (k Kind) stockKind() bool {
	switch k {
	case Dip, Draw, Add, Mixed, Tested, Salt, Undo, Change:
		return true
	}
	return false
}

// Entry is one line of the journal. Which fields count depends on Kind; the
// others are nil or empty.
type Entry struct {
	// ID numbers the entries from 1 up; given when the entry is written.
	ID   int
	Time time.Time
	Kind Kind
	// Store and SaltID name what the entry is about.
	Store, SaltID string
	// Litres, LevelCm and the masses in kg are exact, 0 to 10⁹ with at most nine
	// decimals.
	Litres, LevelCm        *decimal.Decimal
	Kg, BoughtKg, UsedKg   *decimal.Decimal
	Salinity, TemperatureC *float64
	Undoes                 int
	Note                   string
	// Data is what other kinds carry, one JSON value.
	Data json.RawMessage
}

const (
	maxAmount   = 1_000_000_000
	maxDecimals = 9
	maxText     = 2000 // characters of a note, bytes of a name
)

// AmountError says that a number does not fit a journal.
type AmountError struct{ Field, Found string }

func (e *AmountError) Error() string {
	return fmt.Sprintf("%s is %s; 0 to %d with at most %d decimals is allowed", e.Field, e.Found, maxAmount, maxDecimals)
}

// amount checks a decimal for the journal. The exponent is looked at first:
// comparing 1e9999 costs ten thousand digits.
func amount(field string, d *decimal.Decimal) error {
	if d == nil {
		return nil
	}
	exponent, found := d.Exponent(), ""
	switch {
	case exponent < -maxDecimals-20 || exponent > maxDecimals:
		found = "too long or too large"
	case d.IsNegative(), d.GreaterThan(decimal.New(maxAmount, 0)), !d.Equal(d.Truncate(maxDecimals)):
		found = d.String()
	default:
		return nil
	}
	return &AmountError{field, found}
}

// check says whether an entry is complete in itself: the fields its kind needs,
// within their ranges. What it means for a site is Fold's to say.
func (e Entry) check() error {
	for _, f := range []struct {
		name string
		d    *decimal.Decimal
	}{{"litres", e.Litres}, {"level_cm", e.LevelCm}, {"kg", e.Kg}, {"bought_kg", e.BoughtKg}, {"used_kg", e.UsedKg}} {
		if err := amount(f.name, f.d); err != nil {
			return err
		}
	}
	// Outside these years a time cannot be written as RFC 3339 in every zone.
	if y := e.Time.UTC().Year(); y < 1970 || y > 9998 {
		return fmt.Errorf("time is in the year %d; 1970 to 9998 is allowed", y)
	}
	if s := e.Salinity; s != nil && !(*s >= 0 && *s <= 42) {
		return fmt.Errorf("salinity is %v; 0 to 42 is allowed", *s)
	}
	if t := e.TemperatureC; t != nil && !(*t >= 0 && *t <= 40) {
		return fmt.Errorf("temp_c is %v; 0 to 40 is allowed", *t)
	}
	if len(e.Store) > maxText || len(e.SaltID) > maxText || len(e.Note) > maxText || len(e.Kind) > maxText {
		return fmt.Errorf("a name or note is longer than %d bytes", maxText)
	}
	return e.complete()
}

// complete insists on the fields of the kind.
func (e Entry) complete() error {
	switch e.Kind {
	case "":
		return fmt.Errorf("kind is missing")
	case Dip, Draw, Add, Mixed, Tested:
		if e.Store == "" {
			return fmt.Errorf("%s needs a store", e.Kind)
		}
	}
	switch e.Kind {
	case Dip:
		if (e.Litres == nil) == (e.LevelCm == nil) {
			return fmt.Errorf("dip needs either level_cm or litres")
		}
	case Draw, Add:
		if e.Litres == nil || e.Litres.IsZero() {
			return fmt.Errorf("%s needs litres above 0", e.Kind)
		}
	case Mixed:
		if (e.UsedKg != nil) != (e.SaltID != "") {
			return fmt.Errorf("mixed needs salt and used_kg together, or neither")
		}
	case Salt:
		given := 0
		for _, d := range []*decimal.Decimal{e.Kg, e.BoughtKg, e.UsedKg} {
			if d != nil {
				given++
			}
		}
		if e.SaltID == "" || given != 1 {
			return fmt.Errorf("salt needs the salt's id and one of kg, bought_kg and used_kg")
		}
	case Undo:
		if e.Undoes < 1 {
			return fmt.Errorf("undo needs the id of the entry it undoes")
		}
	case Change:
		_, err := e.Pours()
		return err
	}
	return nil
}
