package plan

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
