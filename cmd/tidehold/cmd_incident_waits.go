package main

import (
	"fmt"
	"math"
	"strings"

	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// soonH is how long before its time a change is as good as due, in hours: from then on its water is read, not waited for.
const soonH = 0.25

// wait is what the next change waits for, what to do meanwhile, and the command that enters it if it is not there in time.
type wait struct{ text, typed string }

// lines are the two as they stand under what is next.
func (w wait) lines(here string) (out []block) {
	if w.text != "" {
		out = append(out, line("%s", w.text))
	}
	if w.typed != "" {
		out = append(out, command(w.typed+here))
	}
	return out
}

// waitLines say under what is next what it waits for or, once it is due, what its water is to read before it is poured.
func (n *night) waitLines(s incidentStatus) []block {
	if n.longAfter() || n.Log.ClosedAt != nil || n.Done() || s.Plan == nil || len(s.Plan.Steps) == 0 {
		return nil
	}
	_, d, beside := n.head(s.Plan)
	step := d.step
	if beside != nil {
		step = beside.step
	}
	if step == nil {
		return nil
	}
	if w := n.waitsFor(*s.Plan); w != (wait{}) {
		return w.lines(n.here)
	}
	return n.readFirst(step, s.Plan.Row(step, n.units)).lines(n.here)
}

// waitsFor is why the first change of a plan is later than it may be.
func (n *night) waitsFor(p plan.Plan) wait {
	if len(p.Steps) == 0 || p.Steps[0].AtH <= soonH {
		return wait{}
	}
	first := p.Steps[0]
	for _, d := range first.From {
		st := n.Site.StoreByID(d.StoreID)
		switch {
		case d.Delivery > 0:
			return wait{fmt.Sprintf("It waits for delivery %d: ask now whether it comes. If it does not, write its new time into the site file, and look again.", d.Delivery), ""}
		case st != nil && math.Abs(st.BeingMixed(n.State.Now)-first.AtH) < soonH:
			return wait{fmt.Sprintf("It waits for what is mixed in %s: keep it moving. If two readings of its salinity differ then, pour none of it, wait, and enter:", st.ID), "tidehold stock mixed " + st.ID + " --usable 1h"}
		case n.warms(p, st, d):
			return wait{fmt.Sprintf("It waits for %s to warm: %s now, %s by then. See that its heater is on, and under water; if it warms more slowly, enter what it is, and look again:",
				st.ID, n.units.Temperature(float64(st.Water.Temperature)), n.units.Temperature(d.Temperature)), "tidehold stock tested " + st.ID + " --temp VALUE"}
		}
	}
	return wait{}
}

// warms reports whether the first change waits for a vat that is called ready and warms. Nothing is said where another
// reason may hold it: the night, work at the vat, or another incident's share of the water.
func (n *night) warms(p plan.Plan, st *site.Store, d plan.Draw) bool {
	first := p.Steps[0]
	if len(n.Besides) > 0 || len(p.Prepared) > 0 || len(p.Batches) > 0 && p.Batches[0].StartH < first.AtH {
		return false
	}
	const minute = 1.0 / 60
	if first.AtH > site.AlwaysAwakeH || first.AtH <= n.NextChange.Sub(n.State.Now).Hours()+minute {
		return false
	}
	return st != nil && st.HeaterW > 0 && st.BeingMixed(n.State.Now) == 0 && st.Water.Temperature+warmer < units.Celsius(d.Temperature)
}

// readFirst is what the vats of a change are to read before it, where that is not what anybody has read yet: by a record a
// batch that was salted twice, or one whose heater had tripped, was poured.
func (n *night) readFirst(step *plan.Step, row units.Parts) wait {
	var bands, stores []string
	for _, i := range step.Poured(row) {
		if d := step.From[i]; d.Delivery == 0 && n.unread(d.StoreID) {
			bands, stores = append(bands, n.band(d)), append(stores, d.StoreID)
		}
	}
	const otherwise = "else pour none of it, enter what it is, and look again:"
	switch len(stores) {
	case 0:
		return wait{}
	case 1:
		return wait{fmt.Sprintf("First read %s; %s", bands[0], otherwise), "tidehold stock tested " + stores[0] + " --salinity VALUE --temp VALUE"}
	}
	return wait{fmt.Sprintf("First read %s; %s", strings.Join(bands, "; "), strings.Replace(otherwise, " it is, and look again:", " it is (stock tested), and look again.", 1)), ""}
}

// band is what a vat is to read before it is poured.
func (n *night) band(d plan.Draw) string {
	low, high := d.Warm(float64(n.System.Water.Temperature))
	return fmt.Sprintf("%s: %s to %s, salinity %s to %s", d.StoreID, strings.Fields(n.units.Temperature(low))[0], n.units.Temperature(high),
		units.Fixed(d.Salinity-plan.SaltBand, 1), units.Fixed(d.Salinity+plan.SaltBand, 1))
}
