package hazards

import (
	"fmt"
	"math"
	"strings"

	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/salinity"
	"tidehold/volumes/site"
)

// What an outage starts from and what the animals use.
const (
	// startSaturation is the share of oxygen saturation when the pumps stop: a
	// planning value of this tool, below the 100 % of a well stirred tank.
	startSaturation = 0.9
	// restless is how much more than at rest frightened fish use: a planning value
	// of this tool; feeding doubles it for hours (ICAR/IASRI course on dissolved oxygen).
	restless = 2
	// reefRespiration of planar reef at night, mg O2/(m² h): 590 mmol/(m² d).
	// Source: [long2013], figure caption.
	reefRespiration = 787.0
	// rippledCmH is the gas transfer velocity of a surface kept rippled, cm/h.
	// From memory (5 to 15 in stirred tanks); shown as such.
	rippledCmH = 5.0
	// molarMassO2 in g/mol.
	molarMassO2 = 31.9988
)

// fishRespiration is the oxygen a fish of a given mass uses at rest, mg/h:
// ln R = 15.7 − 5020/T for 50 g (R in mmol/h, T in K), scaled by (M/50)^0.79, or
// by the exponent 0.633 of coral-reef fishes where that is more.
//
// Source: [clarke1999]; exponent of reef fishes [nilsson2007], figure 9.
func fishRespiration(massG, celsius float64) float64 {
	fifty := math.Exp(15.7-5020/(celsius+273.15)) * molarMassO2
	ratio := massG / 50
	return fifty * math.Max(math.Pow(ratio, 0.79), math.Pow(ratio, 0.633))
}

// oxygenBudget is the oxygen of a system: saturation and start in mg/L, demand in mg/h
// with the fish at rest and restless, the smallest likely volume in litres, and the
// exchange through a rippled surface in L/h, 0 when the surface is not stated.
type oxygenBudget struct {
	saturation, start float64
	rest, double      float64
	volume, rippled   float64
}

func newOxygenBudget(sys site.System) (oxygenBudget, error) {
	sat, err := salinity.OxygenSaturation(sys.Water.Salinity, sys.Water.Temperature)
	if err != nil {
		return oxygenBudget{}, err
	}
	l := oxygenBudget{saturation: sat, start: startSaturation * sat, volume: lowVolume(sys)}
	live := sys.Livestock
	fish := 0.0
	if live.FishMassKg > 0 && live.FishSizeG > 0 {
		fish = live.FishMassKg * 1000 / live.FishSizeG * fishRespiration(live.FishSizeG, float64(sys.Water.Temperature))
	}
	reef := live.ReefAreaM2 * reefRespiration
	l.rest, l.double = fish+reef, restless*fish+reef
	if sys.SurfaceM2 != nil {
		l.rippled = rippledCmH / 100 * *sys.SurfaceM2 * 1000
	}
	return l, nil
}

// hours is the time until oxygen is down to low with a demand (mg/h) and an
// exchange k·A (L/h): V dC/dt = kA (Csat − C) − R. False: never.
func (l oxygenBudget) hours(low, demand, exchangeLH float64) (float64, bool) {
	switch {
	case l.start <= low:
		return 0, true
	case demand <= 0:
		return 0, false
	case exchangeLH <= 0:
		return (l.start - low) * l.volume / demand, true
	}
	end := l.saturation - demand/exchangeLH
	if end >= low {
		return 0, false
	}
	return l.volume / exchangeLH * math.Log((l.start-end)/(low-end)), true
}

// counted says in one line what the clock counts and what it leaves out.
func (l oxygenBudget) counted(sys site.System) string {
	var who []string
	live := sys.Livestock
	if live.FishMassKg > 0 && live.FishSizeG > 0 {
		n := int(math.Round(live.FishMassKg * 1000 / live.FishSizeG))
		who = append(who, fmt.Sprintf("%d fish", max(1, n)))
	}
	if live.ReefAreaM2 > 0 {
		who = append(who, "the reef at night")
	}
	return fmt.Sprintf("counted from %.0f %% of saturation to your limit of %.1f mg/L, for %s; sand and filter use more", startSaturation*100, sys.Limits.OxygenLow, strings.Join(who, " and "))
}

// clock fills a hazard with the range of hours from the worst case (restless fish, no
// exchange through a still surface) to the best (at rest, the surface kept rippled).
// The end is at or below the limit, no more is known: fish slow down, or die.
func (h *Hazard) clock(sys site.System, l oxygenBudget) {
	low := sys.Limits.OxygenLow
	if l.double <= 0 && l.start > low {
		h.Missing = []string{"livestock"}
		h.Detail = "the oxygen clock needs livestock (fish_mass, fish_size, reef_area)"
		return
	}
	worst, _ := l.hours(low, l.double, 0)
	h.reach(plan.OxygenLow, worst)
	h.HoursLow = &worst
	h.Harm = bySpeed(&worst)
	h.ends(math.Min(low, l.start), AtMost)
	if worst == 0 {
		h.Detail = fmt.Sprintf("%.0f %% of saturation is %.1f mg/L, below the limit of %.1f mg/L before anything fails", startSaturation*100, l.start, low)
		return
	}
	best := "a time not known (give surface)"
	if l.rippled > 0 {
		if hours, ok := l.hours(low, l.rest, l.rippled); ok {
			h.HoursHigh = &hours
			best = hoursText(&hours)
		} else {
			best = "as long as the surface is kept rippled"
		}
	}
	h.Detail = fmt.Sprintf("oxygen falls from %.1f to %.1f mg/L in %s with a still surface and restless fish; with fish at rest and a rippled surface it lasts %s; %s", l.start, low, hoursText(&worst), best, l.counted(sys))
}

// stopped is a return pump, and with it the filter, that stands still while the mains
// are on: the oxygen clock where nothing else moves the water. Where something does,
// how much air that brings is not known, and no limit is named.
func stopped(sys site.System, e site.Equipment, l oxygenBudget) Hazard {
	h := Hazard{System: sys.ID, Equipment: e.ID, Failure: FailedOff, FinalUnit: OxygenMgL, Playbook: "outage"}
	if helpers := movers(sys, e.ID); len(helpers) > 0 {
		h.Detail = fmt.Sprintf("the water is still moved by %s; whether that brings air enough only an oxygen reading says", units.List(helpers, ""))
	} else {
		h.clock(sys, l)
	}
	h.Detail += "; a closed filter that stood still has used up its oxygen: empty it before it runs again"
	return h
}

// movers are the pumps of a system that move water or air, but one.
func movers(sys site.System, but string) []string {
	var out []string
	for _, e := range sys.Equipment {
		if e.ID != but && (e.Kind == site.Air || e.Kind == site.Circulation || e.Kind == site.Return) {
			out = append(out, e.ID)
		}
	}
	return out
}
