package refs

import (
	"fmt"
	"strings"
)

// UnknownError says that a name was looked up and is not there: what kind of thing
// it should be, where it was looked for, and what there is. It is the one wording
// of a failed look-up in this tool.
type UnknownError struct {
	// What is looked for ("store"), Name the name as written, Where it was looked
	// for ("the site file").
	What, Name, Where string
	// Known are the names there are, in their own order.
	Known []string
}

const (
	// shownName and shownKnown bound what a message repeats of a name and a list.
	shownName, shownKnown = 60, 10
	// comparedKnown bounds among how many names the nearest is looked for.
	comparedKnown = 200
)

// Nearest is the known name that was most likely meant; false if none is close.
func (e *UnknownError) Nearest() (string, bool) {
	return Nearest(cutText(e.Name), e.Known[:min(len(e.Known), comparedKnown)])
}

func (e *UnknownError) Error() string {
	found := fmt.Sprintf("%s %q is not in %s", e.What, cutText(e.Name), e.Where)
	if len(e.Known) == 0 {
		return found + ", which has none"
	}
	s := found + ", which has " + strings.Join(e.Known[:min(len(e.Known), shownKnown)], ", ")
	if more := len(e.Known) - shownKnown; more > 0 {
		s += fmt.Sprintf(" and %d more", more)
	}
	if near, ok := e.Nearest(); ok {
		s += fmt.Sprintf("; %s", DidYouMean(near))
	}
	return s
}

// cutText keeps a name of a message short, at a whole character.
func cutText(s string) string {
	n := 0
	for i := range s {
		if n == shownName {
			return s[:i] + "…"
		}
		n++
	}
	return s
}

// DidYouMean is the hint for a word that is not among the known ones, in the one way it is put.
func DidYouMean(near string) string { return fmt.Sprintf("did you mean %q?", near) }
