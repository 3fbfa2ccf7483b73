package hazards

import (
	"fmt"
	"math"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/volumes/site"
)

// overfill is the purifier filling a vat past its brim while nobody looks, at its
// highest rate: the highest that a published table makes of a feed warmer than the
// rating, and at least the rated one, because feed does not stay cold.
func (j *judge) overfill(st site.Store) {
	p := j.site.Purifier
	h := Hazard{Equipment: st.ID, Failure: Overfill, FinalUnit: FloorL, Playbook: "vat-overflow"}
	if p.RateLH <= 0 {
		h.Detail = "a purifier that makes nothing overfills nothing"
		j.add(h.guard("", p.Guards, j.now))
		return
	}
	rate := p.HighestLH()
	hours := float64(st.Room()) / rate
	away := unattended(j.site)
	spilled := math.Max(0, rate*away-float64(st.Room()))
	h.reach(Brim, hours)
	h.ends(spilled, AtMost)
	h.Harm = Slow
	if spilled > 0 {
		h.Harm = People
	}
	h.Detail = fmt.Sprintf("reaches the brim %s after the float sticks; over the %s nobody looks, %s onto the floor, and each further hour adds %s", hoursText(&hours), hoursText(&away), runs(spilled, j.units), j.units.Volume(rate, units.Up))
	j.assume(refs.Assumption{What: "purifier's highest rate", Value: j.units.Flow(rate), Source: "the rated one, or the highest of three published temperature tables for warmer feed [ro-table-a] [ro-table-b] [ro-table-c]"})
	j.add(h.guard("", p.Guards, j.now))
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
		j.add(drained(sys, part.ID, part.DrainsBackL, float64(room), j.units).bare())
	}
	return nil
}

func drained(sys site.System, id string, backL, roomL float64, u units.System) Hazard {
	h := Hazard{System: sys.ID, Equipment: id, Failure: DrainBack, FinalUnit: FloorL, Playbook: "leak"}
	spilled := math.Max(0, backL-roomL)
	h.ends(spilled, "")
	if spilled == 0 {
		h.Detail = fmt.Sprintf("holds the %s that run back when the return stops, with %s to spare", u.Volume(backL, units.Up), u.Volume(roomL-backL, units.Down))
		return h
	}
	h.reach(Brim, 0)
	h.Harm = People
	h.Detail = fmt.Sprintf("%s run back when the return stops, but there is room for %s: lower the running level or raise the drain", u.Volume(backL, units.Up), u.Volume(roomL, units.Down))
	return h
}

// leaks are the worst a seam can do: everything above it on the floor. How fast
// nobody can say beforehand. Nothing but an eye guards against it.
func (j *judge) leaks() {
	for _, sys := range j.site.Systems {
		j.add(leak(sys.ID, sys.ID, float64(sys.NetVolume+sys.NetVolumeU), j.units))
	}
	for _, st := range j.site.Stores {
		if litres := st.Volume.InexactFloat64(); litres > 0 {
			j.add(leak("", st.ID, litres, j.units))
		}
	}
}

func leak(system, id string, litres float64, u units.System) Hazard {
	h := Hazard{System: system, Equipment: id, Failure: Leak, Limit: OnFloor, Harm: People, FinalUnit: FloorL, Playbook: "leak",
		Detail: fmt.Sprintf("up to %s on the floor, how fast nobody can say; %s. Know what is below: warn the rooms under it, and keep plugs and power bars off the floor", u.Volume(litres, units.Up), depthOnFloor(litres, u))}
	h.ends(litres, AtMost)
	return h.bare()
}

// The floors whose depth of water gives a feel for a volume.
const (
	roomM2  = 20.0
	roomFt2 = 200.0
)

// depthOnFloor is how deep a volume stands on the floor of a room. 1 L over 1 m² is
// 1 mm.
func depthOnFloor(litres float64, u units.System) string {
	if u == units.US {
		const cm2, cm3PerL = roomFt2 * units.CmPerFoot * units.CmPerFoot, 1000
		inches, _ := u.LengthIn(litres * cm3PerL / cm2)
		return fmt.Sprintf("on the floor of a room of %.0f ft² that is %s in deep", roomFt2, units.Significant(inches, 2))
	}
	return fmt.Sprintf("on the floor of a room of %.0f m² that is %.0f mm deep", roomM2, math.Ceil(litres/roomM2))
}
