package stock

import (
	"fmt"
	"slices"
	"time"

	"github.com/shopspring/decimal"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/salinity/mixing"
	"tidehold/volumes/site"
)

// state is a site being brought up to date.
type state struct {
	site   *site.Site
	stores map[string]*site.Store
	salts  map[string]*site.Salt
	// settled holds the places of the site file whose values the record has replaced.
	settled map[refs.Place]bool
	// measured is when each store was last dipped or filled anew, and now the moment
	// after which a date is not believed.
	measured map[string]time.Time
	now      time.Time
}

// settle notes that the record has replaced a value of the site file.
func (st *state) settle(list, id, key string) {
	st.settled[refs.Place{List: list, ID: id, Key: key}] = true
}

// newState copies what entries change.
func newState(s *site.Site, now time.Time) *state {
	c := *s
	c.Stores, c.Salts = slices.Clone(s.Stores), slices.Clone(s.Salts)
	st := &state{site: &c, stores: map[string]*site.Store{}, salts: map[string]*site.Salt{}, settled: map[refs.Place]bool{},
		measured: map[string]time.Time{}, now: now}
	for i := range c.Stores {
		st.stores[c.Stores[i].ID] = &c.Stores[i]
	}
	for i := range c.Salts {
		st.salts[c.Salts[i].ID] = &c.Salts[i]
	}
	return st
}

// litresOf brings a computed volume into the ledger: rounded to the microlitre,
// half away from zero, as the loader does. It is the only place where a float becomes stock.
func litresOf(v units.Litres) decimal.Decimal { return decimal.NewFromFloat(float64(v)).Round(6) }

// apply changes the state as the entry says, or returns why it cannot and
// changes nothing.
func (st *state) apply(e Entry) error {
	if e.Kind == Salt {
		salt, err := st.salt(e.SaltID)
		if err != nil {
			return err
		}
		return st.applySalt(salt, e)
	}
	if e.Kind == Change {
		return st.applyChange(e)
	}
	store, err := st.store(e.Store)
	if err != nil {
		return err
	}
	switch e.Kind {
	case Dip:
		return st.applyDip(store, e)
	case Draw:
		if e.Litres.GreaterThan(store.Volume) {
			return fmt.Errorf("a draw of %s is more than the %s in %s", st.volume(*e.Litres), st.volume(store.Volume), store.ID)
		}
		store.Volume = store.Volume.Sub(*e.Litres)
	case Add:
		return st.applyAdd(store, e)
	case Mixed:
		return st.applyMixed(store, e)
	case Tested:
		tested := e.Time
		store.Tested = &tested
		st.settle("stores", store.ID, "mixed")
		st.setWater(store, e)
	}
	return nil
}

func (st *state) applyDip(store *site.Store, e Entry) error {
	var now decimal.Decimal
	if e.Litres != nil {
		now = *e.Litres
	} else {
		if store.Shape == nil {
			return fmt.Errorf("%s has no shape in the site file, so a level says nothing; give a volume", store.ID)
		}
		v, err := store.Shape.VolumeAt(e.LevelCm.InexactFloat64())
		if err != nil {
			return fmt.Errorf("a dip of %s in %s is above the brim at %s (%s)", st.length(e.LevelCm.InexactFloat64()), store.ID,
				st.length(store.Shape.HeightCm()), st.volume(litresOf(store.Shape.Full()).Round(3)))
		}
		now = litresOf(v)
	}
	if err := st.fits(store, now); err != nil {
		return err
	}
	store.Volume = now
	st.measured[store.ID] = e.Time
	st.settle("stores", store.ID, "volume")
	return nil
}

// fits refuses a volume above the brim. The capacity comes from a shape, so that
// full to the millilitre counts as full.
func (st *state) fits(store *site.Store, v decimal.Decimal) error {
	if full := litresOf(store.Capacity).Round(3); v.Round(3).GreaterThan(full) {
		return fmt.Errorf("%s in %s is above its brim, %s", st.volume(v), store.ID, st.volume(full))
	}
	return nil
}

func (st *state) applyAdd(store *site.Store, e Entry) error {
	total := store.Volume.Add(*e.Litres)
	if err := st.fits(store, total); err != nil {
		return fmt.Errorf("adding %s to the %s there: %w", st.volume(*e.Litres), st.volume(store.Volume), err)
	}
	there := mixing.Water{Volume: units.Litres(store.Volume.InexactFloat64()), Salinity: store.Water.Salinity, Temperature: store.Water.Temperature}
	added := mixing.Water{Volume: units.Litres(e.Litres.InexactFloat64()), Salinity: there.Salinity, Temperature: there.Temperature}
	if e.Salinity != nil {
		added.Salinity = units.Practical(*e.Salinity)
	}
	if e.TemperatureC != nil {
		added.Temperature = units.Celsius(*e.TemperatureC)
	}
	mix, err := mixing.Blend(there, added)
	if err != nil {
		return fmt.Errorf("adding to %s: %w", store.ID, err)
	}
	store.Volume, store.Water.Salinity, store.Water.Temperature = total, mix.Salinity, mix.Temperature
	return nil
}

func (st *state) applyMixed(store *site.Store, e Entry) error {
	if store.Holds != site.Saltwater {
		return fmt.Errorf("%s holds %s water; mixed is for saltwater", store.ID, store.Holds)
	}
	if e.Litres != nil {
		if err := st.fits(store, *e.Litres); err != nil {
			return err
		}
	}
	if e.UsedKg != nil {
		salt, err := st.salt(e.SaltID)
		if err != nil {
			return err
		}
		if err := st.applySalt(salt, e); err != nil {
			return err
		}
	}
	if e.Litres != nil {
		store.Volume = *e.Litres
		st.measured[store.ID] = e.Time
		st.settle("stores", store.ID, "volume")
	}
	mixed := e.Time
	store.Mixed, store.Tested = &mixed, nil
	st.settle("stores", store.ID, "mixed")
	st.setWater(store, e)
	return nil
}

// setWater takes over a measured salinity and temperature.
func (st *state) setWater(store *site.Store, e Entry) {
	if e.Salinity != nil {
		store.Water.Salinity = units.Practical(*e.Salinity)
		st.settle("stores", store.ID, "salinity")
	}
	if e.TemperatureC != nil {
		store.Water.Temperature = units.Celsius(*e.TemperatureC)
		st.settle("stores", store.ID, "temperature")
	}
}

func (st *state) applySalt(salt *site.Salt, e Entry) error {
	switch {
	case e.Kg != nil:
		salt.OnHand = *e.Kg
		st.settle("salts", salt.ID, "on_hand")
	case e.BoughtKg != nil:
		salt.OnHand = salt.OnHand.Add(*e.BoughtKg)
	case e.UsedKg.GreaterThan(salt.OnHand):
		return fmt.Errorf("using %s of %s is more than the %s on hand", st.mass(*e.UsedKg), salt.ID, st.mass(salt.OnHand))
	default:
		salt.OnHand = salt.OnHand.Sub(*e.UsedKg)
	}
	return nil
}

// salvage does with a refused entry what errs on the side of less water and
// salt, and says what that was.
func (st *state) salvage(e Entry) string {
	store, salt := st.stores[e.Store], st.salts[e.SaltID]
	switch {
	case e.Kind == Change:
		return st.salvageChange(e)
	case e.Kind == Draw && store != nil:
		store.Volume = decimal.Decimal{}
		return store.ID + " is taken to be empty: dip it"
	case e.Kind == Add && store != nil:
		store.Volume = decimal.Max(store.Volume, decimal.NewFromFloat(float64(store.Capacity)).RoundFloor(3))
		return store.ID + " is taken to be full: dip it"
	case e.Kind == Salt && salt != nil:
		salt.OnHand = decimal.Decimal{}
		return salt.ID + " is taken to be used up: weigh it"
	}
	return "it is passed over"
}

func (st *state) store(id string) (*site.Store, error) {
	if s := st.stores[id]; s != nil {
		return s, nil
	}
	return st.site.FindStore(id)
}

func (st *state) salt(id string) (*site.Salt, error) {
	if s := st.salts[id]; s != nil {
		return s, nil
	}
	return st.site.FindSalt(id)
}

// The numbers of messages, in the units of the site; litres and kilograms exact.

func (st *state) volume(v decimal.Decimal) string {
	if st.site.Units == units.US {
		return st.site.Units.Volume(v.InexactFloat64(), units.Nearest)
	}
	return v.String() + " L"
}

func (st *state) mass(m decimal.Decimal) string {
	if st.site.Units == units.US {
		return st.site.Units.Mass(m.InexactFloat64(), units.Nearest)
	}
	return m.String() + " kg"
}

func (st *state) length(cm float64) string {
	if st.site.Units == units.US {
		return decimal.NewFromFloat(cm/2.54).Round(2).String() + " in"
	}
	return decimal.NewFromFloat(cm).Round(2).String() + " cm"
}
