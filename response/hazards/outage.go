package hazards

import (
	"fmt"
	"math"
	"strings"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/salinity"
	"tidehold/volumes/site"
)

// What an outage starts from and what the animals use.
const (
	// startSaturation is the share of oxygen saturation when the pumps stop: a
	// planning value of this tool, below the 100 % of a well stirred tank.
	startSaturation = 0.9
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

// lungs is the oxygen budget of a system: saturation and start in mg/L, demand in
// mg/h with the fish at rest and at twice that.
type lungs struct {
	saturation, start float64
	rest, double      float64
	volume            float64
}

func newLungs(sys site.System) (lungs, error) {
	sat, err := salinity.OxygenSaturation(sys.Water.Salinity, sys.Water.Temperature)
	if err != nil {
		return lungs{}, err
	}
	l := lungs{saturation: sat, start: startSaturation * sat, volume: lowVolume(sys)}
	live := sys.Livestock
	fish := 0.0
	if live.FishMassKg > 0 && live.FishSizeG > 0 {
		fish = live.FishMassKg * 1000 / live.FishSizeG * fishRespiration(live.FishSizeG, float64(sys.Water.Temperature))
	}
	reef := live.ReefAreaM2 * reefRespiration
	l.rest, l.double = fish+reef, 2*fish+reef
	return l, nil
}

// hours is the time until oxygen is down to low with a demand (mg/h) and an
// exchange k·A (L/h): V dC/dt = kA (Csat − C) − R. False: never.
func (l lungs) hours(low, demand, exchangeLH float64) (float64, bool) {
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

// outage is a power cut: the oxygen clock, then the temperature clock.
func (j *judge) outage(sys site.System, b body) error {
	l, err := newLungs(sys)
	if err != nil {
		return err
	}
	j.add(j.oxygenClock(sys, l).guard(standby(sys, site.Air, site.Circulation, site.Return), j.now))
	j.add(cooling(sys, b, j.units).guard(standby(sys, site.Heater), j.now))
	if float64(sys.Ambient.Hottest) > float64(sys.Limits.TemperatureHigh) {
		j.add(warming(sys, b, j.units).guard(standby(sys, site.Chiller), j.now))
	}
	return nil
}

// oxygenClock is the range of hours from the worst case (fish at twice rest, no
// exchange through a still surface) to the best (at rest, the surface kept
// rippled).
func (j *judge) oxygenClock(sys site.System, l lungs) Hazard {
	h := Hazard{System: sys.ID, Equipment: "mains power", Failure: Outage, FinalUnit: "mg/L oxygen", Playbook: "outage"}
	low := sys.Limits.OxygenLow
	if l.rest <= 0 && l.start > low {
		h.Missing = []string{"livestock"}
		h.Detail = "the oxygen clock needs livestock (fish_mass, fish_size, reef_area)"
		return h
	}
	h.Limit = "oxygen_low"
	worst, _ := l.hours(low, l.double, 0)
	if l.double > 0 {
		gone := 0.0 // through a still surface nothing comes back
		h.Final = &gone
	}
	h.HoursToLimit, h.HoursLow = &worst, &worst
	best := "an unknown time: give surface"
	if sys.SurfaceM2 != nil {
		exchange := rippledCmH / 100 * *sys.SurfaceM2 * 1000
		if hours, ok := l.hours(low, l.rest, exchange); ok {
			h.HoursHigh = &hours
			best = hoursText(&hours)
		} else {
			best = "as long as the surface is kept rippled"
		}
	}
	h.Detail = fmt.Sprintf("oxygen falls from %.1f to %.1f mg/L in %s with a still surface and restless fish; with fish at rest and a rippled surface it lasts %s. %s", l.start, low, hoursText(&worst), best, powerFirst(sys))
	j.assume(refs.Assumption{What: "oxygen when the power fails, " + sys.ID, Value: fmt.Sprintf("%.0f %% of saturation", startSaturation*100), Source: "planning value of this tool"})
	j.assume(refs.Assumption{What: "gas transfer of a rippled surface", Value: fmt.Sprintf("%.0f cm/h; of a still one 0", rippledCmH), Source: "rippled: from memory, unverified; still: lowest of the published fits at zero wind (0 to 2.51 cm/h)"})
	return h
}

// powerFirst names what to connect first when little power is left.
func powerFirst(sys site.System) string {
	var first []string
	heat := 0.0
	for _, kind := range []site.EquipmentKind{site.Air, site.Circulation, site.Return} {
		for _, e := range sys.Equipment {
			if e.Kind == kind {
				first = append(first, fmt.Sprintf("%s (%.0f W)", e.ID, e.PowerW))
			}
		}
	}
	for _, e := range sys.Equipment {
		if e.Kind == site.Heater {
			heat += e.PowerW
		}
	}
	if len(first) == 0 {
		return "No air pump or circulation is listed: have a battery air pump ready"
	}
	s := "Power first: " + strings.Join(first, ", then ")
	if heat > 0 {
		s += fmt.Sprintf("; heaters (%.0f W) last", heat)
	}
	return s
}

// cooling is the temperature clock with everything off in the coldest room.
func cooling(sys site.System, b body, u units.System) Hazard {
	h := Hazard{System: sys.ID, Equipment: "mains power", Failure: Outage, FinalUnit: "°C", Playbook: "outage"}
	room, low := float64(sys.Ambient.Coldest), float64(sys.Limits.TemperatureLow)
	final := math.Min(b.start, room)
	h.Final = &final
	if room >= low {
		h.Detail = fmt.Sprintf("the coldest room (%s) is no colder than %s", u.Temperature(room), u.Temperature(low))
		return h
	}
	if !b.Known() {
		h.Missing = []string{"heat_loss"}
		h.Detail = "the temperature clock needs heat_loss: switch the heaters off for 3 h, note both temperatures, and enter them as cooling_test"
		return h
	}
	if hours, ok := b.reaches(low, 0, room, false); ok {
		h.Limit, h.HoursToLimit = "temperature_low", &hours
		h.Detail = fmt.Sprintf("without power it falls to %s after %s in a room of %s", u.Temperature(low), hoursText(&hours), u.Temperature(room))
	}
	return h
}

// warming is the same in a room hotter than the limit.
func warming(sys site.System, b body, u units.System) Hazard {
	room, high := float64(sys.Ambient.Hottest), float64(sys.Limits.TemperatureHigh)
	h := Hazard{System: sys.ID, Equipment: "mains power", Failure: Outage, FinalUnit: "°C", Playbook: "outage", Final: &room}
	if !b.Known() {
		h.Missing = []string{"heat_loss"}
		h.Detail = fmt.Sprintf("the hottest room (%s) is above %s; how fast it warms needs heat_loss", u.Temperature(room), u.Temperature(high))
		return h
	}
	if hours, ok := b.reaches(high, 0, room, true); ok {
		h.Limit, h.HoursToLimit = "temperature_high", &hours
		h.Detail = fmt.Sprintf("without power it warms to %s after %s in a room of %s", u.Temperature(high), hoursText(&hours), u.Temperature(room))
	}
	return h
}
