package playbook

import "strconv"

// node is a step of the card, with the shared cards it sends people to put in
// place.
type node struct {
	card *Playbook
	item *Item
	text string
	// effects and needs as this site follows it.
	effects []Effect
	needs   []string
	// acts are the effects taken apart, stops says that the step waits, person and
	// animal that its words name one who is ill, tags that they have something tagged.
	acts                        []act
	stops, person, animal, tags bool
	// next, yes, no and then are nodes; end is the last line, nowhere no step.
	next, yes, no, then int
	// loop numbers the questions that lead back, from 0; -1: none.
	loop, most int
}

// act is an effect taken apart.
type act struct{ verb, object string }

// prepare takes the effects of a node apart, once.
func (n *node) prepare() {
	for _, e := range n.effects {
		n.acts = append(n.acts, act{e.verb(), e.object()})
	}
	n.stops = n.does("stop until") && n.item.Until != ""
	n.person, n.animal, n.tags = personWords.MatchString(n.text), animalWords.MatchString(n.text), tags.MatchString(n.text)
}

// does says that the step has an effect of this verb.
func (n *node) does(verb string) bool {
	for _, a := range n.acts {
		if a.verb == verb {
			return true
		}
	}
	return false
}

// calls says that the step phones somebody.
func (n *node) calls(who string) bool {
	for _, a := range n.acts {
		if a.verb == "call" && a.object == who {
			return true
		}
	}
	return false
}

const (
	end     = -1
	nowhere = -2
)

// program is a card laid out for one site.
type program struct {
	lib   *Library
	at    Profile
	event *Playbook
	nodes []node
	// loops are the nodes of the card, and of those it sends people to, that hold
	// each loop: outside them its count starts again.
	loops []span
}

// span is a range of nodes.
type span struct{ first, last int }

// maxLoops is how many loops a card with all it sends people to may have.
const maxLoops = 64

// maxDepth is how deep cards may send people to other cards.
const maxDepth = 4

// compile lays out a card for a site.
func (l *Library) compile(p *Playbook, at Profile) *program {
	pr := &program{lib: l, at: at, event: p}
	pr.add(p, 0, end)
	return pr
}

// layer is one card of a program while it is laid out: the lines printed at the site,
// with the block of each.
type layer struct {
	*program
	card   *Playbook
	items  []*Item
	blocks []int
	// first is the node of the first item, after where the card's ways out lead; at
	// are the nodes by the names of their steps.
	first, after int
	at           map[string]int
}

// add lays out one card from the current end of the program; its ways out lead to
// after. It returns the first node, or after where the card has no step.
func (pr *program) add(p *Playbook, depth, after int) int {
	y := &layer{program: pr, card: p, first: len(pr.nodes), after: after, at: map[string]int{}}
	y.take(p.Box, 0)
	for b := range p.Blocks {
		y.take(p.Blocks[b].Items, b+1)
	}
	for i, it := range y.items {
		pr.nodes = append(pr.nodes, node{loop: -1})
		if it.ID != "" {
			y.at[it.ID] = y.first + i
		}
	}
	for i := range y.items {
		pr.nodes[y.first+i] = y.node(i)
	}
	y.send(depth)
	for i := range pr.loops {
		if pr.loops[i].first == y.first {
			pr.loops[i].last = len(pr.nodes) - 1
		}
	}
	if len(y.items) == 0 {
		return after
	}
	return y.first
}

// take keeps the steps and questions of a block that are printed at the site.
func (y *layer) take(list []Item, block int) {
	for i := range list {
		if (list[i].Do != "" || list[i].Ask != "") && y.program.at.shows(&list[i]) {
			y.items, y.blocks = append(y.items, &list[i]), append(y.blocks, block)
		}
	}
}

// follower is the node behind a step.
func (y *layer) follower(i int) int {
	if i+1 < len(y.items) {
		return y.first + i + 1
	}
	return y.after
}

// target is the node a step leads to by a name.
func (y *layer) target(i int, to string) int {
	switch to {
	case "":
		return nowhere
	case "next":
		return y.follower(i)
	case "done":
		return y.after
	case "after":
		for k := i + 1; k < len(y.items); k++ {
			if y.blocks[k] != y.blocks[i] {
				return y.first + k
			}
		}
		return y.after
	}
	if n, ok := y.at[to]; ok {
		return n
	}
	// The target is not printed at this site: its follower stands in for it.
	return standIn(y.card, to, y.at, y.after)
}

// node is one step with its ways on.
func (y *layer) node(i int) node {
	it := y.items[i]
	n := node{card: y.card, item: it, loop: -1, next: y.follower(i), yes: nowhere, no: nowhere, then: y.target(i, it.Then)}
	n.text, n.effects, n.needs = it.at(y.program.at)
	if it.Ask != "" {
		n.text, n.effects, n.needs = it.Ask, it.Effects, nil
		n.yes, n.no = y.target(i, it.Yes), y.target(i, it.No)
		y.loop(&n, y.first+i)
	}
	n.prepare()
	return n
}

// loop numbers a question that leads back.
func (y *layer) loop(n *node, self int) {
	back := n.yes >= y.first && n.yes <= self || n.no >= y.first && n.no <= self
	if !back || len(y.loops) >= maxLoops {
		return // a loop too many is found by round
	}
	n.loop, n.most = len(y.loops), 0
	y.loops = append(y.loops, span{first: y.first})
	// Twice round shows all that thirty times would.
	k, err := strconv.Atoi(n.item.Most)
	switch {
	case n.item.Most == everyRow:
		n.most = 2
	case err == nil:
		n.most = min(k, 2)
	}
}

// send puts the shared cards in place that steps send people to, and back from.
func (y *layer) send(depth int) {
	for i, it := range y.items {
		if it.Card == "" || depth >= maxDepth || it.otherWords(y.program.at) {
			continue
		}
		sub := y.lib.Find(it.Card)
		if sub == nil {
			continue
		}
		back := y.nodes[y.first+i].next
		if it.Then != "" {
			back = y.nodes[y.first+i].then
		}
		first := y.add(sub, depth+1, back)
		y.nodes[y.first+i].next = first
	}
}

// standIn is the first step printed at or behind one that is not.
func standIn(p *Playbook, id string, at map[string]int, after int) int {
	found, node := false, nowhere
	p.each(func(it *Item) {
		if it.ID == id {
			found = true
		}
		if n, ok := at[it.ID]; found && ok && node == nowhere {
			node = n
		}
	})
	if found && node == nowhere {
		return after
	}
	return node
}
