package dilution

import (
	"fmt"
	"math"
)

// Plan is the answer to a Problem. Concentrations are µg/L, or shares of the start
// where the problem is a share to remove.
type Plan struct {
	// Changes, and WaterL litres of new water in all.
	Changes int
	WaterL  float64
	// NeededL is the water that reaches the targets where there is enough; equal to
	// WaterL unless the water is limited.
	NeededL float64
	// Final, Floor, and the Before and After of the steps, belong to the controlling
	// contaminant: its concentration at the end of the plan, expected with the
	// stated values, and the lowest along the path with unlimited changes.
	Final, Floor float64
	// Reachable says that no target lies at or under its floor, in the share of
	// cases asked for; Reached that the water suffices too; Holds that every
	// concentration stays at or under its target with no more changes, for good.
	Reachable, Reached, Holds bool
	// DoneAtH is when the targets are reached, in hours; nil when they are not, or
	// when the flow of a continuous exchange is not stated.
	DoneAtH *float64
	Steps   []Step
	// P50, P90 and P95 are the smallest numbers of full-size changes that meet the
	// targets in that share of the trials (without uncertainty, in the one case
	// there is); nil when none does, and for a continuous exchange.
	P50, P90, P95 *int
	// ReachShare is the share of cases in which unlimited changes reach the targets.
	ReachShare float64
	// Controlling is the contaminant that asks for the most, as an index into the
	// problem's and into Outcomes.
	Controlling int
	Outcomes    []Outcome
	// LeastWater says that no plan of changes within the same size takes less.
	LeastWater bool
	// Levers are what would lower the floor, most effective first; set only where
	// the target is not reachable.
	Levers []Lever
	// Splits are what the same litres would do split otherwise.
	Splits []Split
}

// Step is one change, or a continuous exchange that takes ForH hours (nil where
// its flow is not stated).
type Step struct {
	N             int
	AtH           float64
	ForH          *float64
	RemoveL, AddL float64
	Before, After float64
	before, after []State // of all contaminants
}

// Outcome is how one contaminant fares.
type Outcome struct {
	Name                        string
	Start, Target, Final, Floor float64
	Reachable, Holds            bool
	// Peak is the highest it will be after the plan with no more changes; nil when
	// there is no limit to it.
	Peak *float64
	// StartVerdict sets the start with its uncertainty against the target.
	StartVerdict Verdict
}

// Plan works the problem out. It returns an *InputError for input that cannot be
// planned with.
func (p Problem) Plan() (Plan, error) {
	if err := p.Check(); err != nil {
		return Plan{}, err
	}
	plan := Plan{Reachable: true, ReachShare: 1}
	for _, c := range p.Contaminants {
		floor := p.floor(c)
		o := Outcome{Name: c.Name, Start: c.Start.Value, Target: c.Target, Floor: floor.ugL, Reachable: floor.reaches(c.Target)}
		o.StartVerdict = Judge(c.Start.Value, c.Start.U, c.Target, false)
		plan.Outcomes = append(plan.Outcomes, o)
		plan.Reachable = plan.Reachable && o.Reachable
	}
	if !plan.Reachable {
		plan.ReachShare = 0
	}
	plan.Controlling = p.controlling(plan.Outcomes)
	plan.Floor = plan.Outcomes[plan.Controlling].Floor
	sizes, err := p.sizes(&plan)
	if err != nil {
		return Plan{}, err
	}
	p.play(&plan, sizes)
	plan.LeastWater = p.Trim && !p.Continuous && p.pure() && p.Volume.U == 0 && plan.Reached && plan.Changes > 0
	if !plan.Reachable {
		plan.Levers = p.levers(plan)
	}
	plan.Splits = p.splits(plan)
	return plan, nil
}

// floor is the lowest along the path of this problem's changes.
func (p Problem) floor(c Contaminant) lowest {
	d := c.Dynamics(p.Volume.Value)
	if !p.Continuous {
		return floorOf(d, c.Start.Value, c.New.Value, p.ChangeL, p.EveryH)
	}
	if p.FlowLH == 0 {
		if c.Start.Value <= c.New.Value {
			return lowest{c.Start.Value, true}
		}
		return lowest{c.New.Value, false}
	}
	d.ExchangeLH, d.ExchangeUgL = p.FlowLH, c.New.Value
	s := d.Start(c.Start.Value)
	low := d.Lowest(s, math.Inf(1))
	at, comes := d.FirstBelow(s, low, math.Inf(1))
	// A level that only sinks towards its floor comes within the slack of it, and stays.
	turns := comes && !Met(d.Peak(d.After(s, at)), low)
	return lowest{low, turns || low == c.Start.Value}
}

// sizes returns the litres of every change, enough for the stated confidence when
// an input is uncertain, and completes what the plan says of the trials. For a
// continuous exchange there is one size, all its litres. Where the target cannot
// be reached, the changes go most of the way to the floor.
func (p Problem) sizes(plan *Plan) ([]float64, error) {
	var ask need
	enough := plan.Reachable
	if p.Uncertain() {
		t := p.trials()
		plan.ReachShare = 1 - float64(t.never)/float64(t.trials)
		if !p.Continuous {
			plan.P50, plan.P90, plan.P95 = t.changes(0.5), t.changes(0.9), t.changes(0.95)
		}
		n := t.changes(p.Confidence)
		plan.Reachable = plan.Reachable && n != nil
		if enough = plan.Reachable; enough {
			ask = need{n: int32(*n), last: t.last(p.Confidence, *n)}
		}
	} else if plan.Reachable {
		if ask = p.stated(); ask.n == never {
			return nil, &InputError{"change", fmt.Sprintf("more than %d changes of %s L would be needed", MaxChanges, short(p.ChangeL)), "a larger change"}
		}
		if n := int(ask.n); !p.Continuous {
			plan.P50, plan.P90, plan.P95 = &n, &n, &n
		}
	}
	switch {
	case p.Continuous && !enough:
		return []float64{mostVolumes * p.Volume.Value}, nil
	case p.Continuous && ask.last > 0:
		return []float64{ask.last}, nil
	case p.Continuous:
		return nil, nil
	case !enough:
		return p.mostOfTheWay(plan), nil
	}
	return p.full(int(ask.n), ask.last), nil
}

// full returns n − 1 full-size changes and a last one, trimmed when asked for.
func (p Problem) full(n int, last float64) []float64 {
	sizes := make([]float64, n)
	for i := range sizes {
		sizes[i] = p.ChangeL
	}
	if p.Trim && n > 0 {
		sizes[n-1] = last
	}
	return sizes
}

// An unreachable target is planned for until this share of what unlimited changes
// can do is done; mostVolumes of a continuous exchange do as much, 1 − e^(−3).
const (
	mostShare   = 0.95
	mostVolumes = 3
)

// mostOfTheWay returns full-size changes that bring the controlling contaminant
// most of the way to its floor.
func (p Problem) mostOfTheWay(plan *Plan) []float64 {
	o := plan.Outcomes[plan.Controlling]
	goal := o.Floor + (1-mostShare)*math.Max(0, o.Start-o.Floor)
	if Met(o.Start, goal) {
		return nil
	}
	c := p.nominal()
	c.members = c.members[plan.Controlling : plan.Controlling+1]
	c.members[0].target = goal
	n, _, ok := c.need(MaxChanges)
	if !ok {
		n = 0
	}
	sizes := p.full(n, p.ChangeL)
	return sizes
}

// limited cuts the changes to the water there is: the last one takes what is left.
func (p Problem) limited(sizes []float64) []float64 {
	if !p.Limited {
		return sizes
	}
	left := p.WaterL
	var cut []float64
	for _, size := range sizes {
		size = math.Min(size, left)
		if size <= 0 {
			break
		}
		cut = append(cut, size)
		left -= size
	}
	return cut
}

// controlling returns the contaminant that asks for the most: of those whose
// target is out of reach the one furthest from it, else the one that needs the
// most changes, then the largest last one.
func (p Problem) controlling(outcomes []Outcome) int {
	best, bestFloor, bestNeed := 0, -1.0, -1.0
	for i, o := range outcomes {
		if !o.Reachable {
			if far := o.Floor / math.Max(o.Target, math.SmallestNonzeroFloat64); far > bestFloor {
				best, bestFloor = i, far
			}
			continue
		}
		if bestFloor >= 0 || len(outcomes) == 1 {
			continue
		}
		alone := p
		alone.Contaminants = p.Contaminants[i : i+1]
		alone.Trim = true
		ask := alone.stated()
		amount := ask.last + float64(ask.n)*p.ChangeL
		if ask.n == 0 {
			amount = o.Start/math.Max(o.Target, math.SmallestNonzeroFloat64) - 1 // below every need
		}
		if amount > bestNeed {
			best, bestNeed = i, amount
		}
	}
	return best
}
