package yamlwalk

import (
	"bytes"
	"strconv"
	"strings"

	"gopkg.in/yaml.v3"
)

// maxRetry is the largest text that is parsed again to find the line of a fault.
const maxRetry = 256 << 10

// syntax restates the library's error in words of this tool.
func (d *Doc) syntax(err error, data []byte) {
	text := err.Error()
	line := reportedLine(text)
	found, hint := "the text is not well formed here or just above", "look for a missing colon, quote or bracket, or lines that are not indented alike"
	for _, known := range syntaxFaults {
		if strings.Contains(text, known.library) {
			found, hint = known.found, known.hint
			if known.below && len(data) <= maxRetry {
				line = noticed(data, text, line)
			}
			if n := tabbed(data, line); n > 0 && (known.tab || n == line) {
				line, found, hint = n, "a tab is used to indent", "indent with blanks"
			}
			break
		}
	}
	d.at(line, 1, found, "YAML: key: value, lists as - item or [a, b]", hint)
}

// tabbed is the first line from one on that is indented with a tab; 0 for none.
func tabbed(data []byte, from int) int {
	for i, text := range bytes.Split(data, []byte("\n")) {
		indent := text[:len(text)-len(bytes.TrimLeft(text, " \t"))]
		if i+1 >= from && len(indent) < len(text) && bytes.ContainsRune(indent, '\t') {
			return i + 1
		}
	}
	return 0
}

// reportedLine reads the line out of the library's error, 1 if it gives none. Its
// parser, unlike its scanner, counts lines from 0.
func reportedLine(text string) int {
	_, rest, ok := strings.Cut(text, "line ")
	digits, _, _ := strings.Cut(rest, ":")
	n, err := strconv.Atoi(digits)
	if !ok || err != nil {
		return 1
	}
	if strings.Contains(text, "did not find expected") {
		n++
	}
	return n
}

// noticed finds the line at which the library noticed a fault that it reports at
// the start of the block: the fewest lines of the text that give the same error.
func noticed(data []byte, text string, from int) int {
	var ends []int
	for i, c := range data {
		if c == '\n' {
			ends = append(ends, i+1)
		}
	}
	ends = append(ends, len(data))
	low, high := min(from, len(ends))-1, len(ends)-1
	for low < high {
		mid := (low + high) / 2
		var node yaml.Node
		err := yaml.NewDecoder(bytes.NewReader(data[:ends[mid]])).Decode(&node)
		if err != nil && err.Error() == text {
			high = mid
		} else {
			low = mid + 1
		}
	}
	return low + 1
}

// syntaxFaults translates what the library notices most often. below: it reports
// the block's first line, the fault is further down.
var syntaxFaults = []struct {
	library, found, hint string
	// tab: it may be a tab further down.
	below, tab bool
}{
	{"mapping values are not allowed", "a second colon in one line, or a line indented too far", "put text that has a colon and a blank in it into quotes", false, false},
	{"cannot start any token", "a value begins with a character that YAML reserves", "put such text into quotes", false, false},
	{"tab character", "a tab is used to indent", "indent with blanks", false, true},
	{"',' or ']'", "a list opened with [ here or just above is not closed", "add the ] or the missing comma", false, false},
	{"',' or '}'", "a mapping opened with { here or just above is not closed", "add the } or the missing comma", false, false},
	{"expected node content", "a value is missing, or a bracket opened above is not closed", "add the value or the closing bracket", false, false},
	{"unexpected end of stream", "a quote or bracket opened here or above is not closed", "add the closing quote or bracket", false, false},
	{"could not find expected ':'", "a key without its colon", "write key: value", false, false},
	{"did not find expected key", "a line that does not fit the mapping above it", "indent lines of one mapping alike", true, false},
	{"did not find expected '-' indicator", "a line that does not fit the list above it", "begin each item of the list with - and indent its lines alike", true, false},
	{"unknown anchor", "an alias to something that is not there", "write the value out", false, false},
	{"control characters", "a control character", "remove it", false, false},
}
