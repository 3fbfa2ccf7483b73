package plan

import (
	"strings"

	"tidehold/refs/units"
)

// Salt is how much of one of the site's salts goes into a batch or a lift. Two salts take
// different weights for the same water: a weight without its salt is no instruction.
type Salt struct {
	ID string  `json:"id"`
	Kg float64 `json:"kg"`
	// Named says that the site has more than one salt, so that the weight alone does not
	// say what to pour.
	Named bool `json:"-"`
}

// SaltText is what to weigh, for a row: "4.20 kg salt", or each salt by its name where the
// site has several; rounded up.
func SaltText(salts []Salt, u units.System) string { return weights(salts, u, " ", " + ") }

// SaltSentence is SaltText within a sentence: "4.20 kg of salt".
func SaltSentence(salts []Salt, u units.System) string { return weights(salts, u, " of ", " and ") }

func weights(salts []Salt, u units.System, of, and string) string {
	var parts []string
	for _, s := range salts {
		name := "salt"
		if s.Named {
			name = s.ID
		}
		parts = append(parts, u.MassToPour(s.Kg, units.Up)+of+name)
	}
	if len(parts) == 0 {
		return u.Mass(0, units.Up) + of + "salt"
	}
	return strings.Join(parts, and)
}
