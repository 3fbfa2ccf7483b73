package stock

import (
	"encoding/json"
	"fmt"

	"github.com/shopspring/decimal"

	"tidehold/volumes/site"
)

// Pour is water taken for one change during an incident.
type Pour struct {
	// Store is the id of the store it came from; "" for water that no store of the
	// site held, a neighbour's or a delivery's.
	Store  string
	Litres decimal.Decimal
	// Salinity and TemperatureC as poured; nil: nobody knows. SalinityRecorded and TempRecorded say that
	// it was taken from the record of the store, not measured as it was poured.
	Salinity, TemperatureC         *float64
	SalinityRecorded, TempRecorded bool
}

// pourWire is a Pour as it stands in Data.
type pourWire struct {
	Store    string      `json:"store,omitempty"`
	Litres   json.Number `json:"litres"`
	Salinity *float64    `json:"salinity,omitempty"`
	TempC    *float64    `json:"temp_c,omitempty"`
	// Recorded: not measured, but what of the two Measured names.
	Recorded bool   `json:"recorded,omitempty"`
	Measured string `json:"measured,omitempty"`
}

// What of a recorded pour was measured all the same.
const measuredSalinity, measuredTemp = "salinity", "temp_c"

// wire is a pour as it is written. A journal from before one could be measured without the other has no "measured", and
// is read as it was meant: neither was.
func (p Pour) wire() pourWire {
	w := pourWire{Store: p.Store, Litres: json.Number(p.Litres.String()), Salinity: p.Salinity, TempC: p.TemperatureC, Recorded: p.SalinityRecorded || p.TempRecorded}
	switch {
	case w.Recorded && !p.SalinityRecorded:
		w.Measured = measuredSalinity
	case w.Recorded && !p.TempRecorded:
		w.Measured = measuredTemp
	}
	return w
}

// PoursJSON is the list "from" of a Change's Data.
func PoursJSON(pours []Pour) (json.RawMessage, error) {
	list := make([]pourWire, len(pours))
	for i, p := range pours {
		list[i] = p.wire()
	}
	return json.Marshal(list)
}

// Pours reads what a Change drew. It returns an error for an entry of another kind,
// for Data that is no such list and for amounts out of range.
func (e Entry) Pours() ([]Pour, error) {
	if e.Kind != Change {
		return nil, fmt.Errorf("%s draws nothing for an incident", e.Kind)
	}
	var data struct {
		From []pourWire `json:"from"`
	}
	if json.Unmarshal(e.Data, &data) != nil || len(data.From) == 0 {
		return nil, fmt.Errorf("change needs data with a list \"from\" of what was poured")
	}
	pours := make([]Pour, len(data.From))
	for i, w := range data.From {
		p := Pour{Store: w.Store, Salinity: w.Salinity, TemperatureC: w.TempC}
		p.SalinityRecorded, p.TempRecorded = w.Recorded && w.Measured != measuredSalinity, w.Recorded && w.Measured != measuredTemp
		var err error
		if len(w.Litres) > 40 {
			return nil, fmt.Errorf("litres is %s, not a plain number", clip(string(w.Litres)))
		}
		if p.Litres, err = decimal.NewFromString(string(w.Litres)); err != nil {
			return nil, fmt.Errorf("litres is %q, not a plain number", clip(string(w.Litres)))
		}
		// The values are held to the ranges of an entry's own.
		if err := (Entry{Time: e.Time, Store: p.Store, Litres: &p.Litres, Salinity: p.Salinity, TemperatureC: p.TemperatureC}).ranges(); err != nil {
			return nil, err
		}
		if p.Litres.IsZero() {
			return nil, fmt.Errorf("change needs litres above 0")
		}
		pours[i] = p
	}
	return pours, nil
}

// applyChange draws what a change took, all of it or none.
func (st *state) applyChange(e Entry) error {
	pours, err := e.Pours()
	if err != nil {
		return err
	}
	left := map[*site.Store]decimal.Decimal{}
	for _, p := range pours {
		store, err := st.pourStore(p)
		if err != nil {
			return err
		}
		if store == nil {
			continue
		}
		if _, again := left[store]; !again {
			left[store] = store.Volume
		}
		if p.Litres.GreaterThan(left[store]) {
			return fmt.Errorf("a change with %s from %s is more than the %s it holds", st.volume(p.Litres), store.ID, st.held(left[store]))
		}
		left[store] = left[store].Sub(p.Litres)
	}
	for store, litres := range left {
		store.Volume = litres
	}
	return nil
}

// pourStore is the store a pour came from; nil for water from elsewhere.
func (st *state) pourStore(p Pour) (*site.Store, error) {
	if p.Store == "" {
		return nil, nil
	}
	return st.store(p.Store)
}

// salvageChange takes every store that a refused change names to be empty.
func (st *state) salvageChange(e Entry) string {
	pours, err := e.Pours()
	if err != nil {
		return "it is passed over"
	}
	said := ""
	for _, p := range pours {
		if store := st.stores[p.Store]; store != nil && p.Litres.GreaterThan(store.Volume) {
			store.Volume = decimal.Decimal{}
			said += store.ID + " is taken to be empty: dip it; "
		}
	}
	if said == "" {
		return "it is passed over"
	}
	return said[:len(said)-2]
}
