//go:build !race

package readiness

const underRace = false
