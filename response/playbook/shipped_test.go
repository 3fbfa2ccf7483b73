package playbook

import (
	"fmt"
	"strings"
	"testing"
)

// corners are sites with everything and with nothing, and those in between that
// lack one thing or have one thing.
func corners() []Profile {
	all, none := map[string]bool{}, map[string]bool{}
	var words []string
	words = append(words, siteNeeds...)
	for _, k := range kitWords {
		words = append(words, "kit: "+k)
	}
	for _, w := range words {
		all[w] = true
	}
	out := []Profile{{Known: true, Has: all}, {Known: true, Has: none}}
	for _, w := range words {
		less, more := map[string]bool{}, map[string]bool{w: true}
		for k := range all {
			less[k] = k != w
		}
		if w == "backup" || w == "battery" || w == "generator" {
			more["backup"] = true
			if w == "backup" {
				more["battery"] = true
			}
			less["backup"] = less["battery"] || less["generator"]
		}
		out = append(out, Profile{Known: true, Has: less}, Profile{Known: true, Has: more})
	}
	return out
}

func TestEveryShippedCardKeepsTheRules(t *testing.T) {
	l := Builtin()
	for _, name := range append(l.Names(), l.Shared()...) {
		p := l.Find(name)
		w := l.Walk(p, corners()...)
		for _, v := range w.Violations {
			t.Errorf("%s: rule %d (%s): %s at %s\n  %s", name, v.Rule, Rules[v.Rule-1], v.Text, v.Step, strings.Join(v.Path, "\n  "))
		}
		t.Log(fmt.Sprintf("%s: %d paths, %d situations, %d ends, %d waits", name, w.Paths, w.States, w.Done, w.Waiting))
	}
}
