package plan

import (
	"math"

	"tidehold/refs/units"
)

// Litres is how much all changes take, as every command and card prints it: the sum of what
// their rows say, which is what somebody who follows them pours.
func (p *Plan) Litres(u units.System) string {
	if len(p.Steps) == 0 {
		return u.Volume(p.WaterL, units.Up) // run through, not changed
	}
	sum := 0.0
	for _, row := range p.Rows(u) {
		sum += row.WholeL
	}
	return u.VolumeToPour(sum, units.Up)
}

// ChangeLitres is how much one of its changes takes, as every command and card prints it: what
// the aim alone asks for is a need and rounded up; what a limit or the water there is sets, down,
// unless the aim would be missed so.
func (p *Plan) ChangeLitres(s *Step, u units.System) string { return p.Row(s, u).Whole }

// Row is what is printed of a change, whose parts add up to its whole; one that is no row of the plan stands by itself.
func (p *Plan) Row(s *Step, u units.System) units.Parts {
	if p == nil || s.N < 1 || s.N > len(p.Steps) {
		one := Plan{Steps: []Step{*s}}
		return one.Rows(u)[0]
	}
	return p.Rows(u)[s.N-1]
}

// Rows is what is printed of each change, so that whoever pours it meets every aim that the
// plan meets, and takes no more out of a vat than it holds.
// Whoever prints all of them asks once: each hangs on the others.
func (p *Plan) Rows(u units.System) []units.Parts {
	by := make([]units.Rounding, len(p.Steps))
	for k := range p.Steps {
		by[k] = p.Steps[k].rounding()
	}
	rows := p.rows(by, u)
	for a, res := range p.Aims {
		if res.DoneAtH == nil || p.Demand.System == nil || a >= len(p.Demand.Aims) {
			continue
		}
		n := 0
		for n < len(p.Steps) && p.Steps[n].AtH < *res.DoneAtH {
			n++
		}
		// The last change before the aim is reached first: it is the one nothing else waits for.
		for k := n - 1; k >= 0 && p.missed(a, rows[:n]); k-- {
			by[k] = units.Up
			rows = p.rows(by, u)
		}
	}
	return rows
}

// Poured are the draws of a change, by their places, that pour anything as it is printed: nobody reads a
// vat for "0.00 L". All where none does.
func (s *Step) Poured(row units.Parts) (places []int) {
	for i := range s.From {
		if i < len(row.EachL) && row.EachL[i] > 0 {
			places = append(places, i)
		}
	}
	if len(places) > 0 {
		return places
	}
	for i := range s.From {
		places = append(places, i)
	}
	return places
}

// missed reports whether an aim is above its target after the changes as they are printed:
// what is left is at most the planned level times what each change leaves more than planned.
func (p *Plan) missed(a int, rows []units.Parts) bool {
	n := len(rows)
	if n == 0 || a >= len(p.Steps[n-1].Levels) {
		return false
	}
	volL, more := float64(p.Demand.System.NetVolume), 1.0
	for k, row := range rows {
		if p.Steps[k].RemoveL >= volL {
			return false
		}
		more *= (volL - row.WholeL) / (volL - p.Steps[k].RemoveL)
	}
	return p.Steps[n-1].Levels[a].SizedAfter*more > p.Demand.Aims[a].Target*(1+1e-9)
}

// rows are the changes as printed with these roundings. No limit of the site is kept closer than
// a step of display; what a vat holds is.
func (p *Plan) rows(by []units.Rounding, u units.System) []units.Parts {
	out, over := make([]units.Parts, len(p.Steps)), map[string]float64{}
	for k, s := range p.Steps {
		var parts, most []float64
		for _, d := range s.From {
			left := math.Inf(1)
			if d.LeftL != nil {
				left = *d.LeftL
			}
			parts, most = append(parts, d.Litres), append(most, d.Litres+left-over[d.From()])
		}
		out[k] = u.VolumeParts(s.RemoveL, by[k], parts, most)
		for i, d := range s.From {
			over[d.From()] += out[k].EachL[i] - d.Litres
		}
	}
	return out
}

// rounding: what the aim alone, or a plan from flags, asks for is a need.
func (s *Step) rounding() units.Rounding {
	if s.LimitedBy == ToTarget || s.LimitedBy == "" {
		return units.Up
	}
	return units.Down
}
