package schedule

import (
	"cmp"
	"math"
	"slices"

	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// InFileOrder are the demands as their systems stand in the site file, several of one system by what they
// ask for first; and which of those given each is. What is worked out for all of them does not hang on
// whose card is asked for: each card gave its own system the vat first, and together they poured it out twice.
func InFileOrder(s *site.Site, demands []plan.Demand) (list []plan.Demand, given []int) {
	given = ascending(len(demands))
	if len(demands) > 1 {
		place := map[string]int{}
		for i := range s.Systems {
			place[s.Systems[i].ID] = i
		}
		slices.SortStableFunc(given, func(a, b int) int {
			x, y := &demands[a], &demands[b]
			if n := cmp.Compare(place[x.System.ID], place[y.System.ID]); n != 0 || len(x.Aims) == 0 || len(y.Aims) == 0 {
				return n
			}
			of, at := &x.Aims[0], &y.Aims[0]
			return cmp.Or(cmp.Compare(of.Contaminant, at.Contaminant), cmp.Compare(of.Start, at.Start), cmp.Compare(of.Target, at.Target))
		})
	}
	for _, i := range given {
		list = append(list, demands[i])
	}
	return list, given
}

// ascending is 0 to n − 1.
func ascending(n int) []int {
	list := make([]int, n)
	for i := range list {
		list[i] = i
	}
	return list
}

// servingOrder is the order in which demands share the water: by priority, then deadline, then as given.
func servingOrder(demands []plan.Demand) []int {
	order := ascending(len(demands))
	last := func(x int) int {
		if x == 0 {
			return math.MaxInt
		}
		return x
	}
	never := func(h float64) float64 {
		if h == 0 {
			return math.Inf(1)
		}
		return h
	}
	slices.SortStableFunc(order, func(a, b int) int {
		x, y := &demands[a], &demands[b]
		return cmp.Or(cmp.Compare(last(x.Priority), last(y.Priority)), cmp.Compare(never(x.WithinH()), never(y.WithinH())))
	})
	return order
}

// lateOf are the demands whose plans are late.
func lateOf(plans []plan.Plan) (list []int) {
	for k := range plans {
		if !allInTime(&plans[k]) {
			list = append(list, plans[k].Index)
		}
	}
	return list
}

// anyNew reports whether a demand is late that was not.
func anyNew(late, was []int) bool {
	return slices.ContainsFunc(late, func(d int) bool { return !slices.Contains(was, d) })
}

// betterOrder looks for an order in which all are in time, or else for one in which fewer are late, and
// none that is not late by priority: who is late either way does not take the water of the next. Nil where
// there is none.
func (p *Planner) betterOrder(demands []plan.Demand, order, lateSo []int, opt Options) (best []int, err error) {
	opt.Explain, opt.Note, opt.Unproved = false, opt.Explain || opt.Note, true // looked for as what is shown is
	first := func(d int) []int { return servedFirst(order, slices.Index(order, d)) }
	if len(lateSo) > 0 && lateSo[0] != order[0] {
		all, found, err := p.inAnyOrder(first(lateSo[0]), len(demands)-1, func(order []int) (int, error) {
			return p.firstLate(p.inTime, demands, order, opt)
		})
		if err != nil || found {
			return all, err
		}
	}
	for _, d := range lateSo {
		if d == order[0] || len(lateSo) < 2 { // one that is late alone stays so
			continue
		}
		plans, err := p.serve(demands, first(d), opt)
		if err != nil {
			return nil, err
		}
		now := lateOf(plans)
		if len(now) < len(lateSo) && !anyNew(now, lateSo) {
			best, lateSo = first(d), now
		}
	}
	return best, nil
}

// inAnyOrder looks for an order of demands in which none is late, by serving whichever is sooner, until
// the first is late itself or so many orders have been tried. serve says which place of an order is the
// first that is late, -1 for none.
func (p *Planner) inAnyOrder(order []int, most int, serve func(order []int) (late int, err error)) (_ []int, all bool, err error) {
	for range most {
		late, err := serve(order)
		if err != nil || late < 0 {
			return order, err == nil, err
		}
		if late == 0 {
			break
		}
		order = servedFirst(order, late)
	}
	return nil, false, nil
}

// servedFirst is an order with one of its places moved to the front.
func servedFirst(order []int, place int) []int {
	out := append(make([]int, 0, len(order)), order[place])
	out = append(out, order[:place]...)
	return append(out, order[place+1:]...)
}
