package plan

import (
	"fmt"

	"tidehold/refs/units"
	"tidehold/volumes/site"
)

// Says is what holds a plan back in a sentence, in the units of display: when the plan is done,
// nil for never, and when it would be with the limit one notch looser. It has the digits of the
// plan's own headline; Detail has base units.
func (b Binding) Says(doneAtH *float64, u units.System) string {
	s := b.Limit.Words()
	if b.From != 0 {
		s += " " + b.measured(b.From, u)
	}
	switch to := b.measured(b.To, u); {
	case b.Bars && b.DoneAtH == nil:
		return s + b.place() + ": no change can be made; with " + to + ": some can, but it is never done"
	case b.Bars:
		return s + b.place() + ": no change can be made; with " + to + ": " + done(b.DoneAtH)
	case doneAtH == nil && b.DoneAtH == nil:
		return s + ": never done, nor with " + to
	case doneAtH != nil && (b.DoneAtH == nil || *b.DoneAtH >= *doneAtH):
		// Less exposure is worth more than an earlier end, so with a looser limit a plan may
		// end later; that the limit cost time would then be read into it.
		return s + ": " + done(doneAtH) + ", no sooner with " + to
	default:
		return s + ": " + done(doneAtH) + "; with " + to + ": " + done(b.DoneAtH)
	}
}

// place is where a limit that bars every change is set.
func (b Binding) place() string {
	if b.Assumed {
		return " (assumed; " + b.Key + ")"
	}
	return " (" + b.Key + ")"
}

// Limiting is what holds a plan back, in one word wherever it is shown: the limit that bars every change, else
// the one whose notch helps most; where no notch brings the plan to its end but more stored water does, that, unless it is what water is made of
// that lacks; "" where nothing does. lackingL is that water, nil where the plan lacks none or no amount would do.
func (b Binding) Limiting(doneAtH, lackingL *float64) Limit {
	switch {
	case b.Bars, b.Limit == BySalt, b.Limit == ByPurifiedWater:
		return b.Limit
	}
	if lackingL != nil && (b.Limit == "" || doneAtH == nil && b.DoneAtH == nil) {
		return ByWater
	}
	return b.Limit
}

// WhatLimits is that in a sentence; "" for nothing. The figure of water is what is lacking, not a notch beside it.
func (b Binding) WhatLimits(doneAtH, lackingL *float64, u units.System) string {
	switch l := b.Limiting(doneAtH, lackingL); {
	case l == "":
		return ""
	case l == ByWater && lackingL != nil:
		return l.Words() + ": " + done(doneAtH) + "; with " + u.Volume(*lackingL, units.Up) + " more at the start: done in time"
	}
	return b.Says(doneAtH, u)
}

// WaterWords is what water is, as it is asked of whoever brings it: "salinity 35.0, 25.0 °C".
func WaterWords(salinity units.Practical, c units.Celsius, u units.System) string {
	return "salinity " + units.Fixed(float64(salinity), 1) + ", " + u.Temperature(float64(c))
}

// KeepingWords says that a plan pours good water away which another system may want, and what keeps most of it, or where
// else it goes; "" where it pours little.
func (p *Plan) KeepingWords(u units.System) string {
	k := p.Keeping
	if k == nil {
		return ""
	}
	text := fmt.Sprintf("pours %s of good water away that another system may want", u.Volume(p.PouredL, units.Nearest))
	if k.DoneAtH == nil || k.PouredL > p.PouredL/2 {
		return text + ": into clean bins with lids, as far as there are any."
	}
	return text + fmt.Sprintf(". reserve: {pour_away: no} in the site file pours %s: done after %s.", u.Volume(k.PouredL, units.Nearest), units.Hours(*k.DoneAtH))
}

// LacksWords is that so much more of a water at the start would do.
func LacksWords(litres float64, like *site.System, u units.System) string {
	return fmt.Sprintf("%s more saltwater at the start (%s) would do", u.Volume(litres, units.Up), WaterWords(like.Water.Salinity, like.Water.Temperature, u))
}

// InTimeAwake reports whether a plan that is late would not be for whoever gets up at night for each change,
// as far as what holds it back was looked for.
func (p *Plan) InTimeAwake() bool {
	within := p.Demand.Aims[0].WithinH
	return !p.InTime && p.Binding.Limit == ByNight && p.Binding.DoneAtH != nil && within > 0 && *p.Binding.DoneAtH <= within
}

// GettingUp is what a limit by the night is loosened by.
const GettingUp = "getting up for each change"

func done(h *float64) string {
	if h == nil {
		return "never done"
	}
	return "done after " + units.Hours(*h)
}

func plainly(x float64) string { return units.Trimmed(x, 4) }

// measured is where a limit stands, or what is added of what is short.
func (b Binding) measured(x float64, u units.System) string {
	switch b.Limit {
	case TemperatureStep, TemperaturePerDay:
		return u.TempStep(x)
	case TemperatureLow, TemperatureHigh:
		return u.Temperature(x)
	case SalinityStep, SalinityPerDay, SalinityLow, SalinityHigh:
		return units.Fixed(x, 1)
	case AlkalinityPerDay:
		return units.Fixed(x, 1) + " dKH"
	case ByDrawdown, ByLeastChange:
		return plainly(x) + " %"
	case ByNight:
		return GettingUp
	case ByInterval, ByMixing:
		return units.Hours(x)
	case ByWater, ByPurifiedWater:
		return u.Volume(x, units.Up) + " more stored"
	case BySalt:
		return u.Mass(x, units.Up) + " more"
	case ByWarming:
		return units.Fixed(x, 0) + " W more in each vat"
	}
	return plainly(x) + " " + b.Unit
}
