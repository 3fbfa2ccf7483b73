package units

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"
)

// refused is the error of a text that must not be read.
func refused(t *testing.T, text string, d Dimension) *Error {
	t.Helper()
	_, err := Parse(text, d)
	var e *Error
	if !errors.As(err, &e) {
		t.Fatalf("%q as a %s: %v", text, d, err)
	}
	return e
}

// TestWhatASlipIsCalledAndMended: the fault by name, and the spellings offered; none where
// a guess would be one.
func TestWhatASlipIsCalledAndMended(t *testing.T) {
	for _, c := range []struct {
		text  string
		d     Dimension
		found string
		fixes string
	}{
		{"05 L", Volume, "leading zero", "5 L"},
		{"00 L", Volume, "leading zero", "0 L"},
		{"a5 L", Volume, "does not begin with a number", ""},
		{"5-5 L", Volume, "unknown unit", ""},
		{"4 eggs", Volume, "unknown unit", ""},
		{"5 1/2 L", Volume, "blank in the number", ""},
		{"1 5 L", Volume, "blank in the number", "15L"},
		{"1 9 L", Volume, "blank in the number", "19L"},
		{"1 0 L", Volume, "blank in the number", "10L"},
		{"4e2", Number, "exponent", "400"},
		{"4E2", Number, "exponent", "400"},
		{"4e0 L", Volume, "exponent", "4 L"},
		{"4e9 ug/L", Concentration, "exponent", "4000000000 ug/L"},
		{"4e-1 L", Volume, "exponent", "0.4 L"},
		{"4e+2 L", Volume, "exponent", "400 L"},
		{"4e+L", Volume, "exponent", ""},
		{"4e--2 L", Volume, "exponent", ""},
		{"4e23 L", Volume, "exponent", ""},
		{"4e+20 L", Volume, "exponent", ""},
		{"4e+23 L", Volume, "exponent", ""},
		{"4e+29 L", Volume, "exponent", ""},
		{"-1,5 C", Temperature, "comma", "-1.5 C"},
		{"+1,5 C", Temperature, "comma", "1.5 C"},
		{"1234,567 L", Volume, "comma", "1234.567 L"},
		{"12,345 L", Volume, "comma", "12.3450 L | 12345 L"},
		{"+1.000 L", Volume, "two ways", "+1 L | +1000 L"},
		{"0.45", Share, "no unit", "45 %"},
		{"1", Share, "no unit", "100 %"},
		{"1.5", Share, "no unit", "1.5 %"},
		{"45", Share, "no unit", "45 %"},
		{"0", Share, "no unit", "0 %"},
		{"35 x", Salinity, "unknown unit", ""},
		// Four slips are mended, a fifth is not guessed at.
		{"01_0,5e1 L", Volume, "underscore", "105 L"},
		{"01_0,5e1", Volume, "underscore", ""},
	} {
		e := refused(t, c.text, c.d)
		if !strings.Contains(e.Found, c.found) || strings.Join(e.Fixes, " | ") != c.fixes {
			t.Errorf("%q: %s; offers %q, want %q: %q", c.text, e.Found, e.Fixes, c.found, c.fixes)
		}
		for _, fix := range e.Fixes {
			if _, err := Parse(fix, c.d); err != nil {
				t.Errorf("%q offers %q, which is refused: %v", c.text, fix, err)
			}
		}
	}
}

// TestWhatIsAllowedIsSaid: one unit, none, and a plain number.
func TestWhatIsAllowedIsSaid(t *testing.T) {
	for d, want := range map[Dimension]string{
		RespireMass: "a respiration per mass in mg/(kg h)", Number: "a number as a plain number",
		Gravity: "a specific gravity as a plain number or with sg", Share: "a share in %", Salinity: "a practical salinity as a plain number",
	} {
		if got := refused(t, "x", d).Allowed; got != want {
			t.Errorf("%s: %q, want %q", d, got, want)
		}
	}
}

// TestALostPointIsGuessedForAWholeSalinityOnly: 350 is 35.0, where 35.0 fits.
func TestALostPointIsGuessedForAWholeSalinityOnly(t *testing.T) {
	for _, c := range []struct {
		text      string
		d         Dimension
		low, high float64
		hint      string
	}{
		{"350", Salinity, 2, 42, "write 35.0 if the decimal point was lost"},
		{"420", Salinity, 2, 42, "write 42.0 if the decimal point was lost"},
		{"421", Salinity, 2, 42, ""},
		{"350", Salinity, 35, 42, "write 35.0 if the decimal point was lost"},
		{"340", Salinity, 35, 42, ""},
		{"100", Salinity, 2, 42, "write 10.0 if the decimal point was lost"},
		{"99", Salinity, 2, 42, ""},
		{"350.5", Salinity, 2, 42, ""},
		{"350 L", Volume, 2, 42, ""},
	} {
		q, err := Parse(c.text, c.d)
		if err != nil {
			t.Fatal(err)
		}
		_, err = q.Within(c.text, c.low, c.high)
		var e *Error
		if !errors.As(err, &e) || e.Hint != c.hint {
			t.Errorf("%s in %g to %g: %v, want the hint %q", c.text, c.low, c.high, err, c.hint)
		}
	}
	for _, x := range []string{"2", "42"} {
		q, _ := Parse(x, Salinity)
		if _, err := q.Within(x, 2, 42); err != nil {
			t.Errorf("%s is not within 2 to 42: %v", x, err)
		}
	}
}

// TestBoundsOfWhatIsKnown: as large as a value may be, and a ± as large as its value.
func TestBoundsOfWhatIsKnown(t *testing.T) {
	if _, err := Parse("1000000000000000 L", Volume); err != nil {
		t.Error(err)
	}
	if _, err := Parse("1005000000000000 L", Volume); err == nil {
		t.Error("1.005e15 L is read")
	}
	for text, sure := range map[string]bool{"1 L ± 1 L": false, "1 L ± 0.999 L": true, "2 L ± 1 L": true, "1 L": true, "0.5 L ± 1 L": false} {
		q, err := Parse(text, Volume)
		if err != nil {
			t.Fatal(err)
		}
		if got := q.Sure(text) == nil; got != sure {
			t.Errorf("%s: %v", text, q.Sure(text))
		}
	}
}

// TestSpellingsAndFactorsAgree: what a list of spellings holds is read, and the factors used
// between milligrams, micrograms and kilograms are those of the table.
func TestSpellingsAndFactorsAgree(t *testing.T) {
	if got := Salinity.Spellings(); !slices.Equal(got, []string{"ppt", "psu", "‰"}) {
		t.Errorf("%q", got)
	}
	for _, s := range Salinity.Scales() {
		if !slices.Equal(s.Names, []string{"ppt", "psu", "‰"}) {
			t.Errorf("%q", s.Names)
		}
	}
	mg, _ := Parse("1 mg/L", Concentration)
	if mg.Value != UgPerMg {
		t.Errorf("1 mg/L is %g µg/L, and UgPerMg %g", mg.Value, float64(UgPerMg))
	}
	kg, _ := Parse("1 mg", Mass)
	if !(math.Abs(kg.Value*MgPerKg-1) <= 1e-12) {
		t.Errorf("1 mg is %g kg, and MgPerKg %g", kg.Value, float64(MgPerKg))
	}
	for noun, want := range map[string]string{"battery": "2 batteries", "day": "2 days", "assay": "2 assays"} {
		if got := Count(2, noun); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
