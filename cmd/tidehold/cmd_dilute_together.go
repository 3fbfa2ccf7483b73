package main

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"tidehold/response/plan"
	"tidehold/response/readiness"
	"tidehold/response/schedule"
	"tidehold/volumes/site"
)

// diluteTogether are the plans of events that strike at once and share the water, in JSON.
type diluteTogether struct {
	// ServedFirst are the events that the water goes to first where one more would be late if it went by
	// priority; empty where it goes by that.
	ServedFirst []string `json:"served_first,omitempty"`
	// Plans stand in the order in which the water goes to them.
	Plans []diluteShared `json:"plans"`
}

// diluteShared is the plan of one system: what one event of a site has, and whose it is.
type diluteShared struct {
	// ID names the event; events on one system are served by the same changes.
	ID     string `json:"id"`
	System string `json:"system"`
	diluteResult
}

// runDiluteTogether plans several events of a site that strike at once.
func runDiluteTogether(a *app, o *diluteOptions, ls loaded) error {
	for _, id := range o.events {
		if _, err := findEvent(ls.Site, "event", id); err != nil {
			return err
		}
	}
	demands, err := foremost(ls.Site, o.events)
	if err != nil {
		return err
	}
	shared, err := readiness.PlansFor(ls.Site, ls.Now, demands, readiness.Shown{Confidence: o.confidence.Or(0), Binding: true})
	if err != nil {
		return usage(err)
	}
	result := diluteTogether{Plans: []diluteShared{}}
	ans := answer{Command: "dilute", Table: "plans.steps", Title: "Water changes for " + plan.AllOf(o.events),
		Assumptions: append(ls.Site.Assumptions, shared.Assumptions...), Warnings: slices.Concat(site.Texts(ls.Site.Warnings), shared.Warnings),
		Next: "playbook --event " + o.events[0] + " --beside " + strings.Join(o.events[1:], " --beside ")}
	var views []*siteView
	var late, heaters, later []string
	var lacking *float64 // the same of all that are late
	open := openOn(ls.Journal.Entries)
	for k := range shared.Plans {
		v, err := viewOf(ls, shared.Plans[k], a.displayUnits(ls.Site.Units))
		if err != nil {
			return err
		}
		v.shares = true
		v.underWay = underWay(ls.Site, open, v.Demand.System.ID, ls.Now)
		ids := v.Demand.EventIDs()
		if k == 0 && shared.Reordered {
			result.ServedFirst = ids
		}
		if v.late() {
			late, lacking = append(late, ids...), v.LackingL
		}
		views = append(views, v)
		result.Plans = append(result.Plans, diluteShared{plan.AllOf(ids), v.Demand.System.ID, v.result()})
		ans.Blocks = append(ans.Blocks, v.verdict()...)
		ans.More = append(append(ans.More, heading(plan.AllOf(ids))), v.behind()...)
		ans.Warnings = append(ans.Warnings, v.warnings()...)
		now, filled := v.Heated(v.stores, warmer)
		heaters, later = append(heaters, now...), append(later, filled...)
	}
	ans.Result, ans.No = result, len(late) > 0
	slices.Sort(heaters)
	slices.Sort(later)
	later = slices.DeleteFunc(later, func(id string) bool { return slices.Contains(heaters, id) })
	short, whole := cutShort(doingsOfAll(views))
	verdict := result.headline(len(o.events), late)
	if len(late) > 0 { // kept like the water of the system that was named first
		verdict += " " + lackingText(lacking, demands[0].System, a.displayUnits(ls.Site.Units))
	}
	ans.Blocks = append(append([]block{para("%s", verdict)}, ans.Blocks...), para("%s", siteCaution+countedOn(slices.Compact(heaters), slices.Compact(later))))
	ans.Blocks, ans.More = append(ans.Blocks, short...), append(whole, ans.More...)
	return a.print(ans)
}

// doingsOfAll is the table of what to do for every system, in order of time.
func doingsOfAll(views []*siteView) grid {
	type row struct {
		doing
		of *siteView
	}
	var rows []row
	for _, v := range views {
		for _, d := range v.inOrder() {
			rows = append(rows, row{d, v})
		}
	}
	slices.SortStableFunc(rows, func(a, b row) int { return cmp.Compare(a.atH, b.atH) })
	g := grid{Header: []string{"when", "for", "do", "left"}, Right: []int{3}}
	for _, r := range rows {
		g.Rows = append(g.Rows, []string{r.of.clock(r.atH), r.of.Demand.System.ID, r.what, r.left})
	}
	return g
}

// behind is what one of several plans has behind its headline and its rows.
func (v *siteView) behind() []block {
	if len(v.Steps) == 0 {
		return v.notes()
	}
	out := append(v.turn(), v.lanes()...)
	return append(append(append(out, tableBlock(v.effects())), v.notes()...), v.asides()...)
}

// foremost are the demands of events, of each system's the one that asks for the most water first.
func foremost(s *site.Site, events []string) ([]plan.Demand, error) {
	demands, err := schedule.Demands(s, events...)
	if err != nil {
		return nil, usagef("--event: %w", err)
	}
	background := worstBackground(s)
	for k, d := range demands {
		if len(d.Aims) == 1 {
			continue
		}
		brings := make([]float64, len(d.Aims))
		for i, aim := range d.Aims {
			brings[i] = background[aim.Contaminant]
		}
		if demands[k], err = readiness.Foremost(d, brings); err != nil {
			return nil, flagFault(err)
		}
	}
	return demands, nil
}

// headline is the verdict over all of them.
func (r *diluteTogether) headline(events int, late []string) string {
	all, first := "both", ""
	if events > 2 {
		all = "all " + counted(events, "event")
	}
	if len(r.ServedFirst) > 0 {
		first = " The water goes to " + strings.Join(r.ServedFirst, " and ") + " first, or one more would be late."
	}
	if len(late) > 0 {
		return fmt.Sprintf("NOT IN TIME for %s at once: %s.%s", all, strings.Join(late, ", "), first)
	}
	return fmt.Sprintf("IN TIME for %s at once.%s What one draws the next does not have: follow this, or cards printed with --beside.", all, first)
}
