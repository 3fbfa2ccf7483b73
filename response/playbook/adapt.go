package playbook

import (
	"fmt"
	"slices"

	"tidehold/refs/yamlwalk"
)

// readAdapted reads a keeper's changes to a built-in playbook:
//
//	format: 1
//	adapts: heater-break
//	reviewed: 2026-11-25
//	edit: {glass-left: "Hang the red tag on the tank."}
//	remove: [glass-left]
//	insert: [{after: air, items: [{id: horn, do: …, category: people}]}]
//
// Safety steps and cautions are locked: they can be neither edited nor removed,
// and nothing can be put into the box before them.
func (l *Library) readAdapted(doc *yamlwalk.Doc) Playbook {
	f := doc.Root.Fields([]string{"format", "adapts", "reviewed"},
		[]string{"title", "use_when", "not_when", "synonyms", "edit", "remove", "insert"})
	formatOne(f.Get("format"))
	name := Current(f.Get("adapts").Choice(slices.Concat(l.Names(), sharedNames, []string{"chilled", "heater-stuck-on", "unknown-substance"})...))
	base := l.Find(name)
	if base == nil {
		return Playbook{}
	}
	p := base.clone()
	p.File, p.Adapts = doc.File, name
	p.Reviewed, _ = f.Get("reviewed").Date()
	p.each(func(it *Item) { it.node = doc.Root })
	for key, to := range map[string]*string{"title": &p.Title, "use_when": &p.UseWhen, "not_when": &p.NotWhen} {
		if n := f.Get(key); n != nil {
			*to = n.Text("one line")
		}
	}
	p.Synonyms = append(slices.Clone(p.Synonyms), texts(f.Get("synonyms"), "words people use")...)
	if n := f.Get("edit"); n != nil {
		n.Fields(nil, p.editable())
		for _, e := range n.Entries() {
			p.edit(e.Key, e.Value)
		}
	}
	if n := f.Get("remove"); n != nil {
		for _, r := range n.Items("a list of step names") {
			p.remove(r)
		}
	}
	if n := f.Get("insert"); n != nil {
		for _, i := range n.Items("a list of {after, items}") {
			l.insert(&p, i)
		}
	}
	l.verify(&p, doc.Root)
	return p
}

// clone copies a playbook so that changes leave the original alone.
func (p *Playbook) clone() Playbook {
	q := *p
	q.Box = slices.Clone(p.Box)
	q.Blocks = slices.Clone(p.Blocks)
	for i := range q.Blocks {
		q.Blocks[i].Items = slices.Clone(p.Blocks[i].Items)
	}
	return q
}

// editable names the steps and questions of a card, locked ones included: those
// are answered with the reason rather than as unknown.
func (p *Playbook) editable() []string {
	var out []string
	p.each(func(it *Item) {
		if it.ID != "" {
			out = append(out, it.ID)
		}
	})
	return out
}

const lockedWhy = "steps that protect people, power, the source and oxygen stay as they are; insert your own step after it"

// edit replaces the text of one step or question.
func (p *Playbook) edit(id string, n *yamlwalk.Node) {
	p.each(func(it *Item) {
		switch {
		case it.ID != id || id == "":
		case it.Locked:
			n.Fault(fmt.Sprintf("%s is a safety step and locked", id), lockedWhy, "")
		case it.Ask != "":
			it.Ask, it.node = n.Text("a question"), n
		default:
			it.Do, it.node = n.Text("an instruction"), n
			if why := partsFrom(it.Do, it.Effects); why != "" {
				n.Fault("the words and the effect of "+id+" part: "+why, "words that do what the step did, or your own step behind it", "")
			}
		}
	})
}

// remove takes one step out.
func (p *Playbook) remove(n *yamlwalk.Node) {
	id := n.Choice(p.editable()...)
	if id == "" {
		return
	}
	drop := func(items []Item) []Item {
		return slices.DeleteFunc(items, func(it Item) bool {
			if it.ID != id {
				return false
			}
			if it.Locked {
				n.Fault(fmt.Sprintf("%s is a safety step and locked", id), lockedWhy, "")
			}
			return !it.Locked
		})
	}
	p.Box = drop(p.Box)
	for i := range p.Blocks {
		p.Blocks[i].Items = drop(p.Blocks[i].Items)
	}
}

// insert puts lines behind a step.
func (l *Library) insert(p *Playbook, n *yamlwalk.Node) {
	f := n.Fields([]string{"after", "items"}, nil)
	after := f.Get("after").Choice(p.editable()...)
	var items []Item
	for _, i := range f.Get("items").Items("a list of lines") {
		items = append(items, l.readItem(i))
	}
	put := func(list []Item) []Item {
		i := slices.IndexFunc(list, func(it Item) bool { return after != "" && it.ID == after })
		if i < 0 {
			return list
		}
		return slices.Insert(list, i+1, items...)
	}
	p.Box = put(p.Box)
	for i := range p.Blocks {
		p.Blocks[i].Items = put(p.Blocks[i].Items)
	}
}
