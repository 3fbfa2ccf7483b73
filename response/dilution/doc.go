// Package dilution plans water changes: how many, how large, and what is left of
// a contaminant after each.
//
// # What acts on a contaminant
//
// A change removes r litres of well-mixed water and then adds r litres of new
// water, so that C becomes C + (C_new − C)·r/V. Between changes (Dynamics) four
// things may act on the water of volume V, all linear:
//
//   - a source adds S mg/h: constant, until a time, or halving every so often;
//   - media remove q·C, q being flow times the share removed in one pass, until
//     their capacity is used;
//   - a continuous exchange of Q L/h removes Q·C and adds Q·C_new;
//   - rock and sand hold a bound amount B, dB/dt = a·(ρ·C·V − B), which starts in
//     equilibrium with the water and comes back out as the water is cleaned.
//
// With W = C·V the state (W, B) follows a 2×2 linear system with real, never
// positive eigenvalues, which is solved in closed form (linear.go). Nothing is
// stepped numerically.
//
// # Why full-size changes and a trimmed last one take the least water
//
// In pure dilution the excess over the new water's background is multiplied by
// Π(1 − x_i), x_i = r_i/V, so the target asks for Σ −ln(1 − x_i) ≥ L. The function
// −ln(1 − x) is strictly convex and zero at zero: of two changes that are both
// partial, moving a litre from the smaller to the larger raises the sum without
// using more water. Hence among all plans with 0 ≤ x_i ≤ X that meet the target,
// one with least Σ x_i has at most one change that is neither nothing nor X. The
// order does not matter to the last concentration, and the partial change is put
// last, where it can be trimmed to what is measured. The argument needs pure
// dilution: with a source or rebound a later change takes out more.
package dilution
