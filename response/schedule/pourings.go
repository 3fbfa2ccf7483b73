package schedule

import (
	"math"

	"tidehold/response/plan"
)

// hoarding looks for a plan in which every aim is in time and nothing is poured away that another system may want,
// and reports whether there is one: what is planned from then on pours nothing away either. Less exposure is not worth
// half a house's water, where all is done in time without: for a change of 122 L one vat of 700 L was to be poured
// out, so that the rest of it was warm within the half hour.
func (x *search) hoarding(root score, nodes int) bool {
	p := x.p
	if p.hoards = p.wanted && root.missed == 0; p.hoards {
		p.hoards = x.inTime(root, nodes)
	}
	return p.hoards
}

// hoard leaves out of a job what it pours away, where another system may want it: all but water over its age, and what
// makes room for the purified water or the salt of a correction.
func (p *problem) hoard(s *state, j *job) {
	v := &s.vats[j.vat]
	if !p.hoards || j.removeL <= 0 || math.IsInf(v.readyH, 1) {
		return
	}
	most := 0.0
	if j.correct && v.volL > leastDrawL {
		c := p.correction(s, j.vat, v.volL)
		most = max(0, v.volL-p.vessels[j.vat].capL/(1+(c.grows-1)*j.way()))
	}
	j.removeL, j.thin = min(j.removeL, most), j.correct
	j.all = j.all && j.removeL > 0
}

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
