package incident

import "math"

// normal gives the information matrix JᵀJ and the gradient Jᵀr of weighted rows.
func normal(j [][]float64, rows []float64) (info [][]float64, gradient []float64) {
	n := 0
	if len(j) > 0 {
		n = len(j[0])
	}
	info, gradient = make([][]float64, n), make([]float64, n)
	for a := range info {
		info[a] = make([]float64, n)
		for i := range j {
			gradient[a] += j[i][a] * rows[i]
			for b := range info[a] {
				info[a][b] += j[i][a] * j[i][b]
			}
		}
	}
	return info, gradient
}

// damped adds a share of the diagonal to it, after Marquardt.
func damped(info [][]float64, share float64) [][]float64 {
	out := make([][]float64, len(info))
	for a := range info {
		out[a] = append([]float64(nil), info[a]...)
		out[a][a] += share*info[a][a] + math.SmallestNonzeroFloat64
	}
	return out
}

// solve gives x of a·x = b by elimination with pivots; false where a is singular.
func solve(a [][]float64, b []float64) ([]float64, bool) {
	inv, ok := inverse(a)
	if !ok {
		return nil, false
	}
	x := make([]float64, len(b))
	for i := range inv {
		for k := range b {
			x[i] += inv[i][k] * b[k]
		}
	}
	return x, true
}

// inverse of a small symmetric matrix, scaled by its diagonal first so that litres and
// milligrams do not spoil each other; nil and false where it is singular.
func inverse(a [][]float64) ([][]float64, bool) {
	n := len(a)
	scale := make([]float64, n)
	for i := range a {
		if !(a[i][i] > 0) || math.IsInf(a[i][i], 0) {
			return nil, false
		}
		scale[i] = 1 / math.Sqrt(a[i][i])
	}
	work, inv := make([][]float64, n), make([][]float64, n)
	for i := range a {
		work[i], inv[i] = make([]float64, n), make([]float64, n)
		inv[i][i] = 1
		for k := range a {
			work[i][k] = a[i][k] * scale[i] * scale[k]
		}
	}
	for c := range n {
		pivot := c
		for r := c + 1; r < n; r++ {
			if math.Abs(work[r][c]) > math.Abs(work[pivot][c]) {
				pivot = r
			}
		}
		if math.Abs(work[pivot][c]) < 1e-13 {
			return nil, false
		}
		work[c], work[pivot] = work[pivot], work[c]
		inv[c], inv[pivot] = inv[pivot], inv[c]
		p := work[c][c]
		for k := range n {
			work[c][k] /= p
			inv[c][k] /= p
		}
		for r := range n {
			if f := work[r][c]; r != c && f != 0 {
				for k := range n {
					work[r][k] -= f * work[c][k]
					inv[r][k] -= f * inv[c][k]
				}
			}
		}
	}
	for i := range inv {
		for k := range inv {
			inv[i][k] *= scale[i] * scale[k]
		}
	}
	return inv, true
}
