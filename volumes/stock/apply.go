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
	// undated holds the entries with which stores were mixed at a date that cannot be.
	undated map[string]int
	// now is the moment after which a date is not believed.
	now time.Time
}

// settle notes that the record has replaced a value of the site file.
func (st *state) settle(list, id, key string) {
	st.settled[refs.Place{List: list, ID: id, Key: key}] = true
}

// newState copies what entries change.
func newState(s *site.Site, now time.Time) *state {
	c := *s
	c.Stores, c.Salts, c.Kit, c.Drills = slices.Clone(s.Stores), slices.Clone(s.Salts), slices.Clone(s.Kit), slices.Clone(s.Drills)
	st := &state{site: &c, stores: map[string]*site.Store{}, salts: map[string]*site.Salt{}, settled: map[refs.Place]bool{},
		undated: map[string]int{}, now: now}
	for i := range c.Stores {
		st.stores[c.Stores[i].ID] = &c.Stores[i]
	}
	for i := range c.Salts {
		st.salts[c.Salts[i].ID] = &c.Salts[i]
	}
	return st
}

// resume goes on from a site that before has brought up to date.
func resume(s *site.Site, before *state) *state {
	st := newState(s, before.now)
	st.settled, st.undated = before.settled, before.undated
	return st
}

// litresOf brings a computed volume into the ledger: rounded to the microlitre,
// half away from zero, as the loader does. It is the only place where a float becomes stock.
func litresOf(v units.Litres) decimal.Decimal { return decimal.NewFromFloat(float64(v)).Round(6) }

// apply changes the state as the entry says, or returns why it cannot and
// changes nothing.
func (st *state) apply(e Entry) error {
	switch e.Kind {
	case Salt:
		salt, err := st.salt(e.SaltID)
		if err != nil {
			return err
		}
		return st.applySalt(salt, e)
	case Kit:
		return st.applyKit(e)
	case Did:
		return st.applyDid(e)
	case Change:
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
			return fmt.Errorf("a draw of %s is more than the %s in %s", st.volume(*e.Litres), st.held(store.Volume), store.ID)
		}
		store.Volume = store.Volume.Sub(*e.Litres)
	case Add:
		return st.applyAdd(store, e)
	case Mixed:
		return st.applyMixed(store, e)
	case Tested:
		if believed(e, st.now) {
			tested := e.Time
			store.Tested = &tested
			store.UsableFrom = nil // found good: it may be used
			st.settle("stores", store.ID, "mixed")
		}
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
				st.length(store.Shape.HeightCm()), st.held(litresOf(store.Shape.Full()).Round(3)))
		}
		now = litresOf(v)
	}
	if err := st.fits(store, now); err != nil {
		return err
	}
	store.Volume = now
	st.settle("stores", store.ID, "volume")
	return nil
}

// fits refuses a volume above the brim. The capacity comes from a shape, so that
// full to the millilitre counts as full.
func (st *state) fits(store *site.Store, v decimal.Decimal) error {
	if full := litresOf(store.Capacity).Round(3); v.Round(3).GreaterThan(full) {
		return fmt.Errorf("%s in %s is above its brim, %s", st.volume(v), store.ID, st.held(full))
	}
	return nil
}

func (st *state) applyAdd(store *site.Store, e Entry) error {
	total := store.Volume.Add(*e.Litres)
	if err := st.fits(store, total); err != nil {
		return fmt.Errorf("adding %s to the %s there: %w", st.volume(*e.Litres), st.held(store.Volume), err)
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
	from, taken, err := st.draft(e)
	if err != nil {
		return err
	}
	if err := st.saltUsed(e); err != nil {
		return err
	}
	if from != nil {
		from.Volume = from.Volume.Sub(taken)
	}
	if e.Litres != nil {
		store.Volume = *e.Litres
		st.settle("stores", store.ID, "volume")
	}
	store.Mixed, store.Tested, store.DatedAhead = nil, nil, false
	if store.UsableFrom, err = e.UsableFrom(); err != nil {
		return err
	}
	if believed(e, st.now) {
		mixed := e.Time
		store.Mixed = &mixed
		st.settle("stores", store.ID, "mixed")
	} else {
		st.undated[store.ID], store.DatedAhead = e.ID, true
	}
	st.setWater(store, e)
	return nil
}

// saltUsed takes the dry salt of a batch, if the entry says which.
func (st *state) saltUsed(e Entry) error {
	if e.UsedKg == nil {
		return nil
	}
	salt, err := st.salt(e.SaltID)
	if err != nil {
		return err
	}
	return st.applySalt(salt, e)
}

// draft is the store that the purified water of a batch came from, and how much; nil
// if the entry does not say.
func (st *state) draft(e Entry) (*site.Store, decimal.Decimal, error) {
	d, err := e.Taken()
	if err != nil || d == nil {
		return nil, decimal.Decimal{}, err
	}
	from, err := st.store(d.Store)
	switch {
	case err != nil:
		return nil, d.Litres, err
	case from.Holds != site.Purified:
		return nil, d.Litres, fmt.Errorf("%s holds %s; a batch is mixed from purified water", from.ID, from.Holds)
	case d.Litres.GreaterThan(from.Volume):
		return nil, d.Litres, fmt.Errorf("a batch from %s is more than the %s in %s by the record; if more has been made since, enter what it holds first, with stock dip", st.volume(d.Litres), st.held(from.Volume), from.ID)
	}
	return from, d.Litres, nil
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

// The numbers of messages, in the units of the site.

// volume is what was entered, to the millilitre: a refusal may turn on it. With three decimals
// a fourth is written, as it would have to be typed.
func (st *state) volume(v decimal.Decimal) string {
	if st.site.Units == units.US {
		return st.site.Units.Volume(v.InexactFloat64(), units.Nearest)
	}
	ml := v.Round(3)
	if !ml.Equal(ml.Round(2)) {
		return ml.StringFixed(4) + " L"
	}
	return ml.String() + " L"
}

// held is what there is or fits, rounded down to what can be read off.
func (st *state) held(v decimal.Decimal) string {
	if st.site.Units == units.US {
		return st.site.Units.Volume(v.InexactFloat64(), units.Down)
	}
	return v.RoundFloor(2).String() + " L"
}

func (st *state) mass(m decimal.Decimal) string {
	if st.site.Units == units.US {
		return st.site.Units.Mass(m.InexactFloat64(), units.Nearest)
	}
	return m.Round(4).String() + " kg"
}

func (st *state) length(cm float64) string {
	if st.site.Units == units.US {
		return decimal.NewFromFloat(cm/2.54).Round(2).String() + " in"
	}
	return decimal.NewFromFloat(cm).Round(2).String() + " cm"
}
