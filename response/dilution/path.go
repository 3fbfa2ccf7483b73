package dilution

// Moment is one contaminant's level at a time of a plan.
type Moment struct{ AtH, Level float64 }

// Path follows the contaminant with the given index through a plan of this
// problem: before and after every change, parts points between two where anything
// acts there, to the end of the plan and afterH hours beyond. Nil where the plan
// has no times: no steps, or a continuous exchange whose flow is not stated.
func (p Problem) Path(plan Plan, index, parts int, afterH float64) []Moment {
	if len(plan.Steps) == 0 || p.Continuous && p.FlowLH == 0 {
		return nil
	}
	c := p.Contaminants[index]
	d := c.Dynamics(p.Volume.Value)
	var path []Moment
	run := func(d Dynamics, s State, hours float64) {
		if d.Inert() {
			parts = 1
		}
		for i := range parts {
			at := d.After(s, hours*float64(i+1)/float64(parts))
			path = append(path, Moment{at.AtH, at.UgL})
		}
	}
	for i, step := range plan.Steps {
		before, after := step.before[index], step.after[index]
		path = append(path, Moment{before.AtH, before.UgL})
		switch {
		case step.ForH != nil:
			flowing := d
			flowing.ExchangeLH, flowing.ExchangeUgL = p.FlowLH, c.New.Value
			run(flowing, before, *step.ForH)
		default:
			path = append(path, Moment{after.AtH, after.UgL})
		}
		if i+1 < len(plan.Steps) {
			run(d, after, plan.Steps[i+1].AtH-step.AtH)
			path = path[:len(path)-1] // the next step begins there
		}
	}
	last := plan.Steps[len(plan.Steps)-1].after[index]
	if plan.DoneAtH != nil && *plan.DoneAtH > last.AtH {
		afterH += *plan.DoneAtH - last.AtH
	}
	if afterH > 0 {
		run(d, last, afterH)
	}
	return path
}
