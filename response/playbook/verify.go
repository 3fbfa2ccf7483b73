package playbook

import (
	"fmt"
	"slices"
	"strings"

	"tidehold/refs/yamlwalk"
)

// verify reports what a single line cannot show: names given twice, decisions
// that lead nowhere, fields nobody can fill, and cautions that a hazard asks for.
func (l *Library) verify(p *Playbook, root *yamlwalk.Node) {
	ids := map[string]bool{}
	p.each(func(it *Item) {
		if it.ID == "" {
			return
		}
		if ids[it.ID] {
			it.node.Fault(fmt.Sprintf("the name %s is given a second time", it.ID), "each step its own name", "")
		}
		ids[it.ID] = true
	})
	var known []string
	for id := range ids {
		known = append(known, id)
	}
	slices.Sort(known)
	p.each(func(it *Item) {
		for _, to := range []string{it.Yes, it.No} {
			if to != "" && to != "next" && to != "after" && !ids[to] {
				it.node.Fault(fmt.Sprintf("%s leads to %s, which is not on this sheet", it.ID, yamlwalk.Quote(to)), "next, after, or the name of a step", near(to, known))
			}
		}
		for _, s := range []string{it.Do, it.Ask, it.Note, it.Wait, it.Meanwhile, it.Late} {
			verifyFields(it.node, s)
		}
	})
	for key, s := range map[string]string{"title": p.Title, "use_when": p.UseWhen, "not_when": p.NotWhen, "goal": p.Goal} {
		if n := root.Child(key); n != nil {
			verifyFields(n, s)
		}
	}
	l.verifyCautions(p, root)
}

// verifyFields reports {{fields}} that nobody can fill.
func verifyFields(n *yamlwalk.Node, text string) {
	for _, m := range placeholder.FindAllStringSubmatch(text, -1) {
		name := strings.TrimSpace(m[1])
		if _, ok := fieldByName(name); ok {
			continue
		}
		if _, ok := literal(name); ok {
			continue
		}
		n.Fault(fmt.Sprintf("no value is known for {{%s}}", name), "a field such as net_volume, or an amount such as 10 L", near(name, fieldNames()))
	}
	if rest := placeholder.ReplaceAllString(text, ""); strings.Contains(rest, "{{") || strings.Contains(rest, "}}") {
		n.Fault("a field whose braces do not match", "{{name}}", "")
	}
}

// verifyCautions reports hazards whose caution is missing: from the sheet, or
// from the lines before the step that exposes people to it.
func (l *Library) verifyCautions(p *Playbook, root *yamlwalk.Node) {
	for _, c := range l.missing(p) {
		n := root.Child("hazards")
		if n == nil {
			n = root
		}
		n.Fault(fmt.Sprintf("the caution %s is missing", c.ID), "a sheet with the hazard "+strings.Join(c.Hazards, " or ")+" carries it", "")
	}
	for _, it := range l.unguarded(p) {
		it.node.Fault(fmt.Sprintf("%s has no caution before it in its block for: %s", it.ID, strings.Join(it.Hazards, ", ")), "the caution stands before the step it protects", "")
	}
}

// missing lists the cautions that the sheet's hazards ask for and it lacks.
func (l *Library) missing(p *Playbook) []Caution {
	hazards := map[string]bool{}
	for _, h := range p.Hazards {
		hazards[h] = true
	}
	has := map[string]bool{}
	p.each(func(it *Item) {
		has[it.Caution] = true
		for _, h := range it.Hazards {
			hazards[h] = true
		}
	})
	var out []Caution
	for _, c := range l.Cautions {
		if !has[c.ID] && slices.ContainsFunc(c.Hazards, func(h string) bool { return hazards[h] }) {
			out = append(out, c)
		}
	}
	return out
}

// unguarded lists the steps that expose people to a hazard with no caution for it
// before them in the same block.
func (l *Library) unguarded(p *Playbook) []Item {
	var out []Item
	group := func(items []Item) {
		guarded := map[string]bool{}
		for _, it := range items {
			if c := l.caution(it.Caution); c != nil {
				for _, h := range c.Hazards {
					guarded[h] = true
				}
			}
			var open []string
			for _, h := range it.Hazards {
				if !guarded[h] {
					open = append(open, h)
				}
			}
			if len(open) > 0 {
				it.Hazards = open
				out = append(out, it)
			}
		}
	}
	group(p.Box)
	for _, b := range p.Blocks {
		group(b.Items)
	}
	return out
}
