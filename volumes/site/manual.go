package site

import (
	"fmt"
	"strings"

	"tidehold/volumes"
)

// Key describes one key of the site file, for help and manual.
type Key struct {
	// Path from the top, lists without their index: stores.heel.
	Path     string `json:"path"`
	Required bool   `json:"required"`
	// Allowed says what may stand there, About what it means.
	Allowed string `json:"allowed"`
	About   string `json:"about"`
	// Default is what is taken when the key is left out, Basis what that rests on;
	// both "" if there is none or it depends on other values.
	Default string `json:"default"`
	Basis   string `json:"basis"`
}

// Kind describes one kind of vessel or equipment and the keys that belong to it.
type Kind struct {
	Name     string   `json:"kind"`
	Required []string `json:"required"`
	// OneOf lists keys of which exactly one is needed.
	OneOf    []string `json:"one_of"`
	Optional []string `json:"optional"`
	About    string   `json:"about"`
}

// Shapes lists the kinds of vessel with their dimensions, all of them lengths but
// the sides of a polygon, which are counted.
func Shapes() []Kind {
	var out []Kind
	for _, k := range volumes.Kinds() {
		about := k.Description
		if k.Table {
			about += ": " + pairRule
		}
		out = append(out, Kind{k.Name, nonNil(k.Required), nonNil(k.OneOf), nonNil(k.Optional), about})
	}
	return out
}

// Devices lists the kinds of equipment; each takes guards too.
func Devices() []Kind {
	var out []Kind
	for _, k := range equipmentKinds() {
		out = append(out, Kind{k.kind, nonNil(k.need), []string{}, nonNil(k.may), ""})
	}
	return out
}

// nonNil makes an empty list of none, which JSON shows as [].
func nonNil(s []string) []string { return append([]string{}, s...) }

// Keys lists every key of the site file in the order of the manual, from the tables
// the loader reads by.
func Keys() []Key { return keysOf(siteKeys(), "") }

func keysOf(s *spec, prefix string) []Key {
	var out []Key
	for i := range s.fields {
		f := &s.fields[i]
		k := Key{Path: prefix + f.key, Required: f.need, Allowed: f.allowed(), About: f.about}
		if f.preset != nil {
			k.Default, k.Basis = f.preset.text, f.preset.basis
		}
		out = append(out, k)
		inner := &f.spec
		if inner.form == list {
			inner = inner.item
		}
		out = append(out, keysOf(inner, k.Path+".")...)
	}
	return out
}

// allowed says in a few words what a value may be.
func (s *spec) allowed() string {
	switch s.form {
	case quantity:
		return s.allowedQuantity()
	case text:
		return "text"
	case ident:
		return "id"
	case name:
		return "id of something else"
	case word:
		return strings.Join(s.words, " | ")
	case yesNo:
		return "yes | no"
	case count:
		if s.low == s.high {
			return amount(s.low)
		}
		return fmt.Sprintf("whole number, %s to %s", amount(s.low), amount(s.high))
	case date:
		return "date, as 2026-03-01"
	case clock:
		return "time of day, as 06:30"
	case list:
		if s.item.form == mapping {
			return "list of mappings"
		}
		return "list of: " + s.item.allowed()
	case substances:
		return "substance: " + s.item.allowed()
	case shapeForm:
		var kinds []string
		for _, k := range volumes.Kinds() {
			kinds = append(kinds, k.Name)
		}
		return strings.Join(kinds, " | ")
	}
	if s.single != nil {
		return "mapping, or one " + s.single.allowed()
	}
	return "mapping"
}

func (s *spec) allowedQuantity() string {
	var ways []string
	for _, d := range s.dims {
		way := d.String()
		if names := d.Units(); len(names) > 0 && !d.Bare() {
			way += " in " + names[0]
		}
		ways = append(ways, way)
	}
	return strings.Join(ways, ", or ")
}
