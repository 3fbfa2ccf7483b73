package units

import (
	"errors"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

func TestCountsAndLists(t *testing.T) {
	for _, c := range []struct {
		n          int
		noun, want string
	}{
		{0, "change", "0 changes"}, {1, "change", "1 change"}, {2, "batch", "2 batches"}, {2, "entry", "2 entries"},
		{3, "day", "3 days"}, {2, "more event", "2 more events"}, {1, "box", "1 box"}, {2, "box", "2 boxes"}, {2, "loss", "2 losses"},
	} {
		if got := Count(c.n, c.noun); got != c.want {
			t.Errorf("Count(%d, %q) = %q, want %q", c.n, c.noun, got, c.want)
		}
	}
	for want, words := range map[string][]string{"none": nil, "a": {"a"}, "a and b": {"a", "b"}, "a, b and c": {"a", "b", "c"}} {
		if got := List(words, "none"); got != want {
			t.Errorf("List(%v) = %q, want %q", words, got, want)
		}
	}
}

// The factors are exact: NIST Handbook 44, appendix C.
func TestBareNumbers(t *testing.T) {
	if v, unit := US.VolumeIn(3.785411784); v != 1 || unit != "gal" {
		t.Errorf("a US gallon is %g %s", v, unit)
	}
	if v, unit := US.LengthIn(2.54); v != 1 || unit != "in" {
		t.Errorf("an inch is %g %s", v, unit)
	}
	if v, unit := Metric.VolumeIn(7); v != 7 || unit != "L" {
		t.Errorf("7 L are %g %s", v, unit)
	}
	if v, unit := Metric.LengthIn(7); v != 7 || unit != "cm" {
		t.Errorf("7 cm are %g %s", v, unit)
	}
	if US.LitresPer() != 3.785411784 || Metric.LitresPer() != 1 || US.CmPer() != 2.54 || Metric.CmPer() != 1 {
		t.Error("the factors of display are off")
	}
}

// TestArticles: the names of all dimensions, and every refusal of a value, with the article they are spoken with.
func TestArticles(t *testing.T) {
	for noun, want := range map[string]string{"event": "an event", "store": "a store", "area": "an area", "unit": "a unit", "object": "an object", "Event": "an Event"} {
		if got := An(noun); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	wrong := regexp.MustCompile(`\b([Aa] [aeio]|[Aa]n [^aeiouAEIOU])`)
	for d := range dimensions {
		for _, text := range []string{"", "x", "3 banana", "1e99", "5 kg", "5 L", "-4", "1,000", "0000-00-00", "5 dKH", "3 h", "7 Wh", "2 m2"} {
			_, err := Parse(text, Dimension(d))
			if err != nil && wrong.MatchString(strings.ReplaceAll(err.Error(), strconv.Quote(text), "")) {
				t.Errorf("%q as %s: %v", text, Dimension(d), err)
			}
		}
	}
}

// TestABlankDateIsNoQuantity: an empty date of a form or a spreadsheet is refused whatever is asked for, and no
// part of it is offered as a number.
func TestABlankDateIsNoQuantity(t *testing.T) {
	for d := range dimensions {
		for _, text := range []string{"0000-00-00", "0-00-00", "00-00-00", "00/00/0000", "00.00.0000", "0000-00-00 00:00", "0 -00-00"} {
			_, err := Parse(text, Dimension(d))
			var e *Error
			if !errors.As(err, &e) || len(e.Fixes) > 0 || strings.Contains(e.Hint, "-00") || strings.Contains(e.Allowed, "-00") {
				t.Errorf("%q as %s: %v", text, Dimension(d), err)
			}
		}
	}
}

// An empty text and a letter of two bytes, which cutting off one byte would break.
func TestUpperFirst(t *testing.T) {
	for text, want := range map[string]string{"": "", "a vat": "A vat", "électricien": "Électricien", "24 h": "24 h", "\xff": "\xff"} {
		if got := UpperFirst(text); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}
