package schedule

import (
	"math"

	"tidehold/refs/units"
)

// permeateTable is a published temperature correction of a purifier's rate: the
// rate at whole degrees from firstC on over that at 25 °C.
type permeateTable struct {
	name    string
	source  string
	firstC  int
	divides bool // printed as divisors of the rated flow
	values  []float64
}

// permeateTables are three published corrections that disagree: at 10 °C the
// rate is 0.53, 0.58 or 0.62 of that at 25 °C. The lowest is the default.
//
// Source: [ro-table-a], [ro-table-b], [ro-table-c].
var permeateTables = [3]permeateTable{
	{"A", "ro-table-a", 5, true, []float64{
		2.58, 2.38, 2.22, 2.11, 2.00, 1.89, 1.78, 1.68, 1.61, 1.54, 1.47, 1.39, 1.34,
		1.29, 1.24, 1.19, 1.15, 1.11, 1.09, 1.04, 1.00, 0.97, 0.94, 0.91, 0.88, 0.85}},
	{"B", "ro-table-b", 10, true, []float64{
		1.711, 1.648, 1.588, 1.530, 1.475, 1.422, 1.371, 1.323, 1.276, 1.232,
		1.189, 1.148, 1.109, 1.071, 1.035, 1.000, 0.971, 0.943, 0.915, 0.889}},
	{"C", "ro-table-c", 5, false, []float64{
		0.521, 0.540, 0.560, 0.578, 0.598, 0.620, 0.640, 0.661, 0.684, 0.707,
		0.730, 0.754, 0.779, 0.804, 0.830, 0.857, 0.884, 0.912, 0.941, 0.970,
		1.000, 1.031, 1.063, 1.094, 1.127, 1.161, 1.196, 1.232, 1.267, 1.304}},
}

// at returns the multiplier at t, interpolated linearly between whole degrees,
// and whether the table reaches there.
func (p *permeateTable) at(t float64) (float64, bool) {
	x := t - float64(p.firstC)
	last := float64(len(p.values) - 1)
	if !(x >= 0 && x <= last) {
		return p.beyond(x < 0), false
	}
	i := min(int(x), len(p.values)-2)
	low, high := p.multiplier(i), p.multiplier(i+1)
	return low + (x-float64(i))*(high-low), true
}

func (p *permeateTable) multiplier(i int) float64 {
	if p.divides {
		return 1 / p.values[i]
	}
	return p.values[i]
}

// beyond is the value at the nearer end of the table.
func (p *permeateTable) beyond(below bool) float64 {
	if below {
		return p.multiplier(0)
	}
	return p.multiplier(len(p.values) - 1)
}

// TableFactor is what one published table makes of a purifier's rate.
type TableFactor struct {
	// Table names it, A to C; Source is its key in the list of sources.
	Table, Source string
	// Factor multiplies the rate at the rated temperature.
	Factor float64
}

// PurifierSpread is what the published tables make of a purifier's rate at a feed
// temperature.
type PurifierSpread struct {
	// Lowest is the default where water is counted on; Highest where too much of it
	// does the harm. Both multiply the rate at the rated temperature.
	Lowest, Highest float64
	// Tables are those that reach both temperatures, in order A to C.
	Tables []TableFactor
	// Extrapolated says that no table reaches one of the temperatures: below 5 °C
	// the fall from 6 to 5 °C of each table goes on at the same ratio per degree;
	// above 34 °C the rate is taken as that at the end of the tables.
	Extrapolated bool
}

// PurifierFactor returns the lowest published factor by which a purifier rated at
// ratedAt (°C) is slower or faster with a feed of the given temperature.
//
// Feed and rating 0 to 45 °C; the tables reach from 5 to 34 °C (PurifierSpread
// says what happens beyond).
//
// Source: [ro-table-a], [ro-table-b], [ro-table-c].
func PurifierFactor(feed, ratedAt units.Celsius) float64 {
	lowest, _, _ := permeateFactors(float64(feed), float64(ratedAt), nil)
	return lowest
}

// SpreadOfPurifier returns the factors of all published tables. Range and sources
// as PurifierFactor.
//
// Source: [ro-table-a], [ro-table-b], [ro-table-c].
func SpreadOfPurifier(feed, ratedAt units.Celsius) PurifierSpread {
	var s PurifierSpread
	s.Lowest, s.Highest, s.Extrapolated = permeateFactors(float64(feed), float64(ratedAt), func(t TableFactor) {
		s.Tables = append(s.Tables, t)
	})
	return s
}

// warmestFeed is where the furthest table ends, °C: no more is promised beyond.
const warmestFeed = 34

// permeateFactors compares the tables that reach both temperatures; where none does,
// because one is below 5 °C, all of them, continued downwards.
func permeateFactors(feed, rated float64, each func(TableFactor)) (lowest, highest float64, extrapolated bool) {
	lowest, highest = math.Inf(1), math.Inf(-1)
	hot := feed > warmestFeed || rated > warmestFeed
	feed, rated = min(feed, warmestFeed), min(rated, warmestFeed)
	for _, downwards := range []bool{false, true} {
		for i := range permeateTables {
			p := &permeateTables[i]
			at, reached := p.at(feed)
			base, also := p.at(rated)
			if !(reached && also) {
				if !downwards {
					continue
				}
				at, base = p.continued(feed), p.continued(rated)
			}
			factor := at / base
			lowest, highest = min(lowest, factor), max(highest, factor)
			if each != nil {
				each(TableFactor{p.name, p.source, factor})
			}
		}
		extrapolated = hot || downwards
		if !math.IsInf(lowest, 1) {
			break
		}
	}
	return lowest, highest, extrapolated
}

// continued is the table below its lower end, falling at the ratio of its first degree;
// above its upper end the last value.
func (p *permeateTable) continued(t float64) float64 {
	at, reached := p.at(t)
	if reached || t > float64(p.firstC) {
		return at
	}
	ratio := p.multiplier(0) / p.multiplier(1)
	return at * math.Pow(ratio, float64(p.firstC)-t)
}
