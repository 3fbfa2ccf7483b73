package stock

import (
	"encoding/json"
	"fmt"
	"math"
	"time"

	"github.com/shopspring/decimal"
)

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
	// Late says that the entry was written down after others that happened later: it
	// takes its place by its time.
	Late bool
	Note string
	// Data is what other kinds carry, one JSON value.
	Data json.RawMessage
}

const (
	// maxID is the highest number of an entry: the largest that every reader of JSON
	// takes exactly, and one below overflow where integers are shorter.
	maxID       = min(1<<53, math.MaxInt-1)
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
	if err := e.ranges(); err != nil {
		return err
	}
	if e.Kind == "" {
		return fmt.Errorf("kind is missing")
	}
	if rule := kinds[e.Kind]; rule.complete != nil {
		return rule.complete(e)
	}
	return nil
}

// ranges checks the values of an entry, whatever its kind.
func (e Entry) ranges() error {
	for _, f := range []struct {
		name string
		d    *decimal.Decimal
	}{{"litres", e.Litres}, {"level_cm", e.LevelCm}, {"kg", e.Kg}, {"bought_kg", e.BoughtKg}, {"used_kg", e.UsedKg}} {
		if err := amount(f.name, f.d); err != nil {
			return err
		}
	}
	if e.ID > maxID || e.Undoes > maxID {
		return fmt.Errorf("id is %d; at most %d is allowed", max(e.ID, e.Undoes), maxID)
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
	return nil
}
