package playbook

import (
	"bytes"
	_ "embed"
	"fmt"
	"html/template"
	"strings"
	"sync"
)

//go:embed web/style.css
var styleSheet string

//go:embed web/script.js
var script string

//go:embed web/sheet.html
var pageText string

// pageTemplate is parsed at its first use: other commands must not pay for it.
var pageTemplate = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("sheet").Parse(pageText))
})

// HTML is one self-contained page with the sheets, in their order: it prints on
// A4 and US Letter in the layout, and works on a phone without a network. Ticks
// and notes stay in the browser. With more than one sheet it begins with an index
// by what the keeper sees.
func HTML(title string, layout Layout, sheets ...Sheet) (string, error) {
	v := pageView{
		Title: title, L: layout, Style: template.CSS(styleSheet), Script: template.JS(script),
		// The font list and the colours are constants of Layout, never user input.
		Font: template.CSS(layout.Font),
		C: colours{template.CSS(layout.Ink), template.CSS(layout.Paper), template.CSS(layout.Box),
			template.CSS(layout.NightInk), template.CSS(layout.NightPaper)},
	}
	for i, s := range sheets {
		a, err := articleOf(s, layout)
		if err != nil {
			return "", fmt.Errorf("%s: %w", s.Name, err)
		}
		v.Articles = append(v.Articles, a)
		if len(sheets) > 1 {
			v.Index = append(v.Index, indexEntry{N: i + 1, Name: s.Name, Title: s.Title, UseWhen: s.UseWhen})
			v.Stamp = s.edition() + "."
			if s.Unknown {
				v.Unknown = s.Title
			}
		}
	}
	var b bytes.Buffer
	if err := pageTemplate().Execute(&b, v); err != nil {
		return "", fmt.Errorf("writing the page: %w", err)
	}
	return b.String(), nil
}

// pageView is what the template shows.
type pageView struct {
	Title, Stamp, Unknown string
	L                     Layout
	C                     colours
	Font, Style           template.CSS
	Script                template.JS
	Index                 []indexEntry
	Articles              []article
}

type colours struct{ Ink, Paper, Box, NightInk, NightPaper template.CSS }

// indexEntry is one line of the index, in the words of the title.
type indexEntry struct {
	N                    int
	Name, Title, UseWhen string
}

// article is one sheet laid out in pages.
type article struct {
	Sheet Sheet
	// Key keeps the ticks of one edition apart from those of another.
	Key                   string
	Stamp, Where, Edition string
	Count                 int
	Pages                 []pageOf
	Curve                 template.HTML
}

type pageOf struct {
	N           int
	First, Last bool
	Blocks      []blockView
}

type blockView struct {
	Heading string
	Role    Role
	Boxed   bool
	Part    bool
	Lines   []lineView
}

// lineView is a line with the ids its boxes and fields are kept under.
type lineView struct {
	Line
	Box, Spoken, YesTo, NoTo string
	Small                    []string
	Rows                     []rowView
}

type rowView struct {
	Tick  string
	Cells []cellView
}

// cellView is a cell; with a Field it is written in, Text being the blank.
type cellView struct {
	Label, Text, Field string
	// Words of a text that stands: none of them is broken.
	Words []string
}

func articleOf(s Sheet, layout Layout) (article, error) {
	drawing, err := s.CurveSVG()
	if err != nil {
		return article{}, err
	}
	pages := layout.Pages(s)
	a := article{
		Sheet: s, Key: strings.Join([]string{"tidehold", s.Name, s.System, fmt.Sprint(s.Version), s.Printed.UTC().Format("20060102T150405")}, "/"),
		Stamp: s.stamp(), Where: s.where(), Count: len(pages),
		Edition: s.edition(),
		// The drawing is built from numbers and escaped words.
		Curve: template.HTML(drawing),
	}
	tables := 0
	for i, p := range pages {
		view := pageOf{N: i + 1, First: i == 0, Last: i == len(pages)-1}
		for k, g := range p.Groups {
			b := blockView{Heading: g.Heading, Role: g.Role, Boxed: g.Boxed, Part: p.Part[k]}
			for _, ln := range g.Lines {
				if ln.Table != nil {
					tables++
				}
				b.Lines = append(b.Lines, lineViewOf(s.Name, tables, ln))
			}
			view.Blocks = append(view.Blocks, b)
		}
		a.Pages = append(a.Pages, view)
	}
	return a, nil
}

// edition tells one printing of a sheet from another.
func (s Sheet) edition() string {
	return fmt.Sprintf("Version %d, printed %s, valid until %s", s.Version, s.Printed.Format("2006-01-02"), s.ValidUntil.Format("2006-01-02"))
}

func lineViewOf(sheet string, table int, ln Line) lineView {
	v := lineView{Line: ln, Box: fmt.Sprintf("%s-%d", sheet, ln.Number), Spoken: glued(ln.Spoken())}
	if ln.Kind == DecisionLine {
		v.YesTo, v.NoTo = exit(ln.Yes), exit(ln.No)
	}
	for _, u := range ln.under() {
		if !strings.HasPrefix(u, "Yes: ") {
			v.Small = append(v.Small, u)
		}
	}
	if ln.Table == nil {
		return v
	}
	for r, row := range ln.Table.Rows {
		rv := rowView{}
		if ln.Table.Ticks {
			rv.Tick = fmt.Sprintf("%s-t%d-%d", sheet, table, r)
		}
		for c, text := range row {
			cell := cellView{Label: ln.Table.Header[c], Text: glued(text)}
			if text == "" || strings.Contains(text, "__") {
				cell.Field = fmt.Sprintf("%s-t%d-%d-%d", sheet, table, r, c)
			}
			if cell.Field == "" {
				cell.Words = phrases(text)
			}
			rv.Cells = append(rv.Cells, cell)
		}
		v.Rows = append(v.Rows, rv)
	}
	return v
}
