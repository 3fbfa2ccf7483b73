package readiness

import (
	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/salinity/mixing"
	"tidehold/volumes/site"
)

// taken is what a plan takes out of the house.
type taken struct {
	// saltwaterL stored saltwater drawn, salinity its volume-weighted mean.
	saltwaterL, salinity float64
	// saltKg and purifiedL went into batches.
	saltKg, purifiedL float64
	doneAtH           float64
}

// takenBy adds up what a plan draws from stores and puts into batches; what a
// delivery brought needs no replacing.
func takenBy(p plan.Plan) taken {
	t := taken{saltKg: p.SaltKg, purifiedL: p.PurifiedL}
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
	if t.saltwaterL == 0 && t.saltKg == 0 && t.purifiedL == 0 {
		return nil, nil
	}
	r := &Restock{SaltwaterL: t.saltwaterL, PurifiedL: t.purifiedL, SaltKg: t.saltKg}
	if t.saltwaterL > 0 && len(s.Salts) > 0 {
		salt := s.Salts[0]
		source := sys.Ambient.Usual
		if s.Purifier != nil {
			source = s.Purifier.Feed
		}
		batch, err := mixing.New(units.Litres(t.saltwaterL), units.Practical(t.salinity), salt.DoseTemperature, source, salt.Dose())
		if err != nil {
			return nil, err
		}
		r.PurifiedL += float64(batch.Water)
		r.SaltKg += batch.SaltKg
	}
	if len(s.Salts) > 0 {
		bill, err := mixing.BillFor(r.SaltKg, s.Salts[0].BagKg, s.Salts[0].PricePerKg)
		if err != nil {
			return nil, err
		}
		if bill.Bags != nil {
			r.Bags = *bill.Bags
		}
		if bill.Cost != nil {
			cost := bill.Cost.InexactFloat64()
			r.Cost = &cost
		}
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

// RestockFor says what it takes to have again saltwater that was drawn: litres of a
// salinity, the volume-weighted mean. ReadyAgainH counts from when the work begins. Nil
// where nothing was drawn.
func RestockFor(s *site.Site, sys *site.System, saltwaterL, salinity float64) (*Restock, error) {
	return restockAfter(s, sys, taken{saltwaterL: saltwaterL, salinity: salinity}, purifierRate(s))
}
