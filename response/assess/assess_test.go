package assess

import (
	"math"
	"strings"
	"testing"

	"tidehold/refs/units"
	"tidehold/response/dilution"
)

const report = `Analyte;Value;Unit;±
Cu;12.4;µg/L;1.5
Zinc (dissolved);<20;ug/L;
nickel;8.0;ppb;1.0
"Aluminum, total";0.02;mg/L;
NO3-N;0.42;mg/kg;
Ba;110;nmol/L;
Mo;10;ug/L;
pH;8.1;;
iron;3.6;umol/kg;
`

func read(t *testing.T, text string) []Reading {
	t.Helper()
	readings, _, faults := Read("report.csv", []byte(text), 1.02334)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return readings
}

func TestReportInCommonUnitsAndSpellings(t *testing.T) {
	readings, passed, faults := Read("report.csv", []byte(report), 1.02334)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	want := map[string]float64{
		"copper": 12.4, "zinc": 20, "nickel": 8, "aluminium": 20,
		"nitrate": 420 * 4.4266 * 1.02334, "barium": 0.110 * 137.327, "molybdenum": 10, "iron": 3.6 * 55.845 * 1.02334,
	}
	if len(readings) != len(want) || strings.Join(passed, ",") != "pH" {
		t.Errorf("%d readings, passed over %v", len(readings), passed)
	}
	for _, r := range readings {
		if w := want[r.Contaminant.ID]; math.Abs(r.UgL/w-1) > 1e-9 {
			t.Errorf("%s: %v µg/L, want %v", r.Contaminant.ID, r.UgL, w)
		}
	}
	if !readings[1].Below || readings[0].U != 1.5 || readings[0].Line != 2 {
		t.Errorf("%+v %+v", readings[0], readings[1])
	}
}

func TestVerdictsAndOrder(t *testing.T) {
	r, err := Judge(read(t, report), Water{35, 25}, nil)
	if err != nil {
		t.Fatal(err)
	}
	var order []string
	for _, a := range r.Analytes {
		order = append(order, a.ID+" "+a.Verdict)
	}
	want := "copper above,nickel undecided,barium no-criterion,nitrate no-criterion,molybdenum no-criterion"
	if got := strings.Join(order[:5], ","); got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
	if r.Concern != 2 {
		t.Errorf("%d of concern", r.Concern)
	}
	if a := r.Analytes[0]; *a.CriterionUgL != 3.1 || !strings.Contains(a.CriterionSource, "EPA") || math.Abs(*a.Ratio-12.4/(0.12*1.02334)) > 0.1 {
		t.Errorf("%+v", a)
	}
}

// A result of "<20" is not below 8.1: it is undecided, whatever the true value.
func TestReportingLimitAboveTheCriterionIsUndecided(t *testing.T) {
	r, err := Judge(read(t, "analyte,value,unit\nlead,<20,ug/L\nsilver,<1,ug/L\n"), Water{35, 25}, nil)
	if err != nil {
		t.Fatal(err)
	}
	if r.Analytes[0].ID != "lead" || r.Analytes[0].Verdict != "undecided" || r.Analytes[1].Verdict != "below" || r.Analytes[0].Ratio != nil {
		t.Errorf("%+v", r.Analytes)
	}
}

func TestOwnTargetsComeFirstAndScaleNothing(t *testing.T) {
	r, err := Judge(read(t, report), Water{35, 25}, map[string]float64{"copper": 20, "barium": 5, "iron": 0})
	if err != nil {
		t.Fatal(err)
	}
	verdicts := map[string]string{}
	for _, a := range r.Analytes {
		verdicts[a.ID] = a.Verdict
	}
	if verdicts["copper"] != "below" || verdicts["barium"] != "above" || verdicts["iron"] != "above" {
		t.Errorf("%v", verdicts)
	}
	lower := r.ToLower(map[string]float64{"barium": 2})
	if len(lower) != 3 || lower[0].Name != "barium" && lower[1].Name != "barium" {
		t.Errorf("%+v", lower)
	}
	if len(r.Uncovered(map[string]float64{"barium": 2})) != 2 {
		t.Errorf("%+v", r.Uncovered(nil))
	}
}

// The plan for all at once reaches every target, and the controlling one is the
// one whose own plan is the longest.
func TestPlanForAllReachesEveryTarget(t *testing.T) {
	r, _ := Judge(read(t, report), Water{35, 25}, nil)
	p := dilution.Problem{Volume: units.Measured{Value: 640}, Contaminants: r.ToLower(map[string]float64{"copper": 1}), ChangeL: 288, Trim: true, EveryH: 4, Confidence: 0.9, Trials: 2000, Seed: 1}
	plan, err := p.Plan()
	if err != nil || !plan.Reached {
		t.Fatal(err, plan)
	}
	for _, o := range plan.Outcomes {
		if o.Final > o.Target*(1+1e-9) {
			t.Errorf("%s ends at %v, target %v", o.Name, o.Final, o.Target)
		}
	}
}

// Natural levels follow salinity and density: Reference Composition calcium is
// 421.7 mg/L at salinity 35 and 25 °C (Millero et al. 2008 through the R package
// marelac); half the salinity at the density 1.01015 kg/L of EOS-80 is 208.1.
func TestNaturalLevelsFollowSalinity(t *testing.T) {
	readings := read(t, "analyte,value,unit\nCa,420,mg/L\n")
	for _, c := range []struct {
		water Water
		want  float64
	}{{Water{35, 25}, 421.7}, {Water{17.5, 25}, 208.1}} {
		r, err := Judge(readings, c.water, nil)
		if err != nil {
			t.Fatal(err)
		}
		if got := *r.Analytes[0].NaturalUgL / 1000; math.Abs(got-c.want) > 0.1 {
			t.Errorf("salinity %v: %v mg/L, want %v", c.water.Salinity, got, c.want)
		}
	}
	if _, err := Judge(nil, Water{350, 25}, nil); err == nil {
		t.Error("salinity 350 was accepted")
	}
}

func TestReportFaults(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"", "the report is empty"},
		{"name,amount\nCu,1\n", "no column named value"},
		{"analyte,element,value,unit\n", "two columns could be the analyte"},
		{"analyte,value,unit\nCu,1,furlong\n", `report.csv:2:6: copper: unknown unit "furlong"`},
		{"analyte,value,unit\nCu,1,ug/Lt\n", `did you mean "ug/L"`},
		{"analyte,value,unit\nCu,1,\n", "no unit"},
		{"analyte,value,unit\nCu,1,ug/L\ncopper,2,ug/L\n", "report.csv:3:1: copper is here twice, first on line 2"},
		{"analyte,value,unit\ncoper,1,ug/L\n", `did you mean "copper"`},
		{"analyte,value,unit\n,1,ug/L\n", "no analyte"},
		{"analyte;value;unit\nCu;1,5;ug/L\n", "write 1.5"},
		{"analyte,value,unit\nCu,.nan,ug/L\n", "does not begin with a number"},
		{"analyte,value,unit\nCu,-1,ug/L\n", "negative"},
		{"analyte,value,unit,u\nCu,1,ug/L,x\n", "the uncertainty"},
		{"analyte,value,unit,u\nCu,1,ug/L,-1\n", "negative"},
		{"analyte,value,unit\nCu,5,ug/L,7\n", "report.csv:2:11: 4 fields under 3 headings"},
		{"analyte,value,unit\nCu,1,mg/L as N\n", "makes no sense"},
		{"analyte,value,unit\n\"Cu,1,ug/L\n", "quotation marks"},
		{"analyte,value,unit\nCu\n", "report.csv:2"},
	} {
		_, _, faults := Read("report.csv", []byte(c.text), 1.02)
		if len(faults) == 0 {
			t.Errorf("%q was accepted", c.text)
			continue
		}
		if !strings.Contains(faults[0].Error(), c.want) {
			t.Errorf("%q: %v, want %q", c.text, faults[0], c.want)
		}
	}
	if _, _, faults := Read("big.csv", make([]byte, maxReport+1), 1); len(faults) != 1 {
		t.Error("a megabyte was accepted")
	}
}

func TestAsNitrogenAndPhosphorus(t *testing.T) {
	r := read(t, "analyte,value,unit\nnitrate,1,mg/L as N\nphosphate,10,ug/L P\nTAN,0.5,mg/L N\n")
	for i, want := range []float64{4426.6, 30.661, 500} {
		if math.Abs(r[i].UgL/want-1) > 1e-9 {
			t.Errorf("%s: %v, want %v", r[i].Contaminant.ID, r[i].UgL, want)
		}
	}
}

func FuzzRead(f *testing.F) {
	f.Add(report)
	f.Add("analyte,value,unit\nCu,<1,ug/L\n")
	f.Fuzz(func(t *testing.T, text string) {
		readings, _, faults := Read("r", []byte(text), 1.02)
		if len(faults) > 0 {
			return
		}
		for _, r := range readings {
			if math.IsNaN(r.UgL) || math.IsInf(r.UgL, 0) || r.UgL < 0 || r.U < 0 || r.Line < 1 {
				t.Fatalf("%q: %+v", text, r)
			}
		}
	})
}

// Another fraction of anything but a metal is another analyte.
func TestFractionsOnlyOfMetals(t *testing.T) {
	for _, analyte := range []string{"total phosphorus", "dissolved nitrogen", "total"} {
		if _, _, faults := Read("report.csv", []byte("analyte,value,unit\n"+analyte+",1,mg/L\n"), 1.02334); len(faults) != 1 {
			t.Errorf("%s: %v", analyte, faults)
		}
	}
}

// A result may be below the criterion it is judged by and above a stricter one.
func TestStricterCriteriaAreNamed(t *testing.T) {
	r, err := Judge(read(t, "analyte,value,unit,±\ncopper,2,ug/L,+-0.5\nnickel,5,ug/L,± 0.1\nzinc,<9,ug/L,\n"), Water{35, 25}, nil)
	if err != nil {
		t.Fatal(err)
	}
	if r.Concern != 0 || r.Stricter != 1 {
		t.Errorf("%d of concern, %d above a stricter criterion", r.Concern, r.Stricter)
	}
	for _, a := range r.Analytes {
		if want := a.ID == "copper"; want != (len(a.Stricter) > 0) || want && !strings.Contains(a.Stricter[0], "ANZG 95 %") {
			t.Errorf("%s: %v", a.ID, a.Stricter)
		}
	}
}
