//go:build !race

package schedule

const underRace = false
