package assess

import (
	"errors"
	"fmt"
	"strings"
	"testing"
)

// TestTwentyFaultsAreTold and of more it is said how many: of twenty there are no more.
func TestTwentyFaultsAreTold(t *testing.T) {
	for n, want := range map[int]string{19: "", 20: "", 21: "r: and 1 more", 33: "r: and 13 more"} {
		_, faults := Read("r", []byte("analyte;value;unit\n"+strings.Repeat("copper;much;ug/L\n", n)), Options{Density: 1.02})
		told := n
		if want != "" {
			told = 20 + 1
		}
		if len(faults) != told {
			t.Errorf("%d faults: %d told", n, len(faults))
			continue
		}
		if last := faults[len(faults)-1].Error(); want != "" && last != want || want == "" && strings.Contains(last, "more") {
			t.Errorf("%d faults: %s", n, last)
		}
	}
}

// TestANameWithoutAResultIsNoSlip: a remark, or a line left empty, is no copper that was not read.
func TestANameWithoutAResultIsNoSlip(t *testing.T) {
	for line, passed := range map[string]int{"coper;;ug/L": 0, "coper": 0, "Nickl": 0, "coper;n/a;": 1, "mystery;3;ug/L": 1} {
		r, faults := Read("r", []byte("analyte;value;unit\n"+line+"\nzinc;3;ug/L\n"), Options{Density: 1.02})
		if len(faults) > 0 || len(r.Readings) != 1 || len(r.Passed) != passed {
			t.Errorf("%s: %+v %+v %v", line, r.Readings, r.Passed, faults)
		}
	}
	if _, faults := Read("r", []byte("analyte;value;unit\ncoper;3;ug/L\n"), Options{Density: 1.02}); len(faults) != 1 || !strings.Contains(faults[0].Error(), `did you mean "copper"?`) {
		t.Errorf("%v", faults)
	}
}

// TestWhatWasReadIsShown where no headings are known: of the first sixty lines the one that has most
// fields, and of those eight; where there is no line, the first.
func TestWhatWasReadIsShown(t *testing.T) {
	shownOf := func(text string) (int, string) {
		_, faults := Read("r", []byte(text), Options{Density: 1.02})
		if len(faults) != 1 {
			t.Fatalf("%v", faults)
		}
		f, is := errors.AsType[Fault](faults[0])
		if !is {
			t.Fatalf("%v", faults[0])
		}
		_, after, _ := strings.Cut(f.Message, "read here: ")
		fields, _, _ := strings.Cut(after, "; needed")
		return f.Line, fields
	}
	if line, fields := shownOf("a;b\n1;2;3;4;5;6;7;8;9\nc;d;e\n"); line != 2 || fields != `"1", "2", "3", "4", "5", "6", "7", "8"` {
		t.Errorf("line %d: %s", line, fields)
	}
	for lines, want := range map[int]int{59: 60, 60: 1} {
		if line, _ := shownOf(strings.Repeat("a;b\n", lines) + "1;2;3\n"); line != want {
			t.Errorf("%d lines above: line %d, want %d", lines, line, want)
		}
		// So far the separator is looked for too.
		separator := map[bool]string{true: `"1", "2", "3"`, false: `"a", "b"`}[lines == 59]
		if line, fields := shownOf(strings.Repeat("a;b\n", lines) + "1,2,3\n"); fields != separator {
			t.Errorf("%d lines above: line %d, %s", lines, line, fields)
		}
	}
	if line, fields := shownOf("a;b\n1,2\n"); line != 1 || fields != `"a", "b"` {
		t.Errorf("line %d: %s", line, fields)
	}
	if line, fields := shownOf("# nothing\n# but remarks\n"); line != 1 || fields != "" {
		t.Errorf("line %d: %s", line, fields)
	}
}

// TestUnitsBehindNames, of one letter too, and rows of units: words are none.
func TestUnitsBehindNames(t *testing.T) {
	for heading, want := range map[string][2]string{"P(mg/L)": {"P", "mg/L"}, "Copper [ug/L]": {"Copper", "ug/L"}, "(ug/L)": {"(ug/L)", ""}, "Chromium (VI)": {"Chromium (VI)", ""}, "Iron": {"Iron", ""}} {
		if name, unit := unitBehind(heading); name != want[0] || unit != want[1] {
			t.Errorf("%s: %q %q", heading, name, unit)
		}
	}
	rowOf := func(texts ...string) row {
		r := row{line: 1}
		for _, s := range texts {
			r.cells = append(r.cells, cell{s, 1})
		}
		return r
	}
	for want, r := range []row{rowOf("dissolved", "total"), rowOf("date", "mg/L"), rowOf("(ug/L)", "[mg/L]", "")} {
		if got := unitsIn(r); got != want {
			t.Errorf("%+v: %d units, want %d", r, got, want)
		}
	}
	for want, r := range []row{rowOf("date", "client"), rowOf("date", "Copper"), rowOf("Zinc (ug/L)", "Iron")} {
		if got := named(r); got != want {
			t.Errorf("%+v: %d names, want %d", r, got, want)
		}
	}
}

// TestColumnsByNumberBelowATitle: a line of words is no result, one that is not detected is. Where two
// separators fit, the one is taken that leaves an analyte, however many commas stand in a remark; else the
// one with more fields, else the likelier.
func TestColumnsByNumberBelowATitle(t *testing.T) {
	columns, err := ParseColumns("analyte=2,value=1,unit=3,limit=4")
	if err != nil {
		t.Fatal(err)
	}
	for text, want := range map[string]string{
		"sample A;none;remarks;limit\n12;copper;ug/L;5\n":   "copper 12.000",
		"n.d.;copper;ug/L;5\n3;zinc;ug/L;1\n":               "copper <5.000 zinc 3.000",
		"title;a;b;c\n<5;copper;ug/L;5\n":                   "copper <5.000",
		"12,5;copper;ug/L;a,b,c,d,e\n13,5;zinc;ug/L;f\n":    "copper 12.500 zinc 13.500",
		"12,5;copper;ug/L;a,b,c\n13,5;zinc;ug/L;d,e,f\n":    "copper 12.500 zinc 13.500",
		"sample A;none;remarks;limit\n> 12;copper;ug/L;5\n": "copper 12.000",
	} {
		r, faults := Read("r", []byte(text), Options{Density: 1.02, Columns: columns})
		var got []string
		for _, x := range r.Readings {
			sign := map[bool]string{true: "<"}[x.Below]
			got = append(got, fmt.Sprintf("%s %s%.3f", x.Contaminant.ID, sign, x.UgL))
		}
		if strings.Join(got, " ") != want || len(faults) > 0 {
			t.Errorf("%q: %v, %v", text, got, faults)
		}
	}
}

// TestHowLongAFieldMayBe: three hundred characters.
func TestHowLongAFieldMayBe(t *testing.T) {
	for n, ok := range map[int]bool{1 << 20: true, 1<<20 + 1: false} {
		if err := tooMuch("r", n); (err == nil) != ok {
			t.Errorf("%d bytes: %v", n, err)
		}
	}
	for separators, cells := range map[int]int{150: 151, 199: 200, 200: 201, 300: 201} {
		if r := cutLine(1, strings.Repeat("a;", separators), ';'); len(r.cells) != cells {
			t.Errorf("%d separators: %d fields", separators, len(r.cells))
		}
	}
	for n, ok := range map[int]bool{300: true, 301: false} {
		err := tooMany("r", []row{{line: 7, cells: []cell{{strings.Repeat("é", n), 3}}}})
		if (err == nil) != ok || err != nil && !strings.HasPrefix(err.Error(), fmt.Sprintf("r:7:3: a field of %d characters", n)) {
			t.Errorf("%d characters: %v", n, err)
		}
	}
}

// TestAKilogramInALitreIsTheMost that a result may be.
func TestAKilogramInALitreIsTheMost(t *testing.T) {
	for value, ok := range map[string]bool{"1000": true, "1001": false} {
		if _, faults := Read("r", []byte("analyte;value;unit\nsodium;"+value+";g/L\n"), Options{Density: 1.02}); (len(faults) == 0) != ok {
			t.Errorf("%s g/L: %v", value, faults)
		}
		if _, faults := Read("r", []byte("analyte;value;unit;u (g/L)\nsodium;10;g/L;"+value+"\n"), Options{Density: 1.02}); (len(faults) == 0) != ok {
			t.Errorf("± %s g/L: %v", value, faults)
		}
	}
}

// TestTwoColumnsAreAReport: the unit stands in the heading. A slip is one there too, and what no table has is
// listed.
func TestTwoColumnsAreAReport(t *testing.T) {
	r, faults := Read("r", []byte("analyte;value (ug/L)\ncopper;20\nmystery;3\n"), Options{Density: 1.02})
	if len(faults) > 0 || len(r.Readings) != 1 || r.Readings[0].UgL != 20 || len(r.Passed) != 1 || r.Passed[0] != (Passed{"mystery", notInTables}) {
		t.Errorf("%+v, %v", r, faults)
	}
	if _, faults := Read("r", []byte("analyte;value (ug/L)\ncoper;20\n"), Options{Density: 1.02}); len(faults) != 1 || !strings.Contains(faults[0].Error(), `did you mean "copper"?`) {
		t.Errorf("%v", faults)
	}
}

// TestTwentyNamesAreCompared with those known; a long list of others is no list of slips.
func TestTwentyNamesAreCompared(t *testing.T) {
	for n, faulty := range map[int]int{19: 1, 20: 0} {
		text := "analyte;value;unit\n" + strings.Repeat("somethingelse;3;ug/L\n", n) + "coper;3;ug/L\n"
		if r, faults := Read("r", []byte(text), Options{Density: 1.02}); len(faults) != faulty || len(r.Passed) != n+1-faulty {
			t.Errorf("%d others: %v, %d passed over", n, faults, len(r.Passed))
		}
	}
}

// TestTwoThousandLines are read and one more is refused, never dropped in silence.
func TestTwoThousandLines(t *testing.T) {
	for n, ok := range map[int]bool{2000: true, 2001: false, 2500: false} {
		text := "analyte;value;unit\n" + strings.Repeat("note;;\n", n-2) + "copper;3;ug/L\n"
		if r, faults := Read("r", []byte(text), Options{Density: 1.02}); (len(faults) == 0) != ok || ok && len(r.Readings) != 1 || !ok && !strings.Contains(faults[0].Error(), "r:2001:1: more than 2000 lines") {
			t.Errorf("%d lines: %+v, %v", n, r.Readings, faults)
		}
	}
}

// TestTitlesAreNoHeadings: a title called name is not the line of headings, and a heading called sampled is
// no title.
func TestTitlesAreNoHeadings(t *testing.T) {
	for _, text := range []string{"Name;Display tank\nanalyte;value;unit\ncopper;20;ug/L\n", "Result;of March\nanalyte;value;unit\ncopper;20;ug/L\n", "analyte;sampled;value;unit\ncopper;2026-11-20;20;ug/L\n"} {
		r, faults := Read("r", []byte(text), Options{Density: 1.02})
		if len(faults) > 0 || len(r.Notes) > 0 || len(r.Readings) != 1 || r.Readings[0].UgL != 20 || r.SampledAt.IsZero() != !strings.Contains(text, "sampled") {
			t.Errorf("%q: %+v, %v", text, r, faults)
		}
	}
}

// TestGroupsOfThree: a first group of four is no group, and the file's decimal mark is said.
func TestGroupsOfThree(t *testing.T) {
	for number, ok := range map[string]bool{"1,234.5": true, "12,345,678.5": true, "1234,567.8": false, "12,34.5": false, ",234.5": false} {
		_, err := convention{settled: true, line: 2, text: "0.5"}.read(number)
		if (err == nil) != ok {
			t.Errorf("%s: %v", number, err)
		}
	}
}

// TestAcrossNeedsUnitsToBeUnits: a line of words below the headings is no line of units, so that of two lines nobody
// says which is the sample.
func TestAcrossNeedsUnitsToBeUnits(t *testing.T) {
	_, faults := Read("r", []byte("Copper (ug/L);Zinc (ug/L);Nickel (ug/L)\nfiltered;filtered;filtered\n20;1;3\n"), Options{Density: 1.02})
	if len(faults) != 1 || !strings.Contains(faults[0].Error(), "a second sample") {
		t.Errorf("%v", faults)
	}
}

// TestALevelAtWhatTheWaterBringsIsOutOfReach: 5 % above the background is not above it enough.
func TestALevelAtWhatTheWaterBringsIsOutOfReach(t *testing.T) {
	level := 21.0
	a := Analyte{CriterionUgL: &level, Others: []Criterion{{42, "other", ""}}}
	for background, want := range map[float64]float64{19.9: 21, 20: 42, 39.9: 42, 40: 0} {
		if got, instead, ok := a.Target(background); got != want || ok != (want > 0) || (instead == "other") != (want == 42) {
			t.Errorf("the water brings %g: %g %q %v", background, got, instead, ok)
		}
	}
}

// TestWhatStandsBesideTheResultsOfAnAcrossReport: the date is read, a name or a number of the sample is not
// taken for one.
func TestWhatStandsBesideTheResultsOfAnAcrossReport(t *testing.T) {
	for _, text := range []string{"Sampled;Name;Copper (ug/L);Zinc (ug/L);Nickel (ug/L)\n2026-11-20;tank;20;1;3\n", "Name;Sampled;Copper (ug/L);Zinc (ug/L);Nickel (ug/L)\ntank;2026-11-20;20;1;3\n"} {
		r, faults := Read("r", []byte(text), Options{Density: 1.02})
		if len(faults) > 0 || len(r.Readings) != 3 || r.Readings[0].UgL != 20 || r.SampledAt.Format("2006-01-02") != "2026-11-20" || len(r.Notes) > 0 {
			t.Errorf("%q: %+v, %v", text, r, faults)
		}
	}
}

// TestTheSeparatorThatNamesMost wins, whichever stands first; where two name as many, the likelier one.
func TestTheSeparatorThatNamesMost(t *testing.T) {
	for _, text := range []string{
		"Name;Result\nanalyte,value,unit,limit\ncopper,20,ug/L,1\n", "Name,Result\nanalyte;value;unit;limit\ncopper;20;ug/L;1\n", "Name,Result\nanalyte;value (ug/L)\ncopper;20\n",
		"Name\tResult\nanalyte;value (ug/L)\ncopper;20\n",
	} {
		r, faults := Read("r", []byte(text), Options{Density: 1.02})
		if len(faults) > 0 || len(r.Readings) != 1 || r.Readings[0].UgL != 20 {
			t.Errorf("%q: %+v, %v", text, r.Readings, faults)
		}
	}
}

// TestOneUncertaintyIsEnough: of two nobody guesses which counts.
func TestOneUncertaintyIsEnough(t *testing.T) {
	if _, faults := Read("r", []byte("analyte;value;unit\ncopper;20 ± 1 ± 2;ug/L\n"), Options{Density: 1.02}); len(faults) != 1 {
		t.Errorf("%v", faults)
	}
	if text, column := (row{cells: []cell{{"a", 4}}}).at(9); text != "" || column != 1 {
		t.Errorf("%q at %d", text, column)
	}
}
