package playbook

import (
	"fmt"
	"strings"
	"testing"
)

func TestEveryShippedCardKeepsTheRules(t *testing.T) {
	l := Builtin()
	for _, name := range append(l.Names(), l.Shared()...) {
		p := l.Find(name)
		w := l.Walk(p, Corners()...)
		for _, v := range w.Violations {
			t.Errorf("%s: rule %d (%s): %s at %s\n  %s", name, v.Rule, Rules[v.Rule-1], v.Text, v.Step, strings.Join(v.Path, "\n  "))
		}
		t.Log(fmt.Sprintf("%s: %d paths, %d situations, %d ends, %d waits", name, w.Paths, w.States, w.Done, w.Waiting))
	}
}
