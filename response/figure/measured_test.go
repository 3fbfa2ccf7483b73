package figure

import (
	"encoding/xml"
	"math"
	"strings"
	"testing"
)

func night() Measured {
	return Measured{
		Head:    Head{ID: "night", Title: "Copper", Description: "Predicted and measured"},
		Band:    []BandLevel{{0, 54, 60, 66}, {2, 54, 60, 66}, {2, 38, 42, 46}, {24, 38, 42, 46}},
		Samples: []Sample{{H: 0.2, C: 59, U: 5}, {H: 12, C: 41, U: 4}, {H: 20, C: 70, U: 3, Odd: true}, {H: 24, C: 5, Below: true}},
		Target:  5, Unit: "µg/L", ChangesAtH: []float64{2},
	}
}

func TestMeasuredSVGIsWellFormedAndShowsEveryResult(t *testing.T) {
	svg, err := night().SVG()
	if err != nil {
		t.Fatal(err)
	}
	d := xml.NewDecoder(strings.NewReader(svg))
	circles, open := 0, 0
	for {
		tok, err := d.Token()
		if tok == nil {
			if err.Error() != "EOF" {
				t.Fatal(err)
			}
			break
		}
		if e, ok := tok.(xml.StartElement); ok && e.Name.Local == "circle" {
			for _, a := range e.Attr {
				if a.Name.Local == "fill" && a.Value == "Canvas" {
					open++
				}
			}
			circles++
		}
	}
	// The hatching is lines; the bound is a triangle.
	if circles != 3 || open != 1 {
		t.Errorf("%d dots, %d of them open; want 3 and 1\n%s", circles, open, svg)
	}
	if strings.Contains(svg, "NaN") || strings.Contains(svg, "Inf") {
		t.Error("a number is none")
	}
}

func TestMeasuredTextPlacesResultsAndChanges(t *testing.T) {
	text, err := night().Text(72, 12)
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range strings.Split(text, "\n") {
		if n := len([]rune(l)); n > 100 {
			t.Errorf("a line of %d characters: %q", n, l)
		}
	}
	plot, _, _ := strings.Cut(text, "+")
	if strings.Count(plot, "O") != 3 || strings.Count(plot, "v") != 1 || !strings.Contains(text, "^") || !strings.Contains(plot, "=") {
		t.Errorf("results, bound, change or goal is missing:\n%s", text)
	}
	// Higher levels stand higher: the odd one first.
	lines := strings.Split(plot, "\n")
	first := -1
	for i, l := range lines {
		if strings.Contains(l, "O") {
			first = i
			break
		}
	}
	if first < 0 || strings.Index(lines[first], "O") < 50 {
		t.Errorf("the highest result is not the one at 20 h:\n%s", text)
	}
}

func TestMeasuredRefusesWhatCannotBeDrawn(t *testing.T) {
	for name, spoil := range map[string]func(*Measured){
		"nothing":  func(c *Measured) { c.Band, c.Samples = nil, nil },
		"falling":  func(c *Measured) { c.Band[1].H = 9 },
		"inverted": func(c *Measured) { c.Band[0].Low = 99 },
		"infinite": func(c *Measured) { c.Band[3].High = math.Inf(1) },
		"no level": func(c *Measured) { c.Samples[0].C = math.NaN() },
		"target":   func(c *Measured) { c.Target = math.NaN() },
	} {
		c := night()
		spoil(&c)
		if _, err := c.SVG(); err == nil {
			t.Errorf("%s was drawn", name)
		}
		if _, err := c.Text(72, 10); err == nil {
			t.Errorf("%s was drawn as text", name)
		}
	}
	if _, err := night().Text(10, 10); err == nil {
		t.Error("ten columns were enough")
	}
	bare := night()
	bare.Band, bare.Target = nil, 0
	if _, err := bare.Text(40, 6); err != nil {
		t.Error(err)
	}
	if _, err := bare.SVG(); err != nil {
		t.Error(err)
	}
}
