package playbook

import (
	"strings"
	"time"

	"tidehold/refs/units"
	"tidehold/volumes/site"
)

// Usual are the facts of a card without a site: the water and the limits that a site
// file takes when it names none, so that a band is printed and not a blank. Litres,
// stores and the plan stay unknown. Each value is among the assumptions.
func Usual(u units.System, printed time.Time) *Facts {
	f := &Facts{Units: u, Printed: printed}
	s, faults := site.Load("usual", []byte("format: 1\nsystems: [{id: tank, net_volume: 100 L}]\n"))
	if len(faults) > 0 {
		return f
	}
	sys := &s.Systems[0]
	f.Water, f.Limits = &sys.Water, &sys.Limits
	g := &gatherer{site: s, sys: sys, facts: f, from: printed}
	g.mend()
	g.chemistry()
	f.Dechlorinator = nil // it is for a volume, which nobody has said
	for _, a := range s.Assumptions {
		if strings.Contains(a.What, ".water.") || strings.Contains(a.What, ".limits.") {
			f.Assumptions = append(f.Assumptions, a)
		}
	}
	return f
}

// usualRow is a change where no plan is known: what a site file takes for the most
// that may be out at once, 25 %, every 4 h.
const usualRow = "a quarter"

// usualSince is when such a change begins.
func usualSince(n int) string {
	if n == 0 {
		return "at once"
	}
	return "+4 h after the last one began"
}

// usualBand is the band of such a row: the tank's own water, a step to each side.
func (f *Facts) usualBand() (warm, salt string) {
	if f.Water == nil || f.Limits == nil {
		return "____", "____"
	}
	return f.around(float64(f.Water.Temperature), f.Limits.TemperatureStep, float64(f.Water.Salinity), f.Limits.SalinityStep)
}
