package salinity

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"tidehold/refs/outside"
	"tidehold/refs/units"
)

// claims says, for each relation of the published table, what computes its value
// here. A row whose relation is not in it fails.
var claims = map[string]func(in map[string]float64) (float64, error){
	"pss78_C3515":      func(in map[string]float64) (float64, error) { return pssConductivity(in["SP"], in["t68"]), nil },
	"pss78_SP_from_Rt": func(in map[string]float64) (float64, error) { return salinityOfRatio(in["Rt"], in["t68"]), nil },
	"pss78_SP_from_R": func(in map[string]float64) (float64, error) {
		return salinityOfRatio(in["R"]/pssRt(in["t68"]), in["t68"]), nil
	},
	"pss78_R_from_SP": func(in map[string]float64) (float64, error) { return pssConductivity(in["SP"], in["t68"]) / c3515, nil },
	"pss78_SP_from_Rt_t90": func(in map[string]float64) (float64, error) {
		t := units.Celsius(in["t90"])
		s, err := FromConductivity(units.MilliSiemensPerCm(in["Rt"]*pssRt(IPTS68(t))*c3515), t)
		return float64(s), err
	},
	"its90_to_ipts68": func(in map[string]float64) (float64, error) { return IPTS68(units.Celsius(in["t90"])), nil },
	"eos80_density":   func(in map[string]float64) (float64, error) { return eos80(in["SP"], in["t68"]), nil },
	"eos80_specific_volume_anomaly": func(in map[string]float64) (float64, error) {
		return 1e8 * (1/eos80(in["SP"], in["t68"]) - 1/eos80(35, 0)), nil
	},
	"reference_salinity": func(in map[string]float64) (float64, error) {
		return float64(ReferenceSalinity(units.Practical(in["SP"]))), nil
	},
	"unesco_cp": func(in map[string]float64) (float64, error) { return unescoCp(in["SP"], in["t68"]), nil },

	"o2_weiss1970":        func(in map[string]float64) (float64, error) { return weiss(in["SP"], in["t68"]), nil },
	"o2_garcia_gordon_kg": func(in map[string]float64) (float64, error) { return ggKg.at(in["SP"], in["t"]), nil },
	"o2_garcia_gordon_mL": func(in map[string]float64) (float64, error) { return ggLitre.at(in["SP"], in["t"]), nil },
	"o2_benson_krause_L": func(in map[string]float64) (float64, error) {
		return OxygenSaturationAt(units.Practical(in["SP"]), units.Celsius(in["t"]), in["P_kPa"])
	},
	"o2_gsw_kg": func(in map[string]float64) (float64, error) {
		return OxygenSaturationGarciaGordon(units.Practical(in["SP"]), units.Celsius(in["t90"]))
	},
	"o2_garcia_gordon_kg_combined": func(in map[string]float64) (float64, error) { return ggCombined.at(in["SP"], in["t"]), nil },

	"iapws_refractive_index_water": func(in map[string]float64) (float64, error) {
		return iapwsIndex(in["rho"], in["T_K"], in["lambda_um"]), nil
	},
	"refractive_index_water_D": func(in map[string]float64) (float64, error) {
		return RefractiveIndex(units.Practical(in["SP"]), units.Celsius(in["t"]), in["lambda_nm"])
	},
	"nacl_refractive_index": func(in map[string]float64) (float64, error) {
		return brineWaterIndex + brineIndexPerPercent*in["NaCl_mass_pct"], nil
	},

	"nh3_fraction_clegg_whitfield_total": func(in map[string]float64) (float64, error) {
		return UnionisedFraction(CleggWhitfieldTotal, in["pH_total"], units.Practical(in["SP"]), units.Celsius(in["t"]))
	},
	"nh3_fraction_clegg_whitfield_free": func(in map[string]float64) (float64, error) {
		return UnionisedFraction(CleggWhitfieldFree, in["pH_free"], units.Practical(in["SP"]), units.Celsius(in["t"]))
	},
	"carbonic_acid_log10_K1": func(in map[string]float64) (float64, error) {
		e, err := equilibriaAt(units.Practical(in["SP"]), units.Celsius(in["t"]))
		return math.Log10(e.k1), err
	},
	"carbonic_acid_log10_K2": func(in map[string]float64) (float64, error) {
		e, err := equilibriaAt(units.Practical(in["SP"]), units.Celsius(in["t"]))
		return math.Log10(e.k2), err
	},
	"boric_acid_ln_KB": func(in map[string]float64) (float64, error) {
		return math.Log(boricAcid(in["SP"], in["t"]+kelvinAtZero)), nil
	},
	"ion_product_ln_KW": func(in map[string]float64) (float64, error) {
		return math.Log(ionProduct(in["SP"], in["t"]+kelvinAtZero)), nil
	},
	"total_boron": func(in map[string]float64) (float64, error) { return totalBoron(in["SP"]), nil },

	"nh3_criterion_acute":   func(map[string]float64) (float64, error) { return AmmoniaAcute, nil },
	"nh3_criterion_chronic": func(map[string]float64) (float64, error) { return AmmoniaChronic, nil },

	"hydrometer_glass_cubic_expansion": func(map[string]float64) (float64, error) { return GlassExpansion, nil },
	"alkalinity_1dKH":                  func(map[string]float64) (float64, error) { return AlkalinityFromDKH(1).CaCO3, nil },
	"alkalinity_1meq":                  func(map[string]float64) (float64, error) { return AlkalinityFromMeq(1).DKH, nil },
}

// agreements are rows of a standard that this package does not compute, TEOS-10:
// what is computed here must be within the agreement that the documentation of
// Density and HeatCapacity states, which stands in for the row's tolerance.
var agreements = map[string]struct {
	value     func(in map[string]float64) (float64, error)
	tolerance float64
}{
	"teos10_density": {func(in map[string]float64) (float64, error) {
		rho, err := Density(PracticalFromReference(units.GramsPerKg(in["SA_g_kg"])), units.Celsius(in["t90"]))
		return float64(rho), err
	}, statedDensityAgreement},
	"teos10_cp": {func(in map[string]float64) (float64, error) {
		return HeatCapacity(PracticalFromReference(units.GramsPerKg(in["SA_g_kg"])), units.Celsius(in["t90"]))
	}, statedHeatAgreement},
}

// The agreement with TEOS-10 that the documentation states, in kg/m³ and J/(kg K).
const (
	statedDensityAgreement = 0.009
	statedHeatAgreement    = 4.65
)

func TestPublishedValues(t *testing.T) {
	used := map[string]bool{}
	for _, row := range outside.Table(t, "../testdata/tables/published_checks.csv") {
		relation := row.Text("relation")
		used[relation] = true
		compute, tolerance := claims[relation], row.Number("tolerance")
		if a, ok := agreements[relation]; ok {
			compute, tolerance = a.value, a.tolerance
		}
		if compute == nil {
			t.Errorf("no function claims the published row %s %s", relation, row.Text("inputs"))
			continue
		}
		if !(tolerance > 0 && tolerance < 10) {
			t.Errorf("%s: tolerance %g can not fail", relation, tolerance)
		}
		got, err := compute(inputsOf(t, row.Text("inputs")))
		if err != nil {
			t.Errorf("%s %s: %v", relation, row.Text("inputs"), err)
			continue
		}
		what := fmt.Sprintf("%s %s [%s] (%s)", relation, row.Text("inputs"), row.Text("source"), row.Text("unit"))
		// Rounding of the computation itself is allowed on top: one part in 1e15.
		near(t, what, got, row.Number("expected"), tolerance*(1+1e-9)+1e-15*math.Abs(got))
	}
	for relation := range claims {
		if !used[relation] {
			t.Errorf("no published row for %s", relation)
		}
	}
}

// inputsOf reads "SP=35;t68=15;p=0"; a part without a number is a description.
func inputsOf(t *testing.T, text string) map[string]float64 {
	t.Helper()
	in := map[string]float64{}
	for _, part := range strings.Split(text, ";") {
		if name, value, ok := strings.Cut(part, "="); ok && !strings.Contains(name, " ") {
			in[name] = outside.Number(t, value)
		}
	}
	if p := in["p"]; p != 0 {
		t.Fatalf("row %q is not at one atmosphere", text)
	}
	return in
}

func salinityOfRatio(rt, t68 float64) float64 { return pssSalinity(math.Sqrt(rt), pssF(t68)) }

// ggLitre is the column in mL(STP)/L beside the one in umol/kg: Garcia and Gordon (1992), table 1.
var ggLitre = ggFit{
	a:  [6]float64{2.00907, 3.22014, 4.05010, 4.94457, -2.56847e-1, 3.88767},
	b:  [4]float64{-6.24523e-3, -7.37614e-3, -1.03410e-2, -8.17083e-3},
	c0: -4.88682e-7,
}

// ggCombined is the combined-fit column of Garcia and Gordon (1992), table 1, which
// the package does not use: it checks the formula with a second set of numbers.
var ggCombined = ggFit{
	a:  [6]float64{5.80818, 3.20684, 4.11890, 4.93845, 1.01567, 1.41575},
	b:  [4]float64{-7.01211e-3, -7.25958e-3, -7.93334e-3, -5.54491e-3},
	c0: -1.32412e-7,
}

// iapwsIndex is the absolute refractive index of water by IAPWS R9-97, eq. (1): an
// independent relation to hold the pure-water part of Millard and Seaver against.
func iapwsIndex(rho, kelvin, um float64) float64 {
	d, th, l2 := rho/1000, kelvin/273.15, um/0.589*(um/0.589)
	a := [8]float64{0.244257733, 9.74634476e-3, -3.73234996e-3, 2.68678472e-4, 1.58920570e-3, 2.45934259e-3, 0.900704920, -1.66626219e-2}
	const uv, ir = 0.2292020, 5.432937
	r := d * (a[0] + a[1]*d + a[2]*th + a[3]*l2*th + a[4]/l2 + a[5]/(l2-uv*uv) + a[6]/(l2-ir*ir) + a[7]*d*d)
	return math.Sqrt((2*r + 1) / (1 - r))
}

// TestPureWaterIndexAgainstIAPWS: air at 589 nm has the index 1.000277. The reference
// differs from the fit by up to 2.9e-5 over 0 to 30 °C and 500 to 700 nm, and by
// 4.9e-5 with the other transcription of T3L.
func TestPureWaterIndexAgainstIAPWS(t *testing.T) {
	var w worst
	for tc := 0.0; tc <= 30; tc++ {
		for nm := 500.0; nm <= 700; nm += 10 {
			rho, _ := Density(0, units.Celsius(tc))
			n, err := RefractiveIndex(0, units.Celsius(tc), nm)
			if err != nil {
				t.Fatal(err)
			}
			w.see(fmt.Sprintf("%g °C, %g nm", tc, nm), n, iapwsIndex(float64(rho), tc+273.15, nm/1000)/1.000277)
		}
	}
	w.within(t, "Millard and Seaver against IAPWS R9-97", 3e-5)
}

// TestPureWaterIndexAgainstHandbook settles T3L: handbook values of water at the
// sodium D line to the fifth decimal; that of 20 °C is sourced, the others are from
// memory.
func TestPureWaterIndexAgainstHandbook(t *testing.T) {
	for tc, want := range map[units.Celsius]float64{0: 1.33395, 10: 1.33369, 15: 1.33339, 20: 1.33299, 25: 1.33250, 30: 1.33194} {
		n, err := RefractiveIndex(0, tc, SodiumD)
		if err != nil {
			t.Fatal(err)
		}
		near(t, fmt.Sprintf("index of water at %g °C", float64(tc)), n, want, 5e-6)
	}
}

// TestBrineLinesAreFittedToTheHandbook repeats the least squares behind the two
// slopes and checks every row of the table against the lines.
func TestBrineLinesAreFittedToTheHandbook(t *testing.T) {
	percent := []float64{1, 2, 3, 3.5, 4, 5}
	index := []float64{1.3347, 1.3365, 1.3383, 1.3391, 1.3400, 1.3418}
	density := []float64{1.0053, 1.0125, 1.0196, 1.0232, 1.0268, 1.0340}
	var pp, pn, pd float64
	var wn, wd worst
	for i, p := range percent {
		pp += p * p
		pn += p * (index[i] - brineWaterIndex)
		pd += p * (density[i] - brineWaterDensity)
		wn.see(fmt.Sprint(p), brineWaterIndex+brineIndexPerPercent*p, index[i])
		wd.see(fmt.Sprint(p), brineWaterDensity+brineDensityPerPercent*p, density[i])
	}
	near(t, "slope of the index", brineIndexPerPercent, pn/pp, 5e-8)
	near(t, "slope of the density", brineDensityPerPercent, pd/pp, 5e-8)
	wn.within(t, "index rows", brineIndexResidual)
	if wn.delta < 0.99*brineIndexResidual {
		t.Errorf("the largest departure is %v only", wn.delta)
	}
	wd.within(t, "density rows", 1e-4)
}
