package playbook

import (
	"fmt"
	"reflect"
	"slices"
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
	written.Store(s, file{"demo", string(site.Demo())})
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
	written.Store(s, file{"x.yaml", text})
	return s
}

// file is a site file.
type file struct{ name, text string }

// atNight is the moment at which most cards of these tests are printed.
var atNight = time.Date(2026, 11, 26, 3, 0, 0, 0, time.UTC)

// written is the file of each site that a test wrote, siteFacts what was gathered for one as it
// was written: most of the time of these tests is the planner's, at the same few houses.
var written, siteFacts sync.Map

// gathered are the facts of a site, planned for once unless the test has changed the site.
func gathered(t testing.TB, s *site.Site, r Request) *Facts {
	t.Helper()
	key := ""
	if w, ok := written.Load(s); ok && r.At == nil {
		w := w.(file)
		if fresh, _ := site.Load(w.name, []byte(w.text)); alike(reflect.ValueOf(s), reflect.ValueOf(fresh)) {
			asked := r
			if ev, sys, err := choose(s, r); err == nil {
				asked.Event, asked.System = ev.ID, sys.ID // however they are asked for
			}
			key = fmt.Sprintf("%+v of %s", asked, w)
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

// alike is reflect.DeepEqual but for functions, which the shapes of a site hold: to that one they are never the same.
func alike(a, b reflect.Value) bool {
	if !a.IsValid() || !b.IsValid() || a.Type() != b.Type() {
		return a.IsValid() == b.IsValid() && !a.IsValid()
	}
	switch a.Kind() {
	case reflect.Func:
		return a.IsNil() == b.IsNil()
	case reflect.Pointer, reflect.Interface:
		return alike(a.Elem(), b.Elem())
	case reflect.Struct:
		for i := range a.NumField() {
			if !alike(a.Field(i), b.Field(i)) {
				return false
			}
		}
		return true
	case reflect.Slice, reflect.Array:
		for i := range min(a.Len(), b.Len()) {
			if !alike(a.Index(i), b.Index(i)) {
				return false
			}
		}
		return a.Len() == b.Len()
	case reflect.Map:
		for _, key := range a.MapKeys() {
			if !alike(a.MapIndex(key), b.MapIndex(key)) {
				return false
			}
		}
		return a.Len() == b.Len()
	default:
		return a.Equal(b)
	}
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

// demoPrinted are the facts with which each card is printed for the demo.
var demoPrinted sync.Map

// demoCard is a card filled for the demo.
func demoCard(t testing.TB, name string) Card {
	t.Helper()
	f, ok := demoPrinted.Load(name)
	if !ok {
		s := demoSite(t)
		f, _ = demoPrinted.LoadOrStore(name, gathered(t, s, Request{Playbook: name, Cards: Builtin(), Units: s.Units, Printed: site.DemoDate()}))
	}
	return Builtin().Fill(Builtin().Find(name), f.(*Facts))
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
		facts = append(facts, gathered(t, s, Request{Playbook: n, System: system, Cards: l, Units: s.Units, Printed: at}))
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

// demoBinder is the demo's binder, made once for the tests that only look at it.
func demoBinder(t testing.TB) []Card {
	t.Helper()
	demoCards.Do(func() { demoCards.of = binderOf(t, demoSite(t), "hall-reef", site.DemoDate()) })
	return slices.Clone(demoCards.of)
}

var demoCards struct {
	sync.Once
	of []Card
}

// inMarkdown leaves names as they are: what keeps them from acting is the program's.
var inMarkdown = Markdown(func(s string) string { return s })
