package playbook

import (
	"fmt"
	"maps"
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
		for _, to := range []string{it.Yes, it.No, it.Then} {
			if to != "" && to != "next" && to != "after" && to != "done" && !ids[to] {
				it.node.Fault(fmt.Sprintf("%s leads to %s, which is not on this card", it.ID, yamlwalk.Quote(to)), "next, after, done, or the name of a step", near(to, known))
			}
		}
		for _, s := range []string{it.Do, it.Lacking, it.Ask, it.Note, it.Wait, it.Meanwhile, it.Late, it.Until} {
			verifyFields(it.node, s)
		}
	})
	for key, s := range map[string]string{"title": p.Title, "use_when": p.UseWhen, "not_when": p.NotWhen, "goal": p.Goal} {
		if n := root.Child(key); n != nil {
			verifyFields(n, s)
		}
	}
	for i, b := range p.Blocks {
		if n := i; n > 0 && slices.Index(stages, b.Stage) < slices.Index(stages, p.Blocks[n-1].Stage) {
			root.Child("blocks").Fault(fmt.Sprintf("the block %s (%s) stands after one of stage %s", b.ID, b.Stage, p.Blocks[n-1].Stage), "blocks in the order "+strings.Join(words(stages), ", "), "")
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

// verifyWords reports words of a step that do what its effects do not say.
func verifyWords(n *yamlwalk.Node, it *Item) {
	if why := partsFrom(it.Do, it.Effects); why != "" {
		n.Fault("the words and the effect part: "+why, "effect: [...] says what the words do", "")
	}
	if why := partsFrom(it.Lacking, it.LackingEffects); why != "" {
		n.Fault("the words of lacking and their effect part: "+why, "lacking_effect: [...] says what the words do", "")
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
		n.Fault(fmt.Sprintf("the caution %s is missing", c.ID), "a card with the hazard "+strings.Join(c.Hazards, " or ")+" carries it", "")
	}
	for _, it := range l.unguarded(p) {
		it.node.Fault(fmt.Sprintf("%s has no caution before it in its block for: %s", it.ID, strings.Join(it.Hazards, ", ")), "the caution stands before the step it protects", "")
	}
}

// missing lists cautions for the hazards that the card has and warns of nowhere:
// the first of the library for each.
func (l *Library) missing(p *Playbook) []Caution {
	hazards := map[string]bool{}
	for _, h := range p.Hazards {
		hazards[h] = true
	}
	warned := map[string]bool{}
	warn := func(id string) {
		if c := l.caution(id); c != nil {
			for _, h := range c.Hazards {
				warned[h] = true
			}
		}
	}
	warn(p.Danger)
	p.each(func(it *Item) {
		warn(it.Caution)
		for _, h := range it.Hazards {
			hazards[h] = true
		}
	})
	var out []Caution
	for _, h := range slices.Sorted(maps.Keys(hazards)) {
		if warned[h] {
			continue
		}
		i := slices.IndexFunc(l.Cautions, func(c Caution) bool { return slices.Contains(c.Hazards, h) })
		if i >= 0 {
			out = append(out, l.Cautions[i])
			for _, other := range l.Cautions[i].Hazards {
				warned[other] = true
			}
		}
	}
	return out
}

// unguarded lists the steps that expose people to a hazard with no caution for it
// before them in the same block. The box has the card's line of danger before it;
// the cautions for its other hazards stand in the blocks behind.
func (l *Library) unguarded(p *Playbook) []Item {
	var out []Item
	group := func(items []Item) {
		guarded := map[string]bool{}
		if c := l.caution(p.Danger); c != nil {
			for _, h := range c.Hazards {
				guarded[h] = true
			}
		}
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
	for _, b := range p.Blocks {
		group(b.Items)
	}
	return out
}
