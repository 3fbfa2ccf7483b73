package tabular

import (
	"strconv"
	"strings"
	"testing"

	"github.com/jedib0t/go-pretty/v6/text"
	"pgregory.net/rapid"
)

func sample() Grid {
	return Grid{Header: []string{"what mS/cm", "how", "litres"}, Right: []int{2},
		Rows: [][]string{{"salinity_per_day", strings.Repeat("some words ", 20), "12 L"}, {"x", "", "1234 L"}}}
}

func TestColumnsFitAndKeepWordsWhole(t *testing.T) {
	got := sample().Text(60)
	for _, l := range strings.Split(got, "\n") {
		if text.StringWidth(l) > 60 || strings.HasSuffix(l, " ") {
			t.Errorf("%d characters: %q", text.StringWidth(l), l)
		}
	}
	if !strings.Contains(got, "salinity_per_day") || strings.Contains(got, "MS/CM") {
		t.Errorf("a word is cut in two, or a unit in capitals:\n%s", got)
	}
	if !strings.Contains(got, "  12 L") {
		t.Errorf("numbers are not at the right:\n%s", got)
	}
}

func TestNarrowScreensGetRecords(t *testing.T) {
	got := sample().Text(22)
	if !strings.Contains(got, "what mS/cm:\n  salinity_per_day") && !strings.Contains(got, "what mS/cm: salinity_per_day") {
		t.Errorf("no record:\n%s", got)
	}
	if strings.Contains(got, "how: \n") || !strings.Contains(got, "\n\nwhat mS/cm: x\nlitres: 1234 L") {
		t.Errorf("empty cells are shown, or records run together:\n%s", got)
	}
}

func TestPipesGetOneRecordALine(t *testing.T) {
	if got := strings.Split(sample().Text(0), "\n"); len(got) != 4 {
		t.Errorf("%d lines for a heading, a rule and 2 rows: %q", len(got), got)
	}
}

func TestMarkdownIsATable(t *testing.T) {
	got := strings.Split(sample().Markdown(), "\n")
	if len(got) != 4 || !strings.HasPrefix(got[1], "|:---") {
		t.Errorf("%q", got)
	}
}

// Whatever the cells and the width, no line is wider than asked unless a single word
// is, and every word is there.
func TestNothingIsLost(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cell := rapid.StringMatching(`([a-zµ°0-9]{1,9} ){0,6}`)
		g := Grid{Header: []string{"a", "b b", "c"}, Right: []int{1}}
		for range rapid.IntRange(0, 4).Draw(t, "rows") {
			g.Rows = append(g.Rows, []string{cell.Draw(t, "1"), cell.Draw(t, "2"), cell.Draw(t, "3")})
		}
		width := rapid.IntRange(20, 100).Draw(t, "width")
		out := g.Text(width)
		for _, l := range strings.Split(out, "\n") {
			if text.StringWidth(l) > width {
				t.Fatalf("%d characters, %d asked for: %q", text.StringWidth(l), width, l)
			}
		}
		words := strings.Fields(out)
		for _, r := range g.Rows {
			for _, c := range r {
				for _, w := range strings.Fields(c) {
					found := false
					for _, o := range words {
						found = found || o == w
					}
					if !found {
						t.Fatalf("%q is lost in\n%s", w, out)
					}
				}
			}
		}
	})
}

func TestColumnsWithNothingInThemAreLeftOut(t *testing.T) {
	g := Grid{Header: []string{"what", "cost", "litres"}, Right: []int{1, 2}, Rows: [][]string{{"salt", "", "7 L"}, {"water", "", "12 L"}}}
	got := strings.Split(g.Text(40), "\n")
	if got[0] != "what   litres" || got[2] != "salt      7 L" || got[3] != "water    12 L" {
		t.Errorf("%q", got)
	}
	if none := (Grid{Header: []string{"a", "b"}}).Text(40); !strings.HasPrefix(none, "a  b") {
		t.Errorf("a table without rows: %q", none)
	}
}

// The short way of counting places agrees with cutting into graphemes.
func TestColumnsCountAsGraphemesDo(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.OneOf(rapid.String(), rapid.StringMatching(`[ -~\x{a1}-\x{24f}]{0,30}`), rapid.StringMatching(`[a-c°±–≥水\x{300}\x{ad}\x1b\x{200d}\x{fe0f}©]{0,9}`)).Draw(t, "text")
		if got, want := Columns(s), text.StringWidth(s); got != want {
			t.Fatalf("%q takes %d places, not %d", s, got, want)
		}
	})
}

// A table set in stretches is the table set at once.
func TestLongTablesAreSetAlike(t *testing.T) {
	g := Grid{Header: []string{"what is\nit", "how much it is", "why"}, Right: []int{1}}
	for i := range 2*stretch + 7 {
		g.Rows = append(g.Rows, []string{"row " + strconv.Itoa(i), strings.Repeat("9", i%9), strings.Repeat("words ", i*13%29)})
	}
	for _, width := range []int{0, 60} {
		widths, words := g.measure()
		if width > 0 {
			widths = narrow(widths, words, width-gap*(len(widths)-1))
		}
		if got, want := g.Text(width), g.lines(widths, widths); got != want {
			t.Errorf("width %d: stretches differ from the whole", width)
		}
	}
}
