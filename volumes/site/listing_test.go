package site

import (
	"slices"
	"strings"
	"testing"

	"tidehold/refs"
)

func TestDefaultsAreListedWithTheirBasis(t *testing.T) {
	list := Defaults()
	if len(list) < 20 {
		t.Errorf("only %d defaults", len(list))
	}
	for _, a := range list {
		if a.What == "" || a.Value == "" || a.Source == "" {
			t.Errorf("%+v is incomplete", a)
		}
	}
	if !slices.IsSortedFunc(list, func(a, b refs.Assumption) int { return strings.Compare(a.What, b.What) }) {
		t.Error("not in order of path")
	}
}
