package figure

import (
	"fmt"
	"math"
	"strings"
)

// The marks of a text chart: plain ASCII, so that any terminal, printer or
// message shows them.
const (
	usedMark      = '#'
	availableMark = '.'
	missingMark   = 'x'
	neededMark    = '-'
	deadlineMark  = '|'
)

// Text draws the chart in width columns (at least 30) and height rows (at least
// 4) of plot, with a legend below. A mark stands for the middle of its cell.
func (c Supply) Text(width, height int) (string, error) {
	if err := c.check(); err != nil {
		return "", err
	}
	if width < 30 || height < 4 {
		return "", fmt.Errorf("a chart of %d by %d characters; at least 30 by 4 is allowed", width, height)
	}
	per := c.Units.LitresPer()
	_, unit := c.Units.VolumeIn(0)
	const margin = 8 // the volume axis: a number, a blank and the line
	cols := width - margin
	end := c.horizon()
	perRow := rowStep(c.top()/per, height) * per
	rows := int(math.Ceil(c.top()/perRow - 1e-9))

	var b strings.Builder
	fmt.Fprintf(&b, "%*s\n", margin-1, unit)
	for row := rows - 1; row >= 0; row-- {
		label := ""
		if (rows-1-row)%2 == 0 {
			label = number(float64(row+1) * perRow / per)
		}
		line := c.row(row, cols, perRow, end)
		fmt.Fprintf(&b, "%*s |%s\n", margin-2, label, strings.TrimRight(line, " "))
	}
	axis, labels := timeAxis(cols, end)
	fmt.Fprintf(&b, "%*s +%s\n%*s  %s\n", margin-2, "0", axis, margin-2, "", labels)
	fmt.Fprintf(&b, "%*s%c used  %c ready, not used  %c needed, not there  %c needed", margin, "", usedMark, availableMark, missingMark, neededMark)
	if c.WithinH > 0 {
		fmt.Fprintf(&b, "  %c deadline", deadlineMark)
	}
	b.WriteByte('\n')
	return b.String(), nil
}

// rowStep is the height of one row: the smallest 1, 1.5, 2, 2.5, 3, 4, 5, 6 or 8
// times a power of ten with which most fits in n rows.
func rowStep(most float64, n int) float64 {
	power := math.Pow(10, math.Floor(math.Log10(most/float64(n))))
	for _, m := range []float64{1, 1.5, 2, 2.5, 3, 4, 5, 6, 8} {
		if most/(m*power) <= float64(n)+1e-9 {
			return m * power
		}
	}
	return 10 * power
}

// row draws one line of the plot, row 0 at the bottom.
func (c Supply) row(row, cols int, perRow, end float64) string {
	level := (float64(row) + 0.5) * perRow
	deadline := -1
	if c.WithinH > 0 {
		deadline = min(cols-1, int(c.WithinH/end*float64(cols)))
	}
	line := make([]rune, cols)
	for i := range line {
		h := (float64(i) + 0.5) / float64(cols) * end
		needed := totalAt(c.Needed, h)
		switch {
		case totalAt(c.Used, h) >= level:
			line[i] = usedMark
		case i == deadline:
			line[i] = deadlineMark
		case needed > 0 && int(math.Ceil(needed/perRow-1e-9))-1 == row && totalAt(c.Available, h) >= level:
			line[i] = neededMark
		case totalAt(c.Available, h) >= level:
			line[i] = availableMark
		case needed >= level:
			line[i] = missingMark
		default:
			line[i] = ' '
		}
	}
	return string(line)
}
