package plan

import (
	"tidehold/refs/units"
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
	case ByDrawdown:
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
