//go:build race

package outside

// UnderRace says that the race detector is watching: everything takes ten times as long, and
// what it looks for, two goroutines at one thing, shows in a few cases as well as in thousands.
const UnderRace = true
