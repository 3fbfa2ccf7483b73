//go:build !race

package outside

// UnderRace says that the race detector is watching.
const UnderRace = false
