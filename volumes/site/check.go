package site

import (
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode"

	"tidehold/refs/units"
	"tidehold/refs/yamlwalk"
)

// val is one value that was read, next to the spec it was read by. A value that
// was refused is kept, marked bad, so that it does not count as left out.
type val struct {
	spec *spec
	node *yamlwalk.Node
	bad  bool
	q    units.Quantity
	text string
	yes  bool
	n    int
	date time.Time
	// clockH is a time of day in hours.
	clockH float64
	kids   []*val // of a mapping: parallel to spec.fields, nil where left out
	items  []*val // of a list, or of substances with the id in text
	shape  *vessel
}

// checker reads a tree by its spec and collects faults in the document.
type checker struct {
	doc      *yamlwalk.Doc
	warnings []Note
}

func (c *checker) warn(n *yamlwalk.Node, format string, args ...any) {
	if len(c.warnings) < 100 {
		c.warnings = append(c.warnings, Note{Path: n.Path(), Text: fmt.Sprintf(format, args...)})
	}
}

// read checks a node against its spec. It never returns nil for a node.
func (c *checker) read(n *yamlwalk.Node, s *spec) *val {
	v := &val{spec: s, node: n}
	switch s.form {
	case quantity:
		c.readQuantity(v)
	case text, name, ident:
		c.readText(v)
	case word:
		v.text = n.Choice(s.words...)
		v.bad = v.text == ""
	case yesNo:
		var ok bool
		v.yes, ok = n.YesNo()
		v.bad = !ok
	case count:
		var ok bool
		v.n, ok = n.Count(int(s.low), int(s.high))
		v.bad = !ok
	case date:
		var ok bool
		v.date, ok = n.Date()
		v.bad = !ok
	case clock:
		var ok bool
		v.clockH, ok = n.Clock()
		v.bad = !ok
	case mapping:
		c.readMapping(v)
	case list:
		c.readList(v)
	case substances:
		c.readSubstances(v)
	case shapeForm:
		c.readShape(v)
	}
	return v
}

// readQuantity tries each dimension of the spec; the first fault is reported.
func (c *checker) readQuantity(v *val) {
	n, s := v.node, v.spec
	d := s.dims[0]
	for _, other := range s.dims[1:] {
		if _, err := units.Parse(short(n.Raw()), other); err == nil {
			d = other
		}
	}
	var ok bool
	if d == units.Salinity {
		v.q, ok = practical(n)
	} else {
		v.q, ok = n.Quantity(d)
	}
	if !ok {
		v.bad = true
		return
	}
	if _, err := v.q.Within(n.Raw(), s.low, s.high); err != nil {
		if d == units.Number {
			n.Fault(yamlwalk.Quote(n.Raw())+" is out of range", s.about+" from "+amount(s.low)+" to "+amount(s.high), "")
		} else {
			n.Mismatch(err)
		}
		v.bad = true
		return
	}
	// Of a trace near the reporting limit that much may be unknown, of a vessel not.
	if err := v.q.Sure(n.Raw()); err != nil && s.spread && d != units.Concentration && d != units.Share {
		n.Mismatch(err)
		v.bad = true
		return
	}
	if v.q.U > 0 && !s.spread {
		c.warn(n, "the ± of %s is not used in any plan", yamlwalk.Quote(n.Raw()))
	}
}

// short keeps a hostile text away from the quantity parser; Quantity refuses it
// with the right words.
func short(raw string) string {
	if len(raw) > 100 {
		return ""
	}
	return raw
}

const idRule = "a letter, then letters, digits, - or _, at most 40 in all"

func (c *checker) readText(v *val) {
	n := v.node
	if v.spec.blank && (n.Kind() == yamlwalk.Null || n.Kind() == yamlwalk.Scalar && n.Raw() == "") {
		return
	}
	what := "a text: " + v.spec.about
	if v.spec.form != text {
		what = idRule
	}
	v.text = n.Text(what)
	v.bad = v.text == ""
	if v.spec.form == ident && !v.bad && !wellFormed(v.text) {
		hint := ""
		if near := nearID(v.text); near != "" {
			hint = "write " + near
		}
		n.Fault(yamlwalk.Quote(v.text)+" cannot be an id", idRule, hint)
		v.bad = true
	}
}

// nearID is an id as near as can be to what was written: a dash for each run of what no id has; ""
// where that is none either, or letters would be lost.
func nearID(text string) string {
	lost := false
	parts := strings.FieldsFunc(text, func(c rune) bool {
		no := !wellFormed("a" + string(c))
		lost = lost || no && unicode.IsLetter(c)
		return no
	})
	if id := strings.Join(parts, "-"); wellFormed(id) && !lost {
		return id
	}
	return ""
}

// wellFormed ids can stand in a --set path and in a file name.
func wellFormed(id string) bool {
	if len(id) > 40 {
		return false
	}
	for i := 0; i < len(id); i++ {
		c := id[i]
		letter := c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z'
		if !letter && (i == 0 || c != '-' && c != '_' && (c < '0' || c > '9')) {
			return false
		}
	}
	return id != ""
}

func (c *checker) readMapping(v *val) {
	n, s := v.node, v.spec
	if s.single != nil && n.Kind() == yamlwalk.Scalar {
		one := c.read(n, s.single)
		v.q, v.bad = one.q, one.bad
		return
	}
	required, optional := s.keysFor(n)
	n.Fields(required, optional)
	if n.Kind() != yamlwalk.Mapping {
		v.bad = true
		return
	}
	v.kids = make([]*val, len(s.fields))
	for i := range s.fields {
		if child := n.Child(s.fields[i].key); child != nil {
			v.kids[i] = c.read(child, &s.fields[i].spec)
		}
	}
	s.checkKeys(n)
}

// checkKeys judges which keys stand beside each other.
func (s *spec) checkKeys(n *yamlwalk.Node) {
	for _, keys := range s.groups {
		if given := present(n, keys); len(given) > 1 {
			n.Child(given[1]).FaultAtKey(given[0]+" and "+given[1]+" exclude each other", "one of "+strings.Join(keys, ", "), "remove one of them")
			break
		}
	}
	for _, keys := range s.together {
		if given := present(n, keys); len(given) > 0 && len(given) < len(keys) {
			missing := slices.DeleteFunc(slices.Clone(keys), func(k string) bool { return slices.Contains(given, k) })
			n.Fault(strings.Join(missing, " and ")+" is missing beside "+given[0], strings.Join(keys, ", ")+" together or not at all", "")
		}
	}
	if len(s.some) > 0 && len(present(n, s.some)) == 0 {
		n.Fault(strings.Join(s.some, " or ")+" is missing", fmt.Sprintf("at least one of the %s", map[int]string{2: "two", 3: "three"}[len(s.some)]), s.hint)
	}
	for _, pair := range s.beside {
		if n.Child(pair[0]) != nil && n.Child(pair[1]) == nil {
			n.Child(pair[0]).FaultAtKey(pair[0]+" needs "+pair[1]+" beside it", "both, or another key in its place", "")
		}
	}
}

// present lists those of the keys that the mapping has.
func present(n *yamlwalk.Node, keys []string) []string {
	var out []string
	for _, k := range keys {
		if n.Child(k) != nil {
			out = append(out, k)
		}
	}
	return out
}

// keysFor are the keys a mapping must and may have; for equipment they depend on
// its kind.
func (s *spec) keysFor(n *yamlwalk.Node) (required, optional []string) {
	var own []string
	for i := range s.fields {
		if f := &s.fields[i]; f.need {
			required = append(required, f.key)
		} else {
			own = append(own, f.key)
		}
	}
	kind := n.Child("kind").Raw()
	for _, k := range s.kinds {
		if k.kind == kind {
			return slices.Concat(required, k.need), append(slices.Clone(k.may), "guards")
		}
	}
	return required, own
}

func (c *checker) readList(v *val) {
	nodes := v.node.Items("a list of " + v.spec.noun())
	v.bad = v.node.Kind() != yamlwalk.List
	if !v.bad && len(nodes) < v.spec.least {
		v.node.Fault(fmt.Sprintf("too few in this list: %d", len(nodes)), fmt.Sprintf("at least %d", v.spec.least), "")
		v.bad = true
	}
	v.items = make([]*val, 0, len(nodes))
	for _, n := range nodes {
		if c.doc.Full() {
			return
		}
		v.items = append(v.items, c.read(n, v.spec.item))
	}
}

// noun says what a list is made of.
func (s *spec) noun() string {
	switch s.item.form {
	case mapping:
		return "mappings with " + strings.Join(s.item.keys(), ", ")
	case list:
		return "lists"
	case name:
		return "ids, each the " + s.item.about + ", as [a, b]"
	}
	return s.item.about + "s"
}

func (c *checker) readSubstances(v *val) {
	n := v.node
	if n.Kind() != yamlwalk.Mapping {
		n.Fields(nil, []string{"substance: " + v.spec.item.about})
		v.bad = true
		return
	}
	for _, e := range n.Entries() {
		if c.doc.Full() {
			return
		}
		s := v.spec.item
		for i := range v.spec.named {
			if v.spec.named[i].key == e.Key {
				s = &v.spec.named[i].spec
			}
		}
		kid := c.read(e.Value, s)
		kid.text = e.Key
		v.items = append(v.items, kid)
	}
}

// get is the value of a key, nil if it was left out. Asking for a key that the
// spec does not have is a mistake in this program.
func (v *val) get(key string) *val {
	if v == nil {
		return nil
	}
	i := v.spec.at(key)
	if i < 0 {
		panic("site: no key " + key + " in the tables")
	}
	if v.kids == nil {
		return nil
	}
	return v.kids[i]
}
