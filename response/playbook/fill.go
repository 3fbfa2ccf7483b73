package playbook

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"tidehold/refs/units"
	"tidehold/response/figure"
)

// footer is printed on every page.
var footer = []string{
	"This list does not replace local law and codes, a licensed electrician or a veterinarian.",
}

// Fill joins a playbook with what is known. The result depends on nothing else:
// the same playbook and facts give the same sheet.
func (l *Library) Fill(p *Playbook, f *Facts) Sheet {
	s := Sheet{
		Name: p.Name, Site: f.Site, System: f.System, Event: f.Event,
		Version: p.Version, Reviewed: p.Reviewed, ValidUntil: p.Reviewed.AddDate(1, 0, 0), Printed: f.Printed,
		Complete: p.Complete, Footer: footer, Hazards: slices.Clone(p.Hazards), Unknown: p.Unknown, Sitter: p.Sitter,
		Curve: f.curve(),
	}
	if f.Plan != nil {
		s.Aim = f.Plan.AimLeft
	}
	w := &filler{facts: f, seen: map[string]bool{}}
	s.Title, s.UseWhen, s.NotWhen, s.Goal = w.text(p.Title), w.text(p.UseWhen), w.text(p.NotWhen), w.text(p.Goal)
	s.Groups = append(s.Groups, Group{ID: "box", Heading: "Do this now", Boxed: true, Stage: StageNow, Role: Keeper, Lines: w.lines(l, p.Box)})
	for _, b := range p.Blocks {
		s.Groups = append(s.Groups, Group{ID: b.ID, Heading: b.Heading, Stage: b.Stage, Role: b.Role, Lines: w.lines(l, b.Items)})
	}
	s.number()
	s.resolve(p)
	s.Blanks = w.blanks
	s.Stock = f.stock()
	s.Notices = s.notices(f, p)
	return s
}

// filler fills texts and keeps a list of the blanks it left.
type filler struct {
	facts  *Facts
	seen   map[string]bool
	blanks []Blank
	// measure collects what the current line needs measured.
	measure []string
}

// text replaces every field by its value or its blank.
func (w *filler) text(s string) string {
	return placeholder.ReplaceAllStringFunc(w.facts.volumeWord(s), func(m string) string {
		name := strings.TrimSpace(m[2 : len(m)-2])
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
		shown := w.facts.blankIn(fd.blank)
		if fd.measure != "" {
			w.blank(name, shown, fd.measure)
		}
		return shown
	})
}

// blank notes a hole: once on the sheet's list, and on the line where it is first
// met.
func (w *filler) blank(name, shown, measure string) {
	if w.seen[name] {
		return
	}
	w.seen[name] = true
	measure = w.facts.volumeWord(measure)
	w.blanks = append(w.blanks, Blank{Field: name, Shown: shown, Measure: measure})
	w.measure = append(w.measure, measure)
}

// blankIn shows a blank in the reader's units.
func (f *Facts) blankIn(blank string) string {
	if f.Units != units.US {
		return blank
	}
	return strings.NewReplacer("____ L", "____ gal", "____ kg", "____ lb", "°C", "°F").Replace(blank)
}

// lines fills the items of a block.
func (w *filler) lines(l *Library, items []Item) []Line {
	var out []Line
	for _, it := range items {
		out = append(out, w.line(l, it))
	}
	return out
}

func (w *filler) line(l *Library, it Item) Line {
	w.measure = nil
	ln := Line{ID: it.ID, Category: it.Category, Hazards: it.Hazards, Locked: it.Locked, Twice: it.Twice}
	switch {
	case it.Do != "":
		ln.Kind, ln.Text = StepLine, w.text(it.Do)
	case it.Ask != "":
		ln.Kind, ln.Text, ln.By = DecisionLine, w.text(it.Ask), it.By
	case it.Caution != "":
		c := Caution{ID: it.Caution}
		if known := l.caution(it.Caution); known != nil {
			c = *known
		}
		c.Hazard, c.Consequence, c.Avoid = w.text(c.Hazard), w.text(c.Consequence), w.text(c.Avoid)
		ln.Kind, ln.Caution = CautionLine, &c
	case it.Table == curveName:
		ln.Kind = FigureLine
	case it.Table != "":
		t := w.facts.table(it.Table)
		ln.Kind, ln.Table = TableLine, &t
	case len(it.Times) > 0:
		t := w.facts.retests(it.Times)
		ln.Kind, ln.Table = TableLine, &t
	default:
		ln.Kind, ln.Text = NoteLine, w.text(it.Note)
	}
	ln.Wait, ln.Meanwhile, ln.Late = w.text(it.Wait), w.text(it.Meanwhile), w.text(it.Late)
	ln.Measure = w.measure
	return ln
}

// number counts steps and decisions through the sheet.
func (s *Sheet) number() {
	n := 0
	for g := range s.Groups {
		for i := range s.Groups[g].Lines {
			ln := &s.Groups[g].Lines[i]
			if ln.Ticked() {
				n++
				ln.Number = n
			}
			if ln.Locked {
				s.Locked++
			}
		}
	}
}

// resolve turns the targets of decisions into step numbers.
func (s *Sheet) resolve(p *Playbook) {
	at := map[string]int{}
	for _, g := range s.Groups {
		for _, ln := range g.Lines {
			if ln.ID != "" {
				at[ln.ID] = ln.Number
			}
		}
	}
	total := s.Steps()
	p.each(func(it *Item) {
		if it.Ask == "" {
			return
		}
		g, ln := s.find(it.ID)
		if ln == nil {
			return
		}
		target := func(to string) int {
			n, ok := at[to]
			switch {
			case to == "next":
				n, ok = ln.Number+1, true
			case to == "after":
				n, ok = s.lastIn(g)+1, true
			}
			if !ok {
				return -1
			}
			if n > total {
				return 0
			}
			return n
		}
		ln.Yes, ln.No = target(it.Yes), target(it.No)
	})
}

// find returns the group and line of a step.
func (s *Sheet) find(id string) (int, *Line) {
	for g := range s.Groups {
		for i := range s.Groups[g].Lines {
			if s.Groups[g].Lines[i].ID == id {
				return g, &s.Groups[g].Lines[i]
			}
		}
	}
	return 0, nil
}

// lastIn is the number of the last numbered line up to the end of group g.
func (s *Sheet) lastIn(g int) int {
	last := 0
	for i := 0; i <= g; i++ {
		for _, ln := range s.Groups[i].Lines {
			last = max(last, ln.Number)
		}
	}
	return last
}

// Steps is the number of numbered lines.
func (s *Sheet) Steps() int { return s.lastIn(len(s.Groups) - 1) }

// notices are what a reader must know before trusting the sheet.
func (s *Sheet) notices(f *Facts, p *Playbook) []string {
	var out []string
	if f.System == "" {
		out = append(out, "NO SITE FILE: this sheet has no numbers of its own. Fill in every blank before the day.")
	}
	if n := len(s.Blanks); n > 0 {
		out = append(out, fmt.Sprintf("%s to fill in before the day. The line below each one says what to measure.", units.Count(n, "blank")))
	}
	if len(f.Contacts) == 0 {
		out = append(out, "No phone numbers are known: write them into the table of contacts today.")
	}
	if f.Printed.After(s.ValidUntil) {
		out = append(out, "The text was last reviewed on "+p.Reviewed.Format(time.DateOnly)+": review it before relying on it.")
	}
	if n := len(f.Assumptions); n > 0 {
		out = append(out, fmt.Sprintf("%s not given by the site file but assumed; the JSON form lists each with its basis.", valuesAre(n)))
	}
	if p.Adapts != "" {
		out = append(out, "Adapted by the keeper: "+p.File+".")
	}
	out = append(out, f.Warnings...)
	return out
}

// valuesAre counts values with their verb.
func valuesAre(n int) string {
	if n == 1 {
		return "1 value is"
	}
	return fmt.Sprintf("%d values are", n)
}

// Sheet fills a playbook and, for a keeper's own one, says at its top which
// criteria of weight 3 it fails.
func (l *Library) Sheet(p *Playbook, f *Facts, layout Layout) Sheet {
	s := l.Fill(p, f)
	if p.File == "" {
		return s
	}
	for _, c := range l.Score(s, layout).Failed(3) {
		s.Notices = append(s.Notices, fmt.Sprintf("This sheet fails criterion %s, %s: %s.", c.ID, c.Text, c.Found))
	}
	return s
}

// stock says for which water the numbers hold.
func (f *Facts) stock() string {
	if len(f.Vats) == 0 {
		return ""
	}
	var parts []string
	for _, v := range f.Vats {
		parts = append(parts, fmt.Sprintf("%s %s", v.ID, f.amount(v.VolumeL, units.Down)))
	}
	return "Printed for this stock: " + strings.Join(parts, ", ") + "."
}

// curve is the share left over time, as steps.
func (f *Facts) curve() []figure.Level {
	if f.Plan == nil || len(f.Plan.Changes) == 0 {
		return nil
	}
	left := 1.0
	out := []figure.Level{{H: 0, C: left}}
	for _, c := range f.Plan.Changes {
		out = append(out, figure.Level{H: c.AtH, C: left}, figure.Level{H: c.DoneH, C: c.Left})
		left = c.Left
	}
	return out
}
