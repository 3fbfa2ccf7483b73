package plan

import (
	"fmt"
	"strings"
	"testing"

	"tidehold/refs/units"
	"tidehold/volumes/site"
)

// TestTheLastChangeMakesUpForWhatIsRoundedAway: a change that a limit sets is rounded down, unless
// the aim is missed so; 287 L of 287.9 L leave 26.42 % where 26.3 % are asked for.
func TestTheLastChangeMakesUpForWhatIsRoundedAway(t *testing.T) {
	const volL = 600
	share := (1 - 287.9/volL) * (1 - 297.3/volL)
	for target, want := range map[float64]string{share: "288 L 298 L", share * 1.001: "287 L 298 L", share * 1.01: "287 L 297 L"} {
		done := 5.0
		p := Plan{Demand: Demand{System: &site.System{NetVolume: volL}, Aims: []Aim{{Start: 1, Target: target}}}, Aims: []AimResult{{DoneAtH: &done}}, Steps: []Step{
			{N: 1, RemoveL: 287.9, LimitedBy: TemperatureStep, Levels: []Level{{SizedAfter: 1 - 287.9/volL}}},
			{N: 2, AtH: 4, RemoveL: 297.3, LimitedBy: ByDrawdown, Levels: []Level{{SizedAfter: share}}},
			{N: 3, AtH: 8, RemoveL: 10.04, LimitedBy: ByDrawdown, Levels: []Level{{SizedAfter: share / 2}}},
		}}
		got := p.ChangeLitres(&p.Steps[0], units.Metric) + " " + p.ChangeLitres(&p.Steps[1], units.Metric)
		if got != want || p.ChangeLitres(&p.Steps[2], units.Metric) != "10.0 L" {
			t.Errorf("to %.5f: %s, want %s", target, got, want)
		}
	}
}

// TestNoVatIsAskedForMoreThanItHolds: what a row is rounded up by comes from the vat that has it,
// or from none, and no row later takes what an earlier one was rounded up by.
func TestNoVatIsAskedForMoreThanItHolds(t *testing.T) {
	left := func(l float64) *float64 { return &l }
	from := func(a, leftA, b, leftB float64) []Draw {
		return []Draw{{StoreID: "a", Litres: a, LeftL: left(leftA)}, {StoreID: "b", Litres: b, LeftL: left(leftB)}}
	}
	for _, c := range []struct {
		steps []Step
		want  string
	}{
		{[]Step{{N: 1, RemoveL: 131.2, From: from(61.57, 0, 69.63, 5)}}, "131.2 L: 61.5 L + 69.7 L"},
		{[]Step{{N: 1, RemoveL: 131.24, From: from(61.57, 0, 69.67, 5)}}, "131.3 L: 61.5 L + 69.8 L"},
		{[]Step{{N: 1, RemoveL: 131.24, From: from(61.57, 0, 69.67, 0)}}, "131.1 L: 61.5 L + 69.6 L"},
		{[]Step{{N: 1, RemoveL: 319.62, From: from(319.62, 0, 0, 0)[:1]}}, "319.6 L: 319.6 L"},
		{[]Step{{N: 1, RemoveL: 61.57, From: from(61.57, 0, 0, 0)[:1]}}, "61.5 L: 61.5 L"},
		{[]Step{
			{N: 1, RemoveL: 30.02, From: from(30.02, 30.08, 0, 0)[:1]},
			{N: 2, RemoveL: 50.08, LimitedBy: ByDrawdown, From: from(30.08, 0, 20, 9)},
		}, "30.1 L: 30.1 L, 50 L: 30 L + 20 L"},
	} {
		var rows []string
		p := Plan{Steps: c.steps}
		for i := range p.Steps {
			rows = append(rows, p.ChangeLitres(&p.Steps[i], units.Metric)+": "+strings.Join(p.Row(&p.Steps[i], units.Metric).Each, " + "))
		}
		if got := strings.Join(rows, ", "); got != c.want {
			t.Errorf("%s, want %s", got, c.want)
		}
	}
}

// TestWhatNoBucketMeasuresIsNotPoured: "129.9 L vat-a + 0.1 L vat-b" and "0.8 L + 0.6 L + 108.8 L" were to be poured at night.
// It comes from the vat that gives most, where that has it.
func TestWhatNoBucketMeasuresIsNotPoured(t *testing.T) {
	draws := func(litresAndLeft ...float64) (list []Draw) {
		for i := 0; i < len(litresAndLeft); i += 2 {
			left := litresAndLeft[i+1]
			list = append(list, Draw{StoreID: string(rune('a' + i/2)), Litres: litresAndLeft[i], LeftL: &left})
		}
		return list
	}
	for _, c := range []struct {
		from []Draw
		want string
	}{
		{draws(0.1, 9, 129.9, 5), "130 L: [130 L b]"},
		{draws(0.8, 0, 0.6, 0, 108.8, 50), "110.2 L: [110.2 L c]"},
		{draws(0.1, 9, 129.9, 0), "129.9 L: [129.9 L b]"},        // b holds no more: without it
		{draws(1.0, 90, 266, 50), "267 L: [267 L b]"},            // of so much, a litre is nothing either
		{draws(1.1, 0, 128.9, 50), "130 L: [1.1 L a 128.9 L b]"}, // a jug measures it
		{draws(0.5, 0, 7.5, 9), "8.0 L: [0.5 L a 7.5 L b]"},      // in a small tank it is much
		{draws(0.1, 0, 7.9, 9), "8.0 L: [8.0 L b]"},
		{draws(0.1, 9), "0.10 L: [0.10 L a]"},
		{[]Draw{{StoreID: "a", Litres: 0.1}, {StoreID: "b", Litres: 129.9}}, "129.9 L: [129.9 L b]"}, // of b nobody knows
	} {
		s := Step{N: 1, From: c.from, LimitedBy: ByDrawdown}
		for _, d := range c.from {
			s.RemoveL += d.Litres
		}
		p := Plan{Steps: []Step{s}}
		row := p.Row(&p.Steps[0], units.Metric)
		var each []string
		for _, i := range s.Poured(row) {
			each = append(each, row.Each[i]+" "+s.From[i].StoreID)
		}
		if got := row.Whole + ": " + fmt.Sprint(each); got != c.want {
			t.Errorf("%s, want %s", got, c.want)
		}
	}
}

// TestWhatTheAimNeedsIsPoured: 0.1 L without which the aim is missed is poured, from wherever it is.
func TestWhatTheAimNeedsIsPoured(t *testing.T) {
	none, done := 0.0, 1.0
	for target, want := range map[float64]string{1 - 130.0/520: "130 L", 0.9: "129.9 L"} {
		p := Plan{Demand: Demand{System: &site.System{NetVolume: 520}, Aims: []Aim{{Start: 1, Target: target}}}, Aims: []AimResult{{DoneAtH: &done}}, Steps: []Step{
			{N: 1, RemoveL: 130, LimitedBy: ByDrawdown, From: []Draw{{StoreID: "a", Litres: 0.1, LeftL: &none}, {StoreID: "b", Litres: 129.9, LeftL: &none}}, Levels: []Level{{SizedAfter: 1 - 130.0/520}}},
		}}
		if got := p.Row(&p.Steps[0], units.Metric).Whole; got != want {
			t.Errorf("to %.4f: %s, want %s", target, got, want)
		}
	}
}

// TestAChangeThatIsNoRowStandsByItself: a row of another plan, or of none, is printed as its own amount.
func TestAChangeThatIsNoRowStandsByItself(t *testing.T) {
	p := Plan{WaterL: 41.27, Steps: []Step{{N: 1, RemoveL: 100}}}
	for _, n := range []int{0, 2} {
		other := Step{N: n, RemoveL: 41.27, LimitedBy: ToTarget}
		if got := p.ChangeLitres(&other, units.Metric); got != "41.3 L" {
			t.Errorf("row %d: %s", n, got)
		}
	}
	if got := (&Plan{WaterL: 41.27}).Litres(units.Metric); got != "41.3 L" {
		t.Errorf("run through: %s", got)
	}
}

// TestRowsThatCannotBeHeldToAnAim: an aim that is never reached, one reached before the first change, one
// without levels and a change of all the water leave the rows as their limits have them.
func TestRowsThatCannotBeHeldToAnAim(t *testing.T) {
	five, zero := 5.0, 0.0
	levels := []Level{{SizedAfter: 0.9}}
	for name, p := range map[string]Plan{
		"never":          {Aims: []AimResult{{}}, Steps: []Step{{N: 1, RemoveL: 287.9, Levels: levels}}},
		"at the start":   {Aims: []AimResult{{DoneAtH: &zero}}, Steps: []Step{{N: 1, RemoveL: 287.9, Levels: levels}}},
		"without levels": {Aims: []AimResult{{DoneAtH: &five}}, Steps: []Step{{N: 1, RemoveL: 287.9}}},
		"all the water":  {Aims: []AimResult{{DoneAtH: &five}}, Steps: []Step{{N: 1, RemoveL: 600, Levels: levels}, {N: 2, AtH: 1, RemoveL: 287.9, Levels: levels}}},
	} {
		p.Demand = Demand{System: &site.System{NetVolume: 600}, Aims: []Aim{{Start: 1, Target: 0.5}}}
		for k := range p.Steps {
			p.Steps[k].LimitedBy = ByDrawdown
		}
		if got := p.ChangeLitres(&p.Steps[len(p.Steps)-1], units.Metric); got != "287 L" {
			t.Errorf("%s: %s", name, got)
		}
	}
}

func TestRisesAgain(t *testing.T) {
	done := 3.0
	aims := []AimResult{{Holds: true}, {}, {}}
	for want, p := range map[int]Plan{1: {DoneAtH: &done, Aims: aims}, -1: {Aims: aims}} {
		if got := p.RisesAgain(); got != want {
			t.Errorf("the aim that rises again is number %d, want %d", got, want)
		}
	}
	if got := (&Plan{DoneAtH: &done, Aims: aims[:1]}).RisesAgain(); got != -1 {
		t.Errorf("all stay: %d", got)
	}
}

func TestDrawFrom(t *testing.T) {
	if got := (Draw{Delivery: 2}).From() + ", " + (Draw{StoreID: "vat-a"}).From(); got != "delivery 2, vat-a" {
		t.Error(got)
	}
}

// TestPoured: a draw that is printed as nothing is none, unless all are.
func TestPoured(t *testing.T) {
	for _, c := range []struct {
		each []float64
		want string
	}{{[]float64{0, 71}, "[1]"}, {[]float64{12, 0, 3}, "[0 2]"}, {[]float64{5}, "[0]"}, {[]float64{0}, "[0]"}, {[]float64{0, 0}, "[0 1]"}, {nil, "[]"}} {
		s := Step{From: make([]Draw, len(c.each))}
		if got := fmt.Sprint(s.Poured(units.Parts{EachL: c.each})); got != c.want {
			t.Errorf("%v: %s, want %s", c.each, got, c.want)
		}
	}
	if got := (&Step{From: make([]Draw, 2)}).Poured(units.Parts{}); len(got) != 2 {
		t.Errorf("nothing printed of two draws: %v", got)
	}
}
