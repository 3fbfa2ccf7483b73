package refs

import (
	"fmt"
	"math"
	"strconv"
	"testing"

	"tidehold/refs/outside"
)

// The published tables, value by value; the multiplier of table A at whole degrees is
// 1/divisor.
func TestPurifierFactorIsTheLowestPublished(t *testing.T) {
	lowest := map[float64]float64{}
	compared := 0
	for _, row := range outside.Table(t, "../testdata/tables/permeate_temperature.csv") {
		table, c, x := row.Text("table"), row.Number("feed_c"), row.Number("value")
		if row.Text("kind") == "divisor" {
			x = 1 / x
		}
		found := false
		for _, own := range PurifierRows() {
			if own.Table == table && float64(own.FeedC) == c {
				found = true
				outside.Near(t, fmt.Sprintf("table %s at %g °C", table, c), own.Factor, x, 1e-12)
				compared++
			}
		}
		if !found {
			t.Errorf("table %s does not reach %g °C", table, c)
		}
		if low, ok := lowest[c]; !ok || x < low {
			lowest[c] = x
		}
	}
	for c, x := range lowest {
		outside.Near(t, "lowest", PurifierFactors(c, 25).Lowest, x, 1e-12)
	}
	if compared != 76 {
		t.Errorf("compared %d values, want 76", compared)
	}
}

// Printed worked example of tables A and B: 1800 gal/day rated at 25 °C gives 1224 and
// 1266 gal/day at 59 °F.
func TestPurifierWorkedExamples(t *testing.T) {
	worked := 0
	for _, row := range PurifierRows() {
		if want := map[string]float64{"A": 1224, "B": 1266}[row.Table]; want != 0 && row.FeedC == 15 {
			outside.Near(t, "table "+row.Table, 1800*row.Factor, want, 0.5)
			worked++
		}
	}
	if worked != 2 {
		t.Errorf("%d worked examples, want 2", worked)
	}
	// The formula behind table C, exp(2700·(1/298 − 1/(273 + T))), as its printed values
	// show it: within one unit of the third decimal from 5 to 34 °C.
	for _, row := range PurifierRows() {
		if row.Table == "C" {
			outside.Near(t, "formula of table C", row.Factor, math.Exp(2700*(1/298.0-1/(273+float64(row.FeedC)))), 0.0025)
		}
	}
}

func TestPurifierSpreadAtTenDegrees(t *testing.T) {
	s := PurifierFactors(10, 25)
	outside.Near(t, "lowest", s.Lowest, 0.529, 5e-4)
	outside.Near(t, "highest", s.Highest, 0.62, 5e-4)
	if s.Extrapolated || s.Tables != 3 {
		t.Errorf("%+v", s)
	}
}

func TestPurifierFactorRisesWithTemperature(t *testing.T) {
	last := 0.0
	for c := 0.0; c <= 45; c += 0.05 {
		x := PurifierFactors(c, 25).Lowest
		if x < last-1e-12 || math.IsNaN(x) {
			t.Errorf("at %g °C %g, below %g just before", c, x, last)
		}
		last = x
	}
	if s := PurifierFactors(2, 25); !s.Extrapolated || s.Lowest >= 0.388 {
		t.Errorf("at 2 °C %+v", s)
	}
	if s := PurifierFactors(40, 25); !s.Extrapolated || s.Lowest > 1.304 {
		t.Errorf("at 40 °C %+v", s)
	}
}

// Between whole degrees, and beyond the tables as the documentation says: the fall of a table's
// first degree goes on downwards, above its end it stays; nothing is promised above 34 °C. A
// temperature that no table reaches is compared in all three, any other in those that reach both.
func TestPurifierBetweenAndBeyondTheTables(t *testing.T) {
	tables := map[string][]PurifierRow{}
	for _, row := range PurifierRows() {
		tables[row.Table] = append(tables[row.Table], row)
	}
	at := func(rows []PurifierRow, c float64) (x float64, reached bool) {
		first, last := float64(rows[0].FeedC), float64(rows[len(rows)-1].FeedC)
		switch {
		case c < first:
			return rows[0].Factor * math.Pow(rows[0].Factor/rows[1].Factor, first-c), false
		case c > last:
			return rows[len(rows)-1].Factor, false
		}
		k := int(c - first)
		if float64(k) == c-first {
			return rows[k].Factor, true
		}
		part := c - first - float64(k)
		return rows[k].Factor*(1-part) + rows[k+1].Factor*part, true
	}
	for _, feed := range []float64{0, 2, 4.5, 5, 5.5, 8.25, 10, 17.3, 29, 30, 31.5, 34, 37} {
		for _, rated := range []float64{3, 5, 20, 24.6, 25, 29.5, 33, 34, 38} {
			lowest, highest, n := math.Inf(1), 0.0, 0
			for _, beyond := range []bool{false, true} {
				for _, rows := range tables {
					x, ok := at(rows, min(feed, 34))
					y, also := at(rows, min(rated, 34))
					if ok && also || beyond {
						lowest, highest, n = min(lowest, x/y), max(highest, x/y), n+1
					}
				}
				if n > 0 {
					break
				}
			}
			s := PurifierFactors(feed, rated)
			name := strconv.FormatFloat(feed, 'g', -1, 64) + " °C, rated at " + strconv.FormatFloat(rated, 'g', -1, 64)
			outside.Near(t, "lowest at "+name, s.Lowest, lowest, 1e-12)
			outside.Near(t, "highest at "+name, s.Highest, highest, 1e-12)
			if want := min(feed, rated) < 5 || max(feed, rated) > 34; s.Tables != n || s.Extrapolated != want {
				t.Errorf("%s: %d tables, extrapolated %v", name, s.Tables, s.Extrapolated)
			}
		}
	}
}
