package plan

import (
	"testing"

	"tidehold/refs/units"
)

// Two salts take different weights for the same water, so a site with several says which.
func TestSaltIsNamedWhereThereAreSeveral(t *testing.T) {
	one, two := []Salt{{ID: "house", Kg: 4.2}}, []Salt{{ID: "house", Kg: 1.5, Named: true}, {ID: "old", Kg: 0.4, Named: true}}
	for _, c := range []struct{ got, want string }{
		{SaltText(one, units.Metric), "4.20 kg salt"},
		{SaltSentence(one, units.Metric), "4.20 kg of salt"},
		{SaltText(two, units.Metric), "1.50 kg house + 400 g old"},
		{SaltSentence(two, units.Metric), "1.50 kg of house and 400 g of old"},
		{SaltText(nil, units.Metric), "0 g salt"},
	} {
		if c.got != c.want {
			t.Errorf("%q, want %q", c.got, c.want)
		}
	}
}
