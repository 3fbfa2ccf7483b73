package volumes

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"tidehold/refs/units"
)

// maxChartRows keeps a dip chart to what can be printed.
const maxChartRows = 2000

// ChartMark is a level of a dip chart that means something.
type ChartMark string

// The marks: the level that the pump cannot pass, and that at which the vessel overflows.
const (
	MarkHeel ChartMark = "heel"
	MarkBrim ChartMark = "brim"
)

// ChartRow is one line of a dip chart.
type ChartRow struct {
	// LevelCm is what the stick shows; Volume what the vessel then holds.
	LevelCm float64
	Volume  units.Litres
	// Usable is Volume less the heel, never below 0.
	Usable units.Litres
	// Mark is "" where the level means nothing more.
	Mark ChartMark
}

// Chart lists the volume at every multiple of stepCm from 0 to the brim, and at
// heel and brim themselves. brimCm 0 stands for the height of the shape; heel 0
// means that the pump reaches everything, and is not marked.
//
// It returns an error for a step that is not above 0 or gives over 2000 rows, a
// brim above the shape and a heel above the brim.
func Chart(s Shape, stepCm float64, heel units.Litres, brimCm float64) ([]ChartRow, error) {
	if brimCm == 0 {
		brimCm = s.HeightCm()
	}
	full, err := s.VolumeAt(brimCm)
	if err != nil {
		return nil, fmt.Errorf("brim: %w", err)
	}
	if !(stepCm > 0) || brimCm/stepCm > maxChartRows {
		return nil, fmt.Errorf("a step of %s cm does not make a chart; %s to %s cm is allowed", number(stepCm), number(brimCm/maxChartRows), number(brimCm))
	}
	if !(heel >= 0 && heel <= full) {
		return nil, fmt.Errorf("heel: %w", &RangeError{What: "volume", Value: float64(heel), High: float64(full), Unit: "L"})
	}
	rows, err := chartLevels(s, stepCm, heel, brimCm)
	if err != nil {
		return nil, fmt.Errorf("heel: %w", err)
	}
	slices.SortStableFunc(rows, func(a, b ChartRow) int { return cmp.Compare(a.LevelCm, b.LevelCm) })
	for i := range rows {
		if rows[i].Volume, err = s.VolumeAt(rows[i].LevelCm); err != nil {
			return nil, err
		}
		rows[i].Usable = max(0, rows[i].Volume-heel)
	}
	return rows, nil
}

// chartLevels are the marks, then the steps at which none of them stands.
func chartLevels(s Shape, stepCm float64, heel units.Litres, brimCm float64) ([]ChartRow, error) {
	rows := []ChartRow{{LevelCm: brimCm, Mark: MarkBrim}}
	if heel > 0 {
		level, err := s.LevelOf(heel)
		if err != nil {
			return nil, err
		}
		rows = append(rows, ChartRow{LevelCm: level, Mark: MarkHeel})
	}
	marks := rows
	for i := 0; float64(i)*stepCm <= brimCm; i++ {
		level := float64(i) * stepCm
		if !slices.ContainsFunc(marks, func(r ChartRow) bool { return math.Abs(r.LevelCm-level) < 1e-9 }) {
			rows = append(rows, ChartRow{LevelCm: level})
		}
	}
	return rows, nil
}
