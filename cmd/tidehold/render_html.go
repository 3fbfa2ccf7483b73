package main

import (
	_ "embed"
	"html/template"
	"io"
	"slices"
	"strings"
	"sync"

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
		"right": func(g *grid, column int) bool { return slices.Contains(g.Right, column) },
	}).Parse(pageSource))
})

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
	return pageTemplate().Execute(w, struct {
		Title  string
		Blocks []block
	}{title, onPage(ans)})
}
