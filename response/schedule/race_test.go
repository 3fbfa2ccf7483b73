//go:build race

package schedule

// underRace: everything takes ten times as long, and what is looked for is races.
const underRace = true
