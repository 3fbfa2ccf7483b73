package main

import (
	"strings"
	"testing"
)

// How warm the purified water is, is assumed where some is poured in and nobody said it: nowhere else.
func TestTheWarmthOfPurifiedWaterIsAssumedWhereItIsPouredIn(t *testing.T) {
	for flags, assumed := range map[string]bool{
		"--salinity 37 --to 35":                   true,
		"--salinity 35.1 --to 35":                 true, // less than a litre
		"--salinity 37 --to 35 --source-temp 18C": false,
		"--salinity 33 --to 35 --dose 38.4g/L":    false,
		"--salinity 35 --to 35":                   false,
	} {
		code, out, errs := tidehold(append(strings.Fields("mix correct --volume 300L --temp 25C --assumed"), strings.Fields(flags)...)...)
		if code != exitDone {
			t.Fatalf("%s: exit %d: %s", flags, code, errs)
		}
		if got := strings.Contains(out, "temperature of the purified water"); got != assumed {
			t.Errorf("%s: assumed %v\n%s", flags, got, out)
		}
	}
}

// How sure the litres taken out are, is assumed where nobody said it.
func TestHowSureTheLitresTakenOutAreIsAssumed(t *testing.T) {
	for removed, assumed := range map[string]bool{"60L": true, "60±0.5L": false} {
		code, out, errs := tidehold("volume", "from-exchange", "--removed", removed, "--before", "35", "--after", "31.5", "--with", "0", "--temp", "25C", "--assumed")
		if got := strings.Contains(out, "uncertainty of the water taken out"); code != exitDone || got != assumed {
			t.Errorf("%s: exit %d, assumed %v: %s%s", removed, code, got, out, errs)
		}
	}
}
