package main

import (
	"fmt"
	"strings"

	"tidehold/refs/units"
	"tidehold/response/figure"
	"tidehold/response/plan"
	"tidehold/response/readiness"
)

// detail is one event with its steps, the work it makes, what to restock and the
// chart.
func (v readyView) detail(e readiness.Event) []block {
	var out []block
	if len(e.Steps) > 0 {
		shown := siteView{planView: planView{Plan: *e.Plan, units: v.units}, at: v.at, awake: v.awake, stores: v.stores}
		out = append(out, heading("Changes for "+e.ID+v.whichStock()), para("%s", strings.TrimSpace(shown.caution()+" "+v.hours())), tableBlock(shown.doings()))
		out = append(append(out, shown.turn()...), shown.lanes()...)
	}
	if e.BottleneckDetail != "" {
		out = append(out, para("What limits it: %s.", e.BottleneckDetail))
	}
	out = append(out, v.work(e.Work)...)
	out = append(out, v.restock(e.Restock)...)
	return append(out, v.chart(e)...)
}

// whichStock says which stock a plan is made on, where there are two.
func (v readyView) whichStock() string {
	if v.WorstDay.DrawnL <= 0 {
		return ""
	}
	return ", just after the regular changes"
}

// work says what the event asks of the people.
func (v readyView) work(w readiness.Work) []block {
	parts := v.moved(w.Moved, "of pumping, out and in")
	if len(parts) > 0 && w.People > 0 {
		people := "one person"
		if w.People > 1 {
			people = fmt.Sprintf("%d people", w.People)
		}
		parts[len(parts)-1] += " for " + people
	}
	if w.SaltKg > 0 {
		parts = append(parts, v.units.Mass(w.SaltKg, units.Up)+" of salt to weigh and pour")
	}
	if len(parts) == 0 {
		return nil
	}
	text := fmt.Sprintf("Work: %s.", strings.Join(parts, "; "))
	if vats := v.moved(w.Vats, "of pumping"); len(vats) > 0 {
		text += fmt.Sprintf(" For the vats, which no time above counts, %s.", strings.Join(vats, "; "))
	}
	out := []block{para("%s", text)}
	if w.Caution != "" {
		out = append(out, para("CAUTION: %s.", w.Caution))
	}
	return out
}

// moved says what is pumped and what is carried.
func (v readyView) moved(m readiness.Moved, pumping string) (parts []string) {
	if m.PumpMin > 0 {
		parts = append(parts, units.Hours(m.PumpMin/60)+" "+pumping)
	}
	if m.BucketTrips > 0 {
		parts = append(parts, fmt.Sprintf("%s (%s in all)", counted(m.BucketTrips, "bucket trip"), v.units.Mass(m.CarriedKg, units.Up)))
	}
	return parts
}

// restock says what to make and buy afterwards.
func (v readyView) restock(r *readiness.Restock) []block {
	if r == nil {
		return nil
	}
	saltwater := v.units.Volume(r.SaltwaterL, units.Up)
	if r.PurifiedL <= 0 && r.SaltKg <= 0 { // the site names no salt: it may buy its water
		return []block{para("Afterwards the stores want %s of saltwater again.", saltwater)}
	}
	s := "Afterwards"
	if r.SaltwaterL > 0 {
		s += fmt.Sprintf(" mix %s of saltwater;", saltwater)
	}
	s += fmt.Sprintf(" purify %s of water and buy %s, for that and for what the event used", v.units.Volume(r.PurifiedL, units.Up), plan.SaltSentence(r.Salts, v.units))
	if r.Bags > 0 {
		s += " (" + counted(r.Bags, "bag") + ")"
	}
	if r.Cost != nil {
		s += ", " + priced(strings.TrimSpace(units.Fixed(*r.Cost, 2)+" "+v.currency), v.currency)
	}
	if r.ReadyAgainH == nil {
		return []block{para("%s; without a purifier the water has to be brought.", s)}
	}
	return []block{para("%s; as ready as before %s after the event begins, at the latest.", s, units.HoursTo(*r.ReadyAgainH, units.Up))}
}

// supplyOf is the heading of an event's chart.
func supplyOf(e readiness.Event) string { return "Supply against demand: " + e.ID }

// chart draws supply against demand.
func (v readyView) chart(e readiness.Event) []block {
	c := figure.Supply{Head: figure.Head{ID: "event-" + e.ID, Title: fmt.Sprintf("%s: %s", e.ID, e.Verdict), Description: e.Reason},
		Needed: e.Curves.Needed, Available: e.Curves.Available, Used: e.Curves.Used, WithinH: e.WithinH, Units: v.units}
	return append([]block{heading(supplyOf(e))}, drawnBy(c.SVG, func() (string, error) { return c.Text(72, 12) })...)
}
