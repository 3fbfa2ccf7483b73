package playbook

import (
	"strconv"
	"strings"

	"tidehold/refs"
	"tidehold/refs/yamlwalk"
)

// words lists typed constants for Choice.
func words[T ~string](list []T) []string {
	out := make([]string, len(list))
	for i, w := range list {
		out[i] = string(w)
	}
	return out
}

// formatOne insists on format: 1.
func formatOne(n *yamlwalk.Node) { n.Count(1, 1) }

// texts reads a list of words, each as it stands or one of a closed list.
func texts(n *yamlwalk.Node, allowed string, choice ...string) []string {
	if n == nil {
		return nil
	}
	var out []string
	for _, i := range n.Items(allowed) {
		s := ""
		if len(choice) > 0 {
			s = i.Choice(choice...)
		} else {
			s = i.Text(allowed)
		}
		if s != "" {
			out = append(out, s)
		}
	}
	return out
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
		out = append(out, Caution{
			ID:          f.Get("id").Text("a name"),
			Signal:      Signal(f.Get("signal").Choice(words(signals)...)),
			Hazard:      f.Get("hazard").Text("what can harm"),
			Consequence: f.Get("consequence").Text("what it does"),
			Avoid:       f.Get("avoid").Text("how to stay out of it"),
			Basis:       f.Get("basis").Text("where the rule comes from"),
			Hazards:     texts(f.Get("hazards"), "a list of hazards"),
		})
	}
	return out
}

// readWhole reads a card that stands alone.
func (l *Library) readWhole(doc *yamlwalk.Doc) Playbook {
	f := doc.Root.Fields(
		[]string{"format", "name", "version", "reviewed", "title", "use_when", "goal", "hazards", "blocks", "complete"},
		[]string{"not_when", "kind", "synonyms", "danger", "phones", "water", "contaminant", "fast_poison", "failed", "power_out",
			"unknown_cause", "sitter", "kit", "basis", "box"})
	formatOne(f.Get("format"))
	p := Playbook{
		File:     doc.File,
		Name:     readName(f.Get("name")),
		Title:    f.Get("title").Text("what the keeper sees or hears"),
		UseWhen:  f.Get("use_when").Text("a line that begins with \"Use when\""),
		NotWhen:  f.Get("not_when").Text("a line that begins with \"Not when\""),
		Goal:     f.Get("goal").Text("one line with a measurable end"),
		Complete: f.Get("complete").Text("the completion line"),
		Synonyms: texts(f.Get("synonyms"), "words people use"),
		Phones:   texts(f.Get("phones"), "who is phoned", callees...),
		Kit:      texts(f.Get("kit"), "a thing to have"),
		Basis:    texts(f.Get("basis"), "where a number comes from"),
		Hazards:  l.readHazards(f.Get("hazards")),
	}
	p.Version, _ = f.Get("version").Count(1, 9999)
	p.Reviewed, _ = f.Get("reviewed").Date()
	p.Shared = f.Get("kind").Choice("event", "shared") == "shared"
	p.Danger = f.Get("danger").Choice(l.cautionIDs()...)
	p.Failed = f.Get("failed").Choice(devices...)
	for key, to := range map[string]*bool{"water": &p.Water, "contaminant": &p.Contaminant, "fast_poison": &p.FastPoison,
		"power_out": &p.PowerOut, "unknown_cause": &p.Unknown, "sitter": &p.Sitter} {
		*to, _ = f.Get(key).YesNo()
	}
	if len(p.Phones) == 0 {
		p.Phones = []string{"emergency", "electrician", "veterinarian"}
	}
	l.readBlocks(&p, doc, f)
	return p
}

// readBlocks reads the box and the blocks of a card.
func (l *Library) readBlocks(p *Playbook, doc *yamlwalk.Doc, f yamlwalk.Fields) {
	if box := f.Get("box"); box != nil {
		for _, n := range box.Items("a list of at most four steps") {
			p.Box = append(p.Box, l.readItem(n))
		}
	} else if !p.Shared {
		doc.Root.Fault("box is missing", "the card of an event has a box of at most four steps", "")
	}
	for _, n := range f.Get("blocks").Items("a list of blocks") {
		p.Blocks = append(p.Blocks, l.readBlock(n))
	}
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

// readBlock reads a block.
func (l *Library) readBlock(n *yamlwalk.Node) Block {
	f := n.Fields([]string{"id", "heading", "stage", "items"}, nil)
	b := Block{
		ID:      readName(f.Get("id")),
		Heading: f.Get("heading").Text("a short heading"),
		Stage:   Stage(f.Get("stage").Choice(words(stages)...)),
	}
	for _, i := range f.Get("items").Items("a list of lines") {
		b.Items = append(b.Items, l.readItem(i))
	}
	return b
}

// leads are the keys that say what kind of line an item is.
var leads = []string{"do", "ask", "caution", "note", "table"}

// senses are the ways a decision may be settled.
var senses = []string{"look", "listen", "smell", "read", "count", "ask"}

// readItem reads one line of a block.
func (l *Library) readItem(n *yamlwalk.Node) Item {
	it := Item{node: n}
	only := []string{"only", "unless"}
	switch {
	case n.Child("do") != nil:
		l.readStep(n, &it)
	case n.Child("ask") != nil:
		l.readAsk(n, &it)
	case n.Child("caution") != nil:
		f := n.Fields([]string{"caution"}, only)
		it.Caution = f.Get("caution").Choice(l.cautionIDs()...)
		it.Locked = true
		readOnly(f, &it)
	case n.Child("note") != nil:
		f := n.Fields([]string{"note"}, only)
		it.Note = f.Get("note").Text("a line of information")
		readOnly(f, &it)
	case n.Child("table") != nil:
		f := n.Fields([]string{"table"}, only)
		it.Table = f.Get("table").Choice(tableNames()...)
		readOnly(f, &it)
	default:
		n.Fields(nil, leads)
		if n.Kind() == yamlwalk.Mapping {
			n.Fault("a line without a kind", "one of "+strings.Join(leads, ", "), "")
		}
	}
	return it
}

// readAsk reads a question.
func (l *Library) readAsk(n *yamlwalk.Node, it *Item) {
	f := n.Fields([]string{"id", "ask", "by", "yes", "no"},
		[]string{"wait", "meanwhile", "late", "locked", "effect", "yes_means", "no_means", "most", "then", "only", "unless", "hazards"})
	it.ID = readName(f.Get("id"))
	it.Ask = f.Get("ask").Text("a question that ends with a question mark")
	it.By = f.Get("by").Choice(senses...)
	it.Yes = f.Get("yes").Text("the step to go on with: next, after, done, or its id")
	it.No = f.Get("no").Text("the step to go on with: next, after, done, or its id")
	it.YesMeans = texts(f.Get("yes_means"), "what the answer tells", findings...)
	it.NoMeans = texts(f.Get("no_means"), "what the answer tells", findings...)
	it.Locked, _ = f.Get("locked").YesNo()
	it.Most, it.Then = f.Get("most").Text("a number, or rows"), f.Get("then").Text("the step to go on with after that")
	if it.Most != "" && it.Most != "rows" {
		if k, err := strconv.Atoi(it.Most); err != nil || k < 1 || k > 99 {
			f.Get("most").Fault(yamlwalk.Quote(it.Most)+" is no number of times", "1 to 99, or rows", "")
		}
	}
	it.Hazards = l.readHazards(f.Get("hazards"))
	it.Effects = readEffects(f.Get("effect"))
	readOnly(f, it)
	readWait(f, it)
}

// readStep reads an instruction.
func (l *Library) readStep(n *yamlwalk.Node, it *Item) {
	f := n.Fields([]string{"id", "do", "category"},
		[]string{"effect", "needs", "lacking", "lacking_effect", "only", "unless", "locked", "twice", "hazards", "wait", "meanwhile", "late", "until", "then", "card"})
	it.ID = readName(f.Get("id"))
	it.Do = f.Get("do").Text("an instruction that begins with a verb")
	it.Category = Category(f.Get("category").Choice(words(categories)...))
	it.Locked, _ = f.Get("locked").YesNo()
	it.Twice, _ = f.Get("twice").YesNo()
	it.Hazards = l.readHazards(f.Get("hazards"))
	it.Until, it.Then = f.Get("until").Text("what the step waits for"), f.Get("then").Text("the step to go on with")
	it.Card = f.Get("card").Choice(sharedNames...)
	it.Lacking = f.Get("lacking").Text("the step where that is missing")
	it.LackingEffects = readEffects(f.Get("lacking_effect"))
	it.Needs = readNeeds(f.Get("needs"))
	it.Effects = readEffects(f.Get("effect"))
	readOnly(f, it)
	readWait(f, it)
	if !l.verified {
		verifyWords(n, it)
	}
	if (it.Lacking != "") != (len(it.Needs) > 0) && it.Lacking != "" {
		n.Fault("lacking without needs", "what is it that may be missing?", "")
	}
	stops := hasEffect(it.Effects, "stop until")
	if stops != (it.Until != "") || stops != (it.Then != "") && it.Card == "" {
		n.Fault("a stop that is told in part", "effect stop until, until: and then: together", "")
	}
}

// readEffects reads what a step does.
func readEffects(n *yamlwalk.Node) []Effect {
	if n == nil {
		return nil
	}
	var out []Effect
	for _, e := range texts(n, "a list of effects", allowedEffects()...) {
		out = append(out, Effect(e))
	}
	return out
}

// readHazards reads hazards that cautions of the library guard against.
func (l *Library) readHazards(n *yamlwalk.Node) []string {
	if n == nil {
		return nil
	}
	return texts(n, "a list of hazards", l.knownHazards()...)
}

// readOnly reads at which sites a line is printed.
func readOnly(f yamlwalk.Fields, it *Item) {
	it.Only, it.Unless = readNeeds(f.Get("only")), readNeeds(f.Get("unless"))
}

// readNeeds reads what a site must have.
func readNeeds(n *yamlwalk.Node) []string {
	if n == nil {
		return nil
	}
	var out []string
	for _, i := range n.Items("a list of needs") {
		if _, ok := kitNeed(i.Raw()); ok {
			out = append(out, i.Text("a thing of the kit"))
		} else if s := i.Choice(siteNeeds...); s != "" {
			out = append(out, s)
		}
	}
	return out
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

// hasEffect says that one of the effects is, or begins with, this.
func hasEffect(list []Effect, want string) bool {
	for _, e := range list {
		if string(e) == want || e.verb() == want {
			return true
		}
	}
	return false
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
		return refs.DidYouMean(n)
	}
	return ""
}
