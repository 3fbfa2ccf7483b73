package hazards

import (
	"fmt"
	"math"

	"tidehold/salinity"
	"tidehold/volumes/site"
)

// floorKgM2 is the usual design load of floors in dwellings, averaged: 40 lb/ft².
// Source: [asce-floor].
const floorKgM2 = 195.0

// overfill is the purifier filling a vat past its brim while nobody looks, at its
// highest rate (that at its rated temperature, or warmer feed).
func (j *judge) overfill(st site.Store) {
	p := j.site.Purifier
	h := Hazard{Equipment: st.ID, Failure: Overfill, Limit: "brim", FinalUnit: "L on the floor", Playbook: "vat-overflow"}
	hours := 0.0
	if p.RateLH <= 0 {
		h.Limit = ""
		h.Detail = "a purifier that makes nothing overfills nothing"
		j.add(h.guard(p.Guards, j.now))
		return
	}
	hours = float64(st.Room()) / p.RateLH
	away := unattended(j.site)
	spilled := math.Max(0, p.RateLH*away-float64(st.Room()))
	h.HoursToLimit, h.Final = &hours, &spilled
	h.Detail = fmt.Sprintf("reaches the brim %s after the float sticks; over the %s nobody looks, %.0f L run onto the floor, and each further hour adds %.0f L", hoursText(&hours), hoursText(&away), spilled, p.RateLH)
	j.add(h.guard(p.Guards, j.now))
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
		j.add(drained(sys, part.ID, part.DrainsBackL, float64(room)).guard(nil, j.now))
	}
	return nil
}

func drained(sys site.System, id string, backL, roomL float64) Hazard {
	h := Hazard{System: sys.ID, Equipment: id, Failure: DrainBack, FinalUnit: "L on the floor", Playbook: "leak"}
	spilled := math.Max(0, backL-roomL)
	h.Final = &spilled
	if spilled == 0 {
		h.Detail = fmt.Sprintf("holds the %.0f L that run back when the return stops, with %.0f L to spare", backL, roomL-backL)
		return h
	}
	zero := 0.0
	h.Limit, h.HoursToLimit = "brim", &zero
	h.Detail = fmt.Sprintf("%.0f L run back when the return stops, but there is room for %.0f L: lower the running level or raise the drain", backL, roomL)
	return h
}

// leak is the worst a seam can do: everything above it on the floor. How fast
// nobody can say beforehand.
func (j *judge) leaks() {
	for _, sys := range j.site.Systems {
		litres := float64(sys.NetVolume)
		j.add(Hazard{System: sys.ID, Equipment: sys.ID, Failure: Leak, FinalUnit: "L on the floor", Final: &litres, Playbook: "leak",
			Detail: fmt.Sprintf("up to %.0f L on the floor; every 10 L over a floor of 10 m² stand 1 mm deep", litres)}.guard(nil, j.now))
	}
	for _, st := range j.site.Stores {
		litres := st.Volume.InexactFloat64()
		if litres <= 0 {
			continue
		}
		j.add(Hazard{Equipment: st.ID, Failure: Leak, FinalUnit: "L on the floor", Final: &litres, Playbook: "leak",
			Detail: fmt.Sprintf("up to %.0f L on the floor", litres)}.guard(nil, j.now))
	}
}

// loads are the vats whose full weight, averaged over their footprint, is above
// the usual design load of a floor.
func loads(s *site.Site) ([]Load, error) {
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
			l.Caution = fmt.Sprintf("full it weighs %.0f kg, %.0f kg/m² averaged over its footprint; floors of dwellings are usually designed for %.0f kg/m² over the whole room: have a structural engineer look, or stand it on ground or over a wall", mass, l.KgPerM2, floorKgM2)
		}
		out = append(out, l)
	}
	return out, nil
}
