package yamlwalk

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"
)

const (
	// printed is how many faults Error prints before it only counts.
	printed = 20
	// kept bounds what a document collects: nobody mends a thousand at once.
	kept = 1000
	// longest is how many characters of a found text are shown.
	longest = 60
)

// Fault is one thing wrong in a file.
type Fault struct {
	// File is the name given to Parse, or the flag a value came from.
	File string
	// Line and Column count from 1; Line is 0 for a value that came from a flag.
	Line, Column int
	// Path says where in the tree, as systems[0].net_volume; "" is the whole file.
	Path string
	// Found, Allowed and Hint: what stands there, what may stand there, the
	// nearest mend ("" if none is known).
	Found, Allowed, Hint string
}

// Error is "file:line:column: path: found; allowed; hint".
func (f Fault) Error() string {
	var b strings.Builder
	b.WriteString(f.File)
	if f.Line > 0 {
		fmt.Fprintf(&b, ":%d:%d", f.Line, f.Column)
	}
	b.WriteString(": ")
	if f.Path != "" {
		b.WriteString(f.Path + ": ")
	}
	b.WriteString(f.Found)
	for _, part := range []string{f.Allowed, f.Hint} {
		if part != "" {
			b.WriteString("; " + part)
		}
	}
	return b.String()
}

// Faults are the faults of one file, sorted by line and column.
type Faults []Fault

// Err is nil if there are none.
func (f Faults) Err() error {
	if len(f) == 0 {
		return nil
	}
	return f
}

// Error prints one fault a line, the first 20, and then how many more there are.
func (f Faults) Error() string {
	var b strings.Builder
	for i, fault := range f {
		if i == printed {
			more := fmt.Sprint(len(f) - printed)
			if len(f) >= kept {
				more = "at least " + more
			}
			fmt.Fprintf(&b, "\n%s: and %s more faults", fault.File, more)
			break
		}
		if i > 0 {
			b.WriteByte('\n')
		}
		b.WriteString(fault.Error())
	}
	return b.String()
}

// Nearest is the fault to mend first, in a line: the first that is a slip of writing, of which others follow,
// without all that is allowed there; where none is, the first.
func (f Faults) Nearest() string {
	for _, fault := range f {
		if strings.HasPrefix(fault.Hint, "did you mean") {
			fault.Allowed = ""
			return fault.Error()
		}
	}
	return f[0].Error()
}

// sorted orders by line, then column, and keeps the order of finding otherwise.
func sorted(list []Fault) Faults {
	out := slices.Clone(list)
	slices.SortStableFunc(out, func(a, b Fault) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
	return out
}

// Quote shows a text as found, in quotes, with control characters escaped, and
// cut short after 60 characters.
func Quote(text string) string {
	if len(text) > longest {
		cut := longest
		for cut > 0 && !utf8.RuneStart(text[cut]) {
			cut--
		}
		return fmt.Sprintf("%q…", text[:cut])
	}
	return fmt.Sprintf("%q", text)
}
