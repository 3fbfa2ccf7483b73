package main

import (
	"tidehold/refs/units"
	"tidehold/response/assess"
	"tidehold/response/dilution"
	"tidehold/response/plan"
	"tidehold/response/readiness"
	"tidehold/volumes/site"
)

// plan adds the plan for everything that has to come down: from the site's own water,
// or with all the water at hand. It is nil when nothing has to.
func (s sample) plan(a *app, o *assessOptions, r assess.Result, ans *answer) (*diluteResult, error) {
	background := s.background()
	list, beyond := r.ToLower(background)
	for _, x := range beyond {
		ans.Blocks = append(ans.Blocks, para("%s: no published level lies between what the new water itself brings, %s, and the result: no change gets there. Look for cleaner water, or set a level with --target.", analyteName(x), units.Dissolved(background[x.ID])))
	}
	for _, l := range list {
		if l.Instead != "" {
			ans.Blocks = append(ans.Blocks, para("%s: planned to %s (%s), for the new water itself brings %s.", analyteName(l.Analyte), units.Dissolved(l.TargetUgL), l.Instead, units.Dissolved(l.Background)))
		}
	}
	if len(list) == 0 {
		return nil, nil
	}
	if s.site == nil && (!o.volume.Given || !o.drawdown.Given) {
		ans.Blocks = append(ans.Blocks, para("For the plan that brings these down give --volume and --drawdown, or a site with --site."))
		return nil, nil
	}
	ans.Assumptions = append(ans.Assumptions, assess.Uncovered(list, background)...)
	if s.site != nil {
		return s.planFromSite(list, ans)
	}
	return s.planFromFlags(a, o, list, ans)
}

// background is what the site's own water brings; nothing without a site.
func (s sample) background() map[string]float64 {
	if s.site == nil {
		return map[string]float64{}
	}
	return worstBackground(s.site.Site)
}

// worstBackground is what the stores of a site bring, each contaminant by the worst.
func worstBackground(s *site.Site) map[string]float64 {
	out := map[string]float64{}
	for _, st := range s.Stores {
		for id, ugL := range st.Background {
			out[id] = max(out[id], ugL)
		}
	}
	return out
}

// planFromFlags is the closed-form plan with all the water at hand.
func (s sample) planFromFlags(a *app, o *assessOptions, list []assess.Lower, ans *answer) (*diluteResult, error) {
	p := dilution.Problem{
		Volume: o.volume.Measured(), Contaminants: assess.Contaminants(list), ChangeL: o.drawdown.Value * o.volume.Value, Trim: true,
		EveryH: o.every.Or(siteUsual(changeEvery).value), Confidence: defaultConfidence, Trials: defaultTrials, Seed: a.seed,
	}
	made, err := p.Plan()
	if err != nil {
		return nil, flagFault(err)
	}
	v := newFreeView(p, made, false, s.units)
	return ans.addPlan("The plan for all of them", v)
}

// planFromSite schedules the site's own water; the contaminant that asks for the
// most stands first.
func (s sample) planFromSite(list []assess.Lower, ans *answer) (*diluteResult, error) {
	reheats, _ := s.system.Reheats(false)
	demand := plan.Demand{System: s.system, Reheats: reheats}
	var brings []float64
	for _, l := range list {
		demand.Aims = append(demand.Aims, plan.Aim{Contaminant: l.ID, Start: l.ValueUgL, StartU: l.Uncertainty, Target: l.TargetUgL})
		brings = append(brings, l.Background)
	}
	demand, err := readiness.Foremost(demand, brings)
	if err != nil {
		return nil, flagFault(err)
	}
	v, made, err := plannedView(*s.site, demand, 0, s.units)
	if err != nil {
		return nil, err
	}
	ans.Assumptions = append(ans.Assumptions, made.Assumptions...)
	ans.Warnings = append(append(ans.Warnings, site.Texts(s.site.Site.Warnings)...), made.Warnings...)
	result, err := ans.addPlan("The plan for all of them, from this site's water", v)
	if err != nil {
		return nil, err
	}
	if len(v.Steps) > 0 {
		first := v.Steps[0]
		ans.Blocks = append(ans.Blocks, line("First, %s: off at a dry plug what may run dry, then %s.", startText(first.AtH), changeText(v.Rows(v.units)[0], first)))
	}
	ans.More = append(ans.More, s.ends(v))
	return result, nil
}

// addPlan puts the plan's first sentence on the screen and all of it behind --all.
func (ans *answer) addPlan(title string, v shownPlan) (*diluteResult, error) {
	blocks, more := v.blocks()
	lead := "PLAN"
	if len(blocks) > 1 {
		lead = "PLAN (--all: step by step)"
	}
	ans.Blocks = append(ans.Blocks, para("%s: %s", lead, blocks[0].Text))
	ans.More = append(append(append(ans.More, heading(title)), blocks...), more...)
	ans.Warnings = append(ans.Warnings, v.warnings()...)
	result := v.result()
	return &result, nil
}

// ends tells where the plan leaves every contaminant.
func (s sample) ends(v *siteView) block {
	g := grid{Header: []string{"contaminant", "from", "to", "target", "reached after"}, Right: []int{1, 2, 3, 4}}
	for i, aim := range v.Demand.Aims {
		level := func(x float64) string { return levelText(aim.Contaminant, x, aim.Target) }
		g.Rows = append(g.Rows, []string{substance(aim.Contaminant), level(aim.Start), level(v.Plan.Aims[i].Final), level(aim.Target), hoursOr(v.Plan.Aims[i].DoneAtH, "never")})
	}
	return tableBlock(g)
}
