package incident

import (
	"fmt"
	"testing"

	"tidehold/response/plan"
	"tidehold/volumes/stock"
)

// What was read last that the animals do not bear, oxygen first, stands until it is read to be within the limits again or,
// of temperature and salinity, a change brought the water back.
func TestWhatAnimalsDoNotBearStandsUntilItIsBack(t *testing.T) {
	s := house(t)
	limits := &s.SystemByID("tank").Limits
	limits.OxygenLow, limits.TemperatureLow, limits.TemperatureHigh, limits.SalinityLow, limits.SalinityHigh = 4, 22, 28, 32, 37
	b := opened(t)
	unborne := func(h float64) (text string) {
		t.Helper()
		st := b.state(s, h)
		for _, br := range st.Unborne() {
			text += fmt.Sprintf("%d %s %g of %g; ", br.Entry, br.Limit, br.Is, br.Bound)
		}
		return text
	}
	if got := unborne(0.1); got != "" {
		t.Errorf("nothing was read: %s", got)
	}
	read := b.put(at(0.5).Reading(Values{TempC: x(21), Salinity: x(31), OxygenMgL: x(3)}, nil))
	want := fmt.Sprintf("%d %s 3 of 4; %d %s 21 of 22; %d %s 31 of 32; ", read, plan.OxygenLow, read, plan.TemperatureLow, read, plan.SalinityLow)
	if got := unborne(0.6); got != want {
		t.Errorf("%s, want %s", got, want)
	}
	b.put(at(1).Reading(Values{OxygenMgL: x(6)}, nil))
	if got, want := unborne(1.1), fmt.Sprintf("%d %s 21 of 22; %d %s 31 of 32; ", read, plan.TemperatureLow, read, plan.SalinityLow); got != want {
		t.Errorf("%s, want %s", got, want)
	}
	// 150 of 400 L at 25 °C and 35: 22.5 °C and 32.5.
	b.put(at(1.5).Change(pour("vat-a", 150, 35, 25)))
	if got := unborne(1.6); got != "" {
		t.Errorf("a change brought it back: %s", got)
	}
	hot := b.put(at(3).Reading(Values{TempC: x(28), Salinity: x(37.5)}, nil))
	if got, want := unborne(3.1), fmt.Sprintf("%d %s 28 of 28; %d %s 37.5 of 37; ", hot, plan.TemperatureHigh, hot, plan.SalinityHigh); got != want {
		t.Errorf("%s, want %s", got, want)
	}
	if l := b.log(); l.LastOf(stock.Reading) != hot || l.LastOf(stock.Remark) != 0 || len(l.Breaches(s.SystemByID("tank"), 1)) != 0 {
		t.Errorf("last reading %d, want %d; last note %d", l.LastOf(stock.Reading), hot, l.LastOf(stock.Remark))
	}
}

// A change or a result that repeats an earlier one to the digit is its twin; what differs in litres, store, value or, of
// changes, by more than a quarter of an hour is not.
func TestTwins(t *testing.T) {
	b := opened(t)
	first := b.put(at(1).Change(pour("vat-a", 50, 35, 24)))
	again := b.put(at(1.2).Change(pour("vat-a", 50, 35, 24)))
	other := b.put(at(1.22).Change(pour("vat-a", 51, 35, 24)))
	late := b.put(at(2).Change(pour("vat-a", 51, 35, 24)))
	result := b.put(at(3).Result([]Measured{{Contaminant: "copper", UgL: 40, U: 4}}, ""))
	same := b.put(at(3).Result([]Measured{{Contaminant: "copper", UgL: 40, U: 4}}, ""))
	less := b.put(at(3).Result([]Measured{{Contaminant: "copper", UgL: 30, U: 4}}, ""))
	l := b.log()
	for entry, want := range map[int]int{first: 0, again: first, other: 0, late: 0, result: 0, same: result, less: 0, 99: 0} {
		if got := l.Twin(entry); got != want {
			t.Errorf("entry %d: twin %d, want %d", entry, got, want)
		}
	}
}

// A goal is confirmed by a sample below it a day after the first; one above it in between begins anew.
func TestConfirmedByASecondSample(t *testing.T) {
	s := house(t)
	b := opened(t)
	result := func(h, ugL float64) {
		b.put(at(h).Result([]Measured{{Contaminant: "copper", UgL: ugL, U: 0.2}}, ""))
	}
	for _, c := range []struct {
		h, ugL float64
		want   bool
	}{{1, 40, false}, {2, 3, false}, {10, 8, false}, {12, 3, false}, {24, 3, false}, {34, 3, true}} {
		result(c.h, c.ugL)
		if st := b.state(s, c.h+0.1); st.Confirmed() != c.want {
			t.Errorf("after %g µg/L at %g h: confirmed %v", c.ugL, c.h, st.Confirmed())
		}
	}
}

// TestWaterThatAChangeTookBeyondALimitIsReckoned: 105 L of 18 °C took a tank from 22.6 to 21.4 °C, where 22 °C is the lowest it
// bears, and nothing was said until somebody read it.
func TestWaterThatAChangeTookBeyondALimitIsReckoned(t *testing.T) {
	s := house(t)
	b := spilled(t)
	reckoned := func(h float64) []Breach {
		st := b.state(s, h)
		return st.Reckoned()
	}
	b.put(at(1).Reading(Values{TempC: x(22.6)}, nil))
	b.put(at(2).Change(pour("vat-a", 40, 35, 20)))
	if got := reckoned(2.1); got != nil {
		t.Errorf("22.3 °C: %+v", got)
	}
	b.put(at(2.2).Change(pour("vat-a", 80, 35, 18)))
	if got := reckoned(2.3); len(got) != 1 || got[0].Limit != plan.TemperatureLow || got[0].Bound != 22 || !(got[0].Is < 21.6 && got[0].Is > 21.3) || got[0].Entry != 0 {
		t.Errorf("%+v", got)
	}
	b.put(at(2.4).Change(pour("vat-a", 120, 20, 24)))
	if got := reckoned(2.5); len(got) != 1 || got[0].Limit != plan.SalinityLow {
		t.Errorf("%+v", got)
	}
	b.put(at(2.6).Reading(Values{TempC: x(21), Salinity: x(31)}, nil))
	if got := reckoned(2.7); got != nil {
		t.Errorf("read: %+v", got)
	}
}
