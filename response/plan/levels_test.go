package plan

import "testing"

// A level is told in the unit of its goal; total ammonia in mg/L whatever it is beside.
func TestALevelIsToldInTheUnitOfItsGoal(t *testing.T) {
	for _, c := range []struct {
		contaminant string
		ugL, goal   float64
		want        string
	}{
		{"copper", 4.65, 5, "4.65 µg/L"}, {"copper", 4650, 5, "4650 µg/L"}, {"copper", 465, 5000, "0.465 mg/L"}, {"copper", 999.4, 999.4, "999 µg/L"}, {"copper", 999.5, 999.5, "1.00 mg/L"},
		{TotalAmmonia, 3000, 500, "3.00 mg/L"}, {TotalAmmonia, 20, 20, "0.0200 mg/L"}, {"", 1234, 1234, "1.23 mg/L"},
	} {
		if got := LevelText(c.contaminant, c.ugL, c.goal); got != c.want {
			t.Errorf("%s %g beside %g: %q, want %q", c.contaminant, c.ugL, c.goal, got, c.want)
		}
	}
}
