package refs

import (
	"math"
	"testing"
)

// Every computed ratio is derived again from the IUPAC abridged atomic weights
// (Wieser 2006); a row computed from molar masses that no line derives fails.
func TestRatiosAgainstAtomicWeights(t *testing.T) {
	const (
		h, c, n, o, na, mg, p, s, cl, k, ca = 1.00794, 12.0107, 14.0067, 15.9994, 22.98977, 24.3050, 30.973762, 32.065, 35.453, 39.0983, 40.078
		si, cu, sr, i, sn                   = 28.0855, 63.546, 87.62, 126.90447, 118.710
	)
	water := 2*h + o
	cl2 := 2 * cl
	anhydrous := 2*na + 2*s + 3*o
	penta := anhydrous + 5*water
	caco3, cao := ca+c+3*o, ca+o
	nahco3, na2co3 := na+h+c+3*o, 2*na+c+3*o
	ascorbic, ascorbate := 6*c+8*h+6*o, 6*c+7*h+6*o+na
	vitriol := cu + s + 4*o + 5*water
	want := map[string]float64{
		"thio5_per_cl2_tetrathionate":     2 * penta / cl2,
		"thio_anh_per_cl2_tetrathionate":  2 * anhydrous / cl2,
		"thio5_per_cl2_sulfur_sulfate":    penta / cl2,
		"thio_anh_per_cl2_sulfur_sulfate": anhydrous / cl2,
		"thio5_per_cl2_sulfate":           penta / 4 / cl2,
		"thio_anh_per_cl2_sulfate":        anhydrous / 4 / cl2,
		"th_ascorbic":                     ascorbic / cl2,
		"th_na_ascorbate":                 ascorbate / cl2,
		"th_bisulfite":                    (na + h + s + 3*o) / cl2,
		"chloramine_n_release":            n / cl2,
		"chloramine_nh3_release":          (n + 3*h) / cl2,
		"cl2_per_naocl":                   cl2 / (na + o + cl),
		"cuso4_5h2o_mm":                   vitriol,
		"cu_fraction_cuso4_5h2o":          cu / vitriol,
		"cuso4_per_cu":                    vitriol / cu,
		"meq_per_dkh":                     20 / cao,
		"dkh_per_meq":                     cao / 20,
		"nahco3_per_meq":                  nahco3 / 1000,
		"nahco3_per_dkh":                  nahco3 / 1000 * 20 / cao,
		"na2co3_per_meq":                  na2co3 / 2000,
		"na2co3_per_dkh":                  na2co3 / 2000 * 20 / cao,
		"naoh_per_meq":                    (na + o + h) / 1000,
		"caoh2_per_meq":                   (ca + 2*o + 2*h) / 2000,
		"cacl2_2h2o_per_ca":               (ca + cl2 + 2*water) / ca,
		"cacl2_per_ca":                    (ca + cl2) / ca,
		"mgcl2_6h2o_per_mg":               (mg + cl2 + 6*water) / mg,
		"mgso4_7h2o_per_mg":               (mg + s + 4*o + 7*water) / mg,
		"kcl_per_k":                       (k + cl) / k,
		"srcl2_6h2o_per_sr":               (sr + cl2 + 6*water) / sr,
		"ki_per_i":                        (k + i) / i,
		"kio3_per_i":                      (k + i + 3*o) / i,
		"nh3_per_n":                       (n + 3*h) / n,
		"nh4_per_n":                       (n + 4*h) / n,
		"no2_per_n":                       (n + 2*o) / n,
		"no3_per_n":                       (n + 3*o) / n,
		"po4_per_p":                       (p + 4*o) / p,
		"sio2_per_si":                     (si + 2*o) / si,
		"nitrification_alk":               caco3 / n,
		"nitrification_meq":               2 / n,
		"tbt_per_sn":                      (sn + 12*c + 27*h) / sn,
	}
	derived := 0
	for _, r := range Stoichiometry() {
		if _, ok := Lookup(r.Source); !ok {
			t.Errorf("%s: source [%s] is not in sources.md", r.ID, r.Source)
		}
		w, ok := want[r.ID]
		if !ok {
			if r.Basis == "computed from molar masses" {
				t.Errorf("%s: nothing derives it", r.ID)
			}
			continue
		}
		derived++
		if !(math.Abs(r.Value/w-1) <= 2e-4) { // atomic weights of two editions differ in the fifth digit
			t.Errorf("%s: table %v, derived %v", r.ID, r.Value, w)
		}
	}
	if derived != len(want) {
		t.Errorf("%d of %d derivations met a row", derived, len(want))
	}
}

// Published neutralising ratios: the AWWA field table and the ascorbic acid
// stoichiometry agree within 1 %; sample-bottle practice is 5 mg per mg.
func TestRatioByID(t *testing.T) {
	field, ok := RatioByID("field_ascorbic_acid")
	theory, _ := RatioByID("th_ascorbic")
	if !ok || !(math.Abs(field.Value/theory.Value-1) <= 0.01) {
		t.Errorf("%v against %v", field, theory)
	}
	if r, ok := RatioByID("sm_3pct"); !ok || r.Value != 5 {
		t.Errorf("%+v", r)
	}
	if _, ok := RatioByID("nothing"); ok {
		t.Error("an unknown id was found")
	}
}
