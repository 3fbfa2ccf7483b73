package schedule

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// explain lists the defaults taken by the plans and what to look at, each once.
func (p *Planner) explain(out *Outcome) {
	list := map[refs.Assumption]bool{}
	note := func(what, value, source string) {
		list[refs.Assumption{What: what, Value: value, Source: source}] = true
	}
	for i := range out.Plans {
		p.notePlan(&out.Plans[i], note)
		if !out.Plans[i].Proved {
			out.Warnings = append(out.Warnings, fmt.Sprintf("plan for %s: the best found, not proved best", out.Plans[i].Demand.System.ID))
		}
		out.Warnings = append(out.Warnings, p.hurries(&out.Plans[i])...)
	}
	for a := range list {
		out.Assumptions = append(out.Assumptions, a)
	}
	slices.SortFunc(out.Assumptions, func(a, b refs.Assumption) int {
		return cmp.Or(cmp.Compare(a.What, b.What), cmp.Compare(a.Value, b.Value))
	})
	if n := len(p.stock); n > mostStores {
		out.Warnings = append(out.Warnings, fmt.Sprintf("a plan looks at no more than the %d stores that fit best, of %d", mostStores, n))
	}
	for _, i := range p.undated {
		lacks, see := "has no date of mixing", "test it and record the date"
		if p.site.Stores[i].DatedAhead {
			lacks, see = "is dated in the future", "correct the date"
		}
		out.Warnings = append(out.Warnings, fmt.Sprintf("store %s %s; it is counted: %s", p.site.Stores[i].ID, lacks, see))
	}
	for _, i := range p.overAge {
		out.Warnings = append(out.Warnings, fmt.Sprintf("store %s is over its age and not counted: test it and record the test, or mix anew", p.site.Stores[i].ID))
	}
}

// hurries says which changes come later than a plan has them because a vat cannot be poured from so
// soon: a plan counts no time for what is poured away.
func (p *Planner) hurries(made *plan.Plan) (warnings []string) {
	for _, x := range made.Prepared {
		st := p.site.StoreByID(x.StoreID)
		if st == nil || x.RemoveL <= 0 {
			continue
		}
		takes, by := x.RemoveL*minutesPerL(known(st.TransferLH)), "by bucket"
		if known(st.TransferLH) > 0 {
			by = "by pump"
		}
		next := slices.IndexFunc(made.Steps, func(s plan.Step) bool {
			return s.AtH >= x.AtH-slackH && slices.ContainsFunc(s.From, func(d plan.Draw) bool { return d.StoreID == x.StoreID })
		})
		if next < 0 {
			continue
		}
		if late := takes - (made.Steps[next].AtH-x.AtH)*60; late >= 1 {
			warnings = append(warnings, fmt.Sprintf("pouring water of %s away takes about %.0f min %s, which the plan does not count: change %d comes about %.0f min later",
				x.StoreID, takes, by, made.Steps[next].N, late))
		}
	}
	return warnings
}

// notePlan notes the defaults that one plan rests on.
func (p *Planner) notePlan(made *plan.Plan, note func(what, value, source string)) {
	for _, s := range made.Steps {
		for _, from := range s.From {
			if from.Buckets {
				note("minutes for a 10 L bucket", "1 min each way", "common practice; no pump is stated: time one")
			}
			if from.Delivery > 0 {
				p.noteDelivery(from.Delivery, made, note)
			} else if st := p.site.StoreByID(from.StoreID); st != nil && from.Batch == 0 {
				p.noteStore(st, made, note)
			}
		}
	}
	if made.Confidence != nil {
		note("confidence of the litres", units.Given(100**made.Confidence, 4)+" %", "volume and start taken as normal with half the stated ± [gum]")
	}
	if q := p.site.Purifier; q != nil && len(made.Batches) > 0 {
		f := q.Factors().Lowest
		note("purifier's rate at the feed's temperature", strconv.FormatFloat(f, 'f', 2, 64)+" of the rated one", "lowest of three published tables [ro-table-a] [ro-table-b] [ro-table-c]; enter a measured rate")
	}
}

// noteStore notes what is not known of a store's water.
func (p *Planner) noteStore(s *site.Store, made *plan.Plan, note func(what, value, source string)) {
	basis := "the system's own, in proportion to the salinity"
	if len(p.site.Salts) > 0 {
		basis = "what the salt makes, else the system's own, in proportion to the salinity"
	}
	w := &s.Water
	if w.AlkalinityDKH == nil || w.CalciumMgL == nil || w.MagnesiumMgL == nil || w.PH == nil {
		note("chemistry of store "+s.ID, basis, "not stated: measure it")
	}
	if s.HeaterW > 0 && s.HeatLossWK == nil {
		note("heat loss of store "+s.ID, "none", "not stated: the vat warms later than planned if it is not insulated")
	}
	p.noteBackground("store "+s.ID, s.Background, made, note)
}

// noteBackground notes what a water is taken to bring of what is to be brought down, where nobody stated it.
func (p *Planner) noteBackground(of string, stated map[string]float64, made *plan.Plan, note func(what, value, source string)) {
	for _, a := range made.Demand.Aims {
		if _, ok := stated[a.Contaminant]; !a.Share() && !ok {
			note(a.Contaminant+" in "+of, units.Given(p.background(stated, a.Contaminant, 0), 4)+" ug/L", "not stated: what the salt brings, else none")
		}
	}
}

func (p *Planner) noteDelivery(n int, made *plan.Plan, note func(what, value, source string)) {
	d := &p.site.Deliveries[n-1]
	if d.Salinity == nil || d.Temperature == nil {
		note("water of delivery "+strconv.Itoa(n), "as the system's", "salinity or temperature not stated: measure before use")
	}
	p.noteBackground("delivery "+strconv.Itoa(n), d.Background, made, note)
}
