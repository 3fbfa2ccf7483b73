package readiness

import (
	"maps"

	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/salinity/mixing"
	"tidehold/volumes/site"
)

// taken is what a plan takes out of the house.
type taken struct {
	// saltwaterL stored saltwater drawn, salinity its volume-weighted mean.
	saltwaterL, salinity float64
	// saltKg, by salt, and purifiedL went into batches.
	saltKg    map[string]float64
	purifiedL float64
	doneAtH   float64
}

// takenBy adds up what a plan draws from stores and puts into batches; what a
// delivery brought needs no replacing.
func takenBy(p plan.Plan) taken {
	t := taken{saltKg: map[string]float64{}, purifiedL: p.PurifiedL}
	pour := func(salts []plan.Salt) {
		for _, x := range salts {
			t.saltKg[x.ID] += x.Kg
		}
	}
	for _, b := range p.Batches {
		pour(b.Salts)
	}
	for _, x := range p.Prepared {
		pour(x.Salts)
	}
	for _, step := range p.Steps {
		t.doneAtH = max(t.doneAtH, step.DoneH)
		for _, d := range step.From {
			if d.StoreID != "" && d.Batch == 0 {
				t.saltwaterL += d.Litres
				t.salinity += d.Litres * d.Salinity
			}
		}
	}
	if t.saltwaterL > 0 {
		t.salinity /= t.saltwaterL
	}
	return t
}

// restockAfter says what it takes to have again what the plan took: the stored
// saltwater mixed anew with the site's first salt, and the purified water and salt
// of the batches. rateLH is what the purifier makes, 0 for none.
//
// The time is at the latest: the purifier starts when the event is over, and the
// regular mixing time follows.
func restockAfter(s *site.Site, sys *site.System, t taken, rateLH float64) (*Restock, error) {
	if t.saltwaterL == 0 && len(t.saltKg) == 0 && t.purifiedL == 0 {
		return nil, nil
	}
	r := &Restock{SaltwaterL: t.saltwaterL, PurifiedL: t.purifiedL, Salts: []plan.Salt{}}
	kg := maps.Clone(t.saltKg)
	if t.saltwaterL > 0 && len(s.Salts) > 0 {
		batch, err := mixedAnew(s, sys, t)
		if err != nil {
			return nil, err
		}
		r.PurifiedL += float64(batch.Water)
		if kg == nil {
			kg = map[string]float64{}
		}
		kg[s.Salts[0].ID] += batch.SaltKg
	}
	if err := r.buy(s, kg); err != nil {
		return nil, err
	}
	if rateLH > 0 {
		again := t.doneAtH + r.PurifiedL/rateLH
		if t.saltwaterL > 0 {
			again += s.Mixing.TimeH
		}
		r.ReadyAgainH = &again
	}
	return r, nil
}

// mixedAnew is the batch that gives back the stored saltwater a plan drew.
func mixedAnew(s *site.Site, sys *site.System, t taken) (mixing.Batch, error) {
	salt := &s.Salts[0]
	source := sys.Ambient.Usual
	if s.Purifier != nil {
		source = s.Purifier.Feed
	}
	return mixing.New(units.Litres(t.saltwaterL), units.Practical(t.salinity), salt.DoseTemperature, source, salt.Dose())
}

// buy adds what is bought, salt by salt, each by its own bag and price; one price that is not
// known leaves the cost of all unknown.
func (r *Restock) buy(s *site.Site, kg map[string]float64) error {
	cost, priced := 0.0, true
	for i := range s.Salts {
		salt := &s.Salts[i]
		if kg[salt.ID] <= 0 {
			continue
		}
		bill, err := mixing.BillFor(kg[salt.ID], salt.BagKg, salt.PricePerKg)
		if err != nil {
			return err
		}
		r.SaltKg += kg[salt.ID]
		r.Salts = append(r.Salts, plan.Salt{ID: salt.ID, Kg: kg[salt.ID], Named: len(s.Salts) > 1})
		if bill.Bags != nil {
			r.Bags += *bill.Bags
		}
		if priced = priced && bill.Cost != nil; priced {
			cost += bill.Cost.InexactFloat64()
		}
	}
	if priced && len(r.Salts) > 0 {
		r.Cost = &cost
	}
	return nil
}

// RestockFor says what it takes to have again saltwater that was drawn: litres of a
// salinity, the volume-weighted mean. ReadyAgainH counts from when the work begins. Nil
// where nothing was drawn.
func RestockFor(s *site.Site, sys *site.System, saltwaterL, salinity float64) (*Restock, error) {
	return restockAfter(s, sys, taken{saltwaterL: saltwaterL, salinity: salinity}, purifierRate(s))
}
