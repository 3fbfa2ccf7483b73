package yamlwalk

import "testing"

// A slip of writing is what to mend first: the faults before it may follow from it.
func TestTheNearestFaultIsTheSlipOfWriting(t *testing.T) {
	missing := Fault{File: "s.yaml", Line: 1, Column: 1, Found: "systems is missing", Hint: "needed: format, systems"}
	slip := Fault{File: "s.yaml", Line: 2, Column: 1, Found: `unknown key "systms"`, Allowed: "allowed: format, systems", Hint: `did you mean "systems"?`}
	for _, c := range []struct {
		faults Faults
		want   string
	}{
		{Faults{missing, slip}, `s.yaml:2:1: unknown key "systms"; did you mean "systems"?`},
		{Faults{missing}, "s.yaml:1:1: systems is missing; needed: format, systems"},
	} {
		if got := c.faults.Nearest(); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}
