package site

import (
	"strconv"
	"strings"

	"tidehold/refs"
	"tidehold/refs/yamlwalk"
)

const setForm = "PATH=VALUE with ids in the path, as stores.vat-a.volume=200L"

// set puts one value into the tree and says where that is. Steps on the way that are not
// there yet are made, and the loader then judges the whole as if it had been written so.
func set(doc *yamlwalk.Doc, keys *spec, text string) refs.Place {
	path, value, ok := strings.Cut(text, "=")
	path = strings.TrimSpace(path)
	if !ok || path == "" {
		doc.Refuse("--set", yamlwalk.Quote(text)+" is not an assignment", setForm, "")
		return refs.Place{}
	}
	origin := "--set " + shown(path)
	steps := strings.Split(path, ".")
	at, s := doc.Root, keys
	for _, step := range steps[:len(steps)-1] {
		if at, s = descend(doc, at, s, step, origin); at == nil {
			return refs.Place{}
		}
	}
	last := steps[len(steps)-1]
	if at.Kind() != yamlwalk.Mapping {
		doc.Refuse(origin, shown(strings.Join(steps[:len(steps)-1], "."))+" is "+at.Kind().String()+" and has no keys", setForm, "")
		return refs.Place{}
	}
	if s != nil {
		for _, rivals := range s.groups {
			removeRivals(at, rivals, last)
		}
	}
	at.Put(last, doc.Value(origin, value))
	return placed(keys, steps)
}

// placed is the place of a path by ids, as scope.placeOf has it.
func placed(keys *spec, steps []string) refs.Place {
	p := refs.Place{List: steps[0]}
	rest := steps[1:]
	if i := keys.at(p.List); i >= 0 && keys.fields[i].form == list && len(rest) > 0 {
		p.ID, rest = rest[0], rest[1:]
	}
	if len(rest) > 0 {
		p.Key = rest[0]
	}
	return p
}

// removeRivals takes out the keys that the one being set excludes: a volume
// replaces a level.
func removeRivals(at *yamlwalk.Node, rivals []string, key string) {
	for _, r := range rivals {
		if r != key {
			continue
		}
		for _, other := range rivals {
			if other != key {
				at.Remove(other)
			}
		}
	}
}

// descend goes one step down: to a key of a mapping, or to the item of a list
// that bears the id. It returns nil after reporting that there is none.
func descend(doc *yamlwalk.Doc, at *yamlwalk.Node, s *spec, step, origin string) (*yamlwalk.Node, *spec) {
	switch at.Kind() {
	case yamlwalk.List:
		return item(doc, at, s, step, origin)
	case yamlwalk.Mapping:
	default:
		doc.Refuse(origin, shown(step)+" would stand in "+at.Kind().String(), setForm, "set the whole in its place")
		return nil, nil
	}
	var below *spec
	if s != nil && s.at(step) >= 0 {
		below = &s.fields[s.at(step)].spec
	}
	child := at.Child(step)
	if child == nil || child.Kind() == yamlwalk.Null {
		if below != nil && below.form == list {
			doc.Refuse(origin, "the file has no "+shown(step), "an id that stands in the file", "")
			return nil, nil
		}
		child = doc.Empty(origin)
		at.Put(step, child)
	}
	return child, below
}

// item finds an item of a list by the key that tells its items apart. Only a list
// whose items have none (deliveries, together) goes by place, counted from 0.
func item(doc *yamlwalk.Doc, at *yamlwalk.Node, s *spec, step, origin string) (*yamlwalk.Node, *spec) {
	by, below := "", (*spec)(nil)
	if s != nil {
		by, below = s.by, s.item
	}
	var ids []string
	for _, n := range at.Elements() {
		id := n.Child(by).Raw()
		if by != "" && id == step {
			return n, below
		}
		ids = append(ids, id)
	}
	if i, err := strconv.Atoi(step); err == nil && i >= 0 && i < len(at.Elements()) {
		if by == "" || ids[i] == "" {
			return at.Elements()[i], below
		}
		// A place would name another thing after the next edit of the file.
		doc.Refuse(origin, shown(step)+" is a place in the list, not a name", "the "+by+" of one of its items: "+some(ids), "write "+shown(ids[i])+" for "+step)
		return nil, nil
	}
	if len(ids) == 0 {
		doc.Refuse(origin, "the list is empty, it has no "+yamlwalk.Quote(step), "an id that stands in the file", "")
		return nil, nil
	}
	hint := ""
	if near, ok := refs.Nearest(step, ids); ok {
		hint = refs.DidYouMean(near)
	}
	doc.Refuse(origin, "there is no "+yamlwalk.Quote(step)+" in the file", "allowed: "+some(ids), hint)
	return nil, nil
}

// shown is a path as a message shows it: in quotes if it is long or has characters
// that no key has.
func shown(path string) string {
	strange := func(r rune) bool { return r < ' ' || r > '~' }
	if len(path) > 100 || strings.ContainsFunc(path, strange) {
		return yamlwalk.Quote(path)
	}
	return path
}
