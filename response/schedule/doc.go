// Package schedule plans water changes from the water that exists or can be
// made: what to take from which store, when, and what each change does to the
// system.
//
// # The water
//
// Usable at once is stored saltwater less the heel, the site's reserve and water
// over its age. More becomes usable as vats warm, as batches of purified water
// and salt are mixed, as the purifier works, and as deliveries come.
//
// # The changes
//
// A change removes r litres of mixed water and then adds r litres. It is made at
// a decision moment: when the system's interval since the start of the last
// change has passed, or when more water becomes usable. At each moment either the
// largest change permitted is made, trimmed to the target, or none. The largest
// is what the drawdown, the water and the limits on temperature, salinity and
// alkalinity leave; water that differs from the system is not refused, it caps
// the size.
//
// # The objective
//
// Least exposure ∫max(C − target, 0) dt; then the earliest finish; then the least
// water. A target that is never reached is exposure without end, so a plan that
// reaches it comes before one that does not. Where the plan with least exposure
// would miss a deadline and another meets it, that one is taken and the plan says so
// (Hurried): otherwise more water could turn "in time" into "late", because it may
// pay to make a change at once and then have to wait out the interval. The search is
// exact over the decision moments (branch and bound) and says so when its budget of
// nodes did not suffice.
//
// All times are hours after the event begins, all litres are L.
package schedule
