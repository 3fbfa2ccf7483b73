package units

import (
	"errors"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// Every spelling that a refusal offers is one that is accepted: a hint that is itself
// refused costs more than none.
func TestEveryHintCanBeWritten(t *testing.T) {
	offered := 0
	piece := rapid.SampledFrom([]string{"0", "1", "5", "000", "450", "1234", ".", ",", ".", ",", "_", "-", "+", " ", "\u00a0", "<", "±", "+-", "%", "e3", "x", "@", "60F", "/"})
	rapid.Check(t, func(t *rapid.T) {
		d := Dimension(rapid.IntRange(0, len(dimensions)-1).Draw(t, "dimension"))
		var b strings.Builder
		for range rapid.IntRange(1, 8).Draw(t, "pieces") {
			switch units := d.Spellings(); rapid.IntRange(0, 5).Draw(t, "what") {
			case 0:
				if len(units) > 0 {
					b.WriteString(rapid.SampledFrom(units).Draw(t, "unit"))
				}
			case 1:
				b.WriteString(rapid.SampledFrom([]string{"Lt", "galon", "ug/Ll", "dHK", "hh", "k", "Celsius"}).Draw(t, "slip"))
			default:
				b.WriteString(piece.Draw(t, "piece"))
			}
		}
		_, err := Parse(b.String(), d)
		if err == nil {
			return
		}
		var e *Error
		if !errors.As(err, &e) {
			t.Fatalf("%q: %T", b.String(), err)
		}
		for _, fix := range e.Fixes {
			offered++
			if _, err := Parse(fix, d); err != nil {
				t.Fatalf("%q (%s): %v; but %q is refused too: %v", b.String(), d, e, fix, err)
			}
			if !strings.Contains(e.Hint, fix) {
				t.Fatalf("%q: the hint %q leaves out %q", b.String(), e.Hint, fix)
			}
		}
		if strings.Contains(e.Hint, "write ") && len(e.Fixes) == 0 {
			t.Fatalf("%q: the hint %q offers what nobody tried", b.String(), e.Hint)
		}
	})
	if offered == 0 && !testing.Short() {
		t.Error("no hint was offered")
	}
}

// A thousandfold error is the worst a number can have. Whatever can be read in two
// ways is refused, with both.
func TestWhatCanBeReadInTwoWaysIsRefusedWithBoth(t *testing.T) {
	for _, c := range []struct {
		text string
		dim  Dimension
		want string
	}{
		{"1.000 L", Volume, "write 1 L or 1000 L"},
		{"1,000L", Volume, "write 1L or 1000L"},
		{"1,000 L", Volume, "write 1 L or 1000 L"},
		{"12.345 L", Volume, "write 12.3450 L or 12345 L"},
		{"1.234,5 L", Volume, "write 1234.5 L"},
		{"1,234.5 L", Volume, "write 1234.5 L"},
		{"1,5 L", Volume, "write 1.5 L"},
		{"0,500 L", Volume, "write 0.5 L"},
		{"1,000,000 L", Volume, "write 1000000 L"},
		{"1.000.000 L", Volume, "write 1000000 L"},
		{"1 000 L", Volume, "write 1000L"},
		{"1,000", Volume, "write 1 L or 1 gal or 1000 L or 1000 gal"},
		{"1,5 L ± 0,1 L", Volume, "write 1.5 L ± 0.1 L"},
		{"1.5 L ± 0,1 L", Volume, "write 1.5 L ± 0.1 L"},
		{"1,250 galon", Volume, "write 1.25 gallon or 1250 gallon"},
		{"1,000 ug/L", Concentration, "write 1 ug/L or 1000 ug/L"},
		{"3,100 ug/L", Concentration, "write 3.1 ug/L or 3100 ug/L"},
		{"-1,5 C", Temperature, "write -1.5 C"},
		{"0450,5 L", Volume, "write 450.5 L"},
		{"12,34,5 L", Volume, ""},
		{"<2 L", Volume, "write 2 L"},
		{"5. L", Volume, "write 5 L"},
		{".5 L", Volume, "write 0.5 L"},
		{"4e2 L", Volume, "write 400 L"},
		{"1.5e+3L", Volume, "write 1500L"},
		{"5e-1 L", Volume, "write 0.5 L"},
		{"1e30 L", Volume, ""},
		// A share up to 1 was meant as a fraction, and what is more as per cent.
		{"0.45", Share, "write 45 %"},
		{"1", Share, "write 100 %"},
		{"1.5", Share, "write 1.5 %"},
		{"45", Share, "write 45 %"},
	} {
		_, err := Parse(c.text, c.dim)
		var e *Error
		if !errors.As(err, &e) || e.Hint != c.want {
			t.Errorf("%s: %v, want the hint %q", c.text, err, c.want)
		}
	}
	for text, want := range map[string]float64{"0.500 L": 0.5, "1234.500 L": 1234.5, "1.25 L": 1.25, "1.2500 L": 1.25, "1.250 m3": 1250, "1.000 L ± 0.005 L": 1, "0.001 L": 0.001} {
		if q, err := Parse(text, Volume); err != nil || q.Value != want {
			t.Errorf("%s: %v, %v", text, q.Value, err)
		}
	}
	// What is no volume is weighed and read to three decimals every day.
	if q, err := Parse("1.000 kg", Mass); err != nil || q.Value != 1 {
		t.Errorf("1.000 kg: %v, %v", q.Value, err)
	}
}
