package mixing

import (
	"errors"
	"math"
	"testing"

	"github.com/shopspring/decimal"
	"pgregory.net/rapid"
)

func TestBill(t *testing.T) {
	price := decimal.RequireFromString("3.10")
	for _, c := range []struct {
		kg, bag     float64
		bags, whole int
		loose       float64
		cost        string
	}{
		{7.5, 20, 1, 0, 7.5, "23.25"},
		{20, 20, 1, 1, 0, "62"},
		{20 + 1e-9, 20, 1, 1, 0, "62"}, // a microgram is neither a bag nor a cent
		{45.001, 20, 3, 2, 5.001, "139.51"},
		{0, 20, 0, 0, 0, "0"},
		{1.0001, 0.5, 3, 2, 0.0001, "3.11"},
	} {
		b, err := BillFor(c.kg, c.bag, &price)
		if err != nil {
			t.Fatal(err)
		}
		if *b.Bags != c.bags || b.WholeBags != c.whole || !(math.Abs(b.LooseKg-c.loose) <= 1e-9) || b.Cost.String() != c.cost {
			t.Errorf("%v kg: %d bags, %d whole, %v kg loose, %s; want %+v", c.kg, *b.Bags, b.WholeBags, b.LooseKg, b.Cost, c)
		}
	}
	b, err := BillFor(7.5, 0, nil)
	if err != nil || b.Bags != nil || b.Cost != nil || b.LooseKg != 7.5 {
		t.Errorf("%+v, %v", b, err)
	}
}

func TestBillCoversTheSalt(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kg := rapid.Float64Range(0, 1000).Draw(t, "kg")
		bag := rapid.Float64Range(0.1, 25).Draw(t, "bag")
		b, err := BillFor(kg, bag, nil)
		if err != nil {
			t.Fatal(err)
		}
		if float64(*b.Bags)*bag < kg*(1-1e-5) || b.LooseKg < 0 || b.LooseKg > bag {
			t.Errorf("%v kg in bags of %v: %+v", kg, bag, b)
		}
	})
}

func TestBillRefusals(t *testing.T) {
	debt := decimal.NewFromInt(-1)
	var in *InputError
	for _, c := range []struct {
		kg, bag float64
		price   *decimal.Decimal
	}{{-1, 20, nil}, {1, -20, nil}, {math.Inf(1), 20, nil}, {1, 1e-9, nil}, {1, 20, &debt}} {
		if b, err := BillFor(c.kg, c.bag, c.price); !errors.As(err, &in) {
			t.Errorf("%+v: %+v, %v", c, b, err)
		}
	}
}
