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
// reaches it comes before one that does not; where none does, the exposure until the
// last deadline counts, or of three days if that is longer. Where the plan with least exposure
// would miss a deadline and another meets it, that one is taken:
// otherwise more water could turn "in time" into "late", because it may
// pay to make a change at once and then have to wait out the interval. The search is
// exact over the decision moments (branch and bound) and says so when its budget of
// nodes did not suffice.
//
// # Batches
//
// A batch begins by itself in a vat down to its heel, or spare, once the water and salt
// for it are there: as much as is still needed, or, while water is still being purified,
// what there is if that is a quarter of a full-size change, else enough for the next one.
// It goes on top of what a vat holds only if next to nothing can be drawn anyway, or if
// it is mixed before the next change may start; then all of the vat waits. Where these
// rules miss a deadline, other sizes and vats are tried.
//
// All times are hours after the event begins, all litres are L.
package schedule
