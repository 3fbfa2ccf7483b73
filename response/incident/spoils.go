package incident

import (
	"tidehold/response/plan"
	"tidehold/response/schedule"
	"tidehold/volumes/site"
)

// Spoiled is another incident that is open: late beside this one, whose plan works on vats, and in time by itself.
type Spoiled struct {
	Incident int    `json:"incident"`
	Event    string `json:"event"`
	System   string `json:"system"`
	// Ranked says that its event stands in the site file, where a priority may be written to it.
	Ranked bool `json:"-"`
	// AloneAtH is when it would be done by itself, hours from now.
	AloneAtH float64 `json:"done_alone_at_h"`
}

// Spoils are the other incidents that a plan for this one, the first of those made together, spoils: the more pressing is
// served first, and of what it cuts or pours away nothing comes back. A tub of 200 L had 710 L poured away for it, and a reef beside it could no longer be saved.
//
// Errors: as schedule.Run.
func (st *State) Spoils(s *site.Site, made []plan.Plan, opt schedule.Options) ([]Spoiled, error) {
	out := []Spoiled{}
	if len(made) < 2 || len(made[0].Prepared) == 0 {
		return out, nil
	}
	for k, l := range st.Besides {
		if made[k+1].InTime {
			continue
		}
		alone, err := schedule.Run(st.supplied(s), st.Now, st.beside[k:k+1], opt)
		if err != nil {
			return out, err
		}
		if p := alone.Plans[0]; p.InTime {
			out = append(out, Spoiled{l.ID, l.Opening.Name, l.Opening.System, l.Opening.Event && s.EventByID(l.Opening.Name) != nil, *p.DoneAtH})
		}
	}
	return out, nil
}

// Alone is when a plan that is late beside other incidents would be done by itself, hours from now; nil where it would be late
// too, or no other is open.
//
// Errors: as schedule.Run.
func (st *State) Alone(s *site.Site, p *plan.Plan, opt schedule.Options) (*float64, error) {
	if p == nil || p.InTime || len(st.beside) == 0 {
		return nil, nil
	}
	out, err := schedule.Run(st.supplied(s), st.Now, []plan.Demand{st.Demand}, opt)
	if err != nil || !out.Plans[0].InTime {
		return nil, err
	}
	return out.Plans[0].DoneAtH, nil
}
