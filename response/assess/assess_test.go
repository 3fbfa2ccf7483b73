package assess

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/response/dilution"
	"tidehold/salinity"
	"tidehold/volumes/site"
)

// reef is the water of a tank with corals at pH 8.2.
var reef = Water{Salinity: 35, Temperature: 25, PH: pointer(8.2), Sensitivity: site.Coral}

func pointer(x float64) *float64 { return &x }

func read(t *testing.T, text string) []Reading {
	t.Helper()
	r, faults := Read("report.csv", []byte(text), Options{Density: density})
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return r.Readings
}

func judged(t *testing.T, text string, w Water, targets map[string]float64) map[string]Analyte {
	t.Helper()
	r, err := Judge(read(t, text), w, targets)
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]Analyte{}
	for _, a := range r.Analytes {
		out[a.ID] = a
	}
	return out
}

// The false all-clears that a veterinarian found: each was "below its criterion, or has
// none", with exit 0.
func TestFalseAllClears(t *testing.T) {
	for _, c := range []struct {
		line, id string
		verdict  dilution.Verdict
	}{
		{"potassium,700,mg/L,", "potassium", FarFromNatural},
		{"nitrite,8,mg/L,", "nitrite", FarFromNatural},
		{"sulfide,3,mg/L,", "sulfide", "above"},
		{"strontium,30,mg/L,", "strontium", FarFromNatural},
		{"tin,14,ug/L,", "tin_inorganic", FarFromNatural},
		{"zinc,60,ug/L,10", "zinc", "above"},
		{"ammonia,0.6,mg/L N,", "ammonia_total", "above"},
	} {
		a := judged(t, "analyte,value,unit,±\n"+c.line+"\n", reef, nil)[c.id]
		if a.Verdict != c.verdict || !concerns(a.Verdict) {
			t.Errorf("%s: %s, want %s", c.line, a.Verdict, c.verdict)
		}
	}
}

// What assess calls the limit of ammonia is the total at which the ammonia command
// finds the criterion, and that of the sulfide the one at which 2 µg/L are H2S.
func TestSpeciatedAtTheWatersOwnPH(t *testing.T) {
	for _, pH := range []float64{7.8, 8.0, 8.3} {
		w := reef
		w.PH = &pH
		found := judged(t, "analyte,value,unit\nammonia,0.6,mg/L N\nsulfide,3,mg/L\n", w, nil)
		limit := *found["ammonia_total"].CriterionUgL
		a, err := salinity.UnionisedAmmonia(salinity.AmmoniaWater{TotalN: limit / 1000, PH: pH, Salinity: 35, Temperature: 25})
		if err != nil {
			t.Fatal(err)
		}
		if pH > 7.9 && !(math.Abs(a.Criteria.NH3-salinity.AmmoniaChronic) <= 1e-12) {
			t.Errorf("pH %g: %g µg/L of total is %g mg/L of NH3 by the criteria, want 0.035", pH, limit, a.Criteria.NH3)
		}
		if pH < 7.9 && (limit != 910 || !strings.HasPrefix(found["ammonia_total"].CriterionSource, "ANZG")) {
			t.Errorf("pH %g: %g by %s; the ANZG level is the stricter", pH, limit, found["ammonia_total"].CriterionSource)
		}
		share, err := salinity.UndissociatedSulfide(pH, 35, 25)
		if err != nil {
			t.Fatal(err)
		}
		if h2s := *found["sulfide"].CriterionUgL * share * 34.08 / 32.06; !(math.Abs(h2s-2) <= 1e-12) {
			t.Errorf("pH %g: the limit of sulfide is %g µg/L of H2S", pH, h2s)
		}
	}
	// Nobody knows the pH: the end that harms most.
	unknown := reef
	unknown.PH = nil
	found := judged(t, "analyte,value,unit\nammonia,0.6,mg/L N\nsulfide,3,mg/L\n", unknown, nil)
	if !strings.Contains(found["ammonia_total"].CriterionSource, "pH 8.40") || !strings.Contains(found["sulfide"].CriterionSource, "pH 7.80") {
		t.Errorf("%s; %s", found["ammonia_total"].CriterionSource, found["sulfide"].CriterionSource)
	}
	// Warmer than the criteria's own formula: by the seawater constants.
	hot := reef
	hot.Temperature = 38
	if a := judged(t, "analyte,value,unit\nammonia,0.6,mg/L N\n", hot, nil)["ammonia_total"]; !strings.Contains(a.CriterionSource, "seawater constants") || !(*a.CriterionUgL < 300) {
		t.Errorf("%s %v", a.CriterionSource, *a.CriterionUgL)
	} else if n, err := salinity.UnionisedAmmonia(salinity.AmmoniaWater{TotalN: *a.CriterionUgL / 1000, PH: 8.2, Salinity: 35, Temperature: 38}); err != nil || !(math.Abs(n.NH3-salinity.AmmoniaChronic) <= 1e-9) {
		t.Errorf("at 38 °C %v µg/L of total is %v mg/L of NH3, %v", *a.CriterionUgL, n.NH3, err)
	}
	// Saltier than any formula: the level that is set for pH 8 is left.
	salty := reef
	salty.Salinity = 41
	if a := judged(t, "analyte,value,unit\nammonia,0.6,mg/L N\n", salty, nil)["ammonia_total"]; *a.CriterionUgL != 910 {
		t.Errorf("%s %v", a.CriterionSource, *a.CriterionUgL)
	}
}

func TestTheStrictestThatFitsTheSensitivity(t *testing.T) {
	text := "analyte,value,unit\ncopper,1,ug/L\nzinc,20,ug/L\naluminium,50,ug/L\ncadmium,0.5,ug/L\nTBT,0.002,ug/L\nmonochloramine,3,ug/L\npermethrin,5,ug/L\nselenium,80,ug/L\n"
	for _, c := range []struct {
		kept                    site.Sensitivity
		id, source              string
		verdict                 dilution.Verdict
		criterion               float64
		others, aboveNotJudging int
	}{
		{site.Coral, "copper", "ANZG, 95", "above", 0.6, 4, 0},
		{site.Invertebrate, "copper", "ANZG, 95", "above", 0.6, 4, 0},
		{"", "copper", "ANZG, 95", "above", 0.6, 4, 0},
		{site.Fish, "copper", "US EPA, 4 days", "below", 3.1, 4, 1},
		{site.Coral, "zinc", "ANZG, 95", "above", 8, 4, 0},
		{site.Fish, "zinc", "US EPA, 4 days", "below", 81, 4, 2},
		{site.Fish, "aluminium", "ANZG, 95", "above", 37, 0, 0},
		// Metals that accumulate: the level for 99 % of species; British Columbia's is
		// stricter still.
		{site.Coral, "cadmium", "British Columbia", "above", 0.12, 3, 0},
		// As the cation: 0.006 as tin is 0.0147, above the 0.0074 and 0.001 of others.
		{site.Coral, "tributyltin", "British Columbia", "above", 0.001, 3, 0},
		{site.Coral, "chloramine", "British Columbia", "above", 2, 3, 0},
		{site.Coral, "permethrin", "British Columbia", "above", 0.001, 0, 0},
		{site.Coral, "selenium", "US EPA, 4 days", "above", 71, 1, 0},
	} {
		w := reef
		w.Sensitivity = c.kept
		a := judged(t, text, w, nil)[c.id]
		if a.CriterionUgL == nil || *a.CriterionUgL != c.criterion || !strings.HasPrefix(a.CriterionSource, c.source) || a.Verdict != c.verdict || len(a.Others) != c.others || len(a.Stricter) != c.aboveNotJudging {
			t.Errorf("%s, %s: %+v", c.kept, c.id, a)
		}
	}
	tbt, _ := refs.ContaminantByID("tributyltin")
	if ugL, _, _ := anzg(tbt); !(math.Abs(*ugL-0.01466) <= 1e-5) {
		t.Errorf("ANZG's 0.006 µg/L of tributyltin as tin is %v as the cation", *ugL)
	}
	cadmium, _ := refs.ContaminantByID("cadmium")
	if ugL, words, _ := anzg(cadmium); *ugL != 0.7 || !strings.Contains(words, "99 %") {
		t.Errorf("cadmium: %v, %s", *ugL, words)
	}
}

// A result of "<20" is not below 2: it is undecided, whatever the true value, asks for
// a lower limit and plans nothing.
func TestReportingLimitAboveTheCriterion(t *testing.T) {
	r, err := Judge(read(t, "analyte,value,unit\nlead,<20,ug/L\nsilver,<1,ug/L\n"), reef, nil)
	if err != nil {
		t.Fatal(err)
	}
	lead, silver := r.Analytes[0], r.Analytes[1]
	if lead.ID != "lead" || lead.Verdict != "undecided" || silver.Verdict != "below" || lead.Ratio != nil || r.Concern != 1 {
		t.Errorf("%+v", r.Analytes)
	}
	if lead.Asks() != "lead: ask for a reporting limit of 2.00 µg/L or lower" || silver.Asks() != "" {
		t.Errorf("asks %q and %q", lead.Asks(), silver.Asks())
	}
	if list, beyond := r.ToLower(nil); len(list)+len(beyond) != 0 {
		t.Errorf("a plan for what was not found: %+v", list)
	}
}

func TestFarFromNatural(t *testing.T) {
	for text, want := range map[string]dilution.Verdict{
		"K,520,mg/L": NotJudged, "K,540,mg/L": FarFromNatural, // 408.4 × 1.3 is 530.9
		"K,290,mg/L": NotJudged, "K,280,mg/L": FarFromNatural, // × 0.7 is 285.9
		"K,<100,mg/L": FarFromNatural, "K,<400,mg/L": NotJudged, "K,>600,mg/L": FarFromNatural, "K,>100,mg/L": NotJudged,
		"Ba,119,ug/L": NotJudged, "Ba,121,ug/L": FarFromNatural, // 11.97 × 10
		"Ba,1,ug/L": NotJudged, "Ba,<500,ug/L": NotJudged, // little of a trace is not far
		"Na,11000,mg/L": NotJudged, "Na,7000,mg/L": FarFromNatural, "SO4,4.2,g/L": FarFromNatural, "B,4.6,mg/L": NotJudged, "B,7,mg/L": FarFromNatural,
		"phenol,1,ug/L": "below",
	} {
		r, err := Judge(read(t, "analyte,value,unit\n"+text+"\n"), reef, nil)
		if err != nil || r.Analytes[0].Verdict != want {
			t.Errorf("%s: %v, %v; want %s", text, r.Analytes, err, want)
		}
	}
}

func TestVerdictsWorstFirst(t *testing.T) {
	r, err := Judge(read(t, `analyte,value,unit,±
calcium,420,mg/L,
iron,12,ug/L,
tin,14,ug/L,
lead,2.1,ug/L,0.5
copper,12.4,ug/L,1.5
zinc,400,ug/L,10
`), reef, nil)
	if err != nil {
		t.Fatal(err)
	}
	var order []string
	for _, a := range r.Analytes {
		order = append(order, a.ID+" "+string(a.Verdict))
	}
	want := "zinc above,copper above,lead undecided,tin_inorganic far-from-natural,iron below,calcium not-judged"
	if got := strings.Join(order, ","); got != want || r.Concern != 4 {
		t.Errorf("got  %s\nwant %s; %d of concern", got, want, r.Concern)
	}
	copper := r.Analytes[1]
	if !(math.Abs(*copper.Ratio-12.4/(0.12*1.0233438)) <= 0.01) || !(math.Abs(*copper.Times-12.4/0.6) <= 1e-9) {
		t.Errorf("%+v", copper)
	}
	if _, err := json.Marshal(r); err != nil {
		t.Error(err)
	}
}

func TestOwnLimitsComeFirst(t *testing.T) {
	text := "analyte,value,unit\ncopper,12.4,ug/L\nbarium,15,ug/L\niron,3,ug/L\n"
	found := judged(t, text, reef, map[string]float64{"copper": 20, "barium": 5, "iron": 0})
	if found["copper"].Verdict != "below" || found["barium"].Verdict != "above" || found["iron"].Verdict != "above" || found["copper"].CriterionSource != "your own limit" {
		t.Errorf("%+v", found)
	}
	// The published ones that it is above are named all the same.
	if len(found["copper"].Stricter) != 5 || found["iron"].Times != nil {
		t.Errorf("%v", found["copper"].Stricter)
	}
}

// A result beyond the measuring range is above, or it is not known.
func TestBeyondTheMeasuringRange(t *testing.T) {
	found := judged(t, "analyte,value,unit\ncopper,>100,ug/L\niron,>100,ug/L\n", reef, nil)
	if found["copper"].Verdict != "above" || !found["copper"].Over || found["iron"].Verdict != "undecided" {
		t.Errorf("%+v", found)
	}
}

// The plan for all at once reaches every target. A criterion that lies below what the
// new water brings is no target: the next one is, and it is said.
func TestPlanForAllReachesEveryTarget(t *testing.T) {
	r, err := Judge(read(t, "analyte,value,unit,±\ncopper,12.4,ug/L,1.5\nzinc,40,ug/L,\nlead,2.1,ug/L,0.5\ntin,14,ug/L,\naluminium,50,ug/L,\n"), reef, nil)
	if err != nil {
		t.Fatal(err)
	}
	background := map[string]float64{"copper": 1, "aluminium": 60}
	list, beyond := r.ToLower(background)
	if len(list) != 3 || len(beyond) != 1 || beyond[0].ID != "aluminium" {
		t.Fatalf("%+v, beyond %+v", list, beyond)
	}
	for _, l := range list {
		if l.ID == "copper" && (l.TargetUgL != 2 || !strings.HasPrefix(l.Instead, "British Columbia")) || l.ID == "zinc" && (l.TargetUgL != 8 || l.Instead != "") {
			t.Errorf("%s to %g (%s)", l.ID, l.TargetUgL, l.Instead)
		}
	}
	if u := Uncovered(list, background); len(u) != 2 {
		t.Errorf("%+v", u)
	}
	p := dilution.Problem{Volume: units.Measured{Value: 640}, Contaminants: Contaminants(list), ChangeL: 288, Trim: true, EveryH: 4, Confidence: 0.9, Trials: 2000, Seed: 1}
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

// Two fractions of one metal are two results and one thing to plan for: the higher.
func TestTwoFractionsOfOneMetal(t *testing.T) {
	r, err := Judge(read(t, "analyte,value,unit\nCopper dissolved,10,ug/L\nCopper total,12,ug/L\n"), reef, nil)
	if err != nil || len(r.Analytes) != 2 || r.Analytes[0].Fraction != "total" || r.Analytes[1].Fraction != "dissolved" {
		t.Fatalf("%+v, %v", r.Analytes, err)
	}
	if list, _ := r.ToLower(nil); len(list) != 1 || list[0].ValueUgL != 12 {
		t.Errorf("%+v", list)
	}
	r.Analytes[0], r.Analytes[1] = r.Analytes[1], r.Analytes[0]
	if list, _ := r.ToLower(nil); len(list) != 1 || list[0].ValueUgL != 12 {
		t.Errorf("in the other order: %+v", list)
	}
}

// Natural levels follow salinity and density: Reference Composition calcium is
// 421.7 mg/L at salinity 35 and 25 °C (Millero et al. 2008 through the R package
// marelac); half the salinity at the density 1.01015 kg/L of EOS-80 is 208.1.
func TestNaturalLevelsFollowSalinity(t *testing.T) {
	for _, c := range []struct {
		s    units.Practical
		want float64
	}{{35, 421.7}, {17.5, 208.1}} {
		w := reef
		w.Salinity = c.s
		a := judged(t, "analyte,value,unit\nCa,420,mg/L\n", w, nil)["calcium"]
		if got := *a.NaturalUgL / 1000; !(math.Abs(got-c.want) <= 0.1) {
			t.Errorf("salinity %v: %v mg/L, want %v", c.s, got, c.want)
		}
	}
	bad := reef
	bad.Temperature = 60
	if _, err := Judge(nil, bad, nil); err == nil {
		t.Error("water of 60 °C was accepted")
	}
}

// The limit of the strictest of all is a property: no published level is stricter.
func TestNoPublishedLevelIsStricter(t *testing.T) {
	for _, c := range refs.Contaminants() {
		list := fitting(c, reef)
		for _, x := range list {
			if x.UgL < list[0].UgL || !(x.UgL > 0) || x.Authority == "" {
				t.Errorf("%s: %v is stricter than %v", c.ID, x, list[0])
			}
			if _, ok := refs.Lookup(x.Source); !ok {
				t.Errorf("%s: source %q is not in the list", c.ID, x.Source)
			}
		}
		fish := reef
		fish.Sensitivity = site.Fish
		if n := len(fitting(c, fish)); n != len(list) {
			t.Errorf("%s: %d criteria for fish, %d for corals", c.ID, n, len(list))
		}
	}
}
