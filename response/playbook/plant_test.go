package playbook

import (
	"slices"
	"strings"
	"testing"

	"tidehold/refs/outside"
)

// mistake is one way of spoiling a card: which rule it breaks, and where it can be
// planted. plant changes the line and says whether it did.
type mistake struct {
	name string
	rule int
	// applies says that the mistake makes sense on this card; nil: on all.
	applies func(p *Playbook) bool
	plant   func(p *Playbook, it *Item) bool
}

// dropEffect takes effects with this verb, or this very effect, out of a line.
func dropEffect(it *Item, want string) bool {
	out := func(list []Effect) []Effect {
		return slices.DeleteFunc(slices.Clone(list), func(e Effect) bool { return string(e) == want || e.verb() == want })
	}
	a, b := out(it.Effects), out(it.LackingEffects)
	changed := len(a) != len(it.Effects) || len(b) != len(it.LackingEffects)
	it.Effects, it.LackingEffects = a, b
	return changed
}

func replaceEffect(it *Item, from, to Effect) bool {
	i := slices.Index(it.Effects, from)
	if i < 0 {
		return false
	}
	it.Effects = slices.Clone(it.Effects)
	it.Effects[i] = to
	return true
}

func has(p *Playbook, effect string) bool {
	found := false
	p.each(func(it *Item) { found = found || hasEffect(it.Effects, effect) })
	return found
}

// inDoubt is the mistake that shows where nobody has written down what is here.
const inDoubt = "other words for the proof alone"

var mistakes = []mistake{
	{"hands in before the proof", 1, func(p *Playbook) bool { return has(p, "reach in") }, func(_ *Playbook, it *Item) bool {
		if it.Card != "power-off" {
			return false
		}
		it.Card = ""
		return true
	}},
	{"proof without the battery", 1, func(p *Playbook) bool { return p.Name == "power-off" }, func(_ *Playbook, it *Item) bool {
		return it.ID == "backup" && dropEffect(it, "cut")
	}},
	// One of three steps with other words for whoever has no spare, the other two without: a hand goes in with the power on.
	{inDoubt, 1, func(p *Playbook) bool { return p.Name == "too-cold" }, func(_ *Playbook, it *Item) bool {
		if it.Card != "power-off" {
			return false
		}
		it.Needs, it.Lacking, it.LackingEffects = []string{"spare heater"}, "Borrow a heater.", []Effect{"call supplier"}
		return true
	}},
	{"power back before the hands", 1, func(p *Playbook) bool { return has(p, "reach in") }, func(_ *Playbook, it *Item) bool {
		if !hasEffect(it.Effects, "reach in") {
			return false
		}
		it.Effects = append([]Effect{"energise mains"}, it.Effects...)
		return true
	}},
	{"the failed device switched on", 2, func(p *Playbook) bool { return p.Failed != "" }, func(_ *Playbook, it *Item) bool {
		return replaceEffect(it, "energise good", "energise failed")
	}},
	{"everything switched on", 2, nil, func(_ *Playbook, it *Item) bool { return replaceEffect(it, "energise good", "energise devices") }},
	{"the failed device left plugged in", 2, func(p *Playbook) bool { return p.Failed != "" && has(p, "energise good") && p.Name != "too-hot" }, func(p *Playbook, it *Item) bool {
		// Where Power off and proof pulls every plug, that one pulls this one too.
		if slices.Contains(p.sends(), "power-off") {
			return false
		}
		return dropEffect(it, "cut failed")
	}},
	{"no tag on what failed", 2, func(p *Playbook) bool { return namedBack[p.Failed] != "" }, func(p *Playbook, it *Item) bool {
		if !tagsFailed(it.Do, p.Failed) {
			return false
		}
		it.Do = tags.ReplaceAllString(it.Do, "look at $1")
		return true
	}},
	{"no tag on what may still be adding it", 2, func(p *Playbook) bool { return p.Contaminant && p.Failed == "" }, func(_ *Playbook, it *Item) bool {
		was := it.Do
		it.Do = tags.ReplaceAllString(it.Do, "look at $1")
		return hasEffect(it.Effects, "cut doser") && it.Do != was
	}},
	{"a vat's note taken for a meter", 6, func(p *Playbook) bool { return p.Name == "change-water" }, func(_ *Playbook, it *Item) bool {
		if !slices.Contains(it.YesMeans, "meter here") {
			return false
		}
		it.YesMeans = nil
		return true
	}},
	{"a whole row of a vat known by its note", 6, func(p *Playbook) bool { return p.Name == "change-water" }, func(_ *Playbook, it *Item) bool {
		was := it.Do
		it.Do = strings.ReplaceAll(it.Do, smallChange, "its litres")
		return it.Do != was
	}},
	{"the card ends in the dark", 8, func(p *Playbook) bool { return p.Name == "leak" }, func(_ *Playbook, it *Item) bool {
		return dropEffect(it, "call electrician")
	}},
	{"what got wet switched on with the rest", 2, func(p *Playbook) bool { return slices.Contains(p.sends(), "power-off") }, func(_ *Playbook, it *Item) bool {
		was := it.Do
		it.Do = dryOnly.ReplaceAllString(it.Do, "it")
		return hasEffect(it.Effects, "energise mains") && it.Do != was
	}},
	{"pumps on before the water is back", 2, func(p *Playbook) bool { return p.Name == "change-water" }, func(_ *Playbook, it *Item) bool {
		return it.ID == "fill" && replaceEffect(it, "fill tank", "energise good")
	}},
	{"drained with heaters on", 2, func(p *Playbook) bool { return p.Name == "change-water" }, func(_ *Playbook, it *Item) bool {
		return it.ID == "off-before" && dropEffect(it, "cut")
	}},
	{"a meter held into a vat whose heater is on", 1, func(p *Playbook) bool { return p.Name == "change-water" || p.Name == "mix-batch" }, func(_ *Playbook, it *Item) bool {
		was := it.Do + it.Ask
		it.Do, it.Ask = strings.ReplaceAll(it.Do, "a jug of ", ""), strings.ReplaceAll(it.Ask, "a jug of ", "")
		return hasEffect(it.Effects, "read salinity vat") && it.Do+it.Ask != was
	}},
	{"a vat emptied with its heater on", 2, func(p *Playbook) bool { return p.Name == "change-water" || p.Name == "mix-batch" }, func(_ *Playbook, it *Item) bool {
		return (it.ID == "off-before" || it.ID == "pour-away") && dropEffect(it, "cut vat heater")
	}},
	{"a vat heater on in an empty vat", 2, nil, func(_ *Playbook, it *Item) bool {
		was := it.Do
		it.Do = covered.ReplaceAllString(it.Do, "it is there")
		return hasEffect(it.Effects, "energise vat heater") && it.Do != was
	}},
	{"a stop that falls through", 3, nil, func(_ *Playbook, it *Item) bool {
		if !hasEffect(it.Effects, "stop until") || !hasEffect(it.Effects, "leave") {
			return false
		}
		it.Until, it.Then = "", ""
		return dropEffect(it, "stop until")
	}},
	{"a seam refilled", 4, func(p *Playbook) bool { return p.Name == "leak" }, func(_ *Playbook, it *Item) bool {
		if it.ID != "where" {
			return false
		}
		it.Yes = "refill"
		return true
	}},
	{"a seam refilled when all are out", 4, func(p *Playbook) bool { return p.Name == "leak" }, func(_ *Playbook, it *Item) bool {
		if it.ID != "seam-done" {
			return false
		}
		it.Yes = "refill"
		return true
	}},
	{"no sample before the first change", 5, func(p *Playbook) bool { return p.Contaminant }, func(_ *Playbook, it *Item) bool { return dropEffect(it, "sample A") }},
	{"no samples after the last change", 5, func(p *Playbook) bool { return p.Contaminant && slices.Contains(p.sends(), "samples") }, func(_ *Playbook, it *Item) bool {
		if it.Card != "samples" {
			return false
		}
		it.Card = ""
		return true
	}},
	{"one sample after the last change", 5, func(p *Playbook) bool { return p.Name == "samples" }, func(_ *Playbook, it *Item) bool { return dropEffect(it, "sample C") }},
	{"poured without the salinity", 6, func(p *Playbook) bool { return has(p, "fill tank") || has(p, "fill bin") }, func(p *Playbook, it *Item) bool {
		if !hasEffect(it.Effects, "read salinity vat") || it.ID == "small" {
			return false
		}
		return dropEffect(it, "read salinity vat")
	}},
	{"poured without the temperature", 6, func(p *Playbook) bool { return has(p, "fill tank") || has(p, "fill bin") }, func(p *Playbook, it *Item) bool {
		if !hasEffect(it.Effects, "read temperature vat") || it.ID == "small" {
			return false
		}
		return dropEffect(it, "read temperature vat")
	}},
	{"another band than the row's", 6, func(p *Playbook) bool { return p.Name == "change-water" }, func(_ *Playbook, it *Item) bool {
		if it.ID != "read-vat" {
			return false
		}
		it.Do = "Read the vat with a meter and a thermometer: {{temp_band}}."
		return true
	}},
	{"a bin's band and a row's at once", 6, func(p *Playbook) bool { return p.Name == "move-animals" }, func(_ *Playbook, it *Item) bool {
		if it.ID != "bin-read" {
			return false
		}
		it.Do = "Read the vat with meter and thermometer: {{salinity_band}}, {{temp_band}}, the row's band too."
		return true
	}},
	{"a bin filled by a row's band", 6, func(p *Playbook) bool { return p.Name == "move-animals" }, func(_ *Playbook, it *Item) bool {
		if it.ID != "bin-read" {
			return false
		}
		it.Do = "Read the row's vat with meter and thermometer: the bands in the row."
		return true
	}},
	{"a loop without an end", 7, nil, func(p *Playbook, it *Item) bool {
		if it.Most == "" {
			return false
		}
		waits := false // a loop that waits for a professional each time may stand
		p.each(func(a *Item) {
			waits = waits || (a.ID == it.Yes || a.ID == it.No) && hasEffect(a.Effects, "stop until")
		})
		if waits {
			return false
		}
		it.Most, it.Then = "", ""
		return true
	}},
	{"a way that leads nowhere", 7, nil, func(p *Playbook, it *Item) bool {
		if it.Ask == "" || it.No != "next" || it.Yes == "next" || it.Yes == it.No || it.Most != "" {
			return false
		}
		it.No = "nowhere-at-all"
		return true
	}},
	{"no way out for what is missing", 8, nil, func(_ *Playbook, it *Item) bool {
		if it.Lacking == "" {
			return false
		}
		it.Lacking, it.LackingEffects, it.Only = "", nil, nil
		return true
	}},
	{"water poured that the house has not, and no need said", 8, func(p *Playbook) bool { return has(p, "pour purified") }, func(_ *Playbook, it *Item) bool {
		it.Needs, it.Lacking, it.LackingEffects, it.Only = nil, "", nil, nil
		return hasEffect(it.Effects, "pour purified")
	}},
	{"salt poured that the house has not, and no need said", 8, func(p *Playbook) bool { return has(p, "pour salt") }, func(_ *Playbook, it *Item) bool {
		it.Needs, it.Lacking, it.LackingEffects, it.Only = nil, "", nil, nil
		return hasEffect(it.Effects, "pour salt")
	}},
	{"a bottle poured that nobody found", 8, nil, func(_ *Playbook, it *Item) bool {
		if !slices.Contains(it.YesMeans, "dechlorinator here") {
			return false
		}
		it.YesMeans = nil
		return true
	}},
	{"a chiller asked for in the dark", 8, func(p *Playbook) bool { return p.PowerOut }, func(_ *Playbook, it *Item) bool {
		if it.ID != "warm" {
			return false
		}
		it.Effects = append(slices.Clone(it.Effects), "energise chiller")
		it.Needs = append(slices.Clone(it.Needs), "mains")
		return true
	}},
	{"no emergency number in the box", 9, func(p *Playbook) bool { return !p.Shared }, func(p *Playbook, it *Item) bool {
		in := slices.ContainsFunc(p.Box, func(b Item) bool { return b.ID == it.ID })
		return in && dropEffect(it, "call emergency")
	}},
	{"a sick animal and no veterinarian", 9, func(p *Playbook) bool {
		// Move animals and Change the water phone the veterinarian themselves.
		return !slices.Contains(p.sends(), "move-animals") && !slices.Contains(p.sends(), "change-water")
	}, func(p *Playbook, it *Item) bool {
		if !slices.Contains(it.YesMeans, "animals ill") {
			return false
		}
		p.each(func(a *Item) { dropEffect(a, "call veterinarian") })
		return true
	}},
	{"an ill person sent to the veterinarian", 9, nil, func(p *Playbook, it *Item) bool {
		if !personWords.MatchString(it.Do) || !hasEffect(it.Effects, "call emergency") {
			return false
		}
		return replaceEffect(it, "call emergency", "call veterinarian")
	}},
	{"nobody moved away", 10, func(p *Playbook) bool {
		n := 0
		for _, b := range p.Box {
			if hasEffect(b.Effects, "move people") {
				n++
			}
		}
		return !p.Shared && !p.Sitter && n == 1
	}, func(p *Playbook, it *Item) bool {
		return len(p.Box) > 0 && it.ID == p.Box[0].ID && dropEffect(it, "move people")
	}},
	{"power before people", 10, func(p *Playbook) bool { return len(p.Box) > 2 && !p.Shared }, func(p *Playbook, it *Item) bool {
		for i := range p.Box {
			if it.ID == p.Box[0].ID && i > 0 && slices.ContainsFunc(p.Box[i].Effects, func(e Effect) bool { return nearVerbs[e.verb()] }) {
				p.Box[0], p.Box[i] = p.Box[i], p.Box[0]
				return true
			}
		}
		return false
	}},
}

// eventsFor are the cards whose walk shows a mistake on a card: itself, and every
// event that sends people to it.
func eventsFor(l *Library, p *Playbook) []string {
	if !p.Shared {
		return []string{p.Name}
	}
	out := []string{p.Name}
	for _, n := range l.Names() {
		if slices.Contains(l.Sent(n), p.Name) {
			out = append(out, n)
		}
	}
	return out
}

// planted spoils every line of every card in every way, one at a time.
func planted(l *Library, visit func(m mistake, p *Playbook, id string, spoilt *Library)) {
	for _, m := range mistakes {
		for _, name := range append(l.Names(), l.Shared()...) {
			base := l.Find(name)
			if m.applies != nil && !m.applies(base) {
				continue
			}
			var idsOf []string
			base.each(func(it *Item) {
				if it.ID != "" {
					idsOf = append(idsOf, it.ID)
				}
			})
			for _, id := range idsOf {
				p := base.clone()
				done := false
				p.each(func(it *Item) {
					if it.ID == id && !done {
						done = m.plant(&p, it)
					}
				})
				if done {
					visit(m, &p, id, &Library{Cautions: l.Cautions, built: l.built, own: []*Playbook{&p}})
				}
			}
		}
	}
}

func TestEveryPlantedMistakeIsCaught(t *testing.T) {
	l := Builtin()
	// Everything, nothing, and a battery with a vat heater and no purified water show every mistake.
	sites := append(Corners()[:2], Profile{Known: true, Has: map[string]bool{"battery": true, "backup": true, "spare heater": true, "salt": true, "sump": true, "vat heater": true, "kit: total-chlorine test": true}})
	count, caught, k := map[int]int{}, map[int]int{}, 0
	planted(l, func(m mistake, p *Playbook, id string, spoilt *Library) {
		if k++; !outside.Tried(k, 1) {
			return
		}
		count[m.rule]++
		at := sites
		if m.name == inDoubt {
			at = append(at[:len(at):len(at)], Profile{})
		}
		for _, name := range eventsFor(l, p) {
			w := spoilt.Walk(spoilt.Find(name), at...)
			if slices.ContainsFunc(w.Violations, func(v Violation) bool { return v.Rule == m.rule }) {
				caught[m.rule]++
				return
			}
		}
		t.Errorf("rule %d, %s: %s at %s was not caught", m.rule, p.Name, m.name, id)
	})
	sum, got := 0, 0
	for rule := 1; rule <= len(Rules); rule++ {
		t.Logf("rule %d: %d planted, %d caught", rule, count[rule], caught[rule])
		sum, got = sum+count[rule], got+caught[rule]
		if count[rule] == 0 && !outside.UnderRace {
			t.Errorf("no mistake was planted for rule %d", rule)
		}
	}
	t.Logf("%d planted, %d caught", sum, got)
}
