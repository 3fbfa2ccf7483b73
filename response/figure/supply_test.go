package figure

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"tidehold/refs/units"
)

// late is an event of 300 L in two changes: 120 L are ready, a batch of 100 L at
// 6 h and another at 20 h, two hours after the deadline.
func late() Supply {
	return Supply{
		Head:      Head{"event-halve", "halve-anything: late", "300 L are needed within 18 h; 320 L are there at 20 h."},
		Needed:    []Total{{0, 150}, {4, 300}},
		Available: []Total{{0, 120}, {6, 220}, {20, 320}},
		Used:      []Total{{0, 120}, {6, 220}, {20, 300}},
		WithinH:   18,
	}
}

func TestGoldenSupply(t *testing.T) {
	us := late()
	us.Units = units.US
	none := Supply{Head: Head{ID: "none", Title: "nothing & <none>"}, Needed: []Total{{0, 40}}}
	for name, c := range map[string]Supply{"late": late(), "late-us": us, "empty": none} {
		text, err := c.Text(72, 12)
		if err != nil {
			t.Fatal(err)
		}
		golden(t, "figure-supply-"+name+".txt", text)
		svg, err := c.SVG()
		if err != nil {
			t.Fatal(err)
		}
		golden(t, "figure-supply-"+name+".svg", svg)
	}
}

// TestSVGIsWellFormedAndNamed checks that the drawing is XML with a title and a
// description that its root refers to: W3C SVG 2, section 5.8, and WAI-ARIA
// labelling by aria-labelledby.
func TestSupplyIsWellFormedAndNamed(t *testing.T) {
	c := late()
	c.Title = `a "title" <b> & more`
	svg, err := c.SVG()
	if err != nil {
		t.Fatal(err)
	}
	wellFormed(t, svg)
}

func TestSupplyThatCannotBeDrawnIsRefused(t *testing.T) {
	for name, c := range map[string]Supply{
		"falling litres":  {Available: []Total{{0, 10}, {1, 5}}},
		"falling hours":   {Used: []Total{{2, 10}, {1, 15}}},
		"not a number":    {Needed: []Total{{0, math.NaN()}}},
		"infinite":        {Needed: []Total{{0, math.Inf(1)}}},
		"before the hour": {Needed: []Total{{-1, 4}}},
		"deadline":        {WithinH: math.NaN()},
	} {
		if _, err := c.SVG(); err == nil {
			t.Errorf("%s: drawn as SVG", name)
		}
		if _, err := c.Text(72, 12); err == nil {
			t.Errorf("%s: drawn as text", name)
		}
	}
	if _, err := late().Text(20, 12); err == nil {
		t.Error("a chart of 20 columns was drawn")
	}
}

// TestTextFitsItsSizeAndShowsTheTotals draws random charts: no line is wider
// than asked, no more rows than asked, and a '#' stands in a column exactly as
// high as the water used at its middle.
func TestSupplyTextFitsItsSizeAndShowsTheTotals(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		run := func(label string) []Total {
			var points []Total
			p := Total{}
			for range rapid.IntRange(0, 5).Draw(t, label) {
				p.H += rapid.Float64Range(0, 40).Draw(t, "hours")
				p.L += rapid.Float64Range(0, 900).Draw(t, "litres")
				points = append(points, p)
			}
			return points
		}
		c := Supply{Needed: run("needed"), Available: run("available"), Used: run("used"), WithinH: rapid.Float64Range(0, 200).Draw(t, "within")}
		width, height := rapid.IntRange(30, 120).Draw(t, "width"), rapid.IntRange(4, 30).Draw(t, "height")
		text, err := c.Text(width, height)
		if err != nil {
			t.Fatal(err)
		}
		plot := strings.Split(text, "\n")[1:]
		rows := 0
		for rows < len(plot) && len(plot[rows]) > 7 && plot[rows][7] == '|' {
			if len(plot[rows]) > width {
				t.Fatalf("row of %d columns, %d asked for", len(plot[rows]), width)
			}
			rows++
		}
		if rows == 0 || rows > height {
			t.Fatalf("%d rows, %d asked for", rows, height)
		}
		perRow := rowStep(c.top(), height)
		for i := range width - 8 {
			got := 0
			for _, line := range plot[:rows] {
				if len(line) > 8+i && line[8+i] == usedMark {
					got++
				}
			}
			used := totalAt(c.Used, (float64(i)+0.5)/float64(width-8)*c.horizon())
			if want := int(math.Floor(used/perRow + 0.5)); got != want && !(math.Abs(used/perRow-math.Floor(used/perRow)-0.5) <= 1e-6) {
				t.Fatalf("column %d: %d rows used, want %d (%g L, %g a row)", i, got, want, used, perRow)
			}
		}
	})
}
