package refs

import (
	_ "embed"
	"math"
	"sync"
)

//go:embed purifier.csv
var purifierText string

// PurifierRow is one value of the published temperature corrections of a purifier's rate.
type PurifierRow struct {
	// Table names it, A to C; FeedC is the feed temperature in whole °C.
	Table string `json:"table"`
	FeedC int    `json:"feed_c"`
	// Factor is the rate over that at 25 °C.
	Factor float64 `json:"factor"`
	Source string  `json:"source"`
}

// PurifierRows lists the three published tables, value by value. They disagree: at 10 °C
// the rate is 0.53, 0.58 or 0.62 of that at 25 °C.
//
// Source: [ro-table-a], [ro-table-b], [ro-table-c].
func PurifierRows() []PurifierRow { return purifierRows() }

var purifierRows = sync.OnceValue(func() []PurifierRow {
	var out []PurifierRow
	for _, r := range embedded("purifier.csv", purifierText) {
		factor := r.number("printed")
		if r.text("as") == "divisor" { // of the rated flow
			factor = 1 / factor
		}
		out = append(out, PurifierRow{r.text("table"), int(r.number("feed_c")), factor, r.text("source")})
	}
	return out
})

// purifierTable is one of the tables: its rows are of whole degrees, one after the other.
type purifierTable struct {
	rows          []PurifierRow
	firstC, lastC float64
}

var purifierTables = sync.OnceValue(func() []purifierTable {
	var out []purifierTable
	rows := PurifierRows()
	for i, r := range rows {
		if i == 0 || r.Table != rows[i-1].Table {
			out = append(out, purifierTable{firstC: float64(r.FeedC)})
		}
		p := &out[len(out)-1]
		p.rows, p.lastC = append(p.rows, r), float64(r.FeedC)
	}
	return out
})

// reaches says that the table has a value at t °C.
func (p *purifierTable) reaches(t float64) bool { return t >= p.firstC && t <= p.lastC }

// at is the rate at t °C over that at 25 °C: between whole degrees on the straight line;
// below the table's lower end it falls on at the ratio of its first degree, above its
// upper end it stays.
func (p *purifierTable) at(t float64) float64 {
	first, last := p.rows[0].Factor, p.rows[len(p.rows)-1].Factor
	switch {
	case t < p.firstC:
		return first * math.Pow(first/p.rows[1].Factor, p.firstC-t)
	case t > p.lastC:
		return last
	}
	x := t - p.firstC
	i := min(int(x), len(p.rows)-2)
	low, high := p.rows[i].Factor, p.rows[i+1].Factor
	return low + (x-float64(i))*(high-low)
}

// PurifierSpread is what the published tables make of a purifier's rate at a feed
// temperature. Both factors multiply the rate at the rated temperature.
type PurifierSpread struct {
	// Lowest is the default where water is counted on; Highest counts where too much of
	// it does the harm.
	Lowest, Highest float64
	// Tables are how many reach both temperatures, or all where none does.
	Tables int
	// Extrapolated says that no table reaches one of the temperatures: below 5 °C
	// the fall from 6 to 5 °C of each table goes on at the same ratio per degree;
	// above 34 °C the rate is taken as that at the end of the tables.
	Extrapolated bool
}

// warmestFeedC is where the furthest table ends, °C: no more is promised beyond.
const warmestFeedC = 34

// PurifierFactors compares what the tables make of a purifier rated at ratedC (°C) with a
// feed of feedC (°C), both 0 to 45: those tables that reach both temperatures, or all of
// them, continued downwards, where none does.
//
// Source: [ro-table-a], [ro-table-b], [ro-table-c].
func PurifierFactors(feedC, ratedC float64) PurifierSpread {
	s := PurifierSpread{Extrapolated: feedC > warmestFeedC || ratedC > warmestFeedC}
	feedC, ratedC = min(feedC, warmestFeedC), min(ratedC, warmestFeedC)
	tables := purifierTables()
	for i := range tables {
		if p := &tables[i]; p.reaches(feedC) && p.reaches(ratedC) {
			s.add(p.at(feedC) / p.at(ratedC))
		}
	}
	if s.Tables > 0 {
		return s
	}
	s.Extrapolated = true
	for i := range tables {
		s.add(tables[i].at(feedC) / tables[i].at(ratedC))
	}
	return s
}

// add takes one table's factor in.
func (s *PurifierSpread) add(factor float64) {
	if s.Tables == 0 {
		s.Lowest, s.Highest = factor, factor
	}
	s.Lowest, s.Highest = min(s.Lowest, factor), max(s.Highest, factor)
	s.Tables++
}
