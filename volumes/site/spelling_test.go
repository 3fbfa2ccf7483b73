package site

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"tidehold/refs"
	"tidehold/refs/outside"
	"tidehold/refs/units"
)

// eachQuantity calls do for every quantity of the site file.
func eachQuantity(s *spec, do func(*spec)) {
	if s.form == quantity {
		do(s)
	}
	for i := range s.fields {
		eachQuantity(&s.fields[i].spec, do)
	}
	for i := range s.named {
		eachQuantity(&s.named[i].spec, do)
	}
	for _, inner := range []*spec{s.item, s.single} {
		if inner != nil {
			eachQuantity(inner, do)
		}
	}
}

// accepts says what the loader makes of a written quantity.
func (s *spec) accepts(text string, d units.Dimension) bool {
	q, err := units.Parse(text, d)
	if err != nil || q.Below && s.noLimit {
		return false
	}
	if _, err := q.Within(text, s.low, s.high); err != nil {
		return false
	}
	return q.Sure(text) == nil || !s.spread || d == units.Concentration || d == units.Share
}

// What the loader takes as a quantity, the schema takes too, for every key, unit and
// number up to the very bounds; and what is no quantity the schema refuses. Beyond a bound
// it may be generous by less than one, since it looks at whole numbers.
func TestSchemaAndLoaderAgreeOnQuantities(t *testing.T) {
	outside.Alone(t)
	compared, refused := 0, 0
	eachQuantity(siteKeys(), func(s *spec) {
		for _, d := range s.dims {
			rule := regexp.MustCompile(s.written(d))
			for _, u := range d.Scales() {
				low, high := u.FromBase(s.low), u.FromBase(s.high)
				for _, unit := range u.Names {
					for _, x := range []float64{low, high, (low + high) / 2, low + 1, math.Floor(high), math.Floor(high) - 0.5, math.Ceil(low), 9, 10, 99.5, 100, 999.99, 1000, 2 * high, high + 1.5} {
						number := units.Fixed(x, 2)
						for _, text := range []string{number + " " + unit, number + unit, number + " " + unit + " ± 1 %", number + " ± 0.5 " + unit, number + " " + unit + " +- 0.5 " + unit, number + " " + unit + " ± 100 %"} {
							compared++
							if s.accepts(text, d) && (x != 0 || !strings.Contains(text, "100 %")) && !rule.MatchString(text) {
								t.Fatalf("%s: %q is taken by the loader (%v to %v) and refused by the schema", s.about, text, s.low, s.high)
							}
						}
						if text := number + " " + unit; x >= high+1.5 && rule.MatchString(text) {
							t.Fatalf("%s: %q is above %v and passes the schema", s.about, text, high)
						}
					}
					for _, text := range []string{"012 " + unit, "1,5 " + unit, "1_000 " + unit, ".5 " + unit, "5. " + unit, "1e3 " + unit, "0x10 " + unit, "12 " + unit + "x", unit, "12 " + unit + " ±", "± 1 " + unit, "12 12 " + unit, "1.2.3 " + unit, "-1000000000 " + unit} {
						refused++
						if rule.MatchString(text) {
							t.Fatalf("%s: %q passes the schema", s.about, text)
						}
					}
				}
			}
		}
	})
	if compared < 10_000 || refused < 1000 {
		t.Errorf("only %d spellings compared, %d refused", compared, refused)
	}
}

func TestWholeNumbersUpToABound(t *testing.T) {
	outside.Alone(t)
	for _, most := range []int{0, 1, 9, 10, 42, 99, 100, 250, 999, 1000, 20_000, 123_456} {
		rule := regexp.MustCompile("^" + numbers(0, float64(most), false) + "$")
		for n := range min(2*most+20, 130_000) {
			if got := rule.MatchString(strconv.Itoa(n)); got != (n <= most) {
				t.Fatalf("up to %d: %d is %v", most, n, got)
			}
		}
	}
}

// The defaults for calcium and magnesium are the reference composition (Millero et
// al. 2008, in mg/kg) times the density of seawater of salinity 35 at 25 °C,
// 1.02334 kg/L (TEOS-10), to the milligram.
func TestDefaultChemistryIsTheReferenceComposition(t *testing.T) {
	const density = 1.02334
	for id, key := range map[string]string{"calcium": "systems.water.calcium", "magnesium": "systems.water.magnesium"} {
		c, ok := refs.ContaminantByID(id)
		if !ok || c.NaturalUgKg == nil {
			t.Fatalf("no natural value of %s", id)
		}
		q, err := units.Parse(presets()[key].text, units.Concentration)
		if err != nil {
			t.Fatal(err)
		}
		if want := *c.NaturalUgKg * density; !(math.Abs(q.Value-want) <= 500) {
			t.Errorf("%s: default %v ug/L, reference composition %v ug/L", id, q.Value, want)
		}
	}
}

// TestAnIdAsNearAsCanBe to what was written; none where nothing of it can stand in an id, too much, or letters
// would be lost.
func TestAnIdAsNearAsCanBe(t *testing.T) {
	for written, want := range map[string]string{
		"Reef Tank": "Reef-Tank", "tank #2": "tank-2", "display (left)": "display-left", "vat/1": "vat-1", "a  b": "a-b", "a_b c": "a_b-c",
		"Bäume 1": "", "2nd": "", "-tank": "", strings.Repeat("long ", 9): "", "#": "",
	} {
		if got := nearID(written); got != want {
			t.Errorf("%q: %q, want %q", written, got, want)
		}
	}
	_, faults := Load("x.yaml", []byte("format: 1\nsystems: [{id: Reef Tank, net_volume: 400 L}]\nstores: [{id: vat, holds: saltwater, volume: 150 L}]\n"))
	if len(faults) != 1 || faults[0].Hint != "write Reef-Tank" {
		t.Errorf("%v", faults)
	}
}
