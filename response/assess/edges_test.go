package assess

import (
	"math"
	"strconv"
	"strings"
	"testing"
	"time"

	"tidehold/refs"
	"tidehold/response/dilution"
	"tidehold/salinity"
	"tidehold/volumes/site"
)

// TestDatesAtTheirBounds: days, hours and years as far as they go, and day and month that
// cannot change places.
func TestDatesAtTheirBounds(t *testing.T) {
	for text, want := range map[string]string{
		"12/12/2026": "2026-12-12 00:00", "12/13/2026": "2026-12-13 00:00", "13/12/2026": "2026-12-13 00:00", "1/2/2026": "", "2/1/2026": "", "12/11/2026": "", "11/12/2026": "", "13/12/2026 8:05": "2026-12-13 08:05", "2026-12-31 24:00": "", "2026-11-20 99:00": "", "11.12.2026": "2026-12-11 00:00",
		"2026-02-28": "2026-02-28 00:00", "2026-02-29": "", "2028-02-29": "2028-02-29 00:00", "2026-13-01": "", "2026-00-10": "", "2026-01-00": "",
		"2026-11-20 23:59": "2026-11-20 23:59", "2026-11-20 24:00": "", "2026-11-20 23:60": "", "2026-11-20 10:60": "", "2026-11-20 10:59": "2026-11-20 10:59", "2026-11-20 0:05": "2026-11-20 00:05",
		"1970-01-01": "1970-01-01 00:00", "1969-12-31": "", "9998-12-31": "9998-12-31 00:00", "9999-01-01": "",
	} {
		at, clock, err := dateIn(text)
		got := ""
		if err == nil {
			got = at.Format("2006-01-02 15:04")
			if at.Second()+at.Nanosecond() != 0 {
				t.Errorf("%s: %v", text, at)
			}
		}
		if got != want || err == nil && clock != strings.Contains(text, ":") || err == nil && at.Location() != time.UTC {
			t.Errorf("%s: %q, a clock %v, %v; want %q", text, got, clock, err, want)
		}
	}
}

// TestWaterOfTheReportWithinItsRange: what no aquarium has is not taken for the water.
func TestWaterOfTheReportWithinItsRange(t *testing.T) {
	of := func(line string) Report {
		r, faults := Read("r", []byte("analyte;value;unit\n"+line+"\ncopper;20;ug/L\n"), Options{Density: 1.02})
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		return r
	}
	if r := of("temperature;40;C"); r.Temperature == nil || *r.Temperature != 40 {
		t.Error("40 °C")
	}
	if r := of("temperature;40.5;C"); r.Temperature != nil {
		t.Error("40.5 °C")
	}
	if r := of("salinity;42.5;"); r.Salinity != nil {
		t.Error("salinity 42.5")
	}
	if r := of("temperature;77;F"); r.Temperature != nil {
		t.Error("77 is no temperature in °C of a tank")
	}
	if r := of("salinity;42;"); r.Salinity == nil || *r.Salinity != 42 {
		t.Error("salinity 42")
	}
	if r := of("salinity;53;mS/cm"); r.Salinity != nil {
		t.Error("53 is no salinity")
	}
}

// TestHowFarIsFar: the edges of project practice, with the sea's own levels for salts and traces.
func TestHowFarIsFar(t *testing.T) {
	for _, c := range []struct {
		id             string
		value, natural float64
		below, over    bool
		want           dilution.Verdict
	}{
		{"potassium", 70, 100, false, false, NotJudged}, {"potassium", 69.9, 100, false, false, FarFromNatural},
		{"potassium", 130, 100, false, false, NotJudged}, {"potassium", 130.1, 100, false, false, FarFromNatural},
		{"barium", 1000, 100, false, false, NotJudged}, {"barium", 1001, 100, false, false, FarFromNatural}, {"barium", 1, 100, false, false, NotJudged},
		{"potassium", 69, 100, true, false, FarFromNatural}, {"potassium", 71, 100, true, false, NotJudged}, {"potassium", 200, 100, true, false, NotJudged},
		{"potassium", 50, 100, false, true, NotJudged}, {"potassium", 150, 100, false, true, FarFromNatural}, {"barium", 5000, 100, true, false, NotJudged},
		{"barium", 5, 0, false, false, NotJudged}, {"barium", 5, 0.4, false, false, FarFromNatural},
	} {
		a := Analyte{ID: c.id, ValueUgL: c.value, NaturalUgL: &c.natural, BelowLimit: c.below, Over: c.over, Verdict: NotJudged}
		a.besideNature()
		if a.Verdict != c.want {
			t.Errorf("%s %g of a natural %g (< %v, > %v): %s, want %s", c.id, c.value, c.natural, c.below, c.over, a.Verdict, c.want)
		}
	}
	none := Analyte{ID: "barium", ValueUgL: 5, Verdict: NotJudged}
	if none.besideNature(); none.Verdict != NotJudged {
		t.Error("beside nothing")
	}
}

// TestNaturalLevelsAndRatios: 0.5 µg/kg at half the salinity in water of 1.01 kg/L is 0.2525
// µg/L; of a result below a limit no ratio is known.
func TestNaturalLevelsAndRatios(t *testing.T) {
	half := 0.5
	a := Analyte{ValueUgL: 1}
	a.natural(refs.Contaminant{NaturalUgKg: &half}, 0.505)
	if a.NaturalUgL == nil || !(math.Abs(*a.NaturalUgL-0.2525) <= 1e-12) || a.Ratio == nil || !(math.Abs(*a.Ratio-1/0.2525) <= 1e-12) {
		t.Errorf("%+v", a)
	}
	b := Analyte{ValueUgL: 1, BelowLimit: true}
	b.natural(refs.Contaminant{NaturalUgKg: &half}, 1)
	if b.NaturalUgL == nil || b.Ratio != nil {
		t.Errorf("%+v", b)
	}
	zero := 0.0
	c := Analyte{ValueUgL: 1}
	c.natural(refs.Contaminant{NaturalUgKg: &zero}, 1)
	if c.Ratio != nil {
		t.Errorf("%+v", c)
	}
}

// TestJudgedBesideSeveralLevels: the first decides; what it is also above is named, where the
// value is known and passes the first.
func TestJudgedBesideSeveralLevels(t *testing.T) {
	levels := []Criterion{{10, "first", "a"}, {5, "second", "b"}, {20, "third", ""}}
	for _, c := range []struct {
		value, u    float64
		below, over bool
		verdict     dilution.Verdict
		stricter    int
		times       float64
	}{
		{4, 0, false, false, "below", 0, 0.4}, {5, 0, false, false, "below", 0, 0.5}, {5.1, 0, false, false, "below", 1, 0.51}, {10, 0, false, false, "below", 1, 1},
		{11, 0, false, false, "above", 0, 1.1}, {9, 2, false, false, "undecided", 0, 0.9}, {5.1, 0, true, false, "below", 0, 0.51}, {12, 0, true, false, "undecided", 0, 1.2},
		{8, 0, false, true, "undecided", 0, 0.8}, {30, 0, false, true, "above", 0, 3},
	} {
		a := Analyte{ValueUgL: c.value, Uncertainty: c.u, BelowLimit: c.below, Over: c.over, Others: []Criterion{}, Stricter: []string{}}
		a.byCriterion(levels)
		if a.Verdict != c.verdict || len(a.Stricter) != c.stricter || a.Times == nil || !(math.Abs(*a.Times-c.times) <= 1e-12) || len(a.Others) != 2 || a.CriterionSource != "first [a]" {
			t.Errorf("%+v: %+v", c, a)
		}
	}
	a := Analyte{ValueUgL: 1}
	if a.byCriterion([]Criterion{{0, "nothing at all", ""}}); a.Times != nil || a.CriterionSource != "nothing at all" || a.Verdict != "above" {
		t.Errorf("%+v", a)
	}
}

// TestWhatAPlanIsMadeFor: the criterion, where it lies a twentieth above what the new water
// brings; else the next that does.
func TestWhatAPlanIsMadeFor(t *testing.T) {
	ten := 10.0
	a := Analyte{ID: "copper", ValueUgL: 50, CriterionUgL: &ten, Verdict: "above", Others: []Criterion{{40, "far", ""}, {20, "near", ""}, {5, "below", ""}}}
	for background, want := range map[float64]struct {
		ugL     float64
		instead string
	}{0: {10, ""}, 9.5: {10, ""}, 9.53: {20, "near"}, 19.1: {40, "far"}, 38.1: {0, ""}} {
		ugL, instead, ok := a.Target(background)
		if ugL != want.ugL || instead != want.instead || ok != (want.ugL > 0) {
			t.Errorf("water that brings %g: %g, %q, %v", background, ugL, instead, ok)
		}
	}
	if _, _, ok := (Analyte{}).Target(0); ok {
		t.Error("a target without a criterion")
	}
	lower := func(a ...Analyte) ([]Lower, []Analyte) {
		return Result{Analytes: a}.ToLower(map[string]float64{"copper": 19.1})
	}
	if list, beyond := lower(a); len(list) != 1 || len(beyond) != 0 || list[0].TargetUgL != 40 || list[0].Instead != "far" || list[0].Background != 19.1 {
		t.Errorf("%+v, %+v", list, beyond)
	}
	a.ValueUgL = 40 // at the level that is left: nothing to bring down
	if list, beyond := lower(a); len(list) != 0 || len(beyond) != 1 {
		t.Errorf("%+v, %+v", list, beyond)
	}
	a.ValueUgL = 50
	for verdict, planned := range map[dilution.Verdict]bool{"above": true, "undecided": true, "below": false, NotJudged: false, FarFromNatural: false} {
		b := a
		b.Verdict = verdict
		if list, _ := lower(b); (len(list) == 1) != planned {
			t.Errorf("%s: %v", verdict, list)
		}
	}
	b := a
	b.BelowLimit = true
	if list, _ := lower(b); len(list) != 0 {
		t.Error("a plan for what was not found")
	}
	higher := a
	higher.ValueUgL, higher.Fraction = 60, "total"
	for _, order := range [][]Analyte{{a, higher}, {higher, a}} {
		if list, _ := lower(order...); len(list) != 1 || list[0].ValueUgL != 60 {
			t.Errorf("two fractions: %+v", list)
		}
	}
}

// TestOrderOfResults: by verdict, then the larger multiple, then the name.
func TestOrderOfResults(t *testing.T) {
	x := func(verdict dilution.Verdict, id string, times, ratio float64) Analyte {
		a := Analyte{Verdict: verdict, ID: id}
		if times > 0 {
			a.Times = &times
		}
		if ratio >= 0 {
			a.Ratio = &ratio
		}
		return a
	}
	list := []Analyte{
		x("above", "b", 3, 9), x("above", "a", 2, 9), x("undecided", "a", 5, -1), x(FarFromNatural, "a", 0, 0.01), x(FarFromNatural, "b", 0, 50),
		x(FarFromNatural, "c", 0, 50), x("below", "a", 0.9, -1), x("below", "b", 0, 0), x(NotJudged, "a", 0, -1),
	}
	for i := range list {
		for k := range list {
			if got := worse(list[i], list[k]); (got < 0) != (i < k) || (got > 0) != (i > k) {
				t.Errorf("%d beside %d: %d", i, k, got)
			}
		}
	}
}

// TestTextOfTwoBytesALetter: with its mark in either order, or by its zeros; half a letter at
// the end is dropped.
func TestTextOfTwoBytesALetter(t *testing.T) {
	for _, c := range []struct{ data, text, encoding string }{
		{"\xff\xfea\x00b\x00", "ab", "UTF-16"}, {"\xfe\xff\x00a\x00b", "ab", "UTF-16"}, {"a\x00b\x00", "ab", "UTF-16"}, {"\x00a\x00b", "ab", "UTF-16"},
		{"\xff\xfea\x00b", "a", "UTF-16"}, {"\xff\xfe\xb5\x00", "µ", "UTF-16"}, {"\xff\xfea\x00\x64\x22", "a≤", "UTF-16"}, {"\xfe\xff\x00a\x22\x64", "a≤", "UTF-16"}, {"\xef\xbb\xbfab", "ab", ""}, {"ab\x00", "ab\x00", ""}, {"", "", ""},
		{"\xff\xfd", "ÿý", "Windows-1252"}, {"a\x80\x9f\xa0\xff", "a€Ÿ\u00a0ÿ", "Windows-1252"},
	} {
		if text, encoding := decode([]byte(c.data)); text != c.text || encoding != c.encoding {
			t.Errorf("%q: %q as %q, want %q as %q", c.data, text, encoding, c.text, c.encoding)
		}
	}
}

// TestNamesThatAreCompared: a slip in a name of three letters or more, up to forty.
func TestNamesThatAreCompared(t *testing.T) {
	for text, want := range map[string]string{"coper": "copper", "Zi": "", "cux": "Cu", "znc": "zinc", "Nickl": "Nickel", strings.Repeat("x", 41): ""} {
		if got, _ := nearest(text); !strings.EqualFold(got, want) {
			t.Errorf("%s: %q, want %q", text, got, want)
		}
	}
}

// TestReportsAcrossAndTwice: units on a line of their own, a line of numbers that is none, and a
// second sample, which nobody guesses between.
func TestReportsAcrossAndTwice(t *testing.T) {
	values := func(text string) (string, string) {
		r, faults := Read("r", []byte(text), Options{Density: 1.02})
		if len(faults) > 0 {
			return "", faults[0].Error()
		}
		out := ""
		for _, x := range r.Readings {
			out += x.Contaminant.ID + " " + strings.TrimRight(strings.TrimRight(strings.Replace(formatUg(x.UgL), ",", ".", 1), "0"), ".") + "; "
		}
		return out, ""
	}
	if got, fault := values("Copper;Zinc;Nickel\nug/L;mg/L;ug/L\n20;1;3\n"); got != "copper 20; zinc 1000; nickel 3; " {
		t.Errorf("%q, %s", got, fault)
	}
	if got, fault := values("Copper (ug/L);Zinc;Nickel (ug/L)\n;mg/L;\n20;1;3\n"); got != "copper 20; zinc 1000; nickel 3; " {
		t.Errorf("%q, %s", got, fault)
	}
	if got, fault := values("Copper (ug/L);Zinc (mg/L);Nickel (ug/L)\n20;1;3\n"); got != "copper 20; zinc 1000; nickel 3; " {
		t.Errorf("%q, %s", got, fault)
	}
	if _, fault := values("Copper (ug/L);Zinc (mg/L);Nickel (ug/L)\n20;1;3\n21;2;4\n"); !strings.Contains(fault, "r:3:1: a second sample") {
		t.Error(fault)
	}
}

func formatUg(x float64) string { return strconv.FormatFloat(x, 'f', 3, 64) }

// TestSulfideAndAmmoniaWhereTheFormulasEnd: the ends of pH that harm most stand in for a pH that
// nobody knows; above 35 °C the seawater constants carry on.
func TestSulfideAndAmmoniaWhereTheFormulasEnd(t *testing.T) {
	ammonia, _ := refs.ContaminantByID("ammonia_total")
	sulfide, _ := refs.ContaminantByID("sulfide")
	first := func(c refs.Contaminant, w Water) Criterion { return published(c, w)[0] }
	known := func(pH float64) Water { return Water{Salinity: 35, Temperature: 25, PH: &pH} }
	if a, b := first(ammonia, Water{Salinity: 35, Temperature: 25}), first(ammonia, known(8.4)); a.UgL != b.UgL {
		t.Errorf("ammonia without a pH: %+v, at 8.4 %+v", a, b)
	}
	if a, b := first(sulfide, Water{Salinity: 35, Temperature: 25}), first(sulfide, known(7.8)); a.UgL != b.UgL {
		t.Errorf("sulfide without a pH: %+v, at 7.8 %+v", a, b)
	}
	if got := first(sulfide, known(8.05)).Authority; got != "US EPA, 4 days, as H2S at pH 8.05" {
		t.Error(got)
	}
	if got := first(ammonia, known(8.05)).Authority; got != "US EPA, 4 days at pH 8.05" {
		t.Error(got)
	}
	// Beyond the range of the constant all of it counts as undissociated: 2 µg/L of H2S (EPA), 34.08 of
	// which are 32.06 of sulfur.
	hot := known(7.8)
	hot.Temperature = 60
	if got := first(sulfide, hot).UgL; !(math.Abs(got-2*32.06/34.08) <= 0.002) {
		t.Errorf("%g", got)
	}
	// 0.035 mg/L of NH3 (EPA 1989, 4 days) of which the total is 1/fraction; as nitrogen 14.007/17.031.
	warm := known(8.2)
	warm.Temperature = 37
	a, err := salinity.UnionisedAmmonia(salinity.AmmoniaWater{PH: 8.2, Salinity: 35, Temperature: 37})
	if err != nil {
		t.Fatal(err)
	}
	got := first(ammonia, warm)
	if want := 35 / a.Fraction * 14.007 / 17.031; !(math.Abs(got.UgL/want-1) <= 1e-3) || !strings.Contains(got.Authority, "by the seawater constants") {
		t.Errorf("%+v, want %.4g", got, want)
	}
	if got := fitting(ammonia, Water{Salinity: 35, Temperature: 25, Sensitivity: site.Fish}); !strings.HasPrefix(got[0].Authority, "US EPA, 4 days") {
		t.Errorf("fish: %+v", got)
	}
}

// TestAsksForALowerLimit only where that would decide.
func TestAsksForALowerLimit(t *testing.T) {
	three := 3.0
	whole := Analyte{ID: "copper", BelowLimit: true, CriterionUgL: &three, Verdict: "undecided"}
	if got := whole.Asks(); got != "copper: ask for a reporting limit of 3.00 µg/L or lower" {
		t.Error(got)
	}
	for name, change := range map[string]func(*Analyte){"measured": func(a *Analyte) { a.BelowLimit = false }, "no level": func(a *Analyte) { a.CriterionUgL = nil }, "below": func(a *Analyte) { a.Verdict = "below" }} {
		a := whole
		if change(&a); a.Asks() != "" {
			t.Errorf("%s: %s", name, a.Asks())
		}
	}
}

// TestEveryAmountByItsPrefix: a gram is a million micrograms, a mole of copper 63.546 g.
func TestEveryAmountByItsPrefix(t *testing.T) {
	copper, _ := refs.ContaminantByID("copper")
	for unit, want := range map[string]float64{
		"ng/L": 1e-3, "ug/L": 1, "mcg/L": 1, "mg/L": 1e3, "g/L": 1e6, "nmol/L": 63.546e-3, "umol/L": 63.546, "mmol/L": 63546, "mol/L": 63.546e6,
		"ug/mL": 1e3, "mg/m3": 1, "ug/dm3": 1, "ug/kg": 1.02, "ug/g": 1020, "ppm": 1e3, "ppb": 1,
	} {
		if got, _, err := factorOf(unit, copper, 1.02); err != nil || !(math.Abs(got/want-1) <= 1e-9) {
			t.Errorf("1 %s is %g µg/L, %v, want %g", unit, got, err, want)
		}
	}
}

// TestFractionsOfElementsOnly: a column for it counts for a metal; total nitrate is nitrate.
func TestFractionsOfElementsOnly(t *testing.T) {
	for _, c := range []struct{ line, want string }{{"copper;20;ug/L;dissolved", "dissolved"}, {"copper;20;ug/L;total", "total"}, {"copper;20;ug/L;", ""}, {"nitrate;20;mg/L;total", ""}} {
		r, faults := Read("r", []byte("analyte;value;unit;fraction\n"+c.line+"\n"), Options{Density: 1.02})
		if len(faults) > 0 || len(r.Readings) != 1 || r.Readings[0].Fraction != c.want {
			t.Errorf("%s: %+v, %v, want %q", c.line, r.Readings, faults, c.want)
		}
	}
}

// TestHowManyAreStricter: copper of 2.5 µg/L is below the level of the US EPA (3.1) that fish are
// judged by and above a stricter one.
func TestHowManyAreStricter(t *testing.T) {
	copper, _ := refs.ContaminantByID("copper")
	w := Water{Salinity: 35, Temperature: 25, Sensitivity: site.Fish}
	list := fitting(copper, w)
	strictest, next := list[1].UgL, list[2].UgL
	for ugL, want := range map[float64]int{2.5: 1, 0.05: 0, 5: 0, (strictest + next) / 2: 1} {
		r, err := Judge([]Reading{{Contaminant: copper, UgL: ugL}}, w, nil)
		if err != nil || r.Stricter != want {
			t.Errorf("%g µg/L: %d, %v, want %d", ugL, r.Stricter, err, want)
		}
	}
	for ratio, want := range map[float64]float64{0.5: 2, 3: 3, 1: 1, 0: 0} {
		if got := (Analyte{Ratio: &ratio}).distance(); got != want {
			t.Errorf("%g times natural is %g away, want %g", ratio, got, want)
		}
	}
}

// TestHowFarAReportIsSearched: headings among the first sixty lines, fields of up to the longest,
// and a decimal comma on the very first line.
func TestHowFarAReportIsSearched(t *testing.T) {
	const body = "analyte;value;unit\ncopper;20;ug/L\n"
	for lines, ok := range map[int]bool{59: true, 60: false} {
		if r, faults := Read("r", []byte(strings.Repeat("title\n", lines)+body), Options{Density: 1.02}); (len(faults) == 0 && len(r.Readings) == 1) != ok {
			t.Errorf("%d lines above: %+v, %v", lines, r.Readings, faults)
		}
	}
	for lines, ok := range map[int]bool{59: true, 60: false} {
		if r, faults := Read("r", []byte(strings.Repeat("title\n", lines)+"Copper (ug/L);Zinc (ug/L);Nickel (ug/L)\n20;1;3\n"), Options{Density: 1.02}); (len(faults) == 0 && len(r.Readings) == 3) != ok {
			t.Errorf("%d lines above: %+v, %v", lines, r.Readings, faults)
		}
	}
	for n, ok := range map[int]bool{maxField: true, maxField + 1: false} {
		if _, faults := Read("r", []byte(body+strings.Repeat("x", n)+";;\n"), Options{Density: 1.02}); (len(faults) == 0) != ok {
			t.Errorf("a name of %d characters: %v", n, faults)
		}
	}
	columns, err := ParseColumns("analyte=1,value=2,unit=3")
	if err != nil {
		t.Fatal(err)
	}
	r, faults := Read("r", []byte("copper;20,5;ug/L\n"), Options{Density: 1.02, Columns: columns})
	if len(faults) > 0 || r.Readings[0].UgL != 20.5 || len(r.Notes) != 1 || !strings.Contains(r.Notes[0], "decimal commas (20,5 on line 1)") {
		t.Errorf("%+v, %v", r, faults)
	}
}
