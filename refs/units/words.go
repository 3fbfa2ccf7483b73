package units

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// Count is a number with its noun in the right form: "1 change", "3 changes",
// "2 batches", "2 entries", "4 more events".
func Count(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %s", n, plural(noun))
}

// plural is the regular plural of the last word of a noun.
func plural(noun string) string {
	stem, y := strings.CutSuffix(noun, "y")
	switch {
	case y && stem != "" && !strings.ContainsAny(stem[len(stem)-1:], "aeiou"):
		return stem + "ies"
	case strings.HasSuffix(noun, "s"), strings.HasSuffix(noun, "x"), strings.HasSuffix(noun, "ch"), strings.HasSuffix(noun, "sh"):
		return noun + "es"
	}
	return noun + "s"
}

// An is a noun with its article, by its first letter: "a store", "an event", and "a unit", which is spoken
// with a consonant.
func An(noun string) string {
	if noun != "" && strings.ContainsAny(noun[:1], "aeiouAEIOU") && !strings.HasPrefix(noun, "uni") {
		return "an " + noun
	}
	return "a " + noun
}

// UpperFirst is a text with a capital at its beginning, as a sentence has.
func UpperFirst(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	if n == 0 || r == utf8.RuneError {
		return s
	}
	return strings.ToUpper(string(r)) + s[n:]
}

// List joins words as a sentence does: "a", "a and b", "a, b and c"; none where
// there are none.
func List(words []string, none string) string {
	switch n := len(words); n {
	case 0:
		return none
	case 1:
		return words[0]
	default:
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
}
