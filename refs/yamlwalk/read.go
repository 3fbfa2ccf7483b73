package yamlwalk

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"tidehold/refs"
	"tidehold/refs/units"
)

// maxText bounds a text that is printed on a sheet, in characters.
const maxText = 200

// maxQuantity bounds a written quantity, in bytes; the longest sensible one has
// about thirty.
const maxQuantity = 100

// Fields is a mapping whose keys have been checked.
type Fields struct{ node *Node }

// Fields checks that n is a mapping that has every required key and no key beyond
// the required and the optional ones. It reports what is not so, with the nearest
// known key, and returns what there is.
func (n *Node) Fields(required, optional []string) Fields {
	if n == nil {
		return Fields{}
	}
	known := slices.Concat(required, optional)
	if n.kind != Mapping {
		n.wrongKind("a mapping with " + strings.Join(known, ", "))
		return Fields{}
	}
	if n == n.doc.Root {
		n.doc.top = known
	}
	for _, e := range n.entries {
		if !slices.Contains(known, e.Key) {
			n.unknown(e, known)
		}
	}
	for _, key := range required {
		if _, ok := n.at[key]; !ok && !n.partial {
			n.Fault(key+" is missing", "needed: "+strings.Join(required, ", "), "")
		}
	}
	return Fields{n}
}

// unknown reports a key that does not belong here.
func (n *Node) unknown(e Entry, known []string) {
	if n.doc.Full() {
		return
	}
	hint := ""
	if near, ok := refs.Nearest(clip(e.Key), known); ok {
		hint = refs.DidYouMean(near)
	} else if slices.Contains(n.doc.top, e.Key) {
		hint = "it is a key of the whole file: write it at the left margin"
	}
	if e.Value.origin != "" {
		e.Value.Fault("unknown key "+Quote(e.Key), "allowed: "+strings.Join(known, ", "), hint)
		return
	}
	n.faultAt(e.Line, e.Column, "unknown key "+Quote(e.Key), "allowed: "+strings.Join(known, ", "), hint)
}

// clip keeps the comparison of words short.
func clip(s string) string {
	if len(s) > longest {
		return s[:longest]
	}
	return s
}

// Get is the value of a key, nil if it is not there.
func (f Fields) Get(key string) *Node { return f.node.Child(key) }

// wrongKind reports a node that is not of the kind wanted.
func (n *Node) wrongKind(allowed string) {
	if n.refused {
		return
	}
	switch n.kind {
	case Null:
		n.Fault("no value", allowed, "")
	case Scalar:
		n.Fault(Quote(n.text)+" is a single value", allowed, "")
	default:
		n.Fault("this is "+n.kind.String(), allowed, "")
	}
}

// IsScalar says that n is a single value, and reports it if not. allowed says
// what is wanted, for the report. It is false for every node once the document
// has all the faults it takes.
func (n *Node) IsScalar(allowed string) bool {
	if n == nil {
		return false
	}
	if n.doc.Full() {
		return false
	}
	if n.kind != Scalar {
		n.wrongKind(allowed)
		return false
	}
	return true
}

// Items are the items of a list; anything else is reported.
func (n *Node) Items(allowed string) []*Node {
	if n == nil {
		return nil
	}
	if n.kind != List {
		n.wrongKind(allowed)
		return nil
	}
	return n.items
}

// Text is a single line of 1 to 200 printable characters; anything else is
// reported and gives "".
func (n *Node) Text(allowed string) string {
	if !n.IsScalar(allowed) {
		return ""
	}
	length := utf8.RuneCountInString(n.text)
	switch {
	case strings.TrimSpace(n.text) == "":
		n.Fault("an empty text", allowed, "")
	case length > maxText:
		n.Fault(fmt.Sprintf("a text of %d characters", length), fmt.Sprintf("at most %d", maxText), "")
	case strings.ContainsFunc(n.text, func(r rune) bool { return !unicode.IsPrint(r) }):
		n.Fault(Quote(n.text)+" has a line break or a character that cannot be printed", "one line of printable text", "")
	default:
		return n.text
	}
	return ""
}

// Choice is one of the words given; anything else is reported with the nearest
// and gives "".
func (n *Node) Choice(words ...string) string {
	allowed := "allowed: " + strings.Join(words, ", ")
	if !n.IsScalar(allowed) {
		return ""
	}
	if slices.Contains(words, n.text) {
		return n.text
	}
	hint := ""
	if near, ok := refs.Nearest(clip(n.text), words); ok {
		hint = refs.DidYouMean(near)
	}
	n.Fault(Quote(n.text)+" is not known here", allowed, hint)
	return ""
}

// YesNo is true for yes and true, false for no and false; anything else is
// reported and gives false, false.
func (n *Node) YesNo() (value, ok bool) {
	if !n.IsScalar("yes or no") {
		return false, false
	}
	switch n.text {
	case "yes", "true":
		return true, true
	case "no", "false":
		return false, true
	}
	n.Fault(Quote(n.text)+" is neither yes nor no", "yes or no", "")
	return false, false
}

// Count is a whole number from low to high in plain digits; anything else is
// reported.
func (n *Node) Count(low, high int) (int, bool) {
	allowed := fmt.Sprintf("a whole number from %d to %d", low, high)
	if low == high {
		allowed = fmt.Sprintf("only %d", low)
	}
	if !n.IsScalar(allowed) {
		return 0, false
	}
	digits := n.text != "" && len(n.text) <= 9
	for i := 0; digits && i < len(n.text); i++ {
		digits = n.text[i] >= '0' && n.text[i] <= '9'
	}
	switch {
	case !digits:
		n.Fault(Quote(n.text)+" is not a whole number in plain digits", allowed, "")
		return 0, false
	case len(n.text) > 1 && n.text[0] == '0':
		n.Fault(Quote(n.text)+" has a leading zero", allowed, "write "+zeroless(n.text))
		return 0, false
	}
	value, err := strconv.Atoi(n.text)
	if err != nil || value < low || value > high {
		n.Fault(Quote(n.text)+" is out of range", allowed, "")
		return 0, false
	}
	return value, true
}

func zeroless(digits string) string {
	if s := strings.TrimLeft(digits, "0"); s != "" {
		return s
	}
	return "0"
}

// Date is a calendar day as 2026-03-01, at 0 h UTC; anything else is reported.
func (n *Node) Date() (time.Time, bool) {
	const allowed = "a date as year-month-day, like 2026-03-01"
	if !n.IsScalar(allowed) {
		return time.Time{}, false
	}
	day, err := time.Parse(time.DateOnly, n.text)
	if err != nil {
		n.Fault(Quote(n.text)+" is not a date of the calendar", allowed, otherOrder(n.text))
		return time.Time{}, false
	}
	if day.Year() < 1970 || day.Year() > 2199 {
		n.Fault(Quote(n.text)+" is out of range", "a year from 1970 to 2199", "")
		return time.Time{}, false
	}
	return day, true
}

// Clock reads a time of day, 00:00 to 23:59, and returns it in hours.
func (n *Node) Clock() (float64, bool) {
	const allowed = "a time of day from 00:00 to 23:59, like 06:30"
	if !n.IsScalar(allowed) {
		return 0, false
	}
	at, err := time.Parse("15:04", n.text)
	if err != nil || len(n.text) != len("15:04") {
		hint := ""
		for _, layout := range []string{"15:04", "15.04", "3:04pm", "3pm", "15:04:05", "1504", "15"} {
			if at, err := time.Parse(layout, strings.ReplaceAll(strings.ToLower(n.text), " ", "")); err == nil {
				hint = "write " + at.Format("15:04")
				break
			}
		}
		n.Fault(Quote(n.text)+" is not a time of day", allowed, hint)
		return 0, false
	}
	return float64(at.Hour()) + float64(at.Minute())/60, true
}

// otherOrder is the hint for a date in another order that can be read in one way
// only: with points the day comes first, with strokes unless one of the two numbers
// is above twelve it cannot be known.
func otherOrder(text string) string {
	for _, c := range []struct{ layout, rival string }{{"2.1.2006", ""}, {"2/1/2006", "1/2/2006"}, {"1/2/2006", "2/1/2006"}, {"2006/1/2", ""}, {"2006.1.2", ""}, {"2006-1-2", ""}, {"20060102", ""}} {
		day, err := time.Parse(c.layout, text)
		if err != nil {
			continue
		}
		if c.rival != "" {
			if other, err := time.Parse(c.rival, text); err == nil && !other.Equal(day) {
				return ""
			}
		}
		return "write " + day.Format(time.DateOnly)
	}
	return ""
}

// Quantity reads a number with its unit; anything else is reported with what is
// allowed and the nearest spelling.
func (n *Node) Quantity(dim units.Dimension) (units.Quantity, bool) {
	if n.Kind() == Null && n != nil && !n.refused && !n.doc.Full() {
		_, err := units.Parse("", dim)
		n.Mismatch(err)
		return units.Quantity{}, false
	}
	if !n.IsScalar(units.An(dim.String())) {
		return units.Quantity{}, false
	}
	if len(n.text) > maxQuantity {
		n.Fault(Quote(n.text)+" is too long", units.An(dim.String()), "")
		return units.Quantity{}, false
	}
	q, err := units.Parse(n.text, dim)
	if err != nil {
		n.Mismatch(err)
		return q, false
	}
	return q, true
}

// Mismatch reports an error about this node's value, in its three parts if it is a
// *units.Error.
func (n *Node) Mismatch(err error) {
	var e *units.Error
	if errors.As(err, &e) {
		n.Fault(e.Found, e.Allowed, e.Hint)
		return
	}
	found, allowed, _ := strings.Cut(err.Error(), "; ")
	n.Fault(found, allowed, "")
}
