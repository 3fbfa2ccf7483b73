package tabular

import (
	"strings"
	"testing"
)

// TestALongWordDoesNotWidenItsText: a sentence that named a site by a path of 100 characters had all its
// lines as long as the path.
func TestALongWordDoesNotWidenItsText(t *testing.T) {
	path := "/" + strings.Repeat("d", 99)
	s := "the goal is not reached; if it was closed too early, take that back: tidehold incident undo --incident 12 --site " + path + " and go on with the plan as it was before"
	got := Wrap(s, 40)
	for _, l := range strings.Split(got, "\n") {
		if l != path && Columns(l) > 40 {
			t.Errorf("%d columns: %q", Columns(l), l)
		}
	}
	if strings.Join(strings.Fields(got), " ") != s {
		t.Errorf("words are not as they were: %q", got)
	}
	if got := Wrap("a\n"+path+"\nb c", 5); got != "a\n"+path+"\nb c" {
		t.Errorf("lines of the text are not kept: %q", got)
	}
}
