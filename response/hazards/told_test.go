package hazards

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"tidehold/refs/units"
	"tidehold/volumes/site"
)

// TestTheFloorOfADwelling: 40 lb/ft² are what it is made for, and no more.
func TestTheFloorOfADwelling(t *testing.T) {
	for m2, cautioned := range map[float64]bool{2: false, 1.99: true, 2.01: false} {
		if l := (Load{MassKg: 2 * floorKgM2}).over(m2, units.Metric); (l.Caution != "") != cautioned || !(math.Abs(l.KgPerM2*m2-2*floorKgM2) <= 1e-9) {
			t.Errorf("over %v m²: %+v", m2, l)
		}
	}
}

// TestAtALimitNoTimeIsLeft, rising or falling, whatever the heaters do.
func TestAtALimitNoTimeIsLeft(t *testing.T) {
	b, problem, err := newBody(hall(), units.Metric)
	if err != nil || problem != "" {
		t.Fatal(problem, err)
	}
	for _, inputW := range []float64{0, 500} {
		for way, hours := range map[string]func(limit, inputW, room float64) (float64, bool){"rises": b.risesTo, "falls": b.fallsTo} {
			if h, ok := hours(b.start, inputW, 19); !ok || h != 0 {
				t.Errorf("%v W, %s: %v h, %v", inputW, way, h, ok)
			}
		}
	}
	if h, ok := b.risesTo(b.start+0.1, 500, 19); !ok || !(h > 0) {
		t.Errorf("a tenth of a degree above: %v h, %v", h, ok)
	}
}

// TestOxygenIsToldInPercent of saturation: at 25.5 °C and salinity 35 it is 6.7 mg/L (Benson and
// Krause 1984), nine tenths of which are 6.0.
func TestOxygenIsToldInPercent(t *testing.T) {
	sys := hall()
	sys.Limits.OxygenLow = 8
	h := pick(t, judged(t, siteOf(sys)), mains, Outage, "mg/L oxygen")
	if !strings.HasPrefix(h.Detail, "90 % of saturation is 6.0 mg/L, below the limit of 8.0 mg/L before anything fails") {
		t.Error(h.Detail)
	}
}

// TestAnEventOfHalfAMicrogram: a share of 1 − 0.5/60 is what the site plans to remove; a target of nothing says none.
func TestAnEventOfHalfAMicrogram(t *testing.T) {
	for _, c := range []struct{ start, target, want float64 }{{60, 0.5, 1 - 0.5/60}, {0.6, 0.3, 0.5}, {60, 0, 0.5}, {3, 3, 0.5}, {3, 60, 0.5}} {
		share, basis := brokenShare([]site.Event{{ID: "x", StartUgL: c.start, TargetUgL: c.target}})
		if !(math.Abs(share-c.want) <= 1e-12) || strings.Contains(basis, "your event x") != (c.start > c.target && c.target > 0) {
			t.Errorf("%+v: %v by %s", c, share, basis)
		}
	}
}

// TestRoomInTheSump is what is free less what runs back, and what is too much runs over.
func TestRoomInTheSump(t *testing.T) {
	for _, c := range []struct {
		back, room, spilled float64
		says                string
	}{
		{18, 25, 0, "holds the 18.0 L that run back when the return stops, with 7.0 L to spare"}, {25, 25, 0, "with 0 L to spare"},
		{25, 18, 7, "25 L run back when the return stops, but there is room for 18.0 L:"}, {18.5, 18, 0.5, "but there is room for 18.0 L:"},
	} {
		h := drained(hall(), "sump", c.back, c.room, units.Metric)
		if !strings.Contains(h.Detail, c.says) || h.Final == nil || *h.Final != c.spilled || (h.Harm == People) != (c.spilled > 0) {
			t.Errorf("%+v: %+v", c, h)
		}
	}
	for litres, want := range map[float64]string{0: "nothing runs", 0.5: "0.50 L run", 12: "12.0 L run"} {
		if got := runs(litres, units.Metric); got != want {
			t.Errorf("%v: %q, want %q", litres, got, want)
		}
	}
}

// TestAGuardNobodyKnowsIsSaid, of the purifier too.
func TestAGuardNobodyKnowsIsSaid(t *testing.T) {
	s := siteOf(hall())
	before := len(judged(t, s).Warnings)
	s.Purifier.Guards = []site.Guard{{Kind: "hope"}}
	r := judged(t, s)
	if text := strings.Join(r.Warnings, "\n"); len(r.Warnings) != before+1 || !strings.Contains(text, "purifier") || !strings.Contains(text, "hope") {
		t.Errorf("%q", r.Warnings)
	}
}

// TestWhatIsAnothersIsLeftOut: of what stands in one system only, the other has nothing.
func TestWhatIsAnothersIsLeftOut(t *testing.T) {
	bare := hall()
	bare.ID, bare.Equipment = "annex", nil
	r := judged(t, siteOf(hall(), bare))
	for id, want := range map[string]int{"hall-reef": 1, "annex": 0} {
		if one := r.Of(id); len(one.Batteries) != want || len(one.Dosers) != 3*want || len(one.Floor) != 1 || one.Floor[0].System != id || len(one.Thermal) != 1 || one.Thermal[0].System != id {
			t.Errorf("%s: %+v", id, one)
		}
	}
}

// TestPastedEventsSayWhere they go, and that the time is for the keeper to set.
func TestPastedEventsSayWhere(t *testing.T) {
	s := siteOf(hall())
	text := Events(s, judged(t, s))
	first, rest, _ := strings.Cut(text, "\n")
	if !strings.HasPrefix(first, "# ") || !strings.Contains(first, "events:") || !strings.Contains(first, "within:") || !strings.Contains(rest, fmt.Sprintf("within: %d h}", 24)) {
		t.Error(text)
	}
}
