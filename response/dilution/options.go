package dilution

import (
	"math"
	"sort"
)

// Lever is one thing that would lower the floor.
type Lever struct {
	What Remedy
	// Floor is the controlling contaminant's with it, and Reaches says that its
	// target then lies above the floor.
	Floor   float64
	Reaches bool
}

// Remedy names a lever.
type Remedy string

// The levers.
const (
	CleanerWater  Remedy = "new water without it"
	StopSource    Remedy = "the source stopped"
	ClearRock     Remedy = "rock and sand taken out"
	FreshMedia    Remedy = "media renewed before they are used up"
	TwiceAsOften  Remedy = "changes twice as often"
	LargerChanges Remedy = "changes twice as large"
	FasterFlow    Remedy = "twice the flow"
)

// levers tries each remedy by itself on the controlling contaminant and keeps
// those that lower its floor.
func (p Problem) levers(plan Plan) []Lever {
	c := p.Contaminants[plan.Controlling]
	var list []Lever
	try := func(what Remedy, change func(p *Problem, c *Contaminant)) {
		q, k := p, c
		change(&q, &k)
		floor := q.floor(k)
		if floor.ugL < plan.Floor*(1-1e-6) {
			list = append(list, Lever{what, floor.ugL, floor.reaches(k.Target)})
		}
	}
	try(CleanerWater, func(_ *Problem, c *Contaminant) { c.New.Value = 0 })
	try(StopSource, func(_ *Problem, c *Contaminant) { c.Source.MgH = 0 })
	try(ClearRock, func(_ *Problem, c *Contaminant) { c.BoundRatio = 0 })
	try(FreshMedia, func(_ *Problem, c *Contaminant) { c.CapacityMg = 0 })
	try(TwiceAsOften, func(p *Problem, _ *Contaminant) { p.EveryH /= 2 })
	try(LargerChanges, func(p *Problem, _ *Contaminant) { p.ChangeL = math.Min(2*p.ChangeL, p.Volume.Value) })
	try(FasterFlow, func(p *Problem, _ *Contaminant) { p.FlowLH *= 2 })
	sort.SliceStable(list, func(i, j int) bool { return list[i].Floor < list[j].Floor })
	return list
}

// Split is what a plan's litres would do, by dilution alone, split into Changes
// equal changes; 0 changes: run through continuously.
type Split struct {
	Changes      int
	EachL, Final float64
}

// splits compares the plan with one single change (where the litres allow it), ten
// times as many changes, and a continuous exchange, of the same litres. Where
// something acts between changes, dilution alone says nothing of the plan, and
// there is no comparison.
func (p Problem) splits(plan Plan) []Split {
	if plan.WaterL <= 0 || !p.pure() {
		return nil
	}
	c := p.Contaminants[plan.Controlling]
	volumes := plan.WaterL / p.Volume.Value
	var list []Split
	add := func(n int) {
		list = append(list, Split{n, plan.WaterL / float64(n), AfterChanges(c.Start.Value, c.New.Value, volumes/float64(n), n)})
	}
	if !p.Continuous && plan.Changes > 1 && volumes <= 1 {
		add(1)
	}
	if p.Continuous {
		add(int(math.Ceil(2 * volumes)))
		return list
	}
	add(10 * plan.Changes)
	return append(list, Split{0, plan.WaterL, AfterExchange(c.Start.Value, c.New.Value, volumes)})
}
