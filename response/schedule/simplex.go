package schedule

import (
	"math"
	"slices"
)

// simplex maximises Σ gain·x over 0 ≤ x ≤ most and Σ row·x ≤ limit, where no limit is
// below zero, so that x = 0 is a start: the method of Dantzig with bounded variables, on
// the dictionary of the basic variables. It is made for a handful of rows and a few dozen
// columns. The memory is used again from one call to the next.
type simplex struct {
	rows   [][]float64 // what is left of the constraints, in the variables not in the basis
	limit  []float64
	gain   []float64
	basic  []int // variable of each row; len(gain) and on are slacks
	free   []int // variable of each column
	most   []float64
	turned []bool // counted down from its most
}

const (
	pivotLeast = 1e-12
	mostPivots = 200
)

// begin lays out a problem with n variables and no constraints.
func (x *simplex) begin(n int) {
	x.limit, x.basic, x.rows = x.limit[:0], x.basic[:0], x.rows[:0]
	x.gain, x.most, x.turned, x.free = blank(x.gain, n), blank(x.most, n), blank(x.turned, n), x.free[:0]
	for k := range n {
		x.free = append(x.free, k)
	}
}

// blank is n zeros in the memory of a list.
func blank[T any](list []T, n int) []T {
	list = slices.Grow(list[:0], n)[:n]
	clear(list)
	return list
}

// constrain adds Σ row·x ≤ limit and returns the row to fill in.
func (x *simplex) constrain(limit float64) []float64 {
	k := len(x.rows)
	if cap(x.rows) > k {
		x.rows = x.rows[:k+1]
	} else {
		x.rows = append(x.rows, nil)
	}
	row := blank(x.rows[k], len(x.gain))
	x.rows[k] = row
	x.limit = append(x.limit, max(0, limit))
	x.basic = append(x.basic, len(x.free)+k)
	x.most, x.turned = append(x.most, math.Inf(1)), append(x.turned, false)
	return row
}

// solve puts the best x into out; false: not the best, after so many pivots.
func (x *simplex) solve(out []float64) (best bool) {
	for range mostPivots {
		col := -1
		for k, g := range x.gain {
			if g > pivotLeast && x.most[x.free[k]] > 0 && (col < 0 || g > x.gain[col]) {
				col = k
			}
		}
		if best = col < 0; best {
			break
		}
		x.enter(col)
	}
	n := len(x.gain)
	value := func(v int, at float64) {
		if v >= n {
			return
		}
		if x.turned[v] {
			at = x.most[v] - at
		}
		out[v] = min(max(0, at), x.most[v])
	}
	for _, v := range x.free {
		value(v, 0)
	}
	for k, v := range x.basic {
		value(v, x.limit[k])
	}
	return best
}

// enter raises a variable as far as it goes.
func (x *simplex) enter(col int) {
	step, row := x.most[x.free[col]], -1
	for k := range x.rows {
		room := math.Inf(1)
		switch a := x.rows[k][col]; {
		case a > pivotLeast:
			room = x.limit[k] / a
		case a < -pivotLeast:
			room = (x.most[x.basic[k]] - x.limit[k]) / -a
		}
		if room < step {
			step, row = max(0, room), k
		}
	}
	if row < 0 {
		x.turn(col, step)
		return
	}
	if x.rows[row][col] < 0 { // the basic variable meets its most: count it down from there
		v := x.basic[row]
		x.limit[row] = x.most[v] - x.limit[row]
		x.turned[v] = !x.turned[v]
		for c := range x.rows[row] {
			x.rows[row][c] = -x.rows[row][c]
		}
	}
	x.pivot(row, col)
}

// turn counts the variable of a column down from its most.
func (x *simplex) turn(col int, most float64) {
	v := x.free[col]
	x.turned[v] = !x.turned[v]
	for k := range x.rows {
		x.limit[k] -= x.rows[k][col] * most
		x.rows[k][col] = -x.rows[k][col]
	}
	x.gain[col] = -x.gain[col]
}

// pivot swaps the variables of a row and a column.
func (x *simplex) pivot(row, col int) {
	at := x.rows[row]
	by := at[col]
	for c := range at {
		at[c] /= by
	}
	at[col] = 1 / by
	x.limit[row] /= by
	for k := range x.rows {
		if k == row {
			continue
		}
		other := x.rows[k][:len(at)]
		f := other[col]
		if f == 0 {
			continue
		}
		for c := range at {
			other[c] -= f * at[c]
		}
		other[col] = -f / by
		x.limit[k] = max(0, x.limit[k]-f*x.limit[row])
	}
	gain := x.gain[:len(at)]
	f := gain[col]
	for c := range at {
		gain[c] -= f * at[c]
	}
	gain[col] = -f / by
	x.basic[row], x.free[col] = x.free[col], x.basic[row]
}
