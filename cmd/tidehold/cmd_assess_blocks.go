package main

import (
	"fmt"
	"strings"

	"tidehold/refs/units"
	"tidehold/response/assess"
	"tidehold/response/dilution"
	"tidehold/response/figure"
	"tidehold/response/plan"
)

// criteriaCaution stands under every judgement.
const criteriaCaution = "Limits are set for wild waters, none for captive animals: ask a veterinarian."

// assessView is a judged report, to be shown.
type assessView struct {
	assess.Result
	report assess.Report
	age    sampleAge
}

// judgementWords are the verdicts on a keeper's screen.
var judgementWords = map[dilution.Verdict]string{
	dilution.Above: "TOO HIGH", dilution.Undecided: "UNSURE", assess.FarFromNatural: "FAR OFF",
	dilution.Below: "fine", assess.NotJudged: "not judged",
}

// mostConcerns of concern on a screen; --all prints every result.
const mostConcerns = 7

// blocks are the answer: the verdict, what is of concern, the rest in a line each.
func (v assessView) blocks() []block {
	out := []block{para("%s", v.headline())}
	if v.Concern > 0 {
		out = append(out, tableBlock(v.table(v.Analytes[:min(v.Concern, mostConcerns)])))
		if more := v.Concern - mostConcerns; more > 0 {
			out = append(out, line("And %s of concern: --all.", counted(more, "more result")))
		}
	}
	for _, x := range v.Analytes {
		if ask := x.Asks(); ask != "" {
			out = append(out, line("%s; nothing is planned for it.", ask))
		}
	}
	if text := v.stricter(); text != "" {
		out = append(out, line("%s", text))
	}
	var rest []string
	for _, text := range []string{v.fine(), v.nearNatural(), v.notJudged(), v.farOff(), v.age.text(), v.readAs()} {
		if text != "" {
			rest = append(rest, text)
		}
	}
	if len(rest) > 0 {
		out = append(out, line("%s", strings.Join(rest, " ")))
	}
	return out
}

// headline counts the verdicts, the worst first.
func (v assessView) headline() string {
	n := map[dilution.Verdict]int{}
	for _, x := range v.Analytes {
		n[x.Verdict]++
	}
	if v.Concern == 0 {
		return fmt.Sprintf("Clean: of %s none is above its limit or far from natural.", counted(len(v.Analytes), "result"))
	}
	var parts []string
	for _, p := range []struct {
		verdict dilution.Verdict
		words   string
	}{
		{dilution.Above, "too high"}, {dilution.Undecided, "unsure"}, {assess.FarFromNatural, "far from natural"},
	} {
		if n[p.verdict] > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", n[p.verdict], p.words))
		}
	}
	return fmt.Sprintf("Of %s: %s.", counted(len(v.Analytes), "result"), strings.Join(parts, ", "))
}

// table sets results beside their limits and the sea.
func (v assessView) table(list []assess.Analyte) grid {
	g := grid{Header: []string{"", "analyte", "result", "limit", "whose", "× natural"}, Right: []int{2, 3, 5}}
	for _, x := range list {
		g.Rows = append(g.Rows, []string{judgementWords[x.Verdict], analyteName(x), resultText(x), limitText(x), whose(x), factorText(x.Ratio)})
	}
	return g
}

// whose limit it is, in a word.
func whose(x assess.Analyte) string {
	if x.CriterionUgL == nil {
		return "-"
	}
	for _, w := range [][2]string{{"US EPA", "EPA"}, {"ANZG", "ANZG"}, {"British Columbia", "BC"}} {
		if strings.HasPrefix(x.CriterionSource, w[0]) {
			return w[1]
		}
	}
	return "yours"
}

// shortNames are what a keeper calls a contaminant whose id is longer.
var shortNames = map[string]string{"ammonia_total": "ammonia as N", "ammonia_unionised": "ammonia NH3", "sulfide": "sulfide as S", "tin_inorganic": "tin"}

// analyteName is the analyte with its fraction.
func analyteName(x assess.Analyte) string {
	name, ok := shortNames[x.ID]
	if !ok {
		name = words(x.ID)
	}
	if x.Fraction != "" {
		name += ", " + x.Fraction
	}
	return name
}

// limitText is the limit a result is judged by.
func limitText(x assess.Analyte) string {
	if x.CriterionUgL == nil {
		return "-"
	}
	return levelText(x.ID, *x.CriterionUgL, 0)
}

// resultText prints a result with its ± in the unit of its limit.
func resultText(x assess.Analyte) string {
	limit := x.ValueUgL
	if x.CriterionUgL != nil {
		limit = *x.CriterionUgL
	}
	perUnit, unit := plan.LevelUnit(x.ID, limit)
	value := units.Significant(x.ValueUgL/perUnit, 3)
	text := value
	switch {
	case x.BelowLimit:
		text = "<" + value
	case x.Over:
		text = ">" + value
	}
	if x.Uncertainty > 0 {
		text += " ± " + units.Significant(x.Uncertainty/perUnit, 2)
	}
	return text + " " + unit
}

// factorText prints a ratio to two digits, three from 100 on.
func factorText(x *float64) string {
	switch {
	case x == nil:
		return "-"
	case *x >= 100:
		return units.Significant(*x, 3)
	}
	return units.Significant(*x, 2)
}

// of lists the names of the results that a test picks, each with a word behind it.
func (v assessView) of(pick func(assess.Analyte) bool, behind func(assess.Analyte) string) string {
	var names []string
	for _, x := range v.Analytes {
		if !pick(x) {
			continue
		}
		name := analyteName(x)
		if b := behind(x); b != "" {
			name += " " + b
		}
		names = append(names, name)
	}
	if len(names) == 0 {
		return ""
	}
	return listedShort(names, mostNamed)
}

// mostNamed is how many names stand in a line of a screen.
const mostNamed = 8

// nearLimit says of a result that is below its limit how near it is, from four fifths
// on: a second published constant, or a day, may put it above.
func nearLimit(x assess.Analyte) string {
	const near = 0.8
	if x.Times == nil || *x.Times < near || x.BelowLimit {
		return ""
	}
	return "(at " + units.Fixed(*x.Times, 2) + " of its limit: test again)"
}

func (v assessView) fine() string {
	list := v.of(func(x assess.Analyte) bool { return x.Verdict == dilution.Below }, nearLimit)
	return prefixed("Fine: ", list)
}

func (v assessView) nearNatural() string {
	list := v.of(func(x assess.Analyte) bool { return x.Verdict == assess.NotJudged && x.Ratio != nil && !x.BelowLimit },
		func(x assess.Analyte) string { return "× " + factorText(x.Ratio) })
	return prefixed("Near natural, no limit published: ", list)
}

func (v assessView) farOff() string {
	for _, x := range v.Analytes {
		if x.Verdict == assess.FarFromNatural {
			return "FAR OFF: nobody publishes a limit; --target sets one."
		}
	}
	return ""
}

func (v assessView) stricter() string {
	list := v.of(func(x assess.Analyte) bool { return len(x.Stricter) > 0 }, func(x assess.Analyte) string { return "(" + listedShort(x.Stricter, 1) + ")" })
	return prefixed("Below the limit used, but ABOVE another: ", list)
}

// notJudged are the results without anything to judge by, then the lines passed over
// by reason.
func (v assessView) notJudged() string {
	list := v.of(func(x assess.Analyte) bool { return x.Verdict == assess.NotJudged && (x.Ratio == nil || x.BelowLimit) }, func(assess.Analyte) string { return "" })
	parts := []string{}
	if list != "" {
		parts = append(parts, list)
	}
	var order []string
	reasons := map[string][]string{}
	for _, p := range v.report.Passed {
		if reasons[p.Reason] == nil {
			order = append(order, p.Reason)
		}
		reasons[p.Reason] = append(reasons[p.Reason], p.Name)
	}
	for _, reason := range order {
		text := listedShort(reasons[reason], mostNamed)
		if reason != assess.NoContaminant { // salinity, pH: nobody expects a verdict
			text += " (" + reason + ")"
		}
		parts = append(parts, text)
	}
	return prefixed("Not judged: ", strings.Join(parts, "; "))
}

func (v assessView) readAs() string { return prefixed("Read: ", strings.Join(v.report.Notes, "; ")) }

// prefixed is the list as a sentence, "" for none.
func prefixed(before, list string) string {
	if list == "" {
		return ""
	}
	return before + list + "."
}

// signs are the verdicts' signs in the drawing.
var signs = map[dilution.Verdict]figure.Sign{
	dilution.Above: figure.Bad, dilution.Undecided: figure.Unclear, assess.FarFromNatural: figure.Late,
	dilution.Below: figure.Good, assess.NotJudged: figure.Unclear,
}

func sign(x assess.Analyte) figure.Sign {
	if x.Verdict == assess.NotJudged && x.Ratio != nil {
		return figure.Good
	}
	return signs[x.Verdict]
}

// word is the verdict in the drawing, where one without a limit still has a place.
func word(x assess.Analyte) string {
	if x.Verdict == assess.NotJudged && x.Ratio != nil {
		return "near natural"
	}
	return judgementWords[x.Verdict]
}

// drawing is each result on a line between natural and its limit.
func (v assessView) drawing() []block {
	r := figure.Results{Head: figure.Head{ID: "results", Title: "Each result between natural seawater and its limit", Description: v.headline()}}
	for _, x := range v.Analytes {
		if x.NaturalUgL == nil && x.CriterionUgL == nil {
			continue
		}
		r.List = append(r.List, figure.Result{Name: analyteName(x), Word: word(x), Sign: sign(x),
			Value: x.ValueUgL, U: x.Uncertainty, Below: x.BelowLimit, Natural: x.NaturalUgL, Criterion: x.CriterionUgL})
	}
	if len(r.List) == 0 {
		return nil
	}
	return drawnBy(r.SVG, nil)
}

// detail is every result, with the criteria that it is not judged by and the notes.
func (v assessView) detail() []block {
	g := v.table(v.Analytes)
	g.Title = "Every result, the worst first"
	out := []block{tableBlock(g)}
	for _, x := range v.Analytes {
		if text := also(x); text != "" {
			out = append(out, line("%s", text))
		}
	}
	return append(out, para("Metals criteria are for dissolved metal: a total result errs on the safe side. Far from natural: an ion of the salt outside 0.7 to 1.3 times natural at this salinity, anything else over 10 times natural that no authority has a level for."))
}

// also is what else is published for an analyte, and what is known of it; "" for
// nothing.
func also(x assess.Analyte) string {
	var parts []string
	if x.CriterionUgL != nil {
		parts = append(parts, "judged by "+x.CriterionSource)
	}
	var rest []string
	for _, c := range x.Others {
		rest = append(rest, c.String())
	}
	if len(rest) > 0 {
		parts = append(parts, "also "+strings.Join(rest, ", "))
	}
	if x.Note != "" {
		parts = append(parts, x.Note)
	}
	if len(parts) == 0 {
		return ""
	}
	return analyteName(x) + ": " + strings.Join(parts, "; ") + "."
}
