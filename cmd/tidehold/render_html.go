package main

import (
	_ "embed"
	"html/template"
	"io"
	"slices"
	"strings"
	"sync"
	"unicode/utf8"

	"tidehold/refs/units"
	"tidehold/response/look"
)

//go:embed page.html
var pageSource string

// pageTemplate is parsed at its first use: a cold start must not pay for it.
var pageTemplate = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("page").Funcs(template.FuncMap{
		"style":   func() template.CSS { return template.CSS(look.Style) },
		"toScale": func(svg string) bool { return strings.Contains(svg, `class="to-scale"`) },
		"signal":  func(text string) string { word, _ := signalled(text); return word },
		"said":    func(text string) string { _, said := signalled(text); return said },
		"drawing": func(svg string) template.HTML { return template.HTML(svg) },
		"label": func(g *grid, column int) string {
			if column < len(g.Header) {
				return g.Header[column]
			}
			return ""
		},
		"narrow": narrow,
		"right":  func(g *grid, column int) bool { return slices.Contains(g.Right, column) },
	}).Parse(pageSource))
})

// narrowAt is how many characters a table may be wide, blanks between columns counted, to stay a
// table on a phone of 390 px: of 14 px they are some 8 px wide.
const narrowAt = 46

// narrow reports whether a table is narrow enough for a phone: headings break between words,
// cells do not.
func narrow(g *grid) bool {
	sum := 0
	for column, h := range g.Header {
		widest := 0
		for _, word := range strings.Fields(h) {
			widest = max(widest, utf8.RuneCountInString(word))
		}
		for _, row := range g.Rows {
			if column < len(row) {
				widest = max(widest, utf8.RuneCountInString(row[column]))
			}
		}
		sum += widest + 1
	}
	return sum <= narrowAt
}

// signals are the words of ANSI Z535.6, the gravest first.
var signals = []string{"DANGER", "WARNING", "CAUTION", "NOTICE"}

// signalled takes the signal word off a caution; "" where the text is none.
func signalled(text string) (word, said string) {
	word, said, ok := strings.Cut(text, ": ")
	if !ok || said == "" || !slices.Contains(signals, word) {
		return "", text
	}
	return word, units.UpperFirst(said)
}

// renderHTML prints one self-contained page: no request leaves it, it prints on
// A4 and US Letter and reads on a phone. The SVG of a figure is our own drawing,
// made from numbers and escaped labels.
func renderHTML(w io.Writer, ans answer) error {
	title := ans.Title
	if title == "" {
		title = ans.Command
	}
	parts := sections(onPage(ans))
	return pageTemplate().Execute(w, struct {
		Title string
		Top   []block
		Rest  [][]block
	}{title, parts[0], parts[1:]})
}

// sections cuts a page in parts that may stand side by side on a wide screen: the answer, and
// then one for each heading and each picture with a caption of its own.
func sections(blocks []block) [][]block {
	parts := [][]block{nil}
	for i, b := range blocks {
		if i > 0 && (b.Heading != "" || b.Figure != nil && b.Figure.Caption != "") {
			parts = append(parts, nil)
		}
		parts[len(parts)-1] = append(parts[len(parts)-1], b)
	}
	return parts
}
