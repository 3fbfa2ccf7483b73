package schedule

import "tidehold/response/plan"

// muchPoured is the share of the water that can be drawn at once from which on it is said that a plan pours it away.
const muchPoured = 0.1

// keeping sees what comes of a plan in time that pours much good water away, where that is kept: in a house of several
// systems another may want it the same night. Of plans that share the water none pours away what the next needs.
func (p *Planner) keeping(made *plan.Plan, opt Options, used *taken) {
	if used != nil || len(p.site.Systems) < 2 || p.site.Reserve.KeepsStored || !made.InTime || made.PouredL < max(leastDrawL, muchPoured*made.UsableNowL) {
		return
	}
	opt.keepsStored, opt.Explain, opt.Note, opt.Unproved = true, false, true, true
	kept, err := p.plan(&made.Demand, opt, nil, false)
	if err == nil {
		made.Keeping = &plan.Keeping{PouredL: kept.PouredL, DoneAtH: kept.DoneAtH, Exposure: kept.Exposure}
	}
}
