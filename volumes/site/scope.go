package site

import (
	"fmt"
	"math"
	"strconv"
	"time"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/refs/yamlwalk"
)

// scope is one mapping of the file being turned into the model: its spec, its
// values (nil if the mapping was left out) and its path by ids, which is how
// assumptions and --set name it.
type scope struct {
	l    *loader
	spec *spec
	v    *val
	path string
	// place is the path for programs; its Key is set once below an item or a key.
	place refs.Place
	// fish says that only fish are kept: some defaults are others then.
	fish bool
}

// of is the path of a key in this mapping.
func (s scope) of(key string) string {
	if s.path == "" {
		return key
	}
	return s.path + "." + key
}

// placeOf is the place of a key in this mapping.
func (s scope) placeOf(key string) refs.Place {
	p := s.place
	switch {
	case p.List == "":
		p.List = key
	case p.Key == "":
		p.Key = key
	}
	return p
}

// sub is a mapping inside this one, whether it was given or not.
func (s scope) sub(key string) scope {
	return scope{s.l, &s.field(key).spec, s.v.get(key), s.of(key), s.placeOf(key), s.fish}
}

// each goes through a list of mappings. An item without an id is named by its place.
func (s scope) each(key string, do func(i int, item scope)) {
	f := s.field(key)
	for i, v := range s.items(key) {
		if s.l.doc.Full() {
			return
		}
		id, place := strconv.Itoa(i), s.placeOf(key)
		if f.by != "" {
			if named := v.get(f.by); named != nil && !named.bad {
				id = named.text
			}
		}
		if s.place.List == "" {
			place.ID = id
		}
		do(i, scope{s.l, f.item, v, s.of(key) + "." + id, place, s.fish})
	}
}

// items of a list; none if it was left out.
func (s scope) items(key string) []*val {
	if v := s.v.get(key); v != nil {
		return v.items
	}
	return nil
}

func (s scope) field(key string) *field {
	i := s.spec.at(key)
	if i < 0 {
		panic("site: no key " + key + " in the tables")
	}
	return &s.spec.fields[i]
}

// has says that a key was given; a faulty value counts as given.
func (s scope) has(key string) bool { return s.v.get(key) != nil }

// sound says that a key was given and read without fault.
func (s scope) sound(key string) bool {
	v := s.v.get(key)
	return v != nil && !v.bad
}

// node is where a key's value stands; nil if it was left out.
func (s scope) node(key string) *yamlwalk.Node {
	if v := s.v.get(key); v != nil {
		return v.node
	}
	return nil
}

// take is the value of a key, else its default, which is listed.
func (s scope) take(key string) *val {
	if v := s.v.get(key); v != nil {
		return v
	}
	f, p := s.field(key), s.presetOf(key)
	if p == nil {
		panic("site: no default for " + s.of(key))
	}
	v, text := s.l.preset(f, p), p.text
	if f.form == quantity {
		text = s.l.site.Units.Respell(text, v.q)
	}
	s.assume(key, text, p.basis)
	return v
}

// presetOf is the default of a key here; nil if it has none.
func (s scope) presetOf(key string) *preset {
	f := s.field(key)
	if s.fish && f.fish != nil {
		return f.fish
	}
	return f.preset
}

// number is a quantity in its base unit, given or by default.
func (s scope) number(key string) float64 { return s.take(key).q.Value }

// apart is a value of its own: a pointer into what was read would keep the whole file's
// nodes for as long as the site lives.
func apart[T any](v T) *T { return &v }

// maybe is a quantity in base units, nil if it was left out.
func (s scope) maybe(key string) *float64 {
	if v := s.v.get(key); v != nil && !v.bad {
		return apart(v.q.Value)
	}
	return nil
}

// given is a quantity in base units, 0 if it was left out: for keys that are
// required or whose absence is told in another way.
func (s scope) given(key string) units.Quantity {
	if v := s.v.get(key); v != nil {
		return v.q
	}
	return units.Quantity{}
}

// word is a text or a choice, "" if it was left out.
func (s scope) word(key string) string {
	if v := s.v.get(key); v != nil {
		return v.text
	}
	return ""
}

// day is a date, nil if it was left out.
func (s scope) day(key string) *time.Time {
	if v := s.v.get(key); v != nil && !v.bad {
		return apart(v.date)
	}
	return nil
}

// hourOfDay is a time of day in hours, 0 if it was left out.
func (s scope) hourOfDay(key string) float64 {
	if v := s.v.get(key); v != nil {
		return v.clockH
	}
	return 0
}

// fault reports something about a key's value, or about the mapping if the key
// was left out.
func (s scope) fault(key, found, allowed, hint string) {
	if n := s.node(key); n != nil {
		n.Fault(found, allowed, hint)
		return
	}
	if s.v != nil {
		s.v.node.Fault(found, allowed, hint)
	}
}

// loader carries what reading collects besides the tree.
type loader struct {
	checker
	site *Site
	// systems are their ids, once they have been read.
	systems register
	// devices are the ids of all equipment as system/id, once one is asked for.
	root    scope
	devices register
	// presets are parsed once, by the field they belong to.
	parsed map[*preset]*val
	// substances remembers how each name was understood.
	substances map[string]string
}

// assume lists a default that was taken for a key of this mapping, or for the
// mapping itself if the key is empty.
func (s scope) assume(key, value, source string) {
	what, place := s.path, s.place
	if key != "" {
		what, place = s.of(key), s.placeOf(key)
	}
	s.l.site.Assumptions = append(s.l.site.Assumptions, refs.Assumption{What: what, Value: value, Source: source, Place: place})
}

// note says something about this mapping.
func (s scope) note(code NoteCode, format string, args ...any) {
	s.l.site.Warnings = append(s.l.site.Warnings, Note{s.place, s.path, code, fmt.Sprintf(format, args...)})
}

// preset reads a default by the spec of its own key. That each of them can be read
// is held by a test.
func (l *loader) preset(f *field, p *preset) *val {
	if v, ok := l.parsed[p]; ok {
		return v
	}
	v := l.presetAnew(f, p)
	l.parsed[p] = v
	return v
}

// presetAnew is preset for a default that is not fixed.
func (l *loader) presetAnew(f *field, p *preset) *val {
	doc := yamlwalk.Parse("defaults", nil)
	return (&checker{doc: doc}).read(doc.Value("default", p.text), &f.spec)
}

// amount prints a number of a message in plain notation, to a millionth: what was
// written in another unit would show the digits of its conversion.
func amount(x float64) string {
	return strconv.FormatFloat(math.Round(x*1e6)/1e6, 'f', -1, 64)
}

// atMost words an upper bound, to the centilitre below since three decimals of a litre
// can be misread, and in the unit of what was written.
func atMost(v units.Litres, written units.Quantity) string {
	return "at most " + amount(math.Floor(float64(v)*100)/100) + " L" + inBrackets(written.InOwnUnit(float64(v), units.Down))
}

func inBrackets(s string) string {
	if s == "" {
		return ""
	}
	return " (" + s + ")"
}
