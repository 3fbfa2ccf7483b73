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
}

// Shown are the plan's steps as they are printed in JSON; never nil.
func (p *Plan) Shown() []Shown {
	out := make([]Shown, 0, len(p.Steps))
	for _, s := range p.Steps {
		x := Shown{Step: s}
		if x.From == nil {
			x.From = []Draw{}
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
