package hazards

import (
	"fmt"
	"math"
	"slices"
	"time"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/volumes/site"
)

// judge collects what is found while a site is walked.
type judge struct {
	site    *site.Site
	now     time.Time
	units   units.System
	standby standbys
	out     Result
	// breaks are the events of broken heaters by system; assumed and warned hold
	// what was said already.
	breaks  map[string][]site.Event
	assumed map[refs.Assumption]bool
	warned  map[string]bool
}

func newJudge(s *site.Site, now time.Time, u units.System) *judge {
	j := &judge{site: s, now: now, units: u, standby: newStandbys(s),
		breaks: map[string][]site.Event{}, assumed: map[refs.Assumption]bool{}, warned: map[string]bool{}}
	for _, ev := range s.Events {
		if ev.Playbook == site.HeaterBreak {
			j.breaks[ev.System] = append(j.breaks[ev.System], ev)
		}
	}
	return j
}

func (j *judge) add(h Hazard) {
	// JSON cannot hold an infinity: water that no number of changes undoes is null.
	if h.WaterToUndoL != nil && (math.IsInf(*h.WaterToUndoL, 0) || math.IsNaN(*h.WaterToUndoL)) {
		h.WaterToUndoL, h.RemoveShare = nil, nil
	}
	j.out.Hazards = append(j.out.Hazards, h)
}

func (j *judge) assume(a refs.Assumption) {
	if !j.assumed[a] {
		j.assumed[a] = true
		j.out.Assumptions = append(j.out.Assumptions, a)
	}
}

func (j *judge) warn(format string, args ...any) {
	if s := fmt.Sprintf(format, args...); s != "" && !j.warned[s] {
		j.warned[s] = true
		j.out.Warnings = append(j.out.Warnings, s)
	}
}

// Judge walks a site and returns every hazard: what harms people first, then what
// kills within a day, then what is slow, each by the time left. Sentences are in the
// units of u, numbers in base units. It fails only where the site's water is outside
// the range of a seawater relation.
func Judge(s *site.Site, now time.Time, u units.System) (Result, error) {
	j := newJudge(s, now, u)
	j.out.Dosers, j.out.UnattendedH = []DoseStep{}, unattended(s)
	for _, sys := range s.Systems {
		if err := j.system(sys); err != nil {
			return Result{}, fmt.Errorf("%s: %w", sys.ID, err)
		}
	}
	if s.Purifier != nil {
		j.unknownGuards("the purifier", s.Purifier.Guards)
		for _, st := range s.Stores {
			if st.FilledBy == "purifier" {
				j.overfill(st)
			}
		}
	}
	j.leaks()
	j.power()
	floor, err := loads(s, u)
	if err != nil {
		return Result{}, err
	}
	j.out.Floor = floor
	j.out.SharedCauses = sharedCauses(s)
	j.out.NoLayer, j.out.OneLayer = counts(j.out.Hazards)
	slices.SortStableFunc(j.out.Hazards, worseFirst)
	return j.out, nil
}

// system walks one system's equipment.
func (j *judge) system(sys site.System) error {
	b, problem, err := newBody(sys, j.units)
	if err != nil {
		return err
	}
	j.warn("%s", problem)
	j.thermal(sys, b)
	j.heaters(sys, b)
	j.chillers(sys, b)
	topoff := find(sys, site.TopOff)
	for _, e := range sys.Equipment {
		if e.Kind != site.Battery && e.Kind != site.Generator {
			j.unknownGuards(sys.ID+" "+e.ID, e.Guards)
		}
		switch e.Kind {
		case site.TopOff:
			h, err := topOff(sys, e, j.units)
			if err != nil {
				return err
			}
			j.add(h.guard(e.Kind, e.Guards, j.now))
		case site.Doser:
			j.out.Dosers = append(j.out.Dosers, Step(sys, e))
			j.add(doser(sys, e, j.units).guard(e.Kind, e.Guards, j.now))
		case site.Skimmer:
			j.add(skimmerOverflow(sys, e, topoff, j.units).guard(e.Kind, e.Guards, j.now))
		}
	}
	if err := j.outage(sys, b); err != nil {
		return err
	}
	return j.drainBack(sys)
}

// thermal says how the system holds its heat, and what is wrong before anything fails; that its
// water is outside its limits already is among the notes of the file.
func (j *judge) thermal(sys site.System, b body) {
	high, t := float64(sys.Limits.TemperatureHigh), j.units.Temperature
	if hot := float64(sys.Ambient.Hottest); hot >= high && find(sys, site.Chiller) == nil {
		j.warn("%s: the hottest room (%s) is at or above temperature_high (%s): no heater has to fail for the limit to be passed; plan cooling", sys.ID, t(hot), t(high))
	}
	if sys.NetVolumeU > sys.NetVolume*(1-leastShare) {
		j.warn("%s: its volume is uncertain by nearly all of it; a tenth of it is reckoned with: measure it", sys.ID)
	}
	h := Thermal{System: sys.ID}
	if b.Known() {
		h.CoefficientWK, h.Basis = &b.LossWK, b.Basis
		if b.HeaterW > 0 {
			end := b.settles(b.HeaterW+b.PumpW, float64(sys.Ambient.Coldest))
			h.HoldsC, h.TooWeak = &end, end < b.start
		}
	}
	if h.TooWeak {
		j.warn("%s: with every heater on, %s hold only %s in the coldest room (%s): the heaters cannot hold %s", sys.ID, units.Watts(b.HeaterW), t(*h.HoldsC), t(float64(sys.Ambient.Coldest)), t(b.start))
	}
	j.out.Thermal = append(j.out.Thermal, h)
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
