package figure

import (
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"
)

// falling is three changes of 45 % and a rise between them.
func falling() Fall {
	return Fall{
		Head:   Head{"fall", "Copper falling", "Copper falls from 60 to 12 µg/L in three changes; the target is 15."},
		Points: []Level{{0, 60}, {0, 33}, {4, 36}, {4, 20}, {8, 22}, {8, 12}}, Target: 15, Unit: "µg/L", ChangesAtH: []float64{0, 4, 8},
	}
}

func TestGoldenFalls(t *testing.T) {
	atOnce := Fall{Head: Head{ID: "one", Title: `one <change> & "done"`}, Points: []Level{{0, 1}, {0, 0.1}}, Target: 0.1, Unit: "of the start", ChangesAtH: []float64{0}}
	nothing := Fall{Head: Head{ID: "zero", Title: "nothing there"}, Points: []Level{{0, 0}, {1000, 0}}, Unit: "µg/L"}
	for name, c := range map[string]Fall{"falling": falling(), "at-once": atOnce, "zero": nothing} {
		svg, err := c.SVG()
		if err != nil {
			t.Fatal(err)
		}
		golden(t, "figure-fall-"+name+".svg", svg)
		line, err := c.Line(72)
		if err != nil {
			t.Fatal(err)
		}
		golden(t, "figure-fall-"+name+".txt", line+"\n")
	}
}

func TestFallIsWellFormedAndNamed(t *testing.T) {
	c := falling()
	c.Title, c.Unit = `a "title" <b> & more`, "<µg>"
	svg, err := c.SVG()
	if err != nil {
		t.Fatal(err)
	}
	wellFormed(t, svg)
}

func TestFallsThatCannotBeDrawnAreRefused(t *testing.T) {
	two := []Level{{0, 1}, {1, 0}}
	for name, c := range map[string]Fall{
		"no points":      {},
		"falling hours":  {Points: []Level{{2, 1}, {1, 1}}},
		"below zero":     {Points: []Level{{0, 1}, {1, -1}}},
		"not a number":   {Points: []Level{{0, 1}, {1, math.NaN()}}},
		"without an end": {Points: []Level{{0, 1}, {math.Inf(1), 1}}},
		"target":         {Points: two, Target: math.NaN()},
	} {
		if _, err := c.SVG(); err == nil {
			t.Errorf("%s: drawn as SVG", name)
		}
		if _, err := c.Line(72); err == nil {
			t.Errorf("%s: drawn as a line", name)
		}
	}
	if _, err := falling().Line(20); err == nil {
		t.Error("a line of 20 characters was drawn")
	}
}

// TestLineFitsAndFalls draws random falls: no wider than asked, never rising, and
// a dot exactly where the level is at or under the target.
func TestLineFitsAndFalls(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := Fall{Unit: "µg/L", Points: []Level{{0, rapid.Float64Range(0, 1e4).Draw(t, "start")}}}
		c.Target = rapid.Float64Range(0, 100).Draw(t, "target")
		for range rapid.IntRange(1, 9).Draw(t, "changes") {
			last := c.Points[len(c.Points)-1]
			after := last.C * rapid.Float64Range(0, 1).Draw(t, "left")
			h := last.H + rapid.Float64Range(0, 24).Draw(t, "hours")
			c.Points = append(c.Points, Level{h, last.C}, Level{h, after})
		}
		width := rapid.IntRange(48, 120).Draw(t, "width")
		line, err := c.Line(width)
		if err != nil {
			t.Fatal(err)
		}
		if n := utf8.RuneCountInString(line); n > width {
			t.Fatalf("%d characters, %d asked for: %s", n, width, line)
		}
		heights := string(below) + string(blocks)
		last := len(heights)
		marks := strings.Fields(line)[1]
		for _, r := range marks {
			at := strings.IndexRune(heights, r)
			if at < 0 || at > last {
				t.Fatalf("%q rises in %q", r, line)
			}
			last = at
		}
		end := c.Points[len(c.Points)-1].C
		if final, _ := utf8.DecodeLastRuneInString(marks); (final == below) != (end <= c.Target*(1+1e-9)) {
			t.Fatalf("ends at %v, target %v: %s", end, c.Target, line)
		}
	})
}
