package main

import (
	"fmt"
	"slices"
	"strings"

	"tidehold/refs"
	"tidehold/refs/units"
)

// fewAssumptions is how many assumed values are named in the line itself.
const fewAssumptions = 4

// mostDeciding is how many deciding values the line names.
const mostDeciding = 2

// assumedLine counts the assumed values and names those that decide; a few, taken
// by a calculator, are named at once. here are the flags by which the site is found again.
func assumedLine(ans answer, here string) string {
	n := len(ans.Assumptions)
	if n == 0 {
		return ""
	}
	ofSite := slices.ContainsFunc(ans.Assumptions, func(s refs.Assumption) bool { return s.Place != refs.Place{} })
	if n <= fewAssumptions && !ofSite {
		parts := make([]string, n)
		for i, s := range ans.Assumptions {
			parts[i] = s.What + ": " + s.Value
		}
		return "Assumed (--assumed says why): " + strings.Join(parts, "; ") + "."
	}
	where := "--assumed lists them."
	if ofSite && ans.Command != "check" {
		where = whereAssumed(here)
	}
	if len(ans.Decides) > 0 {
		verb := "this one decides"
		if len(ans.Decides) > 1 {
			verb = "these decide"
		}
		return fmt.Sprintf("%s; %s: %s. %s", counted(n, "assumed value"), verb, listedShort(ans.Decides, mostDeciding), units.UpperFirst(where))
	}
	return fmt.Sprintf("%s: %s", counted(n, "assumed value"), where)
}

// longestHere is what fits behind the command in a line of 80 columns.
const longestHere = 8

// whereAssumed says how assumed values are listed. A command is printed as it has to be typed:
// one that would not fit in the line is left out.
func whereAssumed(here string) string {
	switch {
	case here == "":
		return "`tidehold check` lists them, --assumed prints them here."
	case len(here) > longestHere:
		return "--assumed prints them here."
	}
	return "`tidehold check" + here + "` lists them, --assumed prints them."
}

// assumptionBlocks lists the defaults taken, with their basis.
func assumptionBlocks(ans answer) []block {
	if len(ans.Assumptions) == 0 {
		return nil
	}
	g := grid{Header: []string{"assumed", "value", "basis"}}
	for _, s := range ans.Assumptions {
		g.Rows = append(g.Rows, []string{s.What, s.Value, s.Source})
	}
	return []block{heading("Assumed, because the input does not say"), tableBlock(g)}
}
