package plan

import "testing"

// What is poured away with nothing added, and the litres that stay: 64 L less 36 L are 28 L,
// whatever purified water goes on top.
func TestWhatIsPouredAndWhatStays(t *testing.T) {
	for _, c := range []struct {
		p     Prepare
		pours bool
		stays float64
	}{
		{Prepare{What: Empty, RemoveL: 60, Litres: 4}, true, 4},
		{Prepare{What: Lower, RemoveL: 36, Litres: 28}, true, 28},
		{Prepare{What: Cut, RemoveL: 36, AddL: 5, Litres: 33}, false, 28},
		{Prepare{What: Lift, SaltKg: 1, Litres: 64}, false, 64},
		{Prepare{What: Cut, AddL: 5, Litres: 4.99}, false, 0},
	} {
		if c.p.Pours() != c.pours || c.p.LeavesL() != c.stays {
			t.Errorf("%+v: pours %v, %g L stay", c.p, c.p.Pours(), c.p.LeavesL())
		}
	}
}
