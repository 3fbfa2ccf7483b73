package schedule

import (
	"cmp"
	"math"
	"slices"

	"tidehold/response/plan"
)

// servingOrder is the order in which demands share the water.
func servingOrder(demands []plan.Demand) []int {
	order := make([]int, len(demands))
	for i := range order {
		order[i] = i
	}
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
