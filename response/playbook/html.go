package playbook

import (
	"bytes"
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"slices"
	"strings"
	"sync"

	"tidehold/response/look"
)

// styleSheet is that of all pages.
var styleSheet = look.Style

//go:embed web/script.js
var script string

//go:embed web/card.html
var pageText string

// pageTemplate is parsed at its first use: other commands must not pay for it.
var pageTemplate = sync.OnceValue(func() *template.Template {
	return template.Must(template.New("card").Parse(pageText))
})

// HTML is one self-contained page with the cards, in their order: it prints on A4
// and US Letter in the layout, and works on a phone without a network. Ticks,
// answers and notes stay in the browser. With more than one event's card it begins
// with an index by what the keeper sees; it ends with the page for whoever prints it.
func HTML(title string, layout Layout, cards ...Card) (string, error) {
	style := layout.style() + styleSheet
	v := pageView{
		Title: title, Style: template.CSS(style), Script: template.JS(script), Office: LastPage(cards...),
		Policy: "default-src 'none'; img-src data:; style-src '" + hashOf(style) + "'; script-src '" + hashOf(script) + "'",
	}
	events := 0
	for _, c := range cards {
		if !c.Shared {
			events++
		}
	}
	_, withNext := layout.Sheets(cards)
	for i, c := range cards {
		v.Articles = append(v.Articles, articleOf(c, cards, layout))
		v.Articles[i].WithNext = withNext[i]
		if events > 1 {
			entry := indexEntry{Name: c.Name, Title: c.Title, UseWhen: c.UseWhen}
			if c.Shared {
				v.Shared = append(v.Shared, entry)
			} else {
				v.Index = append(v.Index, entry)
			}
			if c.Unknown {
				v.Unknown = c.Title
			}
		}
	}
	var b bytes.Buffer
	if err := pageTemplate().Execute(&b, v); err != nil {
		return "", fmt.Errorf("writing the page: %w", err)
	}
	return b.String(), nil
}

// style writes the layout as custom properties of the style sheet.
func (l Layout) style() string {
	return fmt.Sprintf(`:root { --body: %gpt; --heading: %gpt; --title: %gpt; --table: %gpt; --leading: %g; --column: %.1fpt; --x-height: %g; --font: %s; --ink: %s; --paper: %s; --box: %s; --print-ink: %s; --print-paper: %s; --print-box: %s; --night-ink: %s; --night-paper: %s; }
@page { size: auto; margin: %gmm %gmm; }
`, l.BodyPt, l.HeadingPt, l.TitlePt, l.TablePt, l.LineHeight, l.column(), l.XHeight, l.Font, l.Ink, l.Paper, l.Box, l.Ink, l.Paper, l.Box, l.NightInk, l.NightPaper, l.EdgeMm, l.MarginMm)
}

// hashOf is the source expression of an inline style or script.
// Source: W3C, Content Security Policy Level 3, hash-source.
func hashOf(text string) string {
	sum := sha256.Sum256([]byte(text))
	return "sha256-" + base64.StdEncoding.EncodeToString(sum[:])
}

// pageView is what the template shows.
type pageView struct {
	Title, Policy, Unknown string
	Style                  template.CSS
	Script                 template.JS
	// Index are the cards of events, Shared those they send people to.
	Index, Shared []indexEntry
	Articles      []article
	Office        []Paragraph
}

// indexEntry is one line of the index, in the words of the title.
type indexEntry struct{ Name, Title, UseWhen string }

// article is one card laid out in pages.
type article struct {
	Card Card
	// Key keeps the ticks of one edition apart from those of another.
	Key            string
	Printed, Where string
	Count          int
	Pages          []pageOf
	Phones         []phoneView
	// WithNext says that the next card follows on the same sheet.
	WithNext bool
}

type phoneView struct {
	Phone
	Tel template.URL
}

type pageOf struct {
	First, Last bool
	Foot        string
	Blocks      []blockView
}

type blockView struct {
	Heading string
	Boxed   bool
	Part    bool
	Lines   []lineView
}

// lineView is a line with the ids its boxes and fields are kept under.
type lineView struct {
	Line
	Box, Anchor, Spoken      string
	YesTo, NoTo, YesAt, NoAt string
	CardAt, CardTitle        string
	Small                    []smallView
	Rows                     []rowView
}

// smallView is a small line; Mark is the word that whoever skims must not miss.
type smallView struct{ Mark, Text string }

// rowView is a row; Entry is what its tick says to the record of an incident.
type rowView struct {
	Tick  string
	Entry string
	// On says that it goes on with the row above.
	On    bool
	Cells []cellView
}

// cellView is a cell; with a Field it is written in, Text being the blank.
type cellView struct {
	Label, Text, Field string
	// None says that it asks for nothing: a phone's record leaves it out.
	None bool
	Tel  template.URL
	// Words of a text that stands: none of them is broken.
	Words []string
}

func articleOf(c Card, cards []Card, layout Layout) article {
	pages := layout.Pages(c)
	a := article{
		Card: c, Key: strings.Join([]string{"tidehold", c.Name, c.System, fmt.Sprint(c.Version), c.Printed.UTC().Format("20060102T150405")}, "/"),
		Printed: c.Printed.Format("2006-01-02"), Where: c.where(), Count: len(pages),
	}
	for _, p := range c.Phones {
		a.Phones = append(a.Phones, phoneView{p, telURL(p.Number)})
	}
	tables := 0
	for i, p := range pages {
		view := pageOf{First: i == 0, Last: i == len(pages)-1, Foot: c.foot(i+1, len(pages))}
		for k, g := range p.Groups {
			b := blockView{Heading: g.Heading, Boxed: g.Boxed, Part: p.Part[k]}
			for _, ln := range g.Lines {
				if ln.Table != nil {
					tables++
				}
				b.Lines = append(b.Lines, lineViewOf(c.Name, tables, ln, cards))
			}
			view.Blocks = append(view.Blocks, b)
		}
		a.Pages = append(a.Pages, view)
	}
	return a
}

// telURL is a link that dials; only digits and a plus are in it.
func telURL(number string) template.URL {
	if t := telephone(number); t != "tel:" {
		return template.URL(t)
	}
	return ""
}

// anchor is the id a step is jumped to by.
func anchor(card string, step int) string {
	if step <= 0 {
		return card + "-end"
	}
	return fmt.Sprintf("%s-step-%d", card, step)
}

func lineViewOf(card string, table int, ln Line, cards []Card) lineView {
	v := lineView{Line: ln, Box: fmt.Sprintf("%s-%d", card, ln.Number), Anchor: anchor(card, ln.Number), Spoken: glued(ln.Spoken())}
	for _, text := range ln.small() {
		if rest, ok := strings.CutPrefix(text, stopMark+" "); ok {
			v.Small = append(v.Small, smallView{stopMark, glued(rest)})
			continue
		}
		v.Small = append(v.Small, smallView{Text: glued(text)})
	}
	if ln.Caution != nil {
		v.Spoken = glued(ln.Caution.Words())
	}
	if ln.Kind == DecisionLine {
		v.YesTo, v.NoTo = ln.exits()
		v.YesAt, v.NoAt = anchor(card, ln.Yes), anchor(card, ln.No)
	}
	if i := slices.IndexFunc(cards, func(c Card) bool { return c.Name == ln.Card }); ln.Card != "" && i >= 0 {
		v.CardAt, v.CardTitle = "#"+ln.Card, "Card "+cards[i].Title
	}
	if ln.Table != nil {
		v.Rows = rowViews(fmt.Sprintf("%s-t%d", card, table), ln.Table)
	}
	return v
}

// rowViews are the rows of a table, with the ids of their boxes and fields.
func rowViews(id string, t *Table) []rowView {
	var out []rowView
	for r, row := range t.Rows {
		rv := rowView{On: row[0] == andRow}
		if t.ticked(r) {
			rv.Tick = fmt.Sprintf("%s-%d", id, r)
			if r < len(t.Entries) {
				rv.Entry = t.Entries[r]
			}
		}
		for c, text := range row {
			cell := cellView{Label: t.Header[c], Text: glued(text), None: text == none}
			if text == "" || strings.Contains(text, "__") {
				cell.Field = fmt.Sprintf("%s-%d-%d", id, r, c)
			} else {
				cell.Words = phrases(text)
			}
			if t.Header[c] == "phone" && cell.Field == "" {
				cell.Tel = telURL(text)
			}
			rv.Cells = append(rv.Cells, cell)
		}
		out = append(out, rv)
	}
	return out
}
