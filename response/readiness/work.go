package readiness

import (
	"fmt"
	"math"
	"strings"

	"tidehold/refs"
	"tidehold/refs/units"
)

const (
	// bucketL is how far a bucket is filled: a full 20 L one is at the ceiling
	// below once the bucket itself is counted.
	bucketL = refs.BucketL
	// liftingCeilingKg is the most that one person should lift.
	liftingCeilingKg = refs.MostToLiftKg
	// carryKgL is the mass of a litre of seawater, kg, rounded up.
	carryKgL = 1.03
	// tripsPerPerson is a rule of this tool, not a published figure: nobody carries
	// more than 30 filled buckets for one change.
	tripsPerPerson = 30
)

// Work is what an event asks of the people: water out and water in.
type Work struct {
	// Moved is the water of the changes, out and in.
	Moved
	// Vats is the water that is poured away of vats and the purified water that goes into them. A plan
	// has all of it in when a batch begins, and counts no time for it.
	Vats Moved `json:"vats"`
	// SaltKg is the salt mix to be lifted and poured.
	SaltKg float64 `json:"salt_kg"`
	// People to share the carrying, so that nobody carries more than 30 buckets for
	// one change; 0 without buckets.
	People int `json:"people"`
	// Caution about lifting; "" when nothing is carried.
	Caution string `json:"caution"`
}

// Moved is water that is moved by pumps and by buckets.
type Moved struct {
	// PumpMin is the pumping time in minutes.
	PumpMin float64 `json:"pump_min"`
	// BucketTrips of 10 L for what no pump moves.
	BucketTrips int `json:"bucket_trips"`
	// CarriedKg is the mass carried in those buckets.
	CarriedKg float64 `json:"carried_kg"`
}

// add counts litres that are moved in one go by a pump of so many L/h; 0: by buckets.
func (m *Moved) add(litres, pumpLH float64) {
	if pumpLH > 0 {
		m.PumpMin += litres / pumpLH * 60
		return
	}
	m.BucketTrips += buckets(litres)
	m.CarriedKg += litres * carryKgL
}

// buckets is the number of trips for l litres.
func buckets(l float64) int { return int(math.Ceil(l/bucketL - 1e-9)) }

// move is the part of a change that comes from one store, or what is moved out of a vat or into it.
type move struct {
	removeL, addL float64
	// pumpLH moves the water in, 0: buckets. Draining uses the same pump.
	pumpLH float64
}

// workOf adds up the changes of a plan, each a list of moves, and what is moved out of vats and into
// them; saltKg is the salt mixed for it and bagKg the bag it is lifted in, 0 when unknown; u is for the
// caution.
func workOf(changes [][]move, vats []move, saltKg, bagKg float64, u units.System) Work {
	w := Work{SaltKg: saltKg}
	for _, moves := range changes {
		before := w.BucketTrips
		for _, m := range moves {
			w.add(m.removeL, m.pumpLH)
			w.add(m.addL, m.pumpLH)
		}
		w.People = max(w.People, (w.BucketTrips-before+tripsPerPerson-1)/tripsPerPerson)
	}
	for _, m := range vats {
		w.Vats.add(m.removeL, m.pumpLH)
		w.Vats.add(m.addL, m.pumpLH)
	}
	w.Caution = liftingCaution(w, bagKg, u)
	return w
}

// liftingCaution names the ceiling wherever something is carried.
func liftingCaution(w Work, bagKg float64, u units.System) string {
	round := func(s string) string { return strings.Replace(s, ".0 ", " ", 1) }
	fill, ceiling := round(u.Volume(bucketL, units.Down)), round(u.Mass(liftingCeilingKg, units.Down))
	switch {
	case w.SaltKg > 0 && bagKg > liftingCeilingKg:
		return fmt.Sprintf("a bag of %s is over the %s lifting ceiling: two people, or carry it in parts; buckets no fuller than %s", round(u.Mass(bagKg, units.Nearest)), ceiling, fill)
	case w.BucketTrips+w.Vats.BucketTrips > 0:
		return fmt.Sprintf("fill buckets to %s only; %s is the lifting ceiling for a single lift close to the body, and far too much again and again: pump where you can, and take turns", fill, ceiling)
	}
	return ""
}
