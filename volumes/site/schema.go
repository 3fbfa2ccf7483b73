package site

import (
	"bytes"
	"encoding/json"
	"regexp"
	"strings"

	"tidehold/refs/units"
	"tidehold/salinity"
	"tidehold/volumes"
)

// schemaDialect is the edition of JSON Schema that Schema is written in.
const schemaDialect = "https://json-schema.org/draft/2020-12/schema"

// object is a JSON object that keeps its keys in order, so that the schema reads
// like the manual and never changes by itself.
type object []member

type member struct {
	key   string
	value any
}

func (o object) MarshalJSON() ([]byte, error) {
	var b bytes.Buffer
	b.WriteByte('{')
	for i, m := range o {
		if i > 0 {
			b.WriteByte(',')
		}
		if err := plainJSON(&b, m.key); err != nil {
			return nil, err
		}
		b.WriteByte(':')
		if err := plainJSON(&b, m.value); err != nil {
			return nil, err
		}
	}
	b.WriteByte('}')
	return b.Bytes(), nil
}

// plainJSON writes < and & as they are: a schema is no web page.
func plainJSON(b *bytes.Buffer, v any) error {
	enc := json.NewEncoder(b)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		return err
	}
	b.Truncate(b.Len() - 1) // the line feed Encode adds
	return nil
}

// Schema is the JSON Schema of the site file, written from the tables the loader
// reads by. It says what an editor can check key by key; what needs two places of
// the file, arithmetic or the calendar is left to Load.
func Schema() []byte {
	s := siteKeys()
	top := object{
		{"$schema", schemaDialect},
		{"title", "tidehold site file"},
	}
	top = append(top, s.object()...)
	top = append(top, member{"$defs", definitions()})
	var compact, out bytes.Buffer
	err := plainJSON(&compact, top)
	if err == nil {
		err = json.Indent(&out, compact.Bytes(), "", "  ")
	}
	if err != nil {
		panic("site: schema: " + err.Error()) // strings, numbers and lists of them cannot fail
	}
	out.WriteByte('\n')
	return out.Bytes()
}

// object describes one value.
func (s *spec) object() object {
	o := object{{"description", s.about}}
	switch s.form {
	case quantity:
		return append(o, s.quantityRule()...)
	case text:
		if s.blank {
			return append(o, member{"type", []string{"string", "number", "integer", "boolean", "null"}}, member{"maxLength", 200})
		}
		// YAML readers take some plain words for numbers or for yes and no.
		return append(o, member{"type", []string{"string", "number", "integer", "boolean"}}, member{"minLength", 1}, member{"maxLength", 200}, member{"pattern", printable})
	case name:
		if s.afar {
			return append(o, member{"$ref", "#/$defs/device"})
		}
		return append(o, member{"$ref", "#/$defs/id"})
	case ident:
		return append(o, member{"$ref", "#/$defs/id"})
	case word:
		return append(o, member{"enum", s.words})
	case yesNo:
		return append(o, member{"enum", []any{"yes", "no", "true", "false", true, false}})
	case count:
		return append(o, member{"type", "integer"}, member{"minimum", int(s.low)}, member{"maximum", int(s.high)})
	case date:
		return append(o, member{"$ref", "#/$defs/date"})
	case shapeForm:
		return append(o, member{"$ref", "#/$defs/shape"})
	case list:
		o = append(o, member{"type", "array"}, member{"items", s.item.object()})
		if s.least > 0 {
			o = append(o, member{"minItems", s.least})
		}
		return o
	case substances:
		o = append(o, member{"type", "object"})
		if len(s.named) > 0 {
			o = append(o, member{"properties", properties(s.named)})
		}
		return append(o, member{"additionalProperties", s.item.object()})
	}
	return append(o, s.mappingRule()...)
}

// mappingRule is that of a mapping: keys, which are required, which exclude each
// other, and which belong to which kind.
func (s *spec) mappingRule() object {
	o := object{{"type", "object"}, {"properties", properties(s.fields)}}
	var required []string
	for _, f := range s.fields {
		if f.need {
			required = append(required, f.key)
		}
	}
	if len(required) > 0 {
		o = append(o, member{"required", required})
	}
	o = append(o, member{"additionalProperties", false})
	var rules []any
	for _, keys := range s.groups {
		for i := range keys {
			for j := range i {
				rules = append(rules, object{{"not", object{{"required", []string{keys[j], keys[i]}}}}})
			}
		}
	}
	for _, k := range s.kinds {
		rules = append(rules, s.kindRule(k, required))
	}
	if len(s.some) > 0 {
		var one []any
		for _, k := range s.some {
			one = append(one, object{{"required", []string{k}}})
		}
		rules = append(rules, object{{"anyOf", one}})
	}
	if len(rules) > 0 {
		o = append(o, member{"allOf", rules})
	}
	if len(s.together)+len(s.beside) > 0 {
		needs := object{}
		for _, pair := range s.beside {
			needs = append(needs, member{pair[0], []string{pair[1]}})
		}
		for _, keys := range s.together {
			for _, k := range keys {
				needs = append(needs, member{k, without(keys, k)})
			}
		}
		o = append(o, member{"dependentRequired", needs})
	}
	if s.single != nil {
		return object{{"anyOf", []any{s.single.object(), o}}}
	}
	return o
}

// kindRule says which keys a piece of equipment of one kind must and may have.
func (s *spec) kindRule(k kindKeys, required []string) object {
	allowed := append(append(append([]string{"guards"}, required...), k.need...), k.may...)
	then := object{{"propertyNames", object{{"enum", allowed}}}}
	if len(k.need) > 0 {
		then = append(then, member{"required", k.need})
	}
	return object{
		{"if", object{{"properties", object{{"kind", object{{"const", k.kind}}}}}, {"required", []string{"kind"}}}},
		{"then", then},
	}
}

func without(keys []string, key string) []string {
	var out []string
	for _, k := range keys {
		if k != key {
			out = append(out, k)
		}
	}
	return out
}

func properties(fields []field) object {
	var o object
	for i := range fields {
		f := &fields[i]
		sub := f.object()
		if f.preset != nil {
			sub = append(sub, member{"default", f.preset.text})
		}
		o = append(o, member{f.key, sub})
	}
	return o
}

// quantityRule refers to the spelling of its dimension; a bare number is allowed
// where the dimension has no unit, within the range.
func (s *spec) quantityRule() object {
	var ways []any
	for _, d := range s.dims {
		ways = append(ways, object{{"$ref", "#/$defs/" + defName(d)}})
		if d.Bare() {
			ways = append(ways, s.numberRules(d)...)
		}
		if d == units.Salinity {
			ways = append(ways, object{{"$ref", "#/$defs/" + defName(units.Gravity)}})
		}
	}
	if len(ways) == 1 {
		return ways[0].(object)
	}
	return object{{"anyOf", ways}}
}

// numberRules bound a bare number. A salinity near one is left out: it would be a
// specific gravity.
func (s *spec) numberRules(d units.Dimension) []any {
	if d != units.Salinity {
		return []any{object{{"type", "number"}, {"minimum", s.low}, {"maximum", s.high}}}
	}
	rules := []any{object{{"type", "number"}, {"exclusiveMinimum", salinity.GravityTo}, {"maximum", s.high}}}
	if s.low < salinity.GravityFrom {
		rules = append(rules, object{{"type", "number"}, {"minimum", s.low}, {"maximum", salinity.GravityFrom}})
	}
	return rules
}

func defName(d units.Dimension) string { return strings.ReplaceAll(d.String(), " ", "_") }

// printable is one line with something to be seen in it.
const printable = `^[^\x00-\x1f]*[^\x00-\x20][^\x00-\x1f]*$`

// decimalRule is a plain decimal: no leading zero, no sign but a minus, no exponent.
const decimalRule = `(0|[1-9][0-9]*)(\.[0-9]+)?`

// definitions are the spellings of the dimensions used, the shapes, dates and ids.
func definitions() object {
	o := object{
		{"device", object{{"type", "string"}, {"pattern", "^[A-Za-z][A-Za-z0-9_-]{0,39}(/[A-Za-z][A-Za-z0-9_-]{0,39})?$"}, {"description", "an id, or system/id for a piece of equipment of another system"}}},
		{"id", object{{"type", "string"}, {"pattern", "^[A-Za-z][A-Za-z0-9_-]{0,39}$"}, {"description", idRule}}},
		{"date", object{{"type", "string"}, {"pattern", `^(19[7-9]|2[01][0-9])[0-9]-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])$`}, {"description", "year-month-day"}}},
		{"shape", shapeRule()},
	}
	for _, d := range usedDimensions() {
		o = append(o, member{defName(d), object{{"type", "string"}, {"pattern", spelling(d)}, {"description", "a " + d.String() + " in " + strings.Join(d.Units(), ", ")}}})
	}
	return o
}

// usedDimensions lists the dimensions of the tables in the order they appear.
func usedDimensions() []units.Dimension {
	seen := map[units.Dimension]bool{}
	out := []units.Dimension{}
	add := func(d units.Dimension) {
		if !seen[d] {
			seen[d] = true
			out = append(out, d)
		}
	}
	var walk func(s *spec)
	walk = func(s *spec) {
		for _, d := range s.dims {
			add(d)
		}
		for i := range s.fields {
			walk(&s.fields[i].spec)
		}
		for i := range s.named {
			walk(&s.named[i].spec)
		}
		for _, inner := range []*spec{s.item, s.single} {
			if inner != nil {
				walk(inner)
			}
		}
	}
	walk(siteKeys())
	add(units.Length)
	add(units.Gravity)
	return out
}

// spelling is the regular expression of a written quantity: number, unit, and ±
// with an amount or a share.
func spelling(d units.Dimension) string {
	var names []string
	for _, n := range d.Spellings() {
		names = append(names, regexp.QuoteMeta(n))
	}
	unit := "(" + strings.Join(names, "|") + ")"
	sign := ""
	if d.Signed() {
		sign = "-?"
	}
	below, pair := "", ""
	switch d {
	case units.Concentration:
		below = `<?\s*`
	case units.Gravity:
		pair = `\s*@\s*[0-9.]+\s*°?[CF]\s*/\s*[0-9.]+\s*°?[CF]\s*`
	}
	spread := `\s*((±|\+/-|\+-)\s*` + decimalRule + `\s*(` + unit + `|%)?)?`
	switch {
	case d == units.Gravity:
		return `^\s*` + decimalRule + `\s*` + unit + spread + pair + spread + `$`
	case d.Bare():
		return `^\s*` + sign + decimalRule + `\s*` + unit + `?` + spread + `\s*$`
	}
	// The unit may stand behind the uncertainty only: 640 ± 50 L.
	return `^\s*` + below + sign + decimalRule + `\s*(` + unit + spread + `|(±|\+/-|\+-)\s*` + decimalRule + `\s*` + unit + `)\s*$`
}

// shapeRule allows one kind of vessel with its dimensions.
func shapeRule() object {
	var ways []any
	for _, k := range volumes.Kinds() {
		ways = append(ways, object{
			{"type", "object"}, {"description", k.Description},
			{"properties", object{{k.Name, vesselRule(k)}}},
			{"required", []string{k.Name}}, {"additionalProperties", false},
		})
	}
	return object{{"oneOf", ways}}
}

func vesselRule(k volumes.KindSpec) object {
	length, volume := object{{"$ref", "#/$defs/" + defName(units.Length)}}, object{{"$ref", "#/$defs/" + defName(units.Volume)}}
	if k.Table {
		point := object{{"type", "array"}, {"prefixItems", []any{length, volume}}, {"minItems", 2}, {"maxItems", 2}}
		return object{{"type", "array"}, {"items", point}, {"minItems", 1}}
	}
	dims := object{}
	for _, name := range k.All() {
		rule := length
		if isCount(name) {
			rule = object{{"type", "integer"}, {"minimum", 3}, {"maximum", 64}}
		}
		dims = append(dims, member{name, rule})
	}
	o := object{{"type", "object"}, {"properties", dims}, {"required", k.Required}, {"additionalProperties", false}}
	if len(k.OneOf) > 0 {
		var one []any
		for _, name := range k.OneOf {
			one = append(one, object{{"required", []string{name}}})
		}
		o = append(o, member{"oneOf", one})
	}
	return o
}
