package main

import (
	_ "embed"
	"html/template"
	"io"
	"slices"
	"sync"
)

//go:embed page.html
var pageSource string

// pageTemplate is parsed at its first use: a cold start must not pay for it.
var pageTemplate = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("page").Funcs(template.FuncMap{
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
