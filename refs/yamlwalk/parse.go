package yamlwalk

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"gopkg.in/yaml.v3"
)

const (
	// MaxBytes is the largest file read: 8 MiB.
	MaxBytes = 8 << 20
	// maxDepth bounds nesting; a site file needs seven levels.
	maxDepth = 64
)

const (
	emptyFile   = "the file is empty"
	mappingRule = "a mapping: key: value, one a line"
)

// Doc is one parsed text and the faults found in it so far.
type Doc struct {
	// File is the name used in faults.
	File string
	// Root is the top of the tree, a mapping; nil if the text could not be used.
	Root *Node
	// top are the keys of the whole file, once the root's were checked.
	top    []string
	faults []Fault
}

// Faults are those found up to now, by Parse and by every reader since.
func (d *Doc) Faults() Faults { return sorted(d.faults) }

func (d *Doc) add(f Fault) {
	if !d.Full() {
		d.faults = append(d.faults, f)
	}
}

// Full says that no more faults are taken, a thousand being enough: readers stop working out messages, so
// that a hostile file costs no more than reading it.
func (d *Doc) Full() bool { return len(d.faults) >= kept }

// at adds a fault of the text itself.
func (d *Doc) at(line, column int, found, allowed, hint string) {
	d.add(Fault{File: d.File, Line: max(1, line), Column: max(1, column), Found: found, Allowed: allowed, Hint: hint})
}

// Parse reads data, a YAML text of one mapping. file is the name its faults carry.
// The result is never nil; its Root is nil if the text is empty, too large, not
// YAML or not a mapping.
func Parse(file string, data []byte) *Doc {
	d := &Doc{File: file}
	if !d.readable(data) {
		return d
	}
	dec := yaml.NewDecoder(bytes.NewReader(data))
	var top yaml.Node
	switch err := dec.Decode(&top); {
	case errors.Is(err, io.EOF) || err == nil && len(top.Content) == 0:
		d.at(1, 1, emptyFile, mappingRule, "")
		return d
	case err != nil:
		d.syntax(err, data)
		return d
	}
	d.second(dec, data)
	body := top.Content[0]
	if body.Kind != yaml.MappingNode {
		node := &Node{doc: d}
		node.fill(body, 0)
		switch {
		case len(d.faults) > 0:
		case node.kind == Null:
			d.at(1, 1, emptyFile, mappingRule, "")
		default:
			d.at(body.Line, body.Column, "the file is "+node.kind.String(), mappingRule, "")
		}
		return d
	}
	d.Root = &Node{doc: d}
	d.Root.fill(body, 0)
	return d
}

// readable checks size and encoding before the YAML library sees the text.
func (d *Doc) readable(data []byte) bool {
	if len(data) > MaxBytes {
		d.at(1, 1, "the file is larger than 8 MiB", fmt.Sprintf("at most %d bytes", MaxBytes), "")
		return false
	}
	line, start := 1, 0
	for i := 0; i < len(data); {
		r, size := rune(data[i]), 1
		if r >= utf8.RuneSelf {
			r, size = utf8.DecodeRune(data[i:])
		}
		switch {
		case r == utf8.RuneError && size == 1:
			d.at(line, utf8.RuneCount(data[start:i])+1, "the text is not UTF-8", "a text file saved as UTF-8", "save it again with that encoding")
			return false
		case forbidden(r):
			d.at(line, utf8.RuneCount(data[start:i])+1, fmt.Sprintf("a control character, %U", r), "printable text, blanks and line ends", "remove it")
			return false
		case r == '\n':
			line, start = line+1, i+1
		}
		i += size
	}
	return true
}

// forbidden says that YAML takes no such character (YAML 1.2.2, section 5.1).
func forbidden(r rune) bool {
	return r < ' ' && r != '\t' && r != '\n' && r != '\r' || r >= 0x7f && r < 0xa0 && r != 0x85 || r == 0xfffe || r == 0xffff
}

// second insists that nothing follows the first document.
func (d *Doc) second(dec *yaml.Decoder, data []byte) {
	var more yaml.Node
	switch err := dec.Decode(&more); {
	case errors.Is(err, io.EOF):
	case err != nil:
		d.syntax(err, data)
	default:
		d.at(more.Line, more.Column, "a second document begins here", "one document a file", "remove the line --- and what follows it")
	}
}

// fill copies a node of the library into the tree, reporting what is refused.
func (n *Node) fill(y *yaml.Node, depth int) {
	n.line, n.column = y.Line, y.Column
	if depth > maxDepth {
		n.Fault("nested too deeply", fmt.Sprintf("at most %d levels", maxDepth), "")
		n.kind, n.refused = Null, true
		return
	}
	switch {
	case y.Kind == yaml.AliasNode:
		n.Fault("an alias, "+Quote("*"+y.Value), "each value written out", "copy the value to this place")
		n.kind, n.refused = Null, true
		return
	case y.Anchor != "":
		n.Fault("an anchor, "+Quote("&"+y.Anchor), "each value written out", "remove the anchor")
	case y.Style&yaml.TaggedStyle != 0:
		n.Fault("a tag, "+Quote(y.Tag), "plain values without a tag", "remove the tag")
	}
	switch y.Kind {
	case yaml.MappingNode:
		n.fillMapping(y, depth)
	case yaml.SequenceNode:
		n.kind = List
		n.items = make([]*Node, len(y.Content))
		nodes := make([]Node, len(y.Content))
		for i, item := range y.Content {
			nodes[i] = Node{doc: n.doc, parent: n, index: i}
			nodes[i].fill(item, depth+1)
			n.items[i] = &nodes[i]
		}
	default:
		n.text = y.Value
		n.quoted = y.Style&(yaml.DoubleQuotedStyle|yaml.SingleQuotedStyle|yaml.LiteralStyle|yaml.FoldedStyle) != 0
		if !n.quoted && null(y.Value) {
			n.kind = Null
		}
	}
}

// null lists the spellings of nothing in the YAML core schema.
func null(text string) bool {
	switch text {
	case "", "~", "null", "Null", "NULL":
		return true
	}
	return false
}

// fillMapping takes over keys and values; a key that is no plain text, empty, a
// merge or given before is a fault and left out.
func (n *Node) fillMapping(y *yaml.Node, depth int) {
	n.kind = Mapping
	n.at = make(map[string]int, len(y.Content)/2)
	n.entries = make([]Entry, 0, len(y.Content)/2)
	nodes := make([]Node, len(y.Content)/2)
	if y.Style&yaml.FlowStyle != 0 {
		y.Content = rejoin(y.Content)
	}
	for i := 0; i+1 < len(y.Content); i += 2 {
		key, value := y.Content[i], y.Content[i+1]
		if found, allowed, hint, ok := n.usable(key); !ok {
			n.faultAt(key.Line, key.Column, found, allowed, hint)
			n.partial = true
			continue
		}
		child := &nodes[i/2]
		*child = Node{doc: n.doc, parent: n, key: key.Value}
		n.at[key.Value] = len(n.entries)
		n.entries = append(n.entries, Entry{Key: key.Value, Value: child, Line: key.Line, Column: key.Column})
		child.fill(value, depth+1)
	}
}

// rejoin puts a number together again that a decimal comma tore apart: in braces
// volume: 1,5 L is read as volume: 1 and a key "5 L". Whoever reads the value then says
// what is wrong with the comma, where it stands.
func rejoin(content []*yaml.Node) []*yaml.Node {
	out := content[:0:0]
	for i := 0; i+1 < len(content); i += 2 {
		key, value := content[i], content[i+1]
		if n := len(out); n > 0 && key.Kind == yaml.ScalarNode && key.Style == 0 && value.Kind == yaml.ScalarNode && value.Style == 0 && value.Value == "" &&
			digitAt(key.Value, 0) && out[n-1].Kind == yaml.ScalarNode && out[n-1].Style == 0 && digitAt(out[n-1].Value, len(out[n-1].Value)-1) {
			joined := *out[n-1]
			joined.Value += "," + key.Value
			out[n-1] = &joined
			continue
		}
		out = append(out, key, value)
	}
	return out
}

// digitAt says that a text has a digit at a place.
func digitAt(s string, i int) bool { return i >= 0 && i < len(s) && s[i] >= '0' && s[i] <= '9' }

// usable judges a key of the mapping.
func (n *Node) usable(key *yaml.Node) (found, allowed, hint string, ok bool) {
	switch {
	case key.Kind != yaml.ScalarNode:
		return "a key that is no single word", "a name before the colon", "", false
	case key.Value == "<<" && key.Style == 0:
		return "a merge key, \"<<\"", "each key written out", "copy the keys to this place", false
	case key.Anchor != "" || key.Style&yaml.TaggedStyle != 0:
		return "a key with an anchor or a tag", "a plain name before the colon", "", false
	case key.Value == "":
		return "an empty key", "a name before the colon", "", false
	}
	if i, twice := n.at[key.Value]; twice {
		return fmt.Sprintf("%s is given a second time", shownKey(key.Value)), fmt.Sprintf("each key once, this one stands in line %d", n.entries[i].Line), "remove one of them", false
	}
	return "", "", "", true
}

// Value makes a node that is not in the file but given by a flag: faults at it
// carry origin instead of a line. Text beginning with [ or { is read as YAML,
// anything else is taken as it stands. Put it into the tree to use it.
func (d *Doc) Value(origin, text string) *Node {
	trimmed := strings.TrimSpace(text)
	if !strings.HasPrefix(trimmed, "[") && !strings.HasPrefix(trimmed, "{") {
		n := &Node{doc: d, origin: origin, text: trimmed}
		if null(trimmed) {
			n.kind = Null
		}
		return n
	}
	inner := Parse(origin, []byte("value: "+trimmed))
	n := inner.Root.Child("value")
	if n == nil || len(inner.faults) > 0 {
		d.add(Fault{File: origin, Found: Quote(trimmed) + " is not well formed", Allowed: "one value, [a, b] or {key: value}"})
		return &Node{doc: d, origin: origin, kind: Null, refused: true}
	}
	n.adopt(d, origin)
	return n
}

// Empty makes a mapping without keys, to be filled with values from a flag.
func (d *Doc) Empty(origin string) *Node {
	return &Node{doc: d, origin: origin, kind: Mapping, at: map[string]int{}}
}

// Refuse adds a fault about a flag rather than about a place in the file.
func (d *Doc) Refuse(origin, found, allowed, hint string) {
	d.add(Fault{File: origin, Found: found, Allowed: allowed, Hint: hint})
}

// adopt moves a subtree into document d.
func (n *Node) adopt(d *Doc, origin string) {
	n.doc, n.origin, n.line, n.column = d, origin, 0, 0
	for _, e := range n.entries {
		e.Value.adopt(d, origin)
	}
	for _, item := range n.items {
		item.adopt(d, origin)
	}
}
