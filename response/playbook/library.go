package playbook

import (
	"embed"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"sync"

	"tidehold/refs/yamlwalk"
)

//go:embed sheets/*.yaml
var sheetFiles embed.FS

// Library is what sheets are made from: cautions, blocks that several sheets use,
// and the playbooks themselves in the order of the index.
type Library struct {
	Cautions  []Caution
	Shared    map[string]Block
	Playbooks []Playbook
}

// order is the order of the index: what burns first, then by what is seen. The
// unknown cause and the sitter's sheet come last.
var order = []string{
	"heater-break", "heater-stuck-on", "chilled", "outage", "leak", "vat-overflow", "skimmer-overflow",
	"top-off-overrun", "dosing-overrun", "ammonia", "chlorine", "unknown-substance", "sitter",
}

// Builtin is the library that comes with the tool. It panics when an embedded
// sheet is faulty, which a test rules out.
func Builtin() *Library {
	l, err := builtin()
	if err != nil {
		panic("embedded playbooks: " + err.Error())
	}
	return l
}

var builtin = sync.OnceValues(func() (*Library, error) {
	l := &Library{}
	if err := l.load("cautions", func(d *yamlwalk.Doc) { l.Cautions = readCautions(d) }); err != nil {
		return nil, err
	}
	if err := l.load("shared", func(d *yamlwalk.Doc) { l.Shared = l.readShared(d) }); err != nil {
		return nil, err
	}
	for _, name := range order {
		if err := l.load(name, func(d *yamlwalk.Doc) {
			p := l.readWhole(d)
			l.finish(&p, d.Root)
			p.File = ""
			l.Playbooks = append(l.Playbooks, p)
		}); err != nil {
			return nil, err
		}
	}
	return l, nil
})

// load reads one embedded file.
func (l *Library) load(name string, read func(*yamlwalk.Doc)) error {
	file := "sheets/" + name + ".yaml"
	data, err := sheetFiles.ReadFile(file)
	if err != nil {
		return err
	}
	doc := yamlwalk.Parse(file, data)
	if doc.Root != nil {
		read(doc)
	}
	return doc.Faults().Err()
}

// Names lists the playbooks in the order of the index.
func (l *Library) Names() []string {
	out := make([]string, len(l.Playbooks))
	for i, p := range l.Playbooks {
		out[i] = p.Name
	}
	return out
}

// Find returns the playbook of that name, nil if there is none.
func (l *Library) Find(name string) *Playbook {
	for i := range l.Playbooks {
		if l.Playbooks[i].Name == name {
			return &l.Playbooks[i]
		}
	}
	return nil
}

// With returns a library that also holds a keeper's own playbook, read from data:
// one that stands alone and is listed last, or one that adapts a built-in sheet
// and takes its place. file is the name faults carry; the error is a
// yamlwalk.Faults that lists every fault.
func (l *Library) With(file string, data []byte) (*Library, error) {
	doc := yamlwalk.Parse(file, data)
	if doc.Root == nil {
		return nil, doc.Faults()
	}
	out := &Library{Cautions: l.Cautions, Shared: l.Shared, Playbooks: slices.Clone(l.Playbooks)}
	if doc.Root.Child("adapts") != nil {
		p := l.readAdapted(doc)
		if i := slices.IndexFunc(out.Playbooks, func(q Playbook) bool { return q.Name == p.Name }); i >= 0 {
			out.Playbooks[i] = p
		}
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
	l.finish(&p, doc.Root)
	out.Playbooks = append(out.Playbooks, p)
	return out, doc.Faults().Err()
}

// finish puts the shared blocks in place, fills in the sheet's own words and
// reports what does not hold together.
func (l *Library) finish(p *Playbook, root *yamlwalk.Node) {
	for i, b := range p.Blocks {
		if b.use == "" {
			continue
		}
		shared := l.Shared[b.use]
		shared.Items = slices.Clone(shared.Items)
		shared.use, shared.node = b.use, b.node
		for k := range shared.Items {
			shared.Items[k].node = b.node
		}
		p.Blocks[i] = shared
	}
	p.each(func(it *Item) { p.fillWords(it) })
	l.verify(p, root)
}

// each visits every line of the sheet, the box first.
func (p *Playbook) each(visit func(*Item)) {
	for i := range p.Box {
		visit(&p.Box[i])
	}
	for b := range p.Blocks {
		for i := range p.Blocks[b].Items {
			visit(&p.Blocks[b].Items[i])
		}
	}
}

// fillWords replaces {{word.…}} by the sheet's own words.
func (p *Playbook) fillWords(it *Item) {
	for _, s := range []*string{&it.Do, &it.Ask, &it.Note, &it.Wait, &it.Meanwhile, &it.Late} {
		*s = placeholder.ReplaceAllStringFunc(*s, func(m string) string {
			name, ok := strings.CutPrefix(strings.TrimSpace(m[2:len(m)-2]), "word.")
			if !ok {
				return m
			}
			if w := p.Words[name]; w != "" {
				return w
			}
			it.node.Fault(fmt.Sprintf("the words for %s are missing", name), "words: {"+name+": …} for the block used here", "")
			return "____"
		})
	}
}

// hoursOf reads a time like 30 min, 4 h or 3 d in hours; 0 when it is none.
func hoursOf(s string) float64 {
	number, unit, _ := strings.Cut(s, " ")
	per := map[string]float64{"min": 1.0 / 60, "h": 1, "d": 24}[unit]
	n, err := strconv.Atoi(number)
	if err != nil || n <= 0 || n > 10000 {
		return 0
	}
	return float64(n) * per
}
