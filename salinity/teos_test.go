package salinity

import (
	"bytes"
	"errors"
	"fmt"
	"math/rand/v2"
	"os/exec"
	"strings"
	"testing"

	"tidehold/refs/outside"
	"tidehold/refs/units"
)

// The four tables were computed with the TEOS-10 library (gsw 3.6.16); each is
// compared within the agreement stated in the documentation of the function. Rows
// outside a relation's range must be refused.
func TestTEOS10Tables(t *testing.T) {
	type waters struct {
		file, column string
		inside       *domain
		compute      func(s units.Practical, t units.Celsius) (float64, error)
		tolerance    float64
		relative     bool
	}
	for _, c := range []waters{
		{"gsw_density.csv", "rho_kg_m3", &eosDomain, func(s units.Practical, t units.Celsius) (float64, error) {
			rho, err := Density(s, t)
			return float64(rho), err
		}, statedDensityAgreement, false},
		// The same scale; the table has six decimals.
		{"gsw_conductivity.csv", "C_mS_per_cm", &pssDomain, func(s units.Practical, t units.Celsius) (float64, error) {
			c, err := Conductivity(s, t)
			return float64(c), err
		}, 5.1e-7, false},
		{"gsw_cp.csv", "cp_J_per_kg_K", &cpDomain, HeatCapacity, statedHeatAgreement, false},
		// The same formula; the table has four decimals.
		{"gsw_o2sol.csv", "O2_umol_per_kg", &ggDomain, OxygenSaturationGarciaGordon, 5.1e-5, false},
		{"gsw_o2sol.csv", "O2_mg_per_L", &bkDomain, OxygenSaturation, statedOxygenAgreement, true},
	} {
		var w worst
		for _, row := range outside.Table(t, "../testdata/tables/"+c.file) {
			s, tc := row.Number("SP"), row.Number("t_ITS90_C")
			at := fmt.Sprintf("S %g, %g °C", s, tc)
			got, err := c.compute(units.Practical(s), units.Celsius(tc))
			if !c.inside.holds(s, tc) {
				var e *RangeError
				if !errors.As(err, &e) {
					t.Errorf("%s at %s is outside the range but gives %g, %v", c.file, at, got, err)
				}
				continue
			}
			if err != nil {
				t.Errorf("%s at %s: %v", c.file, at, err)
				continue
			}
			want := row.Number(c.column)
			if c.relative {
				got, want = got/want, 1
			}
			w.see(at, got, want)
		}
		w.within(t, c.file+" "+c.column, c.tolerance)
	}
}

// statedOxygenAgreement is the largest relative difference between Benson and Krause
// per litre and Garcia and Gordon per kilogram with the density of TEOS-10.
const statedOxygenAgreement = 2.5e-4

// TestAgainstTEOS10Library compares 10,000 random waters with the TEOS-10 library
// itself, run through Debian's python3-gsw.
func TestAgainstTEOS10Library(t *testing.T) {
	python := pythonWith("gsw, numpy")
	if python == "" {
		outside.Missing(t, "python3-gsw is not installed: the live comparison with the TEOS-10 library is left out")
	}
	const n = 10_000
	r := rand.New(rand.NewPCG(20261125, 3))
	var in bytes.Buffer
	points := make([][2]float64, n)
	for i := range points {
		points[i] = [2]float64{42 * r.Float64(), 40 * r.Float64()}
		fmt.Fprintf(&in, "%.17g %.17g\n", points[i][0], points[i][1])
	}
	cmd := exec.Command(python, "../.ci/gsw_points.py")
	cmd.Stdin = &in
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("gsw_points.py: %v", err)
	}
	lines := strings.Fields(string(out))
	if len(lines) != 4*n {
		t.Fatalf("gsw_points.py gave %d numbers, want %d", len(lines), 4*n)
	}
	var rho, cond, back, cp, o2, o2mg worst
	for i, p := range points {
		s, tc := units.Practical(p[0]), units.Celsius(p[1])
		at := fmt.Sprintf("S %g, %g °C", p[0], p[1])
		var want [4]float64
		for k := range want {
			want[k] = outside.Number(t, lines[4*i+k])
		}
		if got, err := Density(s, tc); err == nil {
			rho.see(at, float64(got), want[0])
		}
		if got, err := Conductivity(s, tc); err == nil {
			cond.see(at, float64(got)/want[1], 1)
			if s2, err := FromConductivity(units.MilliSiemensPerCm(want[1]), tc); err == nil {
				back.see(at, float64(s2), p[0])
			}
		}
		if got, err := HeatCapacity(s, tc); err == nil {
			cp.see(at, got, want[2])
		}
		if got, err := OxygenSaturationGarciaGordon(s, tc); err == nil {
			o2.see(at, got/want[3], 1)
		}
		if got, err := OxygenSaturation(s, tc); err == nil {
			o2mg.see(at, got/(want[3]*want[0]*molarO2/1e6), 1)
		}
	}
	rho.within(t, "density, kg/m³", statedDensityAgreement)
	cond.within(t, "conductivity, relative", 1e-11)
	back.within(t, "salinity from conductivity", 1e-12)
	cp.within(t, "heat capacity, J/(kg K)", statedHeatAgreement)
	o2.within(t, "oxygen by the same formula, relative", 1e-12)
	o2mg.within(t, "oxygen by Benson and Krause, relative", statedOxygenAgreement)
	for what, w := range map[string]worst{"density": rho, "heat capacity": cp, "oxygen": o2} {
		if w.n != n {
			t.Errorf("%s: compared %d of %d points", what, w.n, n)
		}
	}
	if cond.n < n*8/10 || back.n != cond.n || o2mg.n < n*9/10 {
		t.Errorf("compared only %d conductivities, %d back and %d oxygen values", cond.n, back.n, o2mg.n)
	}
}

// molarO2 is the molar mass of oxygen in g/mol.
const molarO2 = 31.9988

func pythonWith(modules string) string {
	for _, python := range []string{"python3", "/usr/bin/python3"} {
		if exec.Command(python, "-c", "import "+modules).Run() == nil {
			return python
		}
	}
	return ""
}
