package playbook

import "strings"

// Layout is the printed page. The style of the HTML form is written from it and
// Score judges it, so that the two cannot part.
type Layout struct {
	// BodyPt, HeadingPt and TitlePt are type sizes in points; TablePt that of tables.
	BodyPt, HeadingPt, TitlePt, TablePt float64
	// XHeight is the height of small letters over the type size, whatever the font
	// (font-size-adjust).
	XHeight float64
	// LineHeight is the distance of lines over BodyPt; letters brought to XHeight are
	// about a tenth larger than their nominal size.
	LineHeight float64
	// Letters is how many letters of body text a line has at most: a wider column stays empty at its right.
	Letters int
	// MarginMm at the sides, EdgeMm at top and bottom.
	MarginMm, EdgeMm float64
	// Font is the CSS font list; Ink and Paper are colours; Box is the ground of
	// the immediate block.
	Font, Ink, Paper, Box string
	// NightInk and NightPaper are the colours of the dark room.
	NightInk, NightPaper string
}

// Printed is the layout of every card: 12 pt, read at arm's length, black on
// white; small letters 2.54 mm high. Fonts are named that tell 1, l and I apart.
var Printed = Layout{
	BodyPt: 12, HeadingPt: 14, TitlePt: 20, TablePt: 10.5,
	XHeight: 0.6, LineHeight: 1.38, Letters: 75, MarginMm: 15, EdgeMm: 8,
	Font: `Tahoma, "DejaVu Sans Condensed", Verdana, sans-serif`,
	Ink:  "#000000", Paper: "#ffffff", Box: "#ffffff",
	NightInk: "#ffb000", NightPaper: "#000000",
}

// Paper sizes in millimetres; a page has to fit both.
const (
	a4Wide, a4High         = 210.0, 297.0
	letterWide, letterHigh = 215.9, 279.4
	pointsPerMm            = 72 / 25.4
	// letterShare is the mean width of a letter over the type size: 0.4803 over all
	// steps and notes of the binder in DejaVu Sans Condensed with small letters brought
	// to XHeight (TestPageModelAgainstTheBrowser), rounded up.
	letterShare = 0.485
)

// room is the printable part of the smaller paper, in points.
func (l Layout) room() (wide, high float64) {
	return (min(a4Wide, letterWide) - 2*l.MarginMm) * pointsPerMm, (min(a4High, letterHigh) - 2*l.EdgeMm) * pointsPerMm
}

// boxColumn is the column of tick box and number at the left of a step, points.
const boxColumn = 54

// LineLength is how many letters of body text fit one line.
func (l Layout) LineLength() int { return int(l.column() / (l.BodyPt * letterShare)) }

// column is the width of the text of a step, points.
func (l Layout) column() float64 {
	wide, _ := l.room()
	return min(wide-boxColumn, (float64(l.Letters)+0.5)*l.BodyPt*letterShare)
}

// Page is what stands on one sheet of paper.
type Page struct {
	Groups []Group
	// Part says, for each group, whether it began on an earlier page.
	Part []bool
}

// runHeight is what the running head takes with its gap, which the first page has not got.
const runHeight = 18

// footHeight is the foot of a page with its rule.
func (l Layout) footHeight(c Card) float64 {
	wide, _ := l.room()
	return l.textHeight(c.foot(1, 1), l.TablePt, wide) + 6
}

// Pages lays the card out on paper. A page breaks between blocks; only a block
// that is higher than a whole page is broken, between its lines.
func (l Layout) Pages(s Card) []Page {
	_, high := l.room()
	room := high - runHeight - l.footHeight(s)
	var pages []Page
	var page Page
	left := room + runHeight - l.headHeight(s)
	flush := func() {
		pages, page, left = append(pages, page), Page{}, room
	}
	for _, g := range s.Groups {
		for i, part := range l.split(g, room) {
			h := l.groupHeight(part)
			if g.Boxed {
				h += l.frontHeight(s)
			}
			if h > left && len(page.Groups) > 0 {
				flush()
			}
			page.Groups, page.Part = append(page.Groups, part), append(page.Part, i > 0)
			left -= h
		}
	}
	if l.tailHeight() > left && len(page.Groups) > 0 {
		flush()
	}
	return append(pages, page)
}

// Sheets is how many sheets a binder of these cards takes, and whether each card leaves
// room for the next on its own: two short shared cards in a row share a sheet. The card
// of an event never shares one, so that it can be taken out.
func (l Layout) Sheets(cards []Card) (sheets int, withNext []bool) {
	withNext = make([]bool, len(cards))
	_, high := l.room()
	for i, c := range cards {
		sheets += len(l.Pages(c))
		if i == 0 || withNext[max(0, i-2)] && i > 1 || !c.Shared || !cards[i-1].Shared {
			continue
		}
		if l.height(cards[i-1])+l.height(c) <= high {
			withNext[i-1] = true
			sheets--
		}
	}
	return sheets, withNext
}

// height is a whole card with its foot, in points.
func (l Layout) height(c Card) float64 {
	h := l.headHeight(c) + l.tailHeight() + l.footHeight(c)
	for _, g := range c.Groups {
		h += l.groupHeight(g)
		if g.Boxed {
			h += l.frontHeight(c)
		}
	}
	return h
}

// split breaks a block that no page can hold, between its lines and never between
// a caution and the step after it.
func (l Layout) split(g Group, room float64) []Group {
	if l.groupHeight(g) <= room {
		return []Group{g}
	}
	var out []Group
	part := g
	part.Lines = nil
	for _, ln := range g.Lines {
		longer := part
		longer.Lines = append(part.Lines[:len(part.Lines):len(part.Lines)], ln)
		if l.groupHeight(longer) > room && len(part.Lines) > 0 {
			keep := len(part.Lines)
			for keep > 1 && part.Lines[keep-1].Kind == CautionLine {
				keep--
			}
			carried := part.Lines[keep:]
			part.Lines = part.Lines[:keep]
			out = append(out, part)
			longer.Lines = append(carried[:len(carried):len(carried)], ln)
		}
		part = longer
	}
	return append(out, part)
}

// textHeight is the height of a text in a column so wide, points.
func (l Layout) textHeight(text string, size, wide float64) float64 {
	if text == "" {
		return 0
	}
	return l.linesOf(text, size, wide) * size * l.LineHeight
}

// gap is the space after a line, points.
const gap = 1.0

// headingLeading is the distance of the lines of a heading over its type size.
const headingLeading = 1.2

func (l Layout) groupHeight(g Group) float64 {
	h := l.HeadingPt*headingLeading + 5
	if g.Boxed {
		h += 8
	}
	for _, ln := range g.Lines {
		h += l.lineHeight(ln)
	}
	return h
}

// panelWidth is that of a signal word with its symbol, in bold.
func (l Layout) panelWidth(s Signal) float64 { return l.wide("W"+string(s), l.TablePt)*1.15 + 8 }

func (l Layout) lineHeight(ln Line) float64 {
	wide, _ := l.room()
	column := l.column()
	switch ln.Kind {
	case CautionLine:
		c := ln.Caution
		return l.textHeight(c.Words(), l.TablePt, wide-l.panelWidth(c.Signal)-10) + 4 + gap
	case NoteLine:
		return l.textHeight(ln.Text, l.BodyPt, column) + gap
	case TableLine:
		return l.tableHeight(*ln.Table)
	}
	spoken := ln.Spoken()
	if yes, no := ln.exits(); yes != "" {
		// An answer stays on one line with its ring.
		held := func(answer string) string { return " " + printedRing + strings.ReplaceAll(answer, " ", heldBlank) }
		spoken += held("Yes: "+yes+".") + held("No: "+no+".")
	}
	h := l.textHeight(spoken, l.BodyPt, column) + gap
	for _, t := range ln.small() {
		h += l.textHeight(t, l.TablePt, column) + 2*gap
	}
	return max(h, l.BodyPt*l.LineHeight+gap)
}

// whenShare is the type of the line under the title over that of the body, whenWider what its letters are wider
// by: a browser takes the height of small letters in whole dots, nine of sixteen in the body and eight of 14.7
// here, so that it brings these to XHeight by more (measured: 517.7 pt where the body's share gives 502.8).
const (
	whenShare = 0.92
	whenWider = 1.03
)

// whenHeight is the line under the title.
func (l Layout) whenHeight(c Card) float64 {
	wide, _ := l.room()
	return l.linesOf(c.When(), l.BodyPt*whenShare*whenWider, wide) * l.BodyPt * whenShare * l.LineHeight
}

// headHeight is the title part of the first page, its line of danger included.
func (l Layout) headHeight(c Card) float64 {
	wide, _ := l.room()
	h := l.linesOf(c.Title, l.TitlePt, wide)*l.TitlePt*1.15 + 2
	h += l.whenHeight(c) + 4
	if c.Fault != "" {
		h += l.textHeight(c.Fault, l.BodyPt, wide-16) + 10
	}
	if c.Danger != nil {
		h += l.textHeight(c.Danger.Words(), l.BodyPt, wide-90) + 6
	}
	return h
}

// frontHeight is what stands under the box: numbers, the water tonight, the goal.
func (l Layout) frontHeight(c Card) float64 {
	wide, _ := l.room()
	h := 4.0
	if len(c.Phones) > 0 {
		h += 2 * l.BodyPt * l.LineHeight
	}
	if t := c.Water; t != nil {
		h += l.HeadingPt*headingLeading + 10
		for _, r := range t.Rows {
			h += l.textHeight(r.Litres+" from "+r.Store+", "+r.When+" clock __:__", l.BodyPt, wide-20)
		}
		h += l.linesOf(t.Verdict, l.BodyPt*boldShare, wide-10)*l.BodyPt*l.LineHeight + 4
	}
	return h + l.textHeight("Goal: "+c.Goal+" "+c.NotWhen, l.TablePt, wide) + 2
}

// tailHeight is the completion line; its lower margin is that of the foot.
func (l Layout) tailHeight() float64 { return l.BodyPt*l.LineHeight + 5 }

// commonXHeight is the height of small letters over the type size in the fonts
// named, before they are brought to XHeight.
const commonXHeight = 0.545

// nominal is the nominal type size over the one that letters are brought to.
func (l Layout) nominal() float64 { return commonXHeight / l.XHeight }
