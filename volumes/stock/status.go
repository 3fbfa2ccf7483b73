package stock

import (
	"slices"
	"time"

	"github.com/shopspring/decimal"

	"tidehold/refs/units"
	"tidehold/salinity/mixing"
	"tidehold/volumes/site"
)

// State says in one word whether a store's water counts.
type State string

// The states of a store, the worst that applies.
const (
	Ready   State = "ready"
	Undated State = "undated" // saltwater counted although nobody noted when it was mixed
	OverAge State = "over-age"
	AtHeel  State = "at heel" // nothing the pump can reach
	Mixing  State = "mixing"  // a batch that may not be used yet
)

// StoreStatus is one store as it stands.
type StoreStatus struct {
	ID    string
	Holds site.Holds
	// Litres is all there is, Usable what is left of it above the heel.
	Litres, Usable decimal.Decimal
	Salinity       units.Practical
	TemperatureC   units.Celsius
	// AgeH is the age in hours since mixed or last tested; nil if unknown.
	AgeH *float64
	// MixedH and TestedH are hours since it was mixed and since it was last found
	// good; nil if unknown. The smaller is AgeH.
	MixedH, TestedH *float64
	MaxAgeH         float64
	State           State
	// DatedAhead says of undated water that its date lies in the future.
	DatedAhead bool
}

// SaltStatus is one dry salt as it stands.
type SaltStatus struct {
	ID     string
	OnHand decimal.Decimal
	// Makes is the finished saltwater it makes at the salinity of its dose, in
	// litres; Batches how many fillings of BatchStore that is, to a fraction.
	// Both are 0 if the dose does not work out.
	Makes      units.Litres
	Batches    float64
	BatchStore string
}

// KitStatus is one item of the kit as it stands.
type KitStatus struct {
	site.KitItem
	// OK is true if there are enough and none has expired.
	OK bool
}

// Total is the water of one kind in all stores.
type Total struct {
	Holds site.Holds
	// Litres is all there is. Usable is what counts for an event: above the
	// heels, not over age, and less Reserve.
	Litres, Usable, Reserve decimal.Decimal
}

// Status is everything on hand.
type Status struct {
	Stores []StoreStatus
	Totals []Total
	Salts  []SaltStatus
	Kit    []KitStatus
}

// StatusOf says what is on hand of a folded site at a moment.
func StatusOf(s *site.Site, now time.Time) Status {
	var out Status
	totals := []Total{
		{Holds: site.Saltwater, Reserve: decimal.NewFromFloat(float64(s.Reserve.Saltwater))},
		{Holds: site.Purified, Reserve: decimal.NewFromFloat(float64(s.Reserve.Purified))},
	}
	for _, store := range s.Stores {
		st := statusOf(store, now)
		out.Stores = append(out.Stores, st)
		for i := range totals {
			if totals[i].Holds != store.Holds {
				continue
			}
			totals[i].Litres = totals[i].Litres.Add(st.Litres)
			if st.State != OverAge {
				totals[i].Usable = totals[i].Usable.Add(st.Usable)
			}
		}
	}
	for _, t := range totals {
		t.Usable = decimal.Max(decimal.Decimal{}, t.Usable.Sub(t.Reserve))
		out.Totals = append(out.Totals, t)
	}
	for _, salt := range s.Salts {
		out.Salts = append(out.Salts, saltStatus(s, salt))
	}
	for _, k := range s.Kit {
		out.Kit = append(out.Kit, KitStatus{k, k.Have >= k.Need && !k.Expired(now)})
	}
	return out
}

func statusOf(store site.Store, now time.Time) StoreStatus {
	heel := decimal.NewFromFloat(float64(store.Heel))
	st := StoreStatus{ID: store.ID, Holds: store.Holds, Litres: store.Volume, Usable: decimal.Max(decimal.Decimal{}, store.Volume.Sub(heel)),
		Salinity: store.Water.Salinity, TemperatureC: store.Water.Temperature, MaxAgeH: store.MaxAgeH, State: Ready}
	since := store.FreshSince()
	st.AgeH, st.MixedH, st.TestedH = hoursSince(since, now), hoursSince(store.Mixed, now), hoursSince(store.Tested, now)
	switch {
	case !st.Usable.IsPositive():
		st.State = AtHeel
	case store.BeingMixed(now) > 0:
		st.State, st.Usable = Mixing, decimal.Decimal{}
	case store.Holds == site.Saltwater && since == nil:
		st.State, st.DatedAhead = Undated, store.DatedAhead
	case store.OverAge(now):
		st.State = OverAge
	}
	return st
}

// hoursSince is nil where the moment is not known.
func hoursSince(t *time.Time, now time.Time) *float64 {
	if t == nil {
		return nil
	}
	h := max(0, now.Sub(*t).Hours())
	return &h
}

// saltStatus works out what a salt makes, and how often that fills the largest
// vat allowed for batches.
func saltStatus(s *site.Site, salt site.Salt) SaltStatus {
	out := SaltStatus{ID: salt.ID, OnHand: salt.OnHand}
	batch, err := mixing.FromSalt(salt.OnHand.InexactFloat64(), mixing.Recipe{
		Salinity: salt.DoseSalinity, Temperature: salt.DoseTemperature, Source: salt.DoseTemperature,
		Dose: salt.Dose(),
	})
	if err != nil || !salt.OnHand.IsPositive() {
		return out
	}
	out.Makes = batch.Volume
	var vat units.Litres
	for _, store := range s.Stores {
		if slices.Contains(s.Mixing.In, store.ID) && store.Capacity > vat {
			vat, out.BatchStore = store.Capacity, store.ID
		}
	}
	if vat > 0 {
		out.Batches = float64(out.Makes / vat)
	}
	return out
}
