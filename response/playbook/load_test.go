package playbook

import (
	"testing"

	"tidehold/refs/yamlwalk"
)

func TestEveryShippedCardLoads(t *testing.T) {
	l := Builtin()
	for _, name := range append(append([]string{}, order...), sharedNames...) {
		err := load(name, func(d *yamlwalk.Doc) {
			p := l.readWhole(d)
			l.verify(&p, d.Root)
		})
		if err != nil {
			t.Error(err)
		}
	}
}
