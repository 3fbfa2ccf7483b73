package hazards

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"tidehold/refs"
	"tidehold/volumes/site"
)

// judge collects what is found while a site is walked.
type judge struct {
	site *site.Site
	now  time.Time
	out  Result
}

func (j *judge) add(h Hazard) {
	// JSON cannot hold an infinity: water that no number of changes undoes is null.
	if h.WaterToUndoL != nil && math.IsInf(*h.WaterToUndoL, 0) {
		h.WaterToUndoL, h.RemoveShare = nil, nil
	}
	j.out.Hazards = append(j.out.Hazards, h)
}

func (j *judge) assume(a refs.Assumption) {
	if !slices.Contains(j.out.Assumptions, a) {
		j.out.Assumptions = append(j.out.Assumptions, a)
	}
}

func (j *judge) warn(format string, args ...any) {
	if s := fmt.Sprintf(format, args...); s != "" && !slices.Contains(j.out.Warnings, s) {
		j.out.Warnings = append(j.out.Warnings, s)
	}
}

// Judge walks a site and returns every hazard, the one that reaches its limit
// soonest with the fewest layers first. It fails only where the site's water is
// outside the range of a seawater relation.
func Judge(s *site.Site, now time.Time) (Result, error) {
	j := &judge{site: s, now: now}
	for _, sys := range s.Systems {
		if err := j.system(sys); err != nil {
			return Result{}, fmt.Errorf("%s: %w", sys.ID, err)
		}
	}
	if s.Purifier != nil {
		for _, st := range s.Stores {
			if st.FilledBy == "purifier" {
				j.overfill(st)
			}
		}
	}
	j.leaks()
	floor, err := loads(s)
	if err != nil {
		return Result{}, err
	}
	j.out.Floor = floor
	j.out.SharedCauses = sharedCauses(s)
	j.count()
	slices.SortStableFunc(j.out.Hazards, worseFirst)
	return j.out, nil
}

// system walks one system's equipment.
func (j *judge) system(sys site.System) error {
	b, problem, err := newBody(sys)
	if err != nil {
		return err
	}
	j.warn("%s", problem)
	j.thermalWarnings(sys, b)
	t := Thermal{System: sys.ID, From: b.from}
	if b.known {
		t.CoefficientWK = &b.lossWK
	}
	j.out.Thermal = append(j.out.Thermal, t)
	j.heaters(sys, b)
	topoff := find(sys, site.TopOff)
	for _, e := range sys.Equipment {
		switch e.Kind {
		case site.TopOff:
			h, err := topOff(sys, e)
			if err != nil {
				return err
			}
			j.add(h.guard(e.Guards, j.now))
		case site.Doser:
			j.add(doser(sys, e).guard(e.Guards, j.now))
		case site.Skimmer:
			j.add(skimmerOverflow(sys, e, topoff).guard(e.Guards, j.now))
		}
	}
	if err := j.outage(sys, b); err != nil {
		return err
	}
	for _, bat := range batteries(sys) {
		j.out.Batteries = append(j.out.Batteries, bat)
		if bat.Hours == nil {
			j.warn("%s: %s", bat.ID, bat.Detail)
		}
	}
	return j.drainBack(sys)
}

// thermalWarnings says what is wrong before anything fails.
func (j *judge) thermalWarnings(sys site.System, b body) {
	low, high := float64(sys.Limits.TemperatureLow), float64(sys.Limits.TemperatureHigh)
	if b.start < low || b.start > high {
		j.warn("%s: the water is at %.1f °C, outside its own limits of %.1f to %.1f °C, before anything fails", sys.ID, b.start, low, high)
	}
	if hot := float64(sys.Ambient.Hottest); hot >= high {
		j.warn("%s: the hottest room (%.1f °C) is at or above temperature_high (%.1f °C): no heater has to fail for the limit to be passed; plan cooling", sys.ID, hot, high)
	}
	if s, l := float64(sys.Water.Salinity), sys.Limits; s < float64(l.SalinityLow) || s > float64(l.SalinityHigh) {
		j.warn("%s: salinity %.1f is outside its own limits of %.1f to %.1f before anything fails", sys.ID, s, float64(l.SalinityLow), float64(l.SalinityHigh))
	}
	if !b.known || b.heaterW == 0 {
		return
	}
	if end := b.settles(b.heaterW+b.pumpW, float64(sys.Ambient.Coldest)); end < b.start {
		j.warn("%s: with every heater on, %.0f W hold only %.1f °C in the coldest room (%.1f °C): the heaters cannot hold %.1f °C", sys.ID, b.heaterW, end, float64(sys.Ambient.Coldest), b.start)
	}
}

// find is the first device of a kind.
func find(sys site.System, kind site.EquipmentKind) *site.Equipment {
	for i := range sys.Equipment {
		if sys.Equipment[i].Kind == kind {
			return &sys.Equipment[i]
		}
	}
	return nil
}

// count tells how many failures that do reach a limit have no layer, and one.
func (j *judge) count() {
	for _, h := range j.out.Hazards {
		if h.Limit == "" {
			continue
		}
		switch h.counting() {
		case 0:
			j.out.NoLayer++
		case 1:
			j.out.OneLayer++
		}
	}
}

// worseFirst orders hazards: those that reach a limit before those that do not,
// fewer layers first, then sooner.
func worseFirst(a, b Hazard) int {
	rank := func(h Hazard) int {
		switch {
		case h.Limit != "":
			return 0
		case len(h.Missing) > 0:
			return 1
		}
		return 2
	}
	hours := func(h Hazard) float64 {
		if h.HoursToLimit == nil {
			return math.Inf(1)
		}
		return *h.HoursToLimit
	}
	return cmp.Or(cmp.Compare(rank(a), rank(b)), cmp.Compare(a.counting(), b.counting()), cmp.Compare(hours(a), hours(b)))
}
