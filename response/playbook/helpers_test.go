package playbook

import (
	"fmt"
	"reflect"
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
	written.Store(s, string(site.Demo()))
	return s
}

// siteOf loads a site written in a test.
func siteOf(t testing.TB, text string) *site.Site {
	t.Helper()
	text = "format: 1\n" + text
	s, faults := site.Load("x.yaml", []byte(text))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	written.Store(s, text)
	return s
}

// written is the text of each site that a test wrote, siteFacts what was gathered for one as it
// was written: most of the time of these tests is the planner's, at the same few houses.
var written, siteFacts sync.Map

// gathered are the facts of a site, planned for once unless the test has changed the site.
func gathered(t testing.TB, s *site.Site, r Request) *Facts {
	t.Helper()
	key := ""
	if text, ok := written.Load(s); ok && r.At == nil {
		if fresh, _ := site.Load("x.yaml", []byte(text.(string))); reflect.DeepEqual(s, fresh) {
			key = fmt.Sprintf("%+v of %s", r, text)
		}
	}
	f, ok := siteFacts.Load(key)
	if !ok {
		got, err := Gather(s, r)
		if err != nil {
			t.Fatal(err)
		}
		if f = got; key != "" {
			siteFacts.Store(key, got)
		}
	}
	own := *f.(*Facts)
	return &own
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
		facts = append(facts, gathered(t, s, Request{Playbook: n, System: system, Units: s.Units, Printed: at}))
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

// inMarkdown leaves names as they are: what keeps them from acting is the program's.
var inMarkdown = Markdown(func(s string) string { return s })
