package playbook

import (
	"fmt"
	"slices"
	"strings"
)

// Walk is every way through a card on one or more sites, held to the rules of
// safety.
type Walk struct {
	// Paths is how many ways there are, added over the sites; it stops counting at
	// manyPaths. States is how many different situations were met.
	Paths, States int
	// Violations are listed once for each rule and step, with the first path found.
	Violations []Violation
	// Ends counts the situations at which ways end: in the last line, or waiting for
	// a professional who was phoned.
	Done, Waiting int
}

// Violation is a rule broken on a way through a card.
type Violation struct {
	Rule int    `json:"rule"`
	Text string `json:"text"`
	Card string `json:"card"`
	Step string `json:"step"`
	// Path is the way to it in words: each step, with the answer to each question.
	Path []string `json:"path"`
}

// manyPaths is where the count of ways stops: twice it still fits 32 bits.
const manyPaths = 1_000_000_000

// Rules are the ten rules of safety, from 1.
var Rules = []string{
	"nobody reaches into water while a supply of a device in it is not proved off",
	"the device that failed is never switched on again, and none that may be dry",
	"a stop stops: the way on is its own condition only",
	"a vessel that leaks by itself is never refilled",
	"where something is to be diluted: a sample before the first change, the goal's samples after the last",
	"no water is poured whose salinity and temperature were not read against the row",
	"every loop ends, in the last line or in a professional's number, and every step is reached",
	"no step asks for what the site lacks or what the path has switched off",
	"a person unwell leads to the emergency number, an animal to the veterinarian",
	"people are moved away from a danger before anyone is sent near it",
}

// night is what a way has done so far. It is a key of maps.
type night struct {
	mainsCut, batteriesCut, proved, devicesOff bool
	failedOut, tagged                          bool
	suspects, suspectsTagged                   bool
	people, out                                bool
	low, leaks, wet, vatHot                    bool
	dechlorinator                              bool
	sampleA, changed                           bool
	after                                      uint8
	readSalt, readWarm, readBin                bool
	byNote, small                              bool
	personIll, animalsIll                      bool
	emergency, vet, professional, powerCalled  bool
	loops                                      [maxLoops]uint8
}

// walker goes every way.
type walker struct {
	*program
	result  Walk
	seen    map[string]bool
	known   map[visit]int
	reached map[*Item]bool
	path    []string
	// stack are the nodes of the way under way.
	stack []int
}

// underWay marks a situation that the way under way has been in.
const underWay = -1

// round is a way that has come back to where it was: a loop without an end, unless
// it waits for a professional each time.
func (w *walker) round(at int) {
	for i := len(w.stack) - 1; i >= 0; i-- {
		if w.nodes[w.stack[i]].stops {
			return
		}
		if w.stack[i] == at {
			break
		}
	}
	w.broken(7, &w.nodes[at], "a loop without an end")
}

type visit struct {
	at int
	night
}

// Walk goes every way through a card at each of the sites.
func (l *Library) Walk(p *Playbook, sites ...Profile) Walk {
	w := &walker{seen: map[string]bool{}, reached: map[*Item]bool{}}
	walked := map[string]bool{}
	for _, at := range l.doubted(p, sites) {
		// Two sites that have the same of what the card asks for are one.
		key := l.asks(p, at)
		if walked[key] {
			continue
		}
		walked[key] = true
		w.program, w.known, w.path = l.compile(p, at), map[visit]int{}, nil
		start := night{mainsCut: p.PowerOut, people: p.Shared, proved: p.Shared && p.Name != "power-off", devicesOff: p.Shared, readSalt: p.Shared, readWarm: p.Shared, readBin: p.Shared, sampleA: p.Shared}
		if p.Name == "change-water" {
			start.readSalt, start.readWarm, start.devicesOff, start.sampleA = false, false, false, true
		}
		first := end
		if len(w.nodes) > 0 {
			first = 0
		}
		w.result.Paths = min(manyPaths, w.result.Paths+w.follow(first, start))
		w.result.States += len(w.known)
	}
	w.front(p)
	w.unreached(p, sites)
	slices.SortStableFunc(w.result.Violations, func(a, b Violation) int { return a.Rule - b.Rule })
	return w.result
}

// withSent are a card and those it sends people to.
func (l *Library) withSent(p *Playbook) []*Playbook {
	out := []*Playbook{p}
	for _, name := range l.Sent(p.Name) {
		out = append(out, l.Find(name))
	}
	return out
}

// doubted adds, for each site, the readers who turn out to lack a thing that nobody has
// written down: the card has both ways for them.
func (l *Library) doubted(p *Playbook, sites []Profile) []Profile {
	out := slices.Clone(sites)
	for _, at := range sites {
		var doubts []string
		for _, q := range l.withSent(p) {
			q.each(func(it *Item) {
				for _, need := range it.Needs {
					if _, known := at.has(need); !known && it.Lacking != "" && !slices.Contains(doubts, need) {
						doubts = append(doubts, need)
					}
				}
			})
		}
		for _, need := range doubts {
			at.without = need
			out = append(out, at)
		}
	}
	return out
}

// asks tells sites apart by what a card, with those it sends people to, asks for.
func (l *Library) asks(p *Playbook, at Profile) string {
	var b strings.Builder
	b.WriteString(at.without)
	for _, q := range l.withSent(p) {
		q.each(func(it *Item) {
			for _, list := range [][]string{it.Needs, it.Only, it.Unless} {
				for _, need := range list {
					has, known := at.has(need)
					fmt.Fprint(&b, has, known)
				}
			}
		})
	}
	for _, supply := range []string{"battery", "generator"} {
		has, known := at.has(supply)
		fmt.Fprint(&b, has, known)
	}
	return b.String()
}

// front is what the first block must say, whatever the way.
func (w *walker) front(p *Playbook) {
	if p.Shared {
		return
	}
	for i := range p.Box {
		if hasEffect(p.Box[i].Effects, "call emergency") {
			return
		}
	}
	w.path = nil
	w.broken(9, nil, "the box sends nobody to the emergency number")
}

// unreached lists the steps that no site reaches.
func (w *walker) unreached(p *Playbook, sites []Profile) {
	p.each(func(it *Item) {
		printed := slices.ContainsFunc(sites, func(at Profile) bool { return at.shows(it) })
		if (it.Do != "" || it.Ask != "") && printed && !w.reached[it] {
			w.path = nil
			w.broken(7, &node{card: p, item: it, text: it.Do + it.Ask}, "no way leads to this step")
		}
	})
}

// broken keeps the first way that breaks a rule at a step.
func (w *walker) broken(rule int, n *node, text string) {
	v := Violation{Rule: rule, Text: text, Card: w.event.Name, Path: slices.Clone(w.path)}
	if n != nil {
		v.Card, v.Step = n.card.Name, n.item.ID
		v.Path = append(v.Path, n.text)
	}
	if key := fmt.Sprint(rule, v.Card, v.Step, text); !w.seen[key] {
		w.seen[key] = true
		w.result.Violations = append(w.result.Violations, v)
	}
}

// follow follows all ways from a node and counts them.
func (w *walker) follow(at int, s night) int {
	switch at {
	case end:
		return w.finish(s)
	case nowhere:
		w.path = append(w.path, "…")
		w.broken(7, nil, "a way that leads nowhere")
		w.path = w.path[:len(w.path)-1]
		return 1
	}
	for i := range w.loops {
		if at < w.loops[i].first || at > w.loops[i].last {
			s.loops[i] = 0
		}
	}
	key := visit{at, s}
	if n, ok := w.known[key]; ok {
		if n == underWay {
			w.round(at)
			return 0
		}
		return n
	}
	n := &w.nodes[at]
	w.known[key] = underWay
	w.stack = append(w.stack, at)
	defer func() { w.stack = w.stack[:len(w.stack)-1] }()
	w.reached[n.item] = true
	w.judge(n, &s)
	total := w.onward(n, at, s)
	w.known[key] = total
	return total
}

// onward follows the ways on from a node that was judged, and counts them.
func (w *walker) onward(n *node, at int, s night) int {
	total := 0
	branch := func(to int, s night, word string) {
		w.path = append(w.path, n.text+word)
		total = min(manyPaths, total+w.follow(to, s))
		w.path = w.path[:len(w.path)-1]
	}
	switch {
	case n.item.Ask != "":
		w.answers(n, s, at, branch)
	case n.stops:
		if !s.professional {
			w.broken(7, n, "it waits, and nobody was phoned who could end the wait")
		}
		w.result.Waiting++
		total++
		s.out = false
		branch(n.then, s, " → "+n.item.Until)
	default:
		branch(n.next, s, "")
	}
	return total
}

// answers follows yes and no; the answer that leads back is taken as often as the
// card allows.
func (w *walker) answers(n *node, s night, at int, branch func(int, night, string)) {
	for _, a := range []struct {
		word  string
		to    int
		means []string
		yes   bool
	}{{" Yes.", n.yes, n.item.YesMeans, true}, {" No.", n.no, n.item.NoMeans, false}} {
		t := s
		for _, m := range a.means {
			t.learn(m)
		}
		if n.does("prove off") {
			t.proved = a.yes && w.isolated(&t)
			if a.yes && !t.proved {
				w.broken(1, n, "called proved while a supply was never switched off")
			}
		}
		to := a.to
		if n.loop >= 0 && to >= 0 && to <= at && w.nodes[to].card == n.card {
			switch {
			case n.most == 0: // round finds it
			case int(t.loops[n.loop]) < n.most:
				t.loops[n.loop]++
			case n.item.Most == everyRow:
				continue
			default:
				to = n.then
			}
		}
		branch(to, t, a.word)
	}
}

// learn takes in what an answer tells.
func (s *night) learn(finding string) {
	switch finding {
	case "person ill":
		s.personIll = true
	case "animals ill":
		s.animalsIll = true
	case "leak tank":
		s.leaks = true
	case "wet plugs":
		s.wet = true
	case "dechlorinator here":
		s.dechlorinator = true
	case "meter here":
		s.byNote = false
	}
}

// finish is the last line of the card.
func (w *walker) finish(s night) int {
	w.result.Done++
	switch {
	case s.out:
		w.broken(3, nil, "the card ends while people are to stay out")
	case s.personIll && !s.emergency:
		w.broken(9, nil, "a person is ill and the emergency number was never phoned")
	case s.animalsIll && !s.vet:
		w.broken(9, nil, "animals are ill and the veterinarian was never phoned")
	case s.mainsCut && !s.powerCalled && !w.event.PowerOut && !w.event.Shared:
		w.broken(8, nil, "the card ends with the power off, and nobody was phoned who puts it back")
	case w.event.Contaminant && s.changed && s.after < 2:
		w.broken(5, nil, "the card ends without the goal's two samples after the last change")
	}
	return 1
}
