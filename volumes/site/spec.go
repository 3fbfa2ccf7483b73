package site

import "tidehold/refs/units"

// form is what a value of the site file looks like.
type form int

// The forms. Each is read by check.go and described by schema.go.
const (
	quantity   form = iota // a number with a unit of one of dims
	text                   // one line of printable text
	ident                  // the id of the mapping it stands in
	name                   // the id of something else
	word                   // one of words
	yesNo                  // yes or no
	count                  // a whole number
	date                   // a calendar day
	clock                  // a time of day
	mapping                // the keys of fields
	list                   // items of item
	substances             // substance id: value of item
	shapeForm              // one kind of volumes.Kinds with its dimensions
)

// spec describes one value of the site file. The loader reads by it and the JSON
// Schema is written from it, so that the two cannot drift apart.
type spec struct {
	form  form
	about string // one line, for the schema
	// dims of a quantity, one for all but strengths; low and high in base units.
	dims      []units.Dimension
	low, high float64
	// spread says that the ± of a quantity is used; elsewhere it earns a warning.
	spread bool
	words  []string
	// afar lets a name be that of another system's, as system/id.
	afar bool
	// blank lets a text be left empty.
	blank  bool
	fields []field
	// groups are keys that exclude each other. Setting one of them by a flag
	// removes the others.
	groups [][]string
	// together are keys that are given all or not at all.
	together [][]string
	// some are keys of which at least one is needed; hint shows how.
	some []string
	hint string
	// beside are pairs: the first key needs the second.
	beside [][2]string
	// kinds, if any, say which fields belong to which value of the key "kind".
	kinds []kindKeys
	item  *spec
	// least is the smallest number of items of a list.
	least int
	// by names the key that tells the items of a list apart ("" for none).
	by string
	// single is another way to write a mapping: one value for all of it.
	single *spec
	// noLimit says that a value below a reporting limit ("<2 ug/L") is none; once, that
	// the items of a list differ. Load says both where it reads the key.
	noLimit, once bool
	// also are rules of the schema about more than one key.
	also func(*schemaMaker) []any
	// named are substances read by a spec of their own.
	named []field
}

// field is one key of a mapping.
type field struct {
	key  string
	need bool
	spec
	preset *preset // the default, nil if there is none
	// fish is the default where only fish are kept, nil if it is the same.
	fish *preset
}

// kindKeys lists the keys of one kind of equipment besides id, kind and guards.
type kindKeys struct {
	kind      string
	need, may []string
}

// at is the place of a key among the fields, -1 if there is none.
func (s *spec) at(key string) int {
	for i := range s.fields { // a field is too large to copy at each look-up
		if s.fields[i].key == key {
			return i
		}
	}
	return -1
}

func (s *spec) keys() []string {
	out := make([]string, len(s.fields))
	for i, f := range s.fields {
		out[i] = f.key
	}
	return out
}

// need marks a key as required.
func need(f field) field { f.need = true; return f }

// measure is a quantity from low to high in base units.
func measure(key string, d units.Dimension, low, high float64, about string) field {
	return field{key: key, spec: spec{form: quantity, dims: []units.Dimension{d}, low: low, high: high, about: about}}
}

// measured is a quantity whose ± is used.
func measured(key string, d units.Dimension, low, high float64, about string) field {
	f := measure(key, d, low, high, about)
	f.spread = true
	return f
}

func plain(key string, f form, about string) field {
	return field{key: key, spec: spec{form: f, about: about}}
}

func choose(key, about string, words ...string) field {
	return field{key: key, spec: spec{form: word, words: words, about: about}}
}

func whole(key string, low, high int, about string) field {
	return field{key: key, spec: spec{form: count, low: float64(low), high: float64(high), about: about}}
}

func group(key, about string, fields ...field) field {
	return field{key: key, spec: spec{form: mapping, fields: fields, about: about}}
}

func listOf(key, by, about string, item spec) field {
	return field{key: key, spec: spec{form: list, by: by, item: &item, about: about}}
}
