package readiness

import (
	"fmt"
	"strings"
	"testing"

	"tidehold/volumes/site"
)

// TestALatestDelivery is asked for: within two days where the event allows three; not at all where
// it has to be over in two hours.
func TestALatestDelivery(t *testing.T) {
	for within, after := range map[string]float64{"72 h": 48, "48 h": 24, "25 h": 24, "13 h": 12, "7 h": 6, "4 h": 3, "2 h": 0} {
		f := fixOf(judged(t, strings.Replace(head, "drawdown: 50 %", "drawdown: 60 %", 1)+vat("0 L")+strings.Replace(halve, "2 h", within, 1)).Events[0], Delivered)
		if (f == nil) != (after == 0) || f != nil && (*f.AfterH != after || f.Amount < 200 || f.Amount > 201) {
			t.Errorf("within %s: %+v", within, f)
		}
	}
}

// TestWaysAreWhatThereIs: half a litre of room is room, no room is none; one vat is one way and a
// container another, of two vats there is also both, the one with more room first.
func TestWaysAreWhatThereIs(t *testing.T) {
	for _, c := range []struct {
		stores string
		want   string
	}{
		{saltwaterVats("a 1.5 2 "), "a 0.5, a new container 600"},
		{saltwaterVats("a 2 2 "), "a new container 600"},
		{saltwaterVats("a 100 150 ", "b 100 300 , heater: 100 W"), "b 200, a 50, b a 250, a new container 600"},
	} {
		b, ways := benchOn(t, head+c.stores+halve)
		var got []string
		for _, w := range of(ways, StoredSaltwater) {
			place := w.where
			for _, i := range w.in {
				place += " " + b.site.Stores[i].ID
			}
			got = append(got, fmt.Sprintf("%s %g", strings.TrimSpace(place), w.most))
		}
		if text := strings.Join(got, ", "); text != c.want {
			t.Errorf("%q, want %q", text, c.want)
		}
	}
	f := fixOf(judged(t, head+saltwaterVats("a 50 110 ", "b 50 120 , heater: 100 W")+halve).Events[0], StoredSaltwater)
	if f == nil || f.Where != "b, then a" {
		t.Errorf("%+v", f)
	}
}

// TestAPurifierIsRatedAtItsFeed where there was none: 25 °C, at which a rating is given (common
// practice), so that the rate named is what it makes.
func TestAPurifierIsRatedAtItsFeed(t *testing.T) {
	b, ways := benchOn(t, head+vat("150 L")+halve)
	tr := trial{b.site, b.scenario.copy()}
	of(ways, PurifierRate)[0].apply(&tr, 7)
	if p := tr.Purifier; p == nil || p.RateLH != 7 || p.Feed != 25 || p.RatedAt != 25 {
		t.Errorf("%+v", tr.Purifier)
	}
	if got := purifierRate(tr.Site); got != 7 {
		t.Errorf("%g L/h", got)
	}
	if got := purifierRate(&site.Site{}); got != 0 {
		t.Errorf("no purifier makes %g L/h", got)
	}
	// Cold feed makes less of it.
	tr.Purifier.Feed = 10
	if got := purifierRate(tr.Site); got <= 0 || got >= 6 {
		t.Errorf("%g L/h with feed of 10 °C", got)
	}
}

// TestHalfAnHourIsATimeAllowed too: more of it helps an event that has it.
func TestHalfAnHourIsATimeAllowed(t *testing.T) {
	e := judged(t, head+vat("500 L")+strings.NewReplacer("50 %", "75 %", "2 h", "30 min").Replace(halve)).Events[0]
	if f := fixOf(e, MoreTime); f == nil || f.Amount < 3.9 || f.Amount > 3.9*1.006 {
		t.Errorf("%+v", e.Fixes)
	}
}

// TestOfAlikeStoresTheFirstByName, whichever stands first in the file; a pump of nothing stated is none.
func TestOfAlikeStoresTheFirstByName(t *testing.T) {
	for _, order := range [][]string{{"x", "y"}, {"y", "x"}} {
		s := house()
		s.Stores = nil
		for _, id := range order {
			s.Stores = append(s.Stores, site.Store{ID: id, Water: site.Chemistry{Salinity: 35, Temperature: 25}})
		}
		got := benchOf(s).alike([]int{0, 1}, func(int) float64 { return 20 })
		if len(got) != 1 || s.Stores[got[0]].ID != "x" {
			t.Errorf("%v of %v", got, order)
		}
	}
	one := 1.0
	if orZero(nil) != 0 || orZero(&one) != 1 {
		t.Error(orZero(nil), orZero(&one))
	}
}
