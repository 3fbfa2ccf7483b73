package readiness

import (
	"strings"
	"testing"
)

// In brief the verdict of today, and what can be drawn then, are those of the whole answer; so is when what is
// late today as it is on the worst day is done, which is printed beside it.
func TestTodayInBrief(t *testing.T) {
	const drawn = "routine: [{system: tank, volume: 90 L, every: 7 d}]\n"
	stocked := func(l string) string {
		return head + strings.Replace(making, "volume: 0 L", "volume: "+l, 1) + halve + drawn
	}
	for text, want := range map[string][2]Verdict{
		head + vat("150 L") + halve + drawn: {Short, Short},
		head + vat("240 L") + halve + drawn: {Short, Covered},
		head + vat("300 L") + halve + drawn: {Covered, Covered},
		stocked("120 L"):                    {Late, Late},
		stocked("250 L"):                    {Late, Covered},
		strings.Replace(stocked("120 L"), "L, volume: 400 L", "L, volume: 120 L", 1): {Short, Late},
	} {
		w, b := judged(t, text).Events[0], briefly(t, text).Events[0]
		if w.Verdict != want[0] || w.Today.Verdict != want[1] {
			t.Errorf("%s, today %s, not %s and %s", w.Verdict, w.Today.Verdict, want[0], want[1])
		}
		if b.Verdict != w.Verdict || b.Today.Verdict != w.Today.Verdict || b.Today.UsableNowL != w.Today.UsableNowL {
			t.Errorf("%s, today %+v, in brief %s, today %+v", w.Verdict, w.Today, b.Verdict, b.Today)
		}
		if w.Today.Verdict == Late && *w.Today.DoneAtH != *b.Today.DoneAtH {
			t.Errorf("done today after %g h, in brief %g h", *w.Today.DoneAtH, *b.Today.DoneAtH)
		}
	}
}

func briefly(t *testing.T, text string) Result {
	t.Helper()
	r, err := Judge(load(t, text), now, Options{Brief: true})
	if err != nil {
		t.Fatal(err)
	}
	return r
}
