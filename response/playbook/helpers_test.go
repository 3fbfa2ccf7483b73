package playbook

import (
	"sync"
	"testing"
	"time"

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

// demoSheet is a sheet filled for the demo at its own date.
func demoSheet(t testing.TB, name string) Sheet {
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
	return Builtin().Fill(Builtin().Find(name), f.(*Facts))
}

// demoFacts keeps what the planner found, by playbook: a sheet is filled anew for
// each test, so that a test may change it.
var demoFacts sync.Map

// bareSheet is a sheet without a site.
func bareSheet(t testing.TB, name string) Sheet {
	t.Helper()
	return Builtin().Fill(Builtin().Find(name), &Facts{Printed: time.Date(2026, 11, 25, 3, 0, 0, 0, time.UTC)})
}

func mustHTML(t testing.TB, sheets ...Sheet) string {
	t.Helper()
	h, err := HTML("Sheets", Printed, sheets...)
	if err != nil {
		t.Fatal(err)
	}
	return h
}
