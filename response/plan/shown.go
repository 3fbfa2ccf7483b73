package plan

import "tidehold/refs/units"

// Shown is a step with the level of the plan's first aim beside it, as every command
// prints it in JSON: µg/L, or the share of the start that is left where the aim is a
// share to remove.
type Shown struct {
	Step
	BeforeUgL      *float64 `json:"before_ug_l,omitempty"`
	AfterUgL       *float64 `json:"after_ug_l,omitempty"`
	BeforeFraction *float64 `json:"before_fraction,omitempty"`
	AfterFraction  *float64 `json:"after_fraction,omitempty"`
	// From is what Step.From is; nil stands for the batch of stored water.
	From []ShownDraw `json:"from"`
}

// ShownDraw is water drawn for a change as it is printed in JSON: the store's id and,
// beside it, the batch where it was newly made.
type ShownDraw struct {
	Draw
	Batch *int `json:"batch"`
}

// Shown are the plan's steps as they are printed in JSON; never nil.
func (p *Plan) Shown() []Shown {
	out := make([]Shown, 0, len(p.Steps))
	for _, s := range p.Steps {
		x := Shown{Step: s, From: make([]ShownDraw, 0, len(s.From))}
		for _, d := range s.From {
			y := ShownDraw{Draw: d}
			if d.Batch > 0 {
				y.Batch = &d.Batch
			}
			x.From = append(x.From, y)
		}
		if len(s.Levels) > 0 && len(p.Demand.Aims) > 0 {
			before, after := s.Levels[0].Before, s.Levels[0].After
			if p.Demand.Aims[0].Share() {
				x.BeforeFraction, x.AfterFraction = &before, &after
			} else {
				x.BeforeUgL, x.AfterUgL = &before, &after
			}
		}
		out = append(out, x)
	}
	return out
}

// Litres is how much all changes take, as every command and card prints it: the sum of what
// their rows say, which is what somebody who follows them pours.
func (p *Plan) Litres(u units.System) string {
	if len(p.Steps) == 0 {
		return u.Volume(p.WaterL, units.Up) // run through, not changed
	}
	sum := 0.0
	for _, s := range p.Steps {
		sum += u.VolumeShown(s.RemoveL, s.rounding())
	}
	return u.Volume(sum, units.Nearest)
}

// Litres is how much a change takes, as every command and card prints it: what the aim
// alone asks for is a need and rounded up; what a limit or the water there is sets, down.
func (s Step) Litres(u units.System) string { return u.Volume(s.RemoveL, s.rounding()) }

// Parts are the litres of each draw of a change, as every command and card prints them: they add
// up to Litres.
func (s Step) Parts(u units.System) []string {
	parts := make([]float64, len(s.From))
	for i, d := range s.From {
		parts[i] = d.Litres
	}
	return u.VolumeParts(s.RemoveL, s.rounding(), parts)
}

// rounding: what the aim alone, or a plan from flags, asks for is a need.
func (s Step) rounding() units.Rounding {
	if s.LimitedBy == ToTarget || s.LimitedBy == "" {
		return units.Up
	}
	return units.Down
}
