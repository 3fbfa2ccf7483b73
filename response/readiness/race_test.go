//go:build race

package readiness

// underRace: everything takes ten times as long, and what is looked for is races.
const underRace = true
