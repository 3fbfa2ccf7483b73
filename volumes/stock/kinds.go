package stock

import (
	"fmt"
	"maps"
	"slices"

	"tidehold/refs"
)

// Kind says what an entry records.
type Kind string

// The kinds of entries that change what is on hand.
const (
	// Dip is a store measured: LevelCm, or Litres for a store without shape.
	Dip Kind = "dip"
	// Draw is Litres taken out of a store.
	Draw Kind = "draw"
	// Add is Litres put into a store, with Salinity and TempC if they differ.
	Add Kind = "add"
	// Mixed is a new batch in a store: its age starts, and Litres, Salinity and
	// TempC, where given, are what the store holds now, in total. Salt and
	// UsedKg say what went in, Data which purified water did (Taken).
	Mixed Kind = "mixed"
	// Tested is a store found good: its age starts again.
	Tested Kind = "tested"
	// Salt is a change of dry salt: Kg counted, BoughtKg or UsedKg.
	Salt Kind = "salt"
	// Kit is an item of the kit counted: Data holds a KitCount.
	Kit Kind = "kit"
	// Did is a drill held or a guard tested: Data holds a Deed.
	Did Kind = "did"
	// Change is water changed during an incident: Data holds the incident and what
	// was drawn from where (Pours).
	Change Kind = "change"
	// Undo takes back the entry whose id is Undoes.
	Undo Kind = "undo"
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

// kindRule is what the journal knows of a kind. To add one, add a row to kinds; if
// Fold acts on it, also a case to state.apply.
type kindRule struct {
	// stock: Fold acts on it. incident: it belongs to the record of an incident.
	stock, incident bool
	// complete insists on the fields of the kind; nil: none are needed.
	complete func(Entry) error
}

// kinds is every kind of entry there is.
var kinds = map[Kind]kindRule{
	Dip:    {stock: true, complete: completeDip},
	Draw:   {stock: true, complete: completeAmount},
	Add:    {stock: true, complete: completeAmount},
	Mixed:  {stock: true, complete: completeMixed},
	Tested: {stock: true, complete: needStore},
	Salt:   {stock: true, complete: completeSalt},
	Kit:    {stock: true, complete: func(e Entry) error { _, err := e.KitCount(); return err }},
	Did:    {stock: true, complete: func(e Entry) error { _, err := e.Deed(); return err }},
	Change: {stock: true, incident: true, complete: func(e Entry) error { _, err := e.Pours(); return err }},
	Undo:   {stock: true, complete: completeUndo},

	Opened:  {incident: true},
	Reading: {incident: true},
	Result:  {incident: true},
	Remark:  {incident: true},
	Closed:  {incident: true},
}

// OfIncident reports whether the kind belongs to the record of an incident.
func (k Kind) OfIncident() bool { return kinds[k].incident }

// stockKind reports whether Fold acts on the kind.
func (k Kind) stockKind() bool { return kinds[k].stock }

// unknown words a kind that is not in the table; "" for one that is.
func (k Kind) unknown() string {
	if _, ok := kinds[k]; ok {
		return ""
	}
	hint := ""
	if near, ok := refs.Nearest(clip(string(k)), kindNames()); ok {
		hint = "; " + refs.DidYouMean(near)
	}
	return fmt.Sprintf("kind %q is not known%s", clip(string(k)), hint)
}

// kindNames are the kinds in order of the alphabet.
func kindNames() []string {
	var out []string
	for k := range maps.Keys(kinds) {
		out = append(out, string(k))
	}
	slices.Sort(out)
	return out
}

func needStore(e Entry) error {
	if e.Store == "" {
		return fmt.Errorf("%s needs a store", e.Kind)
	}
	return nil
}

func completeDip(e Entry) error {
	if (e.Litres == nil) == (e.LevelCm == nil) {
		return fmt.Errorf("dip needs either level_cm or litres")
	}
	return needStore(e)
}

func completeAmount(e Entry) error {
	if err := needStore(e); err != nil {
		return err
	}
	if e.Litres == nil || e.Litres.IsZero() {
		return fmt.Errorf("%s needs litres above 0", e.Kind)
	}
	return nil
}

func completeMixed(e Entry) error {
	if (e.UsedKg != nil) != (e.SaltID != "") {
		return fmt.Errorf("mixed needs salt and used_kg together, or neither")
	}
	if _, err := e.UsableFrom(); err != nil {
		return err
	}
	if _, err := e.Taken(); err != nil {
		return err
	}
	return needStore(e)
}

func completeSalt(e Entry) error {
	given := 0
	for _, given1 := range []bool{e.Kg != nil, e.BoughtKg != nil, e.UsedKg != nil} {
		if given1 {
			given++
		}
	}
	if e.SaltID == "" || given != 1 {
		return fmt.Errorf("salt needs the salt's id and one of kg, bought_kg and used_kg")
	}
	return nil
}

func completeUndo(e Entry) error {
	if e.Undoes < 1 {
		return fmt.Errorf("undo needs the id of the entry it undoes")
	}
	return nil
}
