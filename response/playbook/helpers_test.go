package playbook

import (
	"sync"
	"testing"
	"time"

	"tidehold/refs/units"
	"tidehold/volumes/site"
)

// demoSite is the embedded demo.
func demoSite(t testing.TB) *site.Site {
	t.Helper()
	s, faults := site.Load("demo", site.Demo())
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return s
}

// siteOf loads a site written in a test.
func siteOf(t testing.TB, text string) *site.Site {
	t.Helper()
	s, faults := site.Load("x.yaml", []byte("format: 1\n"+text))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return s
}

// demoFacts keeps what the planner found, by card: a card is filled anew for each
// test, so that a test may change it.
var demoFacts sync.Map

// factsOf are the demo's facts for a card, at the demo's own date.
func factsOf(t testing.TB, name string) *Facts {
	t.Helper()
	f, ok := demoFacts.Load(name)
	if !ok {
		at := site.DemoDate()
		gathered, err := Gather(demoSite(t), Request{Playbook: name, Printed: at, At: &at})
		if err != nil {
			t.Fatal(err)
		}
		f, _ = demoFacts.LoadOrStore(name, gathered)
	}
	return f.(*Facts)
}

// demoCard is a card filled for the demo.
func demoCard(t testing.TB, name string) Card {
	t.Helper()
	return Builtin().Fill(Builtin().Find(name), factsOf(t, name))
}

// bareCard is a card without a site.
func bareCard(name string) Card {
	return Builtin().Fill(Builtin().Find(name), Usual(units.Metric, time.Date(2026, 11, 25, 3, 0, 0, 0, time.UTC)))
}

func everyName() []string { return append(append([]string{}, order...), sharedNames...) }

func mustHTML(t testing.TB, cards ...Card) string {
	t.Helper()
	h, err := HTML("Cards", Printed, cards...)
	if err != nil {
		t.Fatal(err)
	}
	return h
}

// binderOf is the binder of one system of a site, as it is printed.
func binderOf(t testing.TB, s *site.Site, system string, at time.Time) []Card {
	t.Helper()
	l := Builtin()
	names := l.Names()
	var facts []*Facts
	for _, n := range names {
		f, err := Gather(s, Request{Playbook: n, System: system, Units: s.Units, Printed: at})
		if err != nil {
			t.Fatal(err)
		}
		facts = append(facts, f)
	}
	shared := l.Binder(names, facts, Printed)
	var cards []Card
	for i, n := range names {
		cards = append(cards, l.Fill(l.Find(n), facts[i]))
	}
	for _, n := range l.Shared() {
		cards = append(cards, l.Fill(l.Find(n), shared))
	}
	return cards
}
