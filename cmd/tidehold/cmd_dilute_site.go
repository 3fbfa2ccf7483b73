package main

import (
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/response/readiness"
	"tidehold/response/schedule"
	"tidehold/volumes/site"
)

// runDiluteSite plans from the site's own water.
func runDiluteSite(a *app, o *diluteOptions, c *cobra.Command) error {
	for _, name := range []string{"change", "drawdown", "every", "continuous", "flow", "water", "media", "media-capacity", "bound", "contaminant", "new", "source-until", "source-half-life", "trials"} {
		if c.Flags().Changed(name) {
			return usagef("--%s needs --volume; a plan from the site's own water takes its limits from the site file: try another with --set, e.g. --set systems.ID.drawdown=30%%", name)
		}
	}
	if len(o.events) == 0 && o.system == "" && !a.siteNamed() {
		return usagef("--volume is missing; write for example --volume 640L --start 60ug/L --target 3.1ug/L --drawdown 45%%, or name a site with --site and an --event of it")
	}
	ls, err := a.loadSite()
	if err != nil {
		return err
	}
	if len(o.events) > 1 && o.system == "" {
		if err := o.ofFlags(ls.Site, c); err != nil {
			return err
		}
		return runDiluteTogether(a, o, ls)
	}
	demand, err := o.demand(ls.Site, c)
	if err != nil {
		return err
	}
	v, made, err := plannedView(ls, demand, o.confidence.Or(0), a.displayUnits(ls.Site.Units))
	if err != nil {
		return err
	}
	v.underWay = underWay(ls.Site, openOn(ls.Journal.Entries), demand.System.ID, ls.Now)
	if v.justAfter, err = justAfter(ls, demand); err != nil {
		return usage(err)
	}
	blocks, more := v.blocks()
	next := "ready"
	if len(o.events) > 0 {
		next = "playbook --event " + o.events[0]
	}
	return a.print(answer{
		Command: "dilute", Table: "steps", Title: "Water changes for " + v.name(), Result: v.result(),
		Assumptions: append(ls.Site.Assumptions, made.Assumptions...),
		Warnings:    slices.Concat(site.Texts(ls.Site.Warnings), made.Warnings, o.reportingLimits(), v.warnings(), unusedSpread(c.Flags(), "start")),
		Blocks:      blocks, More: more, No: v.late(), Next: next,
	})
}

// demand is the event asked for, or the one the flags describe.
func (o *diluteOptions) demand(s *site.Site, c *cobra.Command) (plan.Demand, error) {
	var none plan.Demand
	if o.system == "" {
		return o.ofEvent(s, c)
	}
	if len(o.events) > 0 {
		return none, usagef("--event and --system exclude each other; keep one")
	}
	sys, err := findSystem(s, "system", o.system)
	if err != nil {
		return none, err
	}
	if err := o.refuse(c.Flags()); err != nil {
		return none, err
	}
	aim, err := o.aim()
	if err != nil {
		return none, err
	}
	reheats, _ := sys.Reheats(false)
	return plan.Demand{System: sys, Aims: []plan.Aim{aim}, Reheats: reheats}, nil
}

// ofEvent is the event of --event, or the only one.
func (o *diluteOptions) ofEvent(s *site.Site, c *cobra.Command) (plan.Demand, error) {
	var none plan.Demand
	if err := o.ofFlags(s, c); err != nil {
		return none, err
	}
	if len(o.events) == 0 {
		if len(s.Events) != 1 {
			return none, usagef("--event is missing; events of this site: %s", strings.Join(eventIDs(s), ", "))
		}
		o.events = []string{s.Events[0].ID}
	}
	if _, err := findEvent(s, "event", o.events[0]); err != nil {
		return none, err
	}
	list, err := schedule.Demands(s, o.events...)
	if err != nil {
		return none, usagef("--event: %w", err)
	}
	return list[0], nil
}

// ofFlags refuses what an event says itself.
func (o *diluteOptions) ofFlags(s *site.Site, c *cobra.Command) error {
	for _, name := range []string{"start", "target", "remove", "source", "of"} {
		if c.Flags().Changed(name) {
			return usagef("--%s needs --volume or --system; systems of this site: %s", name, strings.Join(systemIDs(s), ", "))
		}
	}
	return nil
}

// aim is a share to remove, or a substance with its start and target.
func (o *diluteOptions) aim() (plan.Aim, error) {
	if o.remove.Given {
		return plan.Aim{Start: 1, Target: 1 - o.remove.Value}, nil
	}
	if o.of == "" {
		return plan.Aim{}, usagef("--of is missing; say what is in the water, e.g. --of copper, so that what the stores bring of it is counted")
	}
	// A name of the keeper's own is allowed, unless it looks like a slip.
	known, near, ok := refs.FindContaminant(o.of)
	switch {
	case ok:
		o.of = known.ID
	case near != "":
		return plan.Aim{}, usagef("--of: %q is not a known substance%s", o.of, didYouMean(near))
	}
	return plan.Aim{Contaminant: o.of, Start: o.start.Value, StartU: o.start.U, Target: o.target.Value, SourceMgH: o.source.Value}, nil
}

// plannedView is the view of a demand's plan on the stock of a site.
func plannedView(ls loaded, d plan.Demand, confidence float64, u units.System) (*siteView, readiness.Planned, error) {
	made, err := readiness.PlanFor(ls.Site, ls.Now, d, readiness.Shown{Confidence: confidence, Binding: true})
	if err != nil {
		return nil, made, usage(err)
	}
	v, err := viewOf(ls, made.Plan, u)
	return v, made, err
}

// justAfter is how the event of a demand fares just after the regular changes; nil where it is of no event,
// or they take nothing.
func justAfter(ls loaded, d plan.Demand) (*readiness.JustAfter, error) {
	event := ls.Site.EventByID(d.Aims[0].EventID)
	if event == nil {
		return nil, nil
	}
	return readiness.EventJustAfter(ls.Site, ls.Now, *event)
}

// viewOf is the view of a plan on the stock of a site.
func viewOf(ls loaded, made plan.Plan, u units.System) (v *siteView, err error) {
	v = &siteView{planView: planView{Plan: made, units: u}, at: ls.Now, awake: ls.Site.Awake, stores: ls.Site.Stores}
	if !v.Reachable {
		if v.levers, err = readiness.Levers(made); err != nil {
			return v, flagFault(err)
		}
	}
	return v, nil
}
