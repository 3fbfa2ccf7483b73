// Package schedule plans water changes from the water that exists or can be
// made: what to take from which store, when, and what each change does to the
// system.
//
//	question                                            file
//	what is asked, and of what house                    problem.go, prepare.go, sources.go, size.go
//	a plan under way, and what can happen to it         state.go (change, work, time passing), vat.go, water.go
//	when something can be decided                       moments.go, warmth.go
//	which changes are worth considering                 change.go, table.go, blend.go, fit.go (limits.go, simplex.go)
//	which work on vats is worth considering             jobs.go, batches.go, corrections.go
//	which of these are tried, and in what order         rules.go (the starting plans)
//	the walk through them, and what is left out         search.go, bound.go (outlook.go)
//	how sure the best one found is the best             closer.go, cells.go, stairs.go, reach.go (pour.go, keep.go)
//	what is remembered of what was worked out           recent.go, memory.go
//	how the best plans found are altered                starts.go, vary.go, variation.go, shake.go, retrace.go
//	plans of the house with less, tried with all        less.go
//	the order of searches, and what counts as proved    solve.go
//	the plan written out                                record.go
//	several demands on one house                        run.go, taken.go
//	what holds a plan back, and what else helps         binding.go, continuous.go, explain.go
//	what good water is not poured away, and its price   pourings.go
//
// # The water
//
// Usable at once is stored saltwater less the heel, the site's reserve and water over its age. More
// becomes usable as vats warm, as they are cut with purified water or lifted with salt to the system's
// salinity or near it, as batches of purified water and salt are mixed, as the purifier works, and as
// deliveries come. A vat may be emptied, or partly emptied so that the rest is warm sooner. Pouring
// away and filling a vat take no time of their own: if they did, more of a water that is of no use
// would make a plan later, and more of anything is never to make it worse; what they take is said
// beside the plan (record.go). One vat has one history: a later demand has it only when an earlier one
// that warms it or mixes in it is through with it.
//
// # The changes
//
// A change removes r litres of mixed water and then adds r litres. It is made at
// a decision moment: when the system's interval since the start of the last
// change has passed, when more water becomes usable, or when water that is being warmed
// is warm enough for the least change worth making or for all that is wanted. It is the
// largest that the drawdown, the water and the limits on temperature, salinity and
// alkalinity leave to a blend of all that is ready (a linear programme), trimmed to the
// target; where several waters would do, several orders of taking them are tried, and
// leaving one of them for later. A smaller change is made where that leaves water, or
// warmth, for better ones later (plan.ForLater). Water that differs from the system is not
// refused, it caps the size.
//
// # The objective
//
// Fewest aims late; fewest never reached; least exposure ∫max(C − target, 0) dt; then the
// earliest finish; then the least water. Where a target is out of reach, the exposure
// until the last deadline counts, or of three days if that is longer. A target that something
// being added takes back at once is reached in time or not at all.
//
// # Proved
//
// A plan is proved when its exposure is within a ten-thousandth of a bound which no plan of
// any kind can pass. Otherwise it says the most by which the exposure could fall, in per
// cent. A quick bound leaves out what cannot beat the best in a search; a closer one is
// asked about the plan that is shown (stairs.go says what it keeps of the problem). That all
// the moves listed here have been tried is no proof: a change may also be smaller than the
// largest, or a batch of another size. The budget counts nodes, never the clock.
//
// All times are hours after the event begins, all litres are L.
package schedule
