// Package site is the keeper's site as the tool sees it: systems, stores, salts,
// the purifier, what is counted, and the events to be ready for. Load reads it
// from YAML, reports every fault at once with file, line and column, and fills
// each default it takes, listing it with its basis.
//
// One table of keys is read by all: what may stand in the file, what is assumed, the
// schema and the manual cannot drift apart.
//
//	in the order to be read                         file
//	what a site is                                  model.go, model_system.go, model_store.go, model_event.go
//	the keys, and what one value may be             keys.go, keys_system.go, spec.go
//	their defaults, each with its basis             defaults.go
//	a tree checked against the keys                 check.go, vessel.go
//	the keys of one mapping, given or by default    scope.go
//	the site made from them                         load.go, then read_*.go in the order of the file
//	one value replaced (--set)                      set.go
//	notes, and dates that are still to come         notes.go, future.go
//	what a site says of itself                      find.go, feeds.go, heat.go, room.go
//	the schema, the manual, the starter             schema*.go, manual.go, listing.go, answers.go, starter.go
package site
