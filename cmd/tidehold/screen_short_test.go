package main

import (
	"bytes"
	"fmt"
	"strings"
	"testing"
)

// TestATableGoesBeforeAWarning: where an answer is longer than a screen, a table that has a short form gives way, and no
// warning is left out for it.
func TestATableGoesBeforeAWarning(t *testing.T) {
	for _, c := range []struct {
		rows  int
		short bool
	}{{14, false}, {18, false}, {19, true}, {21, true}, {24, true}} {
		ans := answer{Warnings: []string{"a warning", "another"}}
		for k := range c.rows {
			ans.Blocks = append(ans.Blocks, line("row %d", k))
		}
		table := tableBlock(grid{Title: "The plan", Header: []string{"do"}, Rows: [][]string{{"pour"}}})
		table.Short = "The plan in short."
		ans.Blocks = append(ans.Blocks, table)
		var b bytes.Buffer
		if err := (&app{streams: streams{Width: screenColumns, Getenv: func(string) string { return "" }}}).renderScreen(&b, ans); err != nil {
			t.Fatal(err)
		}
		out := b.String()
		if strings.Contains(out, "in short") != c.short || strings.Contains(out, "pour") == c.short || strings.Count(out, "! ") != 2 || strings.Count(out, "\n") > max(screenLines, c.rows+3) {
			t.Errorf("%s", fmt.Sprintf("%d rows:\n%s", c.rows, out))
		}
	}
}
