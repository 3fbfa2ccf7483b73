package main

import (
	"strings"
	"testing"

	"tidehold/response/assess"
	"tidehold/response/dilution"
)

func ugL(x float64) *float64 { return &x }

// A result is printed with what its sign and its ± say, in one unit; a factor to two digits, three from 100 on.
func TestAResultIsPrintedAsItIsKnown(t *testing.T) {
	for want, x := range map[string]assess.Analyte{
		"12.0 µg/L":        {ValueUgL: 12},
		"<2.00 µg/L":       {ValueUgL: 2, BelowLimit: true},
		">500 µg/L":        {ValueUgL: 500, Over: true},
		"12.0 ± 2.0 µg/L":  {ValueUgL: 12, Uncertainty: 2},
		"12.5 ± 0.40 mg/L": {ValueUgL: 12500, Uncertainty: 400},
	} {
		if got := resultText(x); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	for x, want := range map[float64]string{1.26: "1.3", 99.4: "99", 100.4: "100", 123.4: "123", 0.85: "0.85"} {
		if got := factorText(&x); got != want {
			t.Errorf("%g: %q, want %q", x, got, want)
		}
	}
	if got := factorText(nil); got != "-" {
		t.Errorf("%q", got)
	}
}

// A limit says whose it is: an authority's in a word, else the keeper's own.
func TestALimitSaysWhoseItIs(t *testing.T) {
	for source, want := range map[string]string{"US EPA, saltwater, chronic": "EPA", "ANZG 2018, 95 %": "ANZG", "British Columbia, marine": "BC", "your target": "yours"} {
		if got := whose(assess.Analyte{CriterionUgL: ugL(3), CriterionSource: source}); got != want {
			t.Errorf("%s: %q", source, got)
		}
	}
	if got := whose(assess.Analyte{CriterionSource: "US EPA"}); got != "-" {
		t.Errorf("without a limit: %q", got)
	}
}

// The verdict counts each kind of concern, the worst first; a clean report says so.
func TestTheVerdictOnAReportCounts(t *testing.T) {
	of := func(concern int, verdicts ...dilution.Verdict) assessView {
		v := assessView{}
		v.Concern = concern
		for _, x := range verdicts {
			v.Analytes = append(v.Analytes, assess.Analyte{ID: "copper", Verdict: x})
		}
		return v
	}
	for want, v := range map[string]assessView{
		"Clean: of 2 results none is above its limit or far from natural.": of(0, dilution.Below, assess.NotJudged),
		"Of 4 results: 1 too high, 2 far from natural.":                    of(3, dilution.Above, assess.FarFromNatural, assess.FarFromNatural, dilution.Below),
		"Of 2 results: 1 unsure.":                                          of(1, dilution.Undecided, dilution.Below),
	} {
		if got := v.headline(); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// A screen names seven results of concern and counts the others; a result near its limit asks for a second test,
// and one without a limit says how near natural it is.
func TestAReportOnAScreen(t *testing.T) {
	v := assessView{}
	for range mostConcerns + 2 {
		v.Analytes = append(v.Analytes, assess.Analyte{ID: "zinc", Verdict: dilution.Above, ValueUgL: 90, CriterionUgL: ugL(81), CriterionSource: "US EPA"})
	}
	v.Analytes = append(v.Analytes,
		assess.Analyte{ID: "copper", Verdict: dilution.Below, Times: ugL(0.8)}, assess.Analyte{ID: "nickel", Verdict: dilution.Below, Times: ugL(0.79)},
		assess.Analyte{ID: "lead", Verdict: dilution.Below, Times: ugL(0.9), BelowLimit: true},
		assess.Analyte{ID: "boron", Verdict: assess.NotJudged, Ratio: ugL(1.2)}, assess.Analyte{ID: "lithium", Verdict: assess.NotJudged, Ratio: ugL(1.2), BelowLimit: true},
		assess.Analyte{ID: "silver", Verdict: assess.NotJudged})
	v.Concern = mostConcerns
	if got := said(v.blocks()); strings.Contains(got, "of concern") || strings.Count(got, "[TOO HIGH zinc 90.0 µg/L 81.0 µg/L EPA -]") != mostConcerns {
		t.Error(got)
	}
	v.Concern += 2
	got := said(v.blocks())
	for _, want := range []string{"And 2 more results of concern: --all.", "Fine: copper (at 0.80 of its limit: test again), nickel and lead.",
		"Near natural, no limit published: boron × 1.2.", "Not judged: lithium and silver."} {
		if !strings.Contains(got, want) {
			t.Errorf("no %q in %s", want, got)
		}
	}
	if strings.Contains(got, "FAR OFF") || strings.Contains(got, "Below the limit used") {
		t.Error(got)
	}
	v.Analytes = append(v.Analytes, assess.Analyte{ID: "iron", Verdict: assess.FarFromNatural}, assess.Analyte{ID: "cadmium", Verdict: dilution.Below, Stricter: []string{"ANZG 0.7 µg/L"}})
	got = said(v.blocks())
	for _, want := range []string{"FAR OFF: nobody publishes a limit; --target sets one.", "Below the limit used, but ABOVE another: cadmium (ANZG 0.7 µg/L)."} {
		if !strings.Contains(got, want) {
			t.Errorf("no %q in %s", want, got)
		}
	}
}
