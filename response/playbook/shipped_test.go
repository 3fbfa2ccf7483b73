package playbook

import (
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"tidehold/refs/outside"
	"tidehold/volumes/site"
)

// randomSites are sites that have and lack things at random, from a fixed seed.
func randomSites(n int) []Profile {
	rng := rand.New(rand.NewPCG(12, 2026))
	var out []Profile
	for range n {
		has := map[string]bool{}
		for _, w := range siteNeeds {
			has[w] = rng.IntN(2) == 0
		}
		for _, k := range kitWords {
			has["kit: "+k] = rng.IntN(2) == 0
		}
		meet(has)
		has["spare heater"] = has["kit: spare heater"]
		out = append(out, Profile{Known: true, Has: has})
	}
	return out
}

// few are all of the sites, and some under the race detector.
func few(sites []Profile) []Profile {
	var out []Profile
	for k, at := range sites {
		if outside.Tried(k, 1) {
			out = append(out, at)
		}
	}
	return out
}

// shippedSites are the demo and the examples, one for each of their systems.
func shippedSites(t *testing.T) []Profile {
	t.Helper()
	files, err := filepath.Glob("../../testdata/sites/*.yaml")
	if err != nil || len(files) == 0 {
		t.Fatal("no example sites: ", err)
	}
	sites := []*site.Site{demoSite(t)}
	for _, f := range files {
		data, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		if s, faults := site.Load(f, data); len(faults) == 0 {
			sites = append(sites, s)
		}
	}
	var out []Profile
	for _, s := range sites {
		for i := range s.Systems {
			out = append(out, ProfileOf(s, &s.Systems[i]))
		}
	}
	return out
}

// Every way through every card, on the demo, the examples, sites with everything,
// nothing and one thing, sites at random, and with no site known: no rule is broken.
func TestEveryShippedCardKeepsTheRules(t *testing.T) {
	l := Builtin()
	shipped, corners, random := shippedSites(t), Corners(), randomSites(outside.Cases(400, 12, 12))
	sites := few(slices.Concat(shipped, corners, random, []Profile{{}}))
	paths, states := 0, 0
	for _, name := range everyName() {
		w := l.Walk(l.Find(name), sites...)
		for _, v := range w.Violations {
			t.Errorf("%s: rule %d (%s): %s at %s\n  %s", name, v.Rule, Rules[v.Rule-1], v.Text, v.Step, strings.Join(v.Path, "\n  "))
		}
		if w.Paths == 0 || w.Done == 0 {
			t.Errorf("%s: no way comes to an end", name)
		}
		t.Logf("%s: %d ways, %d situations, %d ends, %d waits", name, w.Paths, w.States, w.Done, w.Waiting)
		paths, states = paths+w.Paths, states+w.States
	}
	t.Logf("%d sites (%d shipped, %d corners, %d at random, 1 unknown), %d cards, %d ways, %d situations", len(sites), len(shipped), len(corners), len(random), len(everyName()), paths, states)
}
