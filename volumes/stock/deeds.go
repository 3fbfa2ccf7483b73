package stock

import (
	"encoding/json"
	"fmt"
	"time"

	"github.com/shopspring/decimal"
)

// KitCount is an item of the kit as counted.
type KitCount struct {
	Item string `json:"item"`
	Have int    `json:"have"`
	// Expires is the last day the oldest may be used, "2027-03-01"; "" leaves the
	// day the site file or an earlier entry gives.
	Expires string `json:"expires,omitempty"`
}

// maxKit bounds a count, as the site file does.
const maxKit = 100_000

// KitCount reads the Data of a Kit entry. It returns an error for Data that is none
// and for values out of range.
func (e Entry) KitCount() (KitCount, error) {
	var k KitCount
	switch err := json.Unmarshal(e.Data, &k); {
	case err != nil || k.Item == "":
		return k, fmt.Errorf("kit needs data with an item and how many there are")
	case k.Have < 0 || k.Have > maxKit:
		return k, fmt.Errorf("have is %d; 0 to %d is allowed", k.Have, maxKit)
	case k.Expires != "":
		if _, err := time.Parse(time.DateOnly, k.Expires); err != nil {
			return k, fmt.Errorf("expires is %q; a day like 2027-03-01 is expected", clip(k.Expires))
		}
	}
	return k, nil
}

// Deed is something that was done and has a date in the site file: a drill, or the
// test of a guard. Exactly one of the two is set.
type Deed struct {
	Drill string    `json:"drill,omitempty"`
	Guard *GuardRef `json:"guard,omitempty"`
}

// GuardRef names a guard: of a piece of equipment of a system, or of the purifier
// (System and Equipment empty).
type GuardRef struct {
	System    string `json:"system,omitempty"`
	Equipment string `json:"equipment,omitempty"`
	Kind      string `json:"kind"`
}

// String names the guard for people.
func (g GuardRef) String() string {
	if g.Equipment == "" {
		return g.Kind + " of the purifier"
	}
	return g.Kind + " of " + g.System + "/" + g.Equipment
}

// String names the deed for people.
func (d Deed) String() string {
	if d.Guard != nil {
		return "test of the " + d.Guard.String()
	}
	return d.Drill
}

// Deed reads the Data of a Did entry. It returns an error for Data that is none.
func (e Entry) Deed() (Deed, error) {
	var d Deed
	if json.Unmarshal(e.Data, &d) != nil || (d.Drill == "") == (d.Guard == nil) || d.Guard != nil && d.Guard.Kind == "" {
		return d, fmt.Errorf("did needs data with a drill or a guard")
	}
	return d, nil
}

// Taken is the purified water that went into a batch, and when the batch may be used.
type Taken struct {
	Store  string      `json:"purified,omitempty"`
	Litres json.Number `json:"litres,omitempty"`
	// Usable is RFC 3339; "": at once.
	Usable string `json:"usable,omitempty"`
}

// longestMix is how long a batch may take until it is used.
const longestMix = 14 * 24 * time.Hour

// UsableFrom reads from the Data of a Mixed entry when the batch may be used: nil if at once. It returns
// an error for a time that is none, before the entry or more than two weeks after it.
func (e Entry) UsableFrom() (*time.Time, error) {
	var t Taken
	if len(e.Data) == 0 || json.Unmarshal(e.Data, &t) != nil || t.Usable == "" {
		return nil, nil
	}
	at, err := time.Parse(time.RFC3339, t.Usable)
	if err != nil || at.Before(e.Time) || at.Sub(e.Time) > longestMix {
		return nil, fmt.Errorf("usable is %q; a time from the entry's own to two weeks after it is allowed", clip(t.Usable))
	}
	return &at, nil
}

// Taken reads the Data of a Mixed entry: nil if it has none. It returns an error for Data
// that is none and for amounts out of range.
func (e Entry) Taken() (*Draft, error) {
	if len(e.Data) == 0 {
		return nil, nil
	}
	var t Taken
	if json.Unmarshal(e.Data, &t) == nil && t.Usable != "" && t.Store == "" && t.Litres == "" {
		return nil, nil
	}
	if json.Unmarshal(e.Data, &t) != nil || t.Store == "" || len(t.Litres) > 40 {
		return nil, fmt.Errorf("mixed takes data with the store and the litres of the purified water that went in")
	}
	litres, err := decimal.NewFromString(string(t.Litres))
	if err != nil {
		return nil, fmt.Errorf("litres is %q, not a plain number", clip(string(t.Litres)))
	}
	return &Draft{t.Store, litres}, amount("litres", &litres)
}

// Draft is water drawn from a store.
type Draft struct {
	Store  string
	Litres decimal.Decimal
}

// JSONOf is what goes into Entry.Data; v is one of the types of this file.
func JSONOf(v any) json.RawMessage {
	data, err := json.Marshal(v)
	if err != nil {
		panic("stock: " + err.Error()) // strings and numbers cannot fail
	}
	return data
}
