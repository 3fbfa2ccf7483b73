package hazards

import (
	"fmt"
	"math"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/response/schedule"
	"tidehold/salinity"
	"tidehold/volumes/site"
)

// floorKgM2 is the usual design load of floors in dwellings, averaged: 40 lb/ft².
// Source: [asce-floor].
const floorKgM2 = 195.0

// kgM2PerLbFt2 is exact: 0.45359237 kg over (0.3048 m)² (NIST HB 44).
const kgM2PerLbFt2 = 0.45359237 / (0.3048 * 0.3048)

// perArea prints a load on a floor.
func perArea(kgM2 float64, u units.System) string {
	if u == units.US {
		return fmt.Sprintf("%.0f lb/ft²", kgM2/kgM2PerLbFt2)
	}
	return fmt.Sprintf("%.0f kg/m²", kgM2)
}

// overfill is the purifier filling a vat past its brim while nobody looks, at its
// highest rate: the highest that a published table makes of a feed warmer than the
// rating, and at least the rated one, because feed does not stay cold.
func (j *judge) overfill(st site.Store) {
	p := j.site.Purifier
	h := Hazard{Equipment: st.ID, Failure: Overfill, Limit: "brim", FinalUnit: "L on the floor", Playbook: "vat-overflow"}
	if p.RateLH <= 0 {
		h.Limit = ""
		h.Detail = "a purifier that makes nothing overfills nothing"
		j.add(h.guard(p.Guards, j.now))
		return
	}
	rate := p.RateLH * math.Max(1, schedule.SpreadOfPurifier(p.Feed, p.RatedAt).Highest)
	hours := float64(st.Room()) / rate
	away := unattended(j.site)
	spilled := math.Max(0, rate*away-float64(st.Room()))
	h.HoursToLimit, h.Final = &hours, &spilled
	h.Detail = fmt.Sprintf("reaches the brim %s after the float sticks; over the %s nobody looks, %s onto the floor, and each further hour adds %s", hoursText(&hours), hoursText(&away), runs(spilled, j.units), j.units.Volume(rate, units.Up))
	j.assume(refs.Assumption{What: "purifier's highest rate", Value: j.units.Flow(rate), Source: "the rated one, or the highest of three published temperature tables for warmer feed [ro-table-a] [ro-table-b] [ro-table-c]"})
	j.add(h.guard(p.Guards, j.now))
}

// runs says how much runs out.
func runs(litres float64, u units.System) string {
	if litres <= 0 {
		return "nothing runs"
	}
	return u.Volume(litres, units.Up) + " run"
}

// unattended is the longest nobody looks at any system of the site, hours.
func unattended(s *site.Site) float64 {
	longest := 0.0
	for _, sys := range s.Systems {
		longest = math.Max(longest, sys.UnattendedH)
	}
	return longest
}

// drainBack is the return pump stopping: does the sump hold what runs back?
func (j *judge) drainBack(sys site.System) error {
	for _, part := range sys.Parts {
		if part.DrainsBackL <= 0 {
			continue
		}
		room, err := part.Room()
		if err != nil {
			return fmt.Errorf("%s: %w", part.ID, err)
		}
		j.add(drained(sys, part.ID, part.DrainsBackL, float64(room), j.units).guard(nil, j.now))
	}
	return nil
}

func drained(sys site.System, id string, backL, roomL float64, u units.System) Hazard {
	h := Hazard{System: sys.ID, Equipment: id, Failure: DrainBack, FinalUnit: "L on the floor", Playbook: "leak"}
	spilled := math.Max(0, backL-roomL)
	h.Final = &spilled
	if spilled == 0 {
		h.Detail = fmt.Sprintf("holds the %s that run back when the return stops, with %s to spare", u.Volume(backL, units.Up), u.Volume(roomL-backL, units.Down))
		return h
	}
	zero := 0.0
	h.Limit, h.HoursToLimit = "brim", &zero
	h.Detail = fmt.Sprintf("%s run back when the return stops, but there is room for %s: lower the running level or raise the drain", u.Volume(backL, units.Up), u.Volume(roomL, units.Down))
	return h
}

// leaks are the worst a seam can do: everything above it on the floor. How fast
// nobody can say beforehand.
func (j *judge) leaks() {
	for _, sys := range j.site.Systems {
		litres := float64(sys.NetVolume)
		j.add(Hazard{System: sys.ID, Equipment: sys.ID, Failure: Leak, FinalUnit: "L on the floor", Final: &litres, Playbook: "leak",
			Detail: fmt.Sprintf("up to %s on the floor; %s", j.units.Volume(litres, units.Up), depthOnFloor(j.units))}.guard(nil, j.now))
	}
	for _, st := range j.site.Stores {
		litres := st.Volume.InexactFloat64()
		if litres <= 0 {
			continue
		}
		j.add(Hazard{Equipment: st.ID, Failure: Leak, FinalUnit: "L on the floor", Final: &litres, Playbook: "leak",
			Detail: fmt.Sprintf("up to %s on the floor", j.units.Volume(litres, units.Up))}.guard(nil, j.now))
	}
}

// depthOnFloor gives a feel for a volume on a floor.
func depthOnFloor(u units.System) string {
	if u == units.US {
		return "every 10 gal over a floor of 100 ft² stand 0.16 in deep"
	}
	return "every 10 L over a floor of 10 m² stand 1 mm deep"
}

// loads are the vats whose full weight, averaged over their footprint, is above
// the usual design load of a floor.
func loads(s *site.Site, u units.System) ([]Load, error) {
	out := []Load{}
	for _, st := range s.Stores {
		if st.Shape == nil || st.Shape.HeightCm() <= 0 {
			continue
		}
		sal, temp := st.Water.Salinity, st.Water.Temperature
		if st.Holds == site.Purified {
			sal = 0
		}
		rho, err := salinity.Density(sal, temp)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", st.ID, err)
		}
		mass := float64(rho) / 1000 * float64(st.Capacity)
		// The mean horizontal section stands for the footprint: exact for prisms,
		// and smaller than the foot of nothing that stands on its wide end.
		area := float64(st.Capacity) * 1000 / st.Shape.HeightCm() / 1e4
		l := Load{Store: st.ID, MassKg: mass, KgPerM2: mass / area}
		if l.KgPerM2 > floorKgM2 {
			l.Caution = fmt.Sprintf("full it weighs %s, %s averaged over its footprint; floors of dwellings are usually designed for %s over the whole room: have a structural engineer look, or stand it on ground or over a wall", u.Mass(mass, units.Up), perArea(l.KgPerM2, u), perArea(floorKgM2, u))
		}
		out = append(out, l)
	}
	return out, nil
}
