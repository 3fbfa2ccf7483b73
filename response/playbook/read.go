package playbook

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"tidehold/refs"
	"tidehold/refs/yamlwalk"
)

// knownHazards are the hazards a sheet or a step may name: those some caution of
// the library guards against.
func (l *Library) knownHazards() []string {
	set := map[string]bool{}
	for _, c := range l.Cautions {
		for _, h := range c.Hazards {
			set[h] = true
		}
	}
	return slices.Sorted(maps.Keys(set))
}

// words lists typed constants for Choice.
func words[T ~string](list []T) []string {
	out := make([]string, len(list))
	for i, w := range list {
		out[i] = string(w)
	}
	return out
}

// formatOne insists on format: 1.
func formatOne(n *yamlwalk.Node) {
	n.Count(1, 1)
}

// readCautions reads the library of cautions.
func readCautions(doc *yamlwalk.Doc) []Caution {
	if doc.Root == nil {
		return nil
	}
	top := doc.Root.Fields([]string{"format", "cautions"}, nil)
	formatOne(top.Get("format"))
	var out []Caution
	for _, n := range top.Get("cautions").Items("a list of cautions") {
		f := n.Fields([]string{"id", "signal", "hazards", "hazard", "consequence", "avoid", "basis"}, nil)
		c := Caution{
			ID:          f.Get("id").Text("a name"),
			Signal:      Signal(f.Get("signal").Choice(words(signals)...)),
			Hazard:      f.Get("hazard").Text("what can harm"),
			Consequence: f.Get("consequence").Text("what it does"),
			Avoid:       f.Get("avoid").Text("how to stay out of it"),
			Basis:       f.Get("basis").Text("where the rule comes from"),
		}
		for _, h := range f.Get("hazards").Items("a list of hazards") {
			c.Hazards = append(c.Hazards, h.Text("a hazard"))
		}
		out = append(out, c)
	}
	return out
}

// readShared reads the blocks that several sheets use.
func (l *Library) readShared(doc *yamlwalk.Doc) map[string]Block {
	if doc.Root == nil {
		return nil
	}
	top := doc.Root.Fields([]string{"format", "blocks"}, nil)
	formatOne(top.Get("format"))
	out := map[string]Block{}
	for _, n := range top.Get("blocks").Items("a list of blocks") {
		b := l.readBlock(n)
		out[b.ID] = b
	}
	return out
}

// readWhole reads a playbook that stands alone.
func (l *Library) readWhole(doc *yamlwalk.Doc) Playbook {
	f := doc.Root.Fields(
		[]string{"format", "name", "version", "reviewed", "title", "use_when", "goal", "hazards", "box", "blocks", "complete"},
		[]string{"not_when", "words", "unknown_cause", "sitter"})
	formatOne(f.Get("format"))
	p := Playbook{
		File:     doc.File,
		Name:     readName(f.Get("name")),
		Title:    f.Get("title").Text("what the keeper sees or hears"),
		UseWhen:  f.Get("use_when").Text("a line that begins with \"Use when\""),
		NotWhen:  f.Get("not_when").Text("a line that begins with \"Not when\""),
		Goal:     f.Get("goal").Text("one line with a measurable end"),
		Complete: f.Get("complete").Text("the completion line"),
		Words:    readWords(f.Get("words")),
	}
	p.Version, _ = f.Get("version").Count(1, 9999)
	p.Reviewed, _ = f.Get("reviewed").Date()
	p.Unknown, _ = f.Get("unknown_cause").YesNo()
	p.Sitter, _ = f.Get("sitter").YesNo()
	p.Hazards = l.readHazards(f.Get("hazards"))
	for _, n := range f.Get("box").Items("a list of at most four steps, with their cautions") {
		p.Box = append(p.Box, l.readItem(n))
	}
	for _, n := range f.Get("blocks").Items("a list of blocks") {
		p.Blocks = append(p.Blocks, l.readBlock(n))
	}
	return p
}

// readName reads the word a playbook is called by.
func readName(n *yamlwalk.Node) string {
	s := n.Text("a name in small letters, like heater-break")
	if strings.Trim(s, "abcdefghijklmnopqrstuvwxyz0123456789-") != "" {
		n.Fault(yamlwalk.Quote(s)+" is no plain name", "small letters, digits and hyphens", "")
		return ""
	}
	return s
}

// readWords reads the sheet's own words for shared blocks.
func readWords(n *yamlwalk.Node) map[string]string {
	out := map[string]string{}
	if n == nil {
		return out
	}
	if n.Kind() != yamlwalk.Mapping {
		n.Fields(nil, wordNames)
		return out
	}
	n.Fields(nil, wordNames)
	for _, e := range n.Entries() {
		out[e.Key] = e.Value.Text("a few words")
	}
	return out
}

// wordNames are the words a shared block may ask a sheet for.
var wordNames = []string{"sign", "analytes", "stop", "abort", "reading"}

// readHazards reads a list of hazards the library knows.
func (l *Library) readHazards(n *yamlwalk.Node) []string {
	var out []string
	for _, h := range n.Items("a list of hazards") {
		if s := h.Choice(l.knownHazards()...); s != "" {
			out = append(out, s)
		}
	}
	return out
}

// readBlock reads a block, or the name of a shared one.
func (l *Library) readBlock(n *yamlwalk.Node) Block {
	if n.Child("use") != nil {
		f := n.Fields([]string{"use"}, nil)
		id := f.Get("use").Choice(slices.Sorted(maps.Keys(l.Shared))...)
		return Block{ID: id, use: id, node: n}
	}
	f := n.Fields([]string{"id", "heading", "stage", "role", "items"}, nil)
	b := Block{
		ID:      readName(f.Get("id")),
		Heading: f.Get("heading").Text("a short heading"),
		Stage:   Stage(f.Get("stage").Choice(words(stages)...)),
		Role:    Role(f.Get("role").Choice(words(roles)...)),
		node:    n,
	}
	for _, i := range f.Get("items").Items("a list of lines") {
		b.Items = append(b.Items, l.readItem(i))
	}
	return b
}

// leads are the keys that say what kind of line an item is.
var leads = []string{"do", "ask", "caution", "note", "table", "times"}

// readItem reads one line of a block.
func (l *Library) readItem(n *yamlwalk.Node) Item {
	it := Item{node: n}
	lead := ""
	for _, k := range leads {
		if n.Child(k) != nil {
			lead = k
			break
		}
	}
	switch lead {
	case "do":
		l.readStep(n, &it)
	case "ask":
		f := n.Fields([]string{"id", "ask", "by", "yes", "no"}, []string{"wait", "meanwhile", "late", "locked"})
		it.ID = readName(f.Get("id"))
		it.Ask = f.Get("ask").Text("a question that ends with a question mark")
		it.By = f.Get("by").Choice(senses...)
		it.Yes = f.Get("yes").Text("the step to go on with: next, after, or its id")
		it.No = f.Get("no").Text("the step to go on with: next, after, or its id")
		it.Locked, _ = f.Get("locked").YesNo()
		readWait(f, &it)
	case "caution":
		it.Caution = n.Fields([]string{"caution"}, nil).Get("caution").Choice(l.cautionIDs()...)
		it.Locked = true
	case "note":
		it.Note = n.Fields([]string{"note"}, nil).Get("note").Text("a line of information")
	case "table":
		it.Table = n.Fields([]string{"table"}, nil).Get("table").Choice(tableNames()...)
	case "times":
		for _, t := range n.Fields([]string{"times"}, nil).Get("times").Items("a list of times after the start, like 4 h") {
			if s := t.Text("a time like 4 h"); hoursOf(s) > 0 {
				it.Times = append(it.Times, s)
			} else if s != "" {
				t.Fault(yamlwalk.Quote(s)+" is no time", "minutes, hours or days: 30 min, 4 h, 3 d", "")
			}
		}
	default:
		n.Fields(nil, leads)
		if n.Kind() == yamlwalk.Mapping {
			n.Fault("a line without a kind", "one of "+strings.Join(leads, ", "), "")
		}
	}
	return it
}

// senses are the ways a decision may be settled.
var senses = []string{"look", "listen", "smell", "read", "count", "ask"}

// readStep reads an instruction.
func (l *Library) readStep(n *yamlwalk.Node, it *Item) {
	f := n.Fields([]string{"id", "do", "category"}, []string{"locked", "twice", "hazards", "wait", "meanwhile", "late"})
	it.ID = readName(f.Get("id"))
	it.Do = f.Get("do").Text("an instruction that begins with a verb")
	it.Category = Category(f.Get("category").Choice(words(categories)...))
	it.Locked, _ = f.Get("locked").YesNo()
	it.Twice, _ = f.Get("twice").YesNo()
	it.Hazards = l.readHazards(f.Get("hazards"))
	readWait(f, it)
}

// readWait reads how long a step waits, what to do until then, and what to do
// when the time cannot be kept: all three or none.
func readWait(f yamlwalk.Fields, it *Item) {
	it.Wait = f.Get("wait").Text("how long")
	it.Meanwhile = f.Get("meanwhile").Text("what to do until then")
	it.Late = f.Get("late").Text("what to do when the time cannot be kept")
	given := 0
	for _, s := range []string{it.Wait, it.Meanwhile, it.Late} {
		if s != "" {
			given++
		}
	}
	if given == 1 || given == 2 {
		it.node.Fault("a wait that is told in part", "wait, meanwhile and late together", "")
	}
}

func (l *Library) cautionIDs() []string {
	out := make([]string, len(l.Cautions))
	for i, c := range l.Cautions {
		out[i] = c.ID
	}
	return out
}

// caution finds an entry of the library.
func (l *Library) caution(id string) *Caution {
	for i := range l.Cautions {
		if l.Cautions[i].ID == id {
			return &l.Cautions[i]
		}
	}
	return nil
}

// near is the hint for a word that is not among the known ones.
func near(word string, known []string) string {
	if n, ok := refs.Nearest(word, known); ok {
		return fmt.Sprintf("did you mean %s", n)
	}
	return ""
}
