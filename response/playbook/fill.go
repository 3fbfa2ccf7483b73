package playbook

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"tidehold/refs/units"
)

// boxHeading stands over the immediate actions.
const boxHeading = "Do this now, then read it again"

// interrupted is what somebody does who was called away.
const interrupted = "Interrupted? Start the block again."

// tagged says what the cards mean by a tag: a house has no others.
const tagged = "Tag: a taped note."

// seeContacts stands beside a number of the front that nobody has written down.
const seeContacts = "(card Contacts)"

// footer is printed on every page, its last line where the card ends.
var footer = []string{
	interrupted,
	tagged,
	"Law, licensed electricians and veterinarians come first.",
}

// foot is the foot of a printed page.
func (c Card) foot(page, of int) string {
	lines := c.Footer
	if page < of && len(lines) > 2 {
		lines = lines[:2]
	}
	where := strings.Replace(c.where(), ", system ", ", ", 1) // two lines of foot, not three
	return fmt.Sprintf("%s %s, version %d, printed %s, page %d of %d.", strings.Join(lines, " "), where, c.Version, c.Printed.Format(time.DateOnly), page, of)
}

func itoa(n int) string { return strconv.Itoa(n) }

// Fill joins a card with what is known. The result depends on nothing else: the
// same card and facts give the same print.
func (l *Library) Fill(p *Playbook, f *Facts) Card {
	c := Card{
		Name: p.Name, Shared: p.Shared, Site: f.Site, System: f.System, Event: f.Event,
		Version: p.Version, Reviewed: p.Reviewed, Due: p.Reviewed.AddDate(1, 0, 0), Printed: f.Printed,
		Complete: p.Complete, Footer: footer, Hazards: slices.Clone(p.Hazards), Unknown: p.Unknown, Sitter: p.Sitter,
		Sends: l.SentAt(f.Profile, p.Name), Kit: p.uses(f.Profile), Missing: f.kitMissing(p.uses(f.Profile)), playbook: p,
	}
	if f.Several && !slices.Contains(forTheHouse, p.Name) {
		c.OnlyFor = f.System
	}
	w := &filler{facts: f, seen: map[string]bool{}, cautions: map[string]bool{}}
	c.Title, c.UseWhen, c.NotWhen, c.Goal = w.text(p.Title), w.text(p.UseWhen), w.text(p.NotWhen), w.text(p.Goal)
	if d := l.caution(p.Danger); d != nil {
		filled := w.caution(*d)
		c.Danger = &filled
	}
	if len(p.Box) > 0 {
		c.Groups = append(c.Groups, Group{ID: "box", Heading: boxHeading, Boxed: true, Stage: StageNow, Lines: w.lines(l, p.Box)})
		c.Phones = f.frontPhones(p.Phones)
	}
	if p.Water {
		c.Water = f.tonight()
	}
	for i := range p.Blocks {
		c.Groups = append(c.Groups, w.groups(l, &p.Blocks[i])...)
	}
	c.number()
	c.resolve(p)
	for _, b := range p.Basis {
		c.Basis = append(c.Basis, w.text(b))
	}
	c.Basis = append(c.Basis, w.basis(l)...)
	c.Blanks = w.blanks
	c.Notices = c.notices(f, p)
	c.lists()
	return c
}

// lists makes what there is nothing of a list of nothing: JSON has [] for it, and not null.
func (c *Card) lists() {
	for _, list := range []*[]string{&c.Sends, &c.Kit, &c.Missing, &c.Notices, &c.Basis, &c.Footer, &c.Hazards} {
		if *list == nil {
			*list = []string{}
		}
	}
	if c.Phones == nil {
		c.Phones = []Phone{}
	}
	if c.Blanks == nil {
		c.Blanks = []Blank{}
	}
}

// frontPhones are the numbers of the front; a blank one says where to look.
func (f *Facts) frontPhones(roles []string) []Phone {
	var out []Phone
	for _, role := range roles {
		phone := f.phone(role)
		if phone.Name == "" && phone.Number == "" {
			phone.Name = seeContacts
		}
		out = append(out, phone)
	}
	return out
}

// groups are a block as it is printed: the tables of each plan of a binder, its lines, and the rows
// of a plan that has its card to itself.
func (w *filler) groups(l *Library, b *Block) []Group {
	out, rest := w.sheetGroups(l, b)
	lines := w.lines(l, rest)
	if len(lines) == 0 {
		return out
	}
	out = append(out, Group{ID: b.ID, Heading: w.text(b.Heading), Stage: b.Stage, Lines: lines})
	if slices.ContainsFunc(lines, func(ln Line) bool { return ln.Card == "change-water" }) {
		out = append(out, w.ownGroups(b.Stage)...)
	}
	return out
}

// forTheHouse are the cards that hold for every tank of a house: whoever sees smoke, or lies by a
// gas bottle, at another tank must not put away a card "for tank display only".
var forTheHouse = []string{"person-hurt", "power-off", "waste", "contacts", "fire-or-smoke", "gas-reactor", "vat-overflow", "sitter"}

// filler fills texts and keeps a list of the blanks it left and of the cautions it
// printed.
type filler struct {
	facts    *Facts
	seen     map[string]bool
	blanks   []Blank
	cautions map[string]bool
}

// text replaces every field by its value or its blank.
func (w *filler) text(s string) string {
	var b strings.Builder
	last := 0
	for _, at := range placeholder.FindAllStringIndex(s, -1) {
		// The words between, not the fields: "litres" stands in a field's name too.
		b.WriteString(w.facts.words(s[last:at[0]]))
		b.WriteString(w.field(strings.TrimSpace(s[at[0]+2 : at[1]-2])))
		last = at[1]
	}
	return b.String() + w.facts.words(s[last:])
}

// field is one field's value, or its blank.
func (w *filler) field(name string) string {
	if show, ok := literal(name); ok {
		return show(w.facts.Units)
	}
	fd, ok := fieldByName(name)
	if !ok {
		w.blank(name, "________", "ask the keeper")
		return "________"
	}
	if v, ok := fd.value(w.facts); ok {
		return v
	}
	shown := w.facts.words(fd.blank)
	if fd.measure != "" {
		w.blank(name, shown, fd.measure)
	}
	return placeholder.ReplaceAllStringFunc(shown, func(m string) string { return w.field(strings.TrimSpace(m[2 : len(m)-2])) })
}

// words are a text without fields in the reader's units.
func (f *Facts) words(s string) string { return f.blankIn(f.volumeWord(s)) }

// blank notes a hole, once.
func (w *filler) blank(name, shown, measure string) {
	if w.seen[name] {
		return
	}
	w.seen[name] = true
	w.blanks = append(w.blanks, Blank{Field: name, Shown: shown, Measure: w.facts.volumeWord(measure)})
}

// blankIn shows a blank in the reader's units.
func (f *Facts) blankIn(blank string) string {
	if f.Units != units.US {
		return blank
	}
	return strings.NewReplacer("____ L", "____ gal", "____ kg", "____ lb", "°C", "°F").Replace(blank)
}

// caution fills a caution of the library.
func (w *filler) caution(c Caution) Caution {
	w.cautions[c.ID] = true
	c.Hazard, c.Consequence, c.Avoid = w.text(c.Hazard), w.text(c.Consequence), w.text(c.Avoid)
	return c
}

// basis lists where the cautions printed come from, those of memory.
func (w *filler) basis(l *Library) []string {
	var memory []string
	for _, c := range l.Cautions {
		if w.cautions[c.ID] && strings.Contains(c.Basis, "from memory") {
			memory = append(memory, c.ID+": "+c.Basis)
		}
	}
	if len(memory) == 0 {
		return nil
	}
	return []string{"Cautions not yet checked against their source. " + strings.Join(memory, ". ") + "."}
}

// lines fills the items of a block that are printed at this site.
func (w *filler) lines(l *Library, items []Item) []Line {
	var out []Line
	for i := range items {
		// A table of results without an aim in µg/L is blanks that nobody can fill.
		if ladder := planTables[items[i].Table]; !ladder && items[i].Table != "" && w.facts.Profile.Known && w.facts.bare(items[i].Table) {
			continue
		}
		if w.facts.Profile.shows(&items[i]) {
			out = append(out, w.line(l, &items[i]))
		}
	}
	return out
}

func (w *filler) line(l *Library, it *Item) Line {
	ln := Line{ID: it.ID, Category: it.Category, Hazards: it.Hazards, Locked: it.Locked, Twice: it.Twice, Effects: it.Effects, Needs: it.Needs}
	switch {
	case it.Do != "":
		w.step(&ln, it)
	case it.Ask != "":
		ln.Kind, ln.Text, ln.By, ln.Most = DecisionLine, w.text(it.Ask), it.By, mostWords(it.Most)
	case it.Caution != "":
		c := Caution{ID: it.Caution}
		if known := l.caution(it.Caution); known != nil {
			c = w.caution(*known)
		}
		ln.Kind, ln.Caution = CautionLine, &c
	case it.Table != "":
		t := w.facts.table(it.Table)
		ln.Kind, ln.Table = TableLine, &t
	default:
		ln.Kind, ln.Text = NoteLine, w.text(it.Note)
	}
	ln.Wait, ln.Meanwhile, ln.Late = w.text(it.Wait), w.text(it.Meanwhile), w.text(it.Late)
	return ln
}

// step gives a line the words and effects of its step at this site, and those for what may be lacking.
func (w *filler) step(ln *Line, it *Item) {
	text, effects, _ := it.at(w.facts.Profile)
	ln.Kind, ln.Text, ln.Effects = StepLine, w.text(text), effects
	if text == it.Do {
		ln.Card = it.Card
		if it.Lacking != "" && w.facts.Profile.unsure(it.Needs) && !slices.Equal(it.Needs, []string{"backup"}) && !slices.Equal(it.Needs, []string{"feeder"}) {
			ln.Lacking = w.text(it.Lacking)
		}
	}
	if it.Until != "" {
		ln.Until = w.text(it.Until)
	}
}

// mostWords says how often a way back may be taken.
func mostWords(most string) string {
	switch most {
	case "", everyRow:
		return most
	case "1":
		return "once"
	}
	return most + " times"
}

// notices are for whoever prints the card.
func (c *Card) notices(f *Facts, p *Playbook) []string {
	var out []string
	if f.System == "" {
		out = append(out, "No site file: bands and limits are usual values, and litres are blank. Write this tank's own before the day.")
	}
	if n := len(c.Blanks); n > 0 {
		out = append(out, units.Count(n, "blank")+" to fill in before the day.")
	}
	if !c.Shared && f.phone("emergency").Number == "" {
		out = append(out, "The emergency number is blank: write it on the front today.")
	}
	if len(f.Contacts) == 0 {
		out = append(out, "No phone numbers are known: write them on card Contacts today.")
	}
	if len(f.Stores) > 0 && p.Water {
		var parts []string
		for i, st := range f.Stores {
			if i == 8 {
				parts = append(parts, fmt.Sprintf("%d more", len(f.Stores)-i))
				break
			}
			note := ""
			if f.OverAge[st.ID] {
				note = " (too old, not counted)"
			}
			parts = append(parts, st.ID+" "+f.amount(st.Volume.InexactFloat64(), units.Down)+note)
		}
		out = append(out, f.volumeWord("The litres hold for this stock: ")+strings.Join(parts, ", ")+". Print again when it changes.")
	}
	if f.Printed.After(c.Due) {
		out = append(out, "The text was last reviewed on "+p.Reviewed.Format(time.DateOnly)+": review it before relying on it.")
	}
	if len(f.Assumptions) > 0 { // without their number, which each card of a binder has another of
		out = append(out, "Some values are not given by the site file but assumed; the JSON form lists each with its basis.")
	}
	if p.Adapts != "" {
		out = append(out, "Adapted by the keeper: "+p.File+".")
	}
	return append(out, f.Warnings...)
}

// Card fills a card and, for a keeper's own one, says on its last page which
// criteria of weight 3 it fails and which rules of safety it breaks.
func (l *Library) Card(p *Playbook, f *Facts, layout Layout) Card {
	c := l.Fill(p, f)
	if p.File == "" {
		return c
	}
	for _, x := range l.Score(c, layout).Failed(3) {
		c.Notices = append(c.Notices, fmt.Sprintf("This card fails criterion %s, %s: %s.", x.ID, x.Text, x.Found))
	}
	for _, v := range l.Walk(p, f.Profile).Violations {
		c.Notices = append(c.Notices, fmt.Sprintf("This card breaks rule %d, %s: %s.", v.Rule, Rules[v.Rule-1], v.Text))
	}
	return c
}
