package schedule

import (
	"math"
	"math/rand/v2"
	"testing"
)

// The simplex against all corners of the polytope, found by solving every choice of n of the
// planes for their common point: an independent way to the optimum of up to three variables.
func TestSimplexFindsTheBestCorner(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 14))
	var x simplex // its memory is used again
	for n := range 3000 {
		vars, rows := 1+r.IntN(3), r.IntN(4)
		x.begin(vars)
		most, gain := make([]float64, vars), make([]float64, vars)
		for k := range vars {
			most[k], gain[k] = float64(r.IntN(5))*10*r.Float64(), 4*r.Float64()-1
			x.most[k], x.gain[k] = most[k], gain[k]
		}
		var a [][]float64
		var limit []float64
		for range rows {
			l := float64(r.IntN(4)) * 10 * r.Float64()
			row := x.constrain(l)
			for k := range vars {
				row[k] = float64(r.IntN(3)) * (2*r.Float64() - 1)
			}
			a, limit = append(a, append([]float64(nil), row...)), append(limit, l)
		}
		out := make([]float64, vars)
		if !x.solve(out) {
			t.Fatalf("case %d: not solved", n)
		}
		got := 0.0
		for k := range vars {
			got += gain[k] * out[k]
			if out[k] < 0 || out[k] > most[k] {
				t.Fatalf("case %d: %g of at most %g", n, out[k], most[k])
			}
		}
		for k := range a {
			if over := dot(a[k], out) - limit[k]; over > 1e-9 {
				t.Fatalf("case %d: constraint %d is broken by %g", n, k, over)
			}
		}
		if want := bestCorner(gain, most, a, limit); !(math.Abs(got-want) <= 1e-9*(1+want)) {
			t.Fatalf("case %d: %.12g, the best corner %.12g", n, got, want)
		}
	}
}

func dot(a, b []float64) (sum float64) {
	for k := range a {
		sum += a[k] * b[k]
	}
	return sum
}

// bestCorner is the best of Σ gain·x over the corners of 0 ≤ x ≤ most, a·x ≤ limit.
func bestCorner(gain, most []float64, a [][]float64, limit []float64) float64 {
	n := len(gain)
	var planes [][]float64 // a row and its right side
	for k := range n {
		low, high := make([]float64, n+1), make([]float64, n+1)
		low[k], high[k], high[n] = 1, 1, most[k]
		planes = append(planes, low, high)
	}
	for k := range a {
		planes = append(planes, append(append([]float64(nil), a[k]...), limit[k]))
	}
	best := math.Inf(-1)
	var choose func(from int, chosen [][]float64)
	choose = func(from int, chosen [][]float64) {
		if len(chosen) == n {
			x, ok := meet(chosen)
			for k := range n {
				ok = ok && x[k] >= -1e-9 && x[k] <= most[k]+1e-9
			}
			for k := range a {
				ok = ok && dot(a[k], x) <= limit[k]+1e-9
			}
			if ok {
				best = max(best, dot(gain, x))
			}
			return
		}
		for k := from; k < len(planes); k++ {
			choose(k+1, append(chosen[:len(chosen):len(chosen)], planes[k]))
		}
	}
	choose(0, nil)
	return best
}

// meet is the common point of n planes, by Gauss with pivoting; false: none.
func meet(planes [][]float64) ([]float64, bool) {
	n := len(planes)
	m := make([][]float64, n)
	for k := range planes {
		m[k] = append([]float64(nil), planes[k]...)
	}
	for c := range n {
		p := c
		for k := c; k < n; k++ {
			if math.Abs(m[k][c]) > math.Abs(m[p][c]) {
				p = k
			}
		}
		if math.Abs(m[p][c]) < 1e-9 {
			return make([]float64, n), false
		}
		m[c], m[p] = m[p], m[c]
		for k := range n {
			if k == c {
				continue
			}
			f := m[k][c] / m[c][c]
			for i := c; i <= n; i++ {
				m[k][i] -= f * m[c][i]
			}
		}
	}
	x := make([]float64, n)
	for k := range n {
		x[k] = m[k][n] / m[k][k]
	}
	return x, true
}
