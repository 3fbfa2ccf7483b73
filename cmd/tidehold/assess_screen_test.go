package main

import (
	"strings"
	"testing"
)

// An ordinary report, a dozen results of which five are of concern, at the demo site:
// the answer fits a screen of 24 lines of 80 columns.
func TestAssessFitsAScreen(t *testing.T) {
	const report = `analyte,value,unit,±
copper,21,ug/L,2
Aluminium,55,ug/L,
zinc,38,ug/L,
nickel,6.1,ug/L,
tin,12,ug/L,
lead,0.5,ug/L,
iron,12,ug/L,
Ca,430,mg/L,
Mg,1330,mg/L,
K,400,mg/L,
NO3,5,mg/L,
PO4,0.05,mg/L,
salinity,35,,
`
	var out, errs strings.Builder
	code := run([]string{"assess", "-", "--demo"}, streams{In: strings.NewReader(report), Out: &out, Err: &errs, Width: 80, Getenv: func(string) string { return "" }, Now: demoTime})
	lines := strings.Split(strings.TrimRight(out.String(), "\n"), "\n")
	if code != 3 || len(lines) > 24 {
		t.Errorf("exit %d, %d lines:\n%s%s", code, len(lines), out.String(), errs.String())
	}
	for _, l := range lines {
		if n := len([]rune(l)); n > 80 {
			t.Errorf("%d columns: %s", n, l)
		}
	}
}
