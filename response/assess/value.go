package assess

import (
	"fmt"
	"regexp"
	"strings"
)

// written is a result as the field has it: its numbers still text.
type written struct {
	sign    string // "<", ">" or ""
	number  string
	spread  string // behind ±, "" when there is none
	percent bool   // the spread is a percentage
	unit    string // behind the number, "" when the column has it
}

var (
	lessSigns = regexp.MustCompile(`(?i)^(?:<=?|≤|&lt;|less than|kleiner(?: als)?|inférieur à|menor que|minore di|kleiner dan)\s*`)
	moreSigns = regexp.MustCompile(`(?i)^(?:>=?|≥|&gt;|more than|größer(?: als)?|mayor que)\s*`)
	spreads   = regexp.MustCompile(`\s*(?:±|\+/-|\+-)\s*`)
	leading   = regexp.MustCompile(`^([0-9](?:[0-9., '’\x{00a0}\x{202f}\x{2009}]*[0-9])?(?:[eE][+-]?[0-9]{1,2})?)\s*(.*)$`)
)

// cutValue takes a result apart: "< 0,5", "12.3 ± 0.4 µg/L", "5 ± 10 %". The error is
// what to say of the field.
func cutValue(text string) (written, error) {
	var w written
	rest := strings.TrimSpace(strings.TrimPrefix(strings.TrimSpace(text), "="))
	if m := lessSigns.FindString(rest); m != "" {
		w.sign, rest = "<", rest[len(m):]
	} else if m := moreSigns.FindString(rest); m != "" {
		w.sign, rest = ">", rest[len(m):]
	}
	if strings.HasPrefix(rest, "-") || strings.HasPrefix(rest, "−") {
		return w, fmt.Errorf("%s is negative; zero or more", shown(text))
	}
	parts := spreads.Split(rest, 2)
	m := leading.FindStringSubmatch(parts[0])
	if m == nil {
		return w, fmt.Errorf("%s is no number; a plain number, or <x for a result below the reporting limit", shown(text))
	}
	number, ok := numeral(m[1])
	if !ok {
		return w, fmt.Errorf("%s is no number; a plain number, or <x for a result below the reporting limit", shown(text))
	}
	w.number, w.unit = number, strings.TrimSpace(m[2])
	if len(parts) == 1 {
		return w, nil
	}
	unit, err := w.cutSpread(parts[1])
	if w.unit == "" {
		w.unit = unit
	}
	return w, err
}

// cutSpread takes an uncertainty apart and returns the unit behind it: "±0,4", "10 %".
func (w *written) cutSpread(text string) (unit string, err error) {
	text = strings.TrimSpace(text)
	if loc := spreads.FindStringIndex(text); loc != nil && loc[0] == 0 {
		text = text[loc[1]:]
	}
	if strings.HasPrefix(text, "-") || strings.HasPrefix(text, "−") {
		return "", fmt.Errorf("the uncertainty %s is negative; zero or more", shown(text))
	}
	m := leading.FindStringSubmatch(text)
	if m == nil {
		return "", fmt.Errorf("the uncertainty %s is no number", shown(text))
	}
	number, ok := numeral(m[1])
	if !ok {
		return "", fmt.Errorf("the uncertainty %s is no number", shown(text))
	}
	w.spread, unit = number, strings.TrimSpace(m[2])
	if rest, found := strings.CutPrefix(unit, "%"); found {
		w.percent, unit = true, strings.TrimSpace(rest)
	}
	return unit, nil
}
