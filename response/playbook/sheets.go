package playbook

import (
	"fmt"
	"slices"

	"tidehold/refs/units"
)

// Sheet is one plan of a binder: the cards whose rows it is.
type Sheet struct {
	// Titles are those of the cards, in the order of the binder.
	Titles []string
	Facts  *Facts
	// Own says that its one card has the room for its rows and batches.
	Own bool
}

// Binder are the facts for the shared cards of a binder, from those of its event cards in
// the order of the binder: what belongs to the one system they are for, and the plan of each
// event that asks for one. A front says where every row stands; with one plan for all,
// whoever came from another card did the wrong rows. The plan of one card goes on that card
// where it takes no page more: its facts are replaced in the list. Cards with the same rows
// and batches share a sheet, which stands on Change the water and Mix a batch.
func (l *Library) Binder(names []string, facts []*Facts, layout Layout) *Facts {
	sheets, first := l.sheets(names, facts)
	switch len(sheets) {
	case 0:
		return facts[0]
	case 1:
		return sheets[0].Facts
	}
	most := 0 // the sheet of most cards is the one for all others
	for k, s := range sheets {
		if len(s.Titles) > len(sheets[most].Titles) {
			most = k
		}
	}
	for k := range sheets {
		s := &sheets[k]
		if k == most || len(s.Titles) > 1 {
			continue
		}
		s.Facts, s.Own = l.ownRows(l.Find(names[first[k]]), s.Facts, layout)
		facts[first[k]] = s.Facts
	}
	rest := sheets[most]
	f := shared(append(slices.Delete(sheets, most, most+1), rest))
	l.fitSheets(f, layout)
	return f
}

// sheets are the plans of event cards that send people to change the water, each once, and
// the place of the first card of each.
func (l *Library) sheets(names []string, facts []*Facts) (sheets []Sheet, first []int) {
	at := map[string]int{}
	for i, f := range facts {
		p := l.Find(names[i])
		if f.Plan == nil || !slices.Contains(p.sendsAt(f.Profile), "change-water") {
			continue
		}
		says, _ := f.planSays()
		key := fmt.Sprint(says, f.changeTable().Rows, f.batchTable().Rows, f.ladderATable().Rows, f.ladderTable().Rows)
		k, ok := at[key]
		if !ok {
			k = len(sheets)
			at[key] = k
			sheets, first = append(sheets, Sheet{Facts: f}), append(first, i)
		}
		sheets[k].Titles = append(sheets[k].Titles, p.Title)
	}
	return sheets, first
}

// shared are the facts of the shared cards for several plans: no one plan's.
func shared(sheets []Sheet) *Facts {
	f := *sheets[len(sheets)-1].Facts
	f.Event, f.Sheets = "", sheets
	f.Plan, f.LackingL, f.LadderA, f.Ladder = nil, nil, nil, nil
	for k, s := range sheets {
		if s.Facts.Buckets {
			f.Buckets = true
		}
		if !s.Own {
			few := *s.Facts
			few.most, few.least = firstRows, onFront-1
			f.Sheets[k].Facts = &few
		}
	}
	return &f
}

// Fit prints as many rows as leave card Change the water its two pages and Mix a batch its one: a
// row from five vats has five lines, and the night is over before the last of twelve is due.
func (l *Library) Fit(f *Facts, layout Layout) {
	if f.Plan == nil {
		return
	}
	for f.most = mostRows; f.most > firstRows && !l.rowsFit(f, layout); f.most-- {
	}
}

// fitSheets does the same for the plans of a binder, each with its first rows.
func (l *Library) fitSheets(f *Facts, layout Layout) {
	for most := firstRows; most > 1 && !l.rowsFit(f, layout); {
		most--
		for _, s := range f.Sheets {
			if !s.Own {
				s.Facts.most = most
			}
		}
	}
}

// rowsFit says that the rows and batches leave their cards two pages and one.
func (l *Library) rowsFit(f *Facts, layout Layout) bool {
	paper, text := l.pages("change-water", f, layout)
	batches, inText := l.pages("mix-batch", f, layout)
	return max(paper, text) <= 2 && max(batches, inText) <= 1
}

// pages is how many a card has on paper and as plain text.
func (l *Library) pages(card string, f *Facts, layout Layout) (paper, text int) {
	c := l.Fill(l.Find(card), f)
	if !c.Shared || card == "change-water" {
		c.Fault = f.Top
	}
	return len(layout.Pages(c)), len(textPages(c))
}

// ownRows puts a plan on the card it is for, all rows or the first, if that takes no page
// more than the card without.
func (l *Library) ownRows(p *Playbook, f *Facts, layout Layout) (*Facts, bool) {
	paper, text := l.pages(p.Name, f, layout)
	for _, most := range []int{mostRows, firstRows, firstRows - 1} {
		own := *f
		own.ownRows, own.most = true, most
		if a, b := l.pages(p.Name, &own, layout); a <= paper && b <= text {
			return &own, true
		}
	}
	return f, false
}

// title says whose rows a sheet of the shared cards has.
func (f *Facts) title(k int) string {
	if s := f.Sheets[k]; k < len(f.Sheets)-1 || len(s.Titles) == 1 {
		return units.List(s.Titles, "")
	}
	return "cards without rows of their own"
}

// ownGroups are a plan's rows and batches on the card it is for.
func (w *filler) ownGroups(stage Stage) []Group {
	f := w.facts
	if !f.ownRows {
		return nil
	}
	var out []Group
	for _, g := range []struct{ table, heading string }{{"changes", "The rows of this card"}, {"batches", "The batches of its rows"}} {
		if f.bare(g.table) {
			continue
		}
		t := f.table(g.table)
		out = append(out, Group{ID: "own-" + g.table, Heading: g.heading, Stage: stage, Lines: []Line{{Kind: TableLine, Table: &t}}})
	}
	return out
}

// onThisCard says where the rows of a plan stand that has its card to itself.
const onThisCard = "this card has every row"

// rowsAt says where every row of the front's plan stands.
func (f *Facts) rowsAt() string {
	if f.ownRows {
		return onThisCard
	}
	return "card Change the water has every row"
}

// planTables are the tables that each plan of a binder has of its own, and whether they stand
// on the card of the plan where that has room.
var planTables = map[string]bool{"changes": true, "batches": true, "ladder-a": false, "ladder": false}

// bare says that a plan has nothing for this table.
func (f *Facts) bare(table string) bool {
	switch table {
	case "batches":
		return f.Plan == nil || len(f.Plan.Batches)+len(f.Plan.Prepared) == 0
	case "mend":
		return f.Profile.lacks([]string{"salt"}) && f.Profile.lacks([]string{"purified"})
	case "ladder-a":
		return len(f.LadderA) == 0
	case "ladder":
		return len(f.Ladder) == 0
	}
	return false
}

// sheetGroups are the tables of a block, once for each plan of a binder that has anything
// there, under the titles of its cards; the rest of the block follows. What a plan says in
// words stands on the front of its cards.
func (w *filler) sheetGroups(l *Library, b *Block) (groups []Group, rest []Item) {
	if len(w.facts.Sheets) == 0 {
		return nil, b.Items
	}
	var tables []Item
	for _, it := range b.Items {
		if _, ok := planTables[it.Table]; ok {
			tables = append(tables, it)
		} else if it.Note != "{{plan_says}}" {
			rest = append(rest, it)
		}
	}
	for k, sheet := range w.facts.Sheets {
		s := &filler{facts: sheet.Facts, seen: w.seen, cautions: w.cautions}
		var lines []Line
		for _, it := range tables {
			if w.facts.Profile.shows(&it) && !sheet.Facts.bare(it.Table) && !(sheet.Own && planTables[it.Table]) {
				lines = append(lines, s.line(l, &it))
			}
		}
		if len(lines) > 0 {
			groups = append(groups, Group{ID: fmt.Sprintf("%s-%d", b.ID, k+1), Heading: w.text(b.Heading) + ": " + w.facts.title(k), Stage: b.Stage, Lines: lines})
		}
	}
	if len(groups) == 0 { // no plan has anything: the blank of a card without one
		return nil, b.Items
	}
	return groups, rest
}
