package playbook

import (
	"embed"
	"fmt"
	"regexp"
	"slices"
	"sync"

	"tidehold/refs/yamlwalk"
)

//go:embed cards/*.yaml
var cardFiles embed.FS

// order is the order of the index: what burns first, then by what is seen. The
// unknown cause and the sitter's card come last.
var order = []string{
	"fire-or-smoke", "heater-break", "breaker-tripped", "outage", "too-hot", "too-cold", "leak", "vat-overflow", "skimmer-overflow",
	"top-off-overrun", "dosing-overrun", "gas-reactor", "ammonia", "chlorine", "wrong-thing-in", "unknown", "sitter",
}

// sharedNames are the cards that several events send people to, in the order of
// the binder.
var sharedNames = []string{
	"person-hurt", "power-off", "change-water", "mix-batch", "move-animals", "samples", "carbon", "waste", "watch", "contacts",
}

// oldNames are names of events in site files of earlier editions.
var oldNames = map[string]string{"chilled": "too-cold", "heater-stuck-on": "too-hot", "unknown-substance": "unknown"}

// Current is the name a card has now: old names of site files stay good.
func Current(name string) string {
	if now, ok := oldNames[name]; ok {
		return now
	}
	return name
}

// Library is what cards are made from: cautions and the cards themselves. A card
// that comes with the tool is read when it is asked for.
type Library struct {
	Cautions []Caution
	// own are a keeper's cards, in the order they were given; one that adapts a
	// built-in card stands in its place.
	own []*Playbook
	// built are those read so far.
	built *shelf
	// verified says that what is read was verified before, by a test: the cards of the tool.
	verified bool
}

// shelf holds the built-in cards read so far.
type shelf struct {
	mu    sync.Mutex
	cards map[string]*Playbook
}

// Builtin is the library that comes with the tool. It panics when the embedded
// cautions are faulty, which a test rules out.
func Builtin() *Library { return builtin() }

var builtin = sync.OnceValue(func() *Library {
	l := &Library{built: &shelf{cards: map[string]*Playbook{}}}
	if err := load("cautions", func(d *yamlwalk.Doc) { l.Cautions = readCautions(d) }); err != nil {
		panic("embedded cautions: " + err.Error())
	}
	return l
})

// load reads one embedded file.
func load(name string, read func(*yamlwalk.Doc)) error {
	file := "cards/" + name + ".yaml"
	data, err := cardFiles.ReadFile(file)
	if err != nil {
		return err
	}
	doc := yamlwalk.Parse(file, data)
	if doc.Root != nil {
		read(doc)
	}
	return doc.Faults().Err()
}

// embedded reads a built-in card once. It panics when the card is faulty, which a
// test rules out.
func (l *Library) embedded(name string) *Playbook {
	l.built.mu.Lock()
	defer l.built.mu.Unlock()
	if p := l.built.cards[name]; p != nil {
		return p
	}
	p, err := l.readBuilt(name, true)
	if err != nil {
		panic("embedded card: " + err.Error())
	}
	l.built.cards[name] = &p
	return &p
}

// readBuilt reads a built-in card, and verifies it unless that was done before.
func (l *Library) readBuilt(name string, verified bool) (p Playbook, err error) {
	reader := Library{Cautions: l.Cautions, verified: verified}
	err = load(name, func(d *yamlwalk.Doc) {
		p = reader.readWhole(d)
		if !verified {
			reader.verify(&p, d.Root)
		}
		p.File = ""
	})
	return p, err
}

// Names lists the events' cards in the order of the index; a keeper's own that
// stand alone come last.
func (l *Library) Names() []string {
	out := slices.Clone(order)
	for _, p := range l.own {
		if !slices.Contains(out, p.Name) && !slices.Contains(sharedNames, p.Name) {
			out = append(out, p.Name)
		}
	}
	return out
}

// Shared lists the cards several events send people to, in the order of the binder.
func (l *Library) Shared() []string { return slices.Clone(sharedNames) }

// Find returns the card of that name, or of the name it had earlier; nil if there
// is none.
func (l *Library) Find(name string) *Playbook {
	name = Current(name)
	for _, p := range l.own {
		if p.Name == name {
			return p
		}
	}
	if slices.Contains(order, name) || slices.Contains(sharedNames, name) {
		return l.embedded(name)
	}
	return nil
}

// Sent lists the shared cards that a card sends people to, through other shared
// cards too, each once and in the order of the binder.
func (l *Library) Sent(names ...string) []string { return l.SentAt(Profile{}, names...) }

// SentAt is Sent at one site: without the cards of steps that are not printed there.
func (l *Library) SentAt(at Profile, names ...string) []string {
	seen := map[string]bool{}
	var visit func(name string)
	visit = func(name string) {
		p := l.Find(name)
		if p == nil {
			return
		}
		for _, s := range p.sendsAt(at) {
			if !seen[s] {
				seen[s] = true
				visit(s)
			}
		}
	}
	for _, n := range names {
		visit(n)
	}
	return slices.DeleteFunc(l.Shared(), func(n string) bool { return !seen[n] || slices.Contains(names, n) })
}

// planned says that a card prints something of a plan, or one that it sends people to at a site: the water of
// its front, rows, batches, or what a bottle's result asks for. Whoever is hurt, or stands in a leak, waits for none.
func (l *Library) planned(name string, at Profile) bool {
	for _, n := range append(l.SentAt(at, name), Current(name)) {
		p := l.Find(n)
		if p == nil || p.Water {
			return true
		}
		found := false
		p.each(func(it *Item) {
			_, table := planTables[it.Table]
			found = found || table || planFields.MatchString(it.Do+it.Lacking+it.Ask+it.Note)
		})
		if found || planFields.MatchString(p.Goal+p.UseWhen) {
			return true
		}
	}
	return false
}

// planFields are the fields that a plan fills.
var planFields = regexp.MustCompile(`\{\{(plan_says|left_share|left_says|target|analytes|missing|ammonia_goal)\}\}`)

// With returns a library that also holds a keeper's own card, read from data: one
// that stands alone and is listed last, or one that adapts a built-in card and
// takes its place. file is the name faults carry; the error is a yamlwalk.Faults
// that lists every fault.
func (l *Library) With(file string, data []byte) (*Library, error) {
	doc := yamlwalk.Parse(file, data)
	if doc.Root == nil {
		return nil, doc.Faults()
	}
	out := &Library{Cautions: l.Cautions, built: l.built, own: slices.Clone(l.own)}
	if doc.Root.Child("adapts") != nil {
		p := l.readAdapted(doc)
		out.own = slices.DeleteFunc(out.own, func(q *Playbook) bool { return q.Name == p.Name })
		out.own = append(out.own, &p)
		return out, doc.Faults().Err()
	}
	p := l.readWhole(doc)
	if old := l.Find(p.Name); old != nil {
		allowed := "write adapts: " + p.Name + " and only what differs, or take another name"
		if old.File != "" {
			allowed = "each name once; the other one is " + old.File
		}
		doc.Root.Child("name").Fault(fmt.Sprintf("a playbook %s exists", p.Name), allowed, "")
	}
	l.verify(&p, doc.Root)
	out.own = append(out.own, &p)
	return out, doc.Faults().Err()
}
