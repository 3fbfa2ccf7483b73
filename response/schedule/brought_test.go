package schedule

import (
	"math"
	"testing"

	"tidehold/salinity/mixing"
	"tidehold/volumes/site"
)

// TestWhatSaltBringsGoesWithTheSalinity: the law of constant proportions, beside mixing, which knows nothing of
// alkalinity: what purified water cuts to half of the salt has half of all else that salt brings.
func TestWhatSaltBringsGoesWithTheSalinity(t *testing.T) {
	salt := houseSalt(10)
	salt.Makes = site.Chemistry{AlkalinityDKH: ptr(9), CalciumMgL: ptr(430), MagnesiumMgL: ptr(1290)}
	cut, err := mixing.Correct(mixing.Water{Volume: 100, Salinity: 35, Temperature: 25}, 18, mixing.Means{Source: 25})
	if err != nil {
		t.Fatal(err)
	}
	share := 100 / float64(cut.Volume)
	sys := reef(100)
	sys.Water.Salinity = 18
	stated := site.Chemistry{AlkalinityDKH: ptr(6.5), CalciumMgL: ptr(300), MagnesiumMgL: ptr(900)}
	for what, x := range map[string]struct {
		stated       site.Chemistry
		salt         site.Salt
		alk, ca, sal float64
	}{
		"as stated, whatever the salinity":                    {stated, salt, 6.5, 300, 18},
		"a salt's at the salinity of its dose":                {site.Chemistry{}, salt, 9, 430, 35},
		"a salt's at half of it":                              {site.Chemistry{}, salt, 9 * share, 430 * share, 18},
		"the system's":                                        {site.Chemistry{}, site.Salt{}, 8, 420, 18},
		"the system's, but no salt brings so much alkalinity": {site.Chemistry{}, site.Salt{}, 11, 420 / share, 35},
	} {
		alk, ca, mg := brought(&x.stated, &x.salt, &sys, x.sal)
		if !(math.Abs(alk-x.alk) <= 1e-3*x.alk) || !(math.Abs(ca-x.ca) <= 1e-3*x.ca) || !(math.Abs(mg/ca-3) <= 0.1) {
			t.Errorf("%s: alkalinity %g, calcium %g, magnesium %g, want %g and %g", what, alk, ca, mg, x.alk, x.ca)
		}
	}
	sys.Water.AlkalinityDKH = ptr(4)
	if alk, _, _ := brought(&site.Chemistry{}, &site.Salt{}, &sys, 35); !(math.Abs(alk-4/share) <= 1e-2) {
		t.Errorf("water at 35 that a tank at 18 of 4 dKH may be cut of: %g dKH, want %g", alk, 4/share)
	}
}
