package plan

import (
	"cmp"
	"math"
	"slices"

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
	rows, met := p.rounded(u, true)
	if !met {
		rows, _ = p.rounded(u, false)
	}
	return rows
}

// rounded are the changes as printed, drops: without what is too little to be poured; and whether they meet every aim that the
// plan meets.
func (p *Plan) rounded(u units.System, drops bool) (rows []units.Parts, met bool) {
	by := make([]units.Rounding, len(p.Steps))
	for k := range p.Steps {
		by[k] = p.Steps[k].rounding()
	}
	rows, met = p.rows(by, u, drops), true
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
			rows = p.rows(by, u, drops)
		}
		met = met && !p.missed(a, rows[:n])
	}
	return rows, met
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
func (p *Plan) rows(by []units.Rounding, u units.System, drops bool) []units.Parts {
	out, over := make([]units.Parts, len(p.Steps)), map[string]float64{}
	for k, s := range p.Steps {
		parts, most := make([]float64, len(s.From)), make([]float64, len(s.From))
		for i, d := range s.From {
			left := math.Inf(1)
			if d.LeftL != nil {
				left = *d.LeftL
			}
			parts[i], most[i] = d.Litres, d.Litres+left-over[d.From()]
		}
		fold(parts, most)
		total := s.RemoveL
		if drops {
			total -= drop(parts, total)
		}
		out[k] = printed(total, by[k], parts, most, u)
		for i, d := range s.From {
			over[d.From()] += out[k].EachL[i] - d.Litres
		}
	}
	return out
}

// What is too little to be measured with a bucket, and so small a share of its change that the water it is replaced by
// moves the system by less than a step of display: 2 % of a quarter of a tank, at 19 of salinity, by 0.095. A rule of this tool.
const (
	leastPartL    = 1.0
	tinyPart      = 0.005 // of a change so large that a litre of it changes nothing
	leastPartOfIt = 0.02
)

// fold adds to the largest part what is too little to be poured, the least first, as far as its vat has the water; what is
// folded is 0.
func fold(parts, most []float64) {
	if len(parts) < 2 {
		return
	}
	order, total := make([]int, len(parts)), 0.0
	for i, x := range parts {
		order[i], total = i, total+x
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(parts[a], parts[b]) })
	largest, folded := order[len(order)-1], 0.0
	for _, i := range order[:len(order)-1] {
		x := parts[i]
		if x >= max(leastPartL, tinyPart*total) || folded+x > leastPartOfIt*total || parts[largest]+x > most[largest] || math.IsInf(most[largest], 1) {
			return
		}
		parts[i], folded = 0, folded+x
		parts[largest] += x
	}
}

// drop leaves out what is too little to be poured and no vat has in its stead, and says how much that is.
func drop(parts []float64, total float64) (litres float64) {
	for i, x := range parts {
		if x > 0 && x < leastPartL && litres+x <= tinyPart*total {
			parts[i], litres = 0, litres+x
		}
	}
	return litres
}

// printed is units.VolumeParts of the parts that pour anything, with the others in their places.
func printed(total float64, by units.Rounding, parts, most []float64, u units.System) units.Parts {
	var poured, bound []float64
	for i, x := range parts {
		if x > 0 {
			poured, bound = append(poured, x), append(bound, most[i])
		}
	}
	if len(poured) == len(parts) || len(poured) == 0 {
		return u.VolumeParts(total, by, parts, most)
	}
	some := u.VolumeParts(total, by, poured, bound)
	out := units.Parts{WholeL: some.WholeL, Whole: some.Whole}
	n := 0
	for _, x := range parts {
		if x > 0 {
			out.EachL, out.Each = append(out.EachL, some.EachL[n]), append(out.Each, some.Each[n])
			n++
			continue
		}
		out.EachL, out.Each = append(out.EachL, 0), append(out.Each, u.VolumeToPour(0, units.Nearest))
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
