package yamlwalk

import (
	"fmt"
	"strconv"
	"strings"
)

// Kind is what a node is.
type Kind int

// The kinds of node. Null is a key with nothing behind it, or ~, or null.
const (
	Scalar Kind = iota
	Mapping
	List
	Null
)

func (k Kind) String() string {
	return [...]string{"a single value", "a mapping", "a list", "nothing"}[k]
}

// Node is one value of a document, with its place in it.
type Node struct {
	doc    *Doc
	parent *Node
	key    string // in its parent, if that is a mapping
	index  int    // in its parent, if that is a list
	kind   Kind
	text   string
	quoted bool
	origin string // the flag it came from, "" for the file
	// refused has been reported already; partial lost keys to a fault, so that
	// none of them counts as missing.
	refused, partial bool
	line             int
	column           int
	// entries of a mapping in file order, and where each key is among them.
	entries []Entry
	at      map[string]int
	items   []*Node
}

// Entry is one key of a mapping with its value, and where the key stands.
type Entry struct {
	Key          string
	Value        *Node
	Line, Column int
}

// Kind says what the node is; a nil node is Null.
func (n *Node) Kind() Kind {
	if n == nil {
		return Null
	}
	return n.kind
}

// Raw is a scalar's text exactly as written, without quotes; "" for other kinds.
func (n *Node) Raw() string {
	if n == nil {
		return ""
	}
	return n.text
}

// Quoted says that a scalar was written in quotes or as a block of text.
func (n *Node) Quoted() bool { return n != nil && n.quoted }

// Line and Column of the value, from 1; 0 if it came from a flag.
func (n *Node) Line() int   { return n.line }
func (n *Node) Column() int { return n.column }

// Path names the node from the root: systems[0].net_volume.
func (n *Node) Path() string {
	var parts []string
	for m := n; m != nil && m.parent != nil; m = m.parent {
		if m.parent.kind == List {
			parts = append(parts, "["+strconv.Itoa(m.index)+"]")
		} else {
			parts = append(parts, "."+shownKey(m.key))
		}
	}
	var b strings.Builder
	for i := len(parts) - 1; i >= 0; i-- {
		b.WriteString(parts[i])
	}
	return strings.TrimPrefix(b.String(), ".")
}

// shownKey is a key as a path shows it: in quotes unless it is a plain word.
func shownKey(key string) string {
	plain := key != "" && len(key) <= longest
	for i := 0; plain && i < len(key); i++ {
		c := key[i]
		plain = c == '_' || c == '-' || c >= '0' && c <= '9' || c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z'
	}
	if plain {
		return key
	}
	return Quote(key)
}

// Fault adds a fault at this node.
func (n *Node) Fault(found, allowed, hint string) {
	if n.doc.Full() {
		return
	}
	n.fault(n.Path(), n.line, n.column, found, allowed, hint)
}

// faultAt adds a fault at this node, but with the place of something in it.
func (n *Node) faultAt(line, column int, found, allowed, hint string) {
	if !n.doc.Full() {
		n.fault(n.Path(), line, column, found, allowed, hint)
	}
}

// FaultAtKey adds a fault at the key of this node rather than at its value.
func (n *Node) FaultAtKey(found, allowed, hint string) {
	line, column := n.line, n.column
	if n.parent != nil && n.parent.kind == Mapping {
		if i, ok := n.parent.at[n.key]; ok && n.origin == "" {
			line, column = n.parent.entries[i].Line, n.parent.entries[i].Column
		}
	}
	n.fault(n.Path(), line, column, found, allowed, hint)
}

// fault names the file or, for a value that came from a flag, the flag; the path
// would only repeat what the flag says.
func (n *Node) fault(path string, line, column int, found, allowed, hint string) {
	if n.doc.Full() {
		return
	}
	f := Fault{File: n.doc.File, Line: line, Column: column, Path: path, Found: found, Allowed: allowed, Hint: hint}
	if n.origin != "" {
		f.File, f.Line, f.Column, f.Path = n.origin, 0, 0, ""
	}
	n.doc.add(f)
}

// Child is the value of a key, nil if the node is no mapping or has no such key.
func (n *Node) Child(key string) *Node {
	if n == nil || n.kind != Mapping {
		return nil
	}
	if i, ok := n.at[key]; ok {
		return n.entries[i].Value
	}
	return nil
}

// Entries are the keys of a mapping in file order; nil for other kinds.
func (n *Node) Entries() []Entry {
	if n == nil {
		return nil
	}
	return n.entries
}

// Elements are the items of a list in order; nil for other kinds.
func (n *Node) Elements() []*Node {
	if n == nil {
		return nil
	}
	return n.items
}

// Put sets a key of a mapping, in place of an older value or behind the others.
// It panics on other kinds.
func (n *Node) Put(key string, value *Node) {
	if n.kind != Mapping {
		panic(fmt.Sprintf("yamlwalk: Put(%q) into %s", key, n.kind))
	}
	value.parent, value.key = n, key
	if i, ok := n.at[key]; ok {
		n.entries[i].Value = value
		return
	}
	n.at[key] = len(n.entries)
	n.entries = append(n.entries, Entry{Key: key, Value: value, Line: value.line, Column: value.column})
}

// Remove takes a key out of a mapping; nothing happens if it is not there.
func (n *Node) Remove(key string) {
	i, ok := n.at[key]
	if !ok {
		return
	}
	n.entries = append(n.entries[:i:i], n.entries[i+1:]...)
	delete(n.at, key)
	for k, j := range n.at {
		if j > i {
			n.at[k] = j - 1
		}
	}
}
