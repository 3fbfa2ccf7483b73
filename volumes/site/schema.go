package site

import (
	"bytes"
	"encoding/json"
	"strings"

	"tidehold/refs/units"
	"tidehold/salinity"
	"tidehold/volumes"
)

// schemaDialect is the edition of JSON Schema that Schema is written in.
const schemaDialect = "https://json-schema.org/draft/2020-12/schema"

// schemaID names the schema. It is a name and no place: nothing is fetched.
const schemaID = "urn:tidehold:site:1"

// schemaMaker writes the schema; the patterns of quantities are written once for all keys
// of one dimension and range.
type schemaMaker struct {
	defs  map[string]bool
	order object
}

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
	m := &schemaMaker{defs: map[string]bool{}}
	top := object{
		{"$schema", schemaDialect},
		{"$id", schemaID},
		{"title", "tidehold site file"},
	}
	top = append(top, m.object(siteKeys())...)
	top = append(top, member{"$defs", m.definitions()})
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
func (m *schemaMaker) object(s *spec) object {
	o := object{{"description", s.about}}
	switch s.form {
	case quantity:
		return append(o, m.quantityRule(s)...)
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
	case clock:
		return append(o, member{"$ref", "#/$defs/clock"})
	case shapeForm:
		return append(o, member{"$ref", "#/$defs/shape"})
	case list:
		o = append(o, member{"type", "array"}, member{"items", m.object(s.item)})
		if s.least > 0 {
			o = append(o, member{"minItems", s.least})
		}
		if s.once {
			o = append(o, member{"uniqueItems", true})
		}
		return o
	case substances:
		o = append(o, member{"type", "object"})
		if len(s.named) > 0 {
			o = append(o, member{"properties", m.properties(s.named)})
		}
		names := []any{object{{"pattern", substanceRule}}, m.known("known_substance", substanceNames(), false)}
		return append(o, member{"propertyNames", object{{"allOf", names}}}, member{"not", m.onceEach()}, member{"additionalProperties", m.object(s.item)})
	}
	return append(o, m.mappingRule(s)...)
}

// mappingRule is that of a mapping: keys, which are required, which exclude each
// other, and which belong to which kind.
func (m *schemaMaker) mappingRule(s *spec) object {
	o := object{{"type", "object"}, {"properties", m.properties(s.fields)}}
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
	if rules := m.keyRules(s, required); len(rules) > 0 {
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
		return object{{"anyOf", []any{m.object(s.single), o}}}
	}
	return o
}

// keyRules are what the keys of a mapping ask of each other: which exclude each other, which
// belong to its kind, of which one is needed.
func (m *schemaMaker) keyRules(s *spec, required []string) []any {
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
			way := object{{"required", []string{k}}}
			if i := s.at(k); s.fields[i].form == list {
				way = append(way, member{"properties", object{{k, object{{"type", "array"}, {"minItems", 1}}}}}) // an empty list says nothing
			}
			one = append(one, way)
		}
		rules = append(rules, object{{"anyOf", one}})
	}
	if s.also != nil {
		rules = append(rules, s.also(m)...)
	}
	return rules
}

// kindRule says which keys a piece of equipment of one kind must and may have.
func (s *spec) kindRule(k kindKeys, required []string) object {
	allowed := append(append(append([]string{"guards"}, required...), k.need...), k.may...)
	then := object{{"propertyNames", object{{"enum", allowed}}}}
	if len(k.need) > 0 {
		then = append(then, member{"required", k.need})
	}
	return object{
		{"if", given("kind", k.kind)},
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

func (m *schemaMaker) properties(fields []field) object {
	var o object
	for i := range fields {
		f := &fields[i]
		sub := m.object(&f.spec)
		if f.preset != nil {
			sub = append(sub, member{"default", f.preset.text})
		}
		o = append(o, member{f.key, sub})
	}
	return o
}

// quantityRule refers to the spelling of its dimension; a bare number is allowed
// where the dimension has no unit, within the range.
func (m *schemaMaker) quantityRule(s *spec) object {
	var ways []any
	for _, d := range s.dims {
		ways = append(ways, m.pattern(s, d))
		if d.Bare() {
			ways = append(ways, s.numberRules(d)...)
		}
		if d == units.Salinity {
			ways = append(ways, m.pattern(&spec{}, units.Gravity))
		}
	}
	if len(ways) == 1 {
		return ways[0].(object)
	}
	return object{{"anyOf", ways}}
}

// pattern refers to the spelling of a quantity within the range of its key.
func (m *schemaMaker) pattern(s *spec, d units.Dimension) object {
	name := strings.ReplaceAll(d.String(), " ", "_")
	about := units.An(d.String()) + " in " + strings.Join(d.Units(), ", ")
	if s.low != 0 || s.high != 0 {
		name += "_" + amount(s.low) + "_" + amount(s.high)
		about += ", " + amount(s.low) + " to " + amount(s.high) + " in the first of them"
	}
	if s.spread {
		name += "_pm"
	}
	if s.noLimit {
		name += "_exact"
	}
	return m.define(name, func() object {
		return object{{"type", "string"}, {"pattern", s.written(d)}, {"description", about}}
	})
}

// define refers to a definition, made when it is first wanted; those it needs itself come
// before it.
func (m *schemaMaker) define(name string, rule func() object) object {
	if !m.defs[name] {
		m.defs[name] = true
		made := rule() // which may define others
		m.order = append(m.order, member{name, made})
	}
	return object{{"$ref", "#/$defs/" + name}}
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

// printable is one line with something to be seen in it.
const printable = `^[^\x00-\x1f]*[^\x00-\x20][^\x00-\x1f]*$`

// dateRule is a day of the calendar but for leap years.
const dateRule = `^(19[7-9]|2[01][0-9])[0-9]-((0[13578]|1[02])-(0[1-9]|[12][0-9]|3[01])|(0[469]|11)-(0[1-9]|[12][0-9]|30)|02-(0[1-9]|[12][0-9]))$`

// definitions are ids, dates, shapes and the spellings of quantities used.
func (m *schemaMaker) definitions() object {
	shape := m.shapeRule() // which uses lengths
	o := object{
		{"id", object{{"type", "string"}, {"pattern", "^[A-Za-z][A-Za-z0-9_-]{0,39}$"}, {"description", idRule}}},
		{"device", object{{"type", "string"}, {"pattern", "^[A-Za-z][A-Za-z0-9_-]{0,39}(/[A-Za-z][A-Za-z0-9_-]{0,39})?$"}, {"description", "an id, or system/id for a piece of equipment of another system"}}},
		{"clock", object{{"type", "string"}, {"pattern", `^([01][0-9]|2[0-3]):[0-5][0-9]$`}, {"description", "time of day, 00:00 to 23:59"}}},
		{"date", object{{"type", "string"}, {"pattern", dateRule}, {"description", "year-month-day"}}},
		{"shape", shape},
	}
	return append(o, m.order...)
}

// shapeRule allows one kind of vessel with its dimensions.
func (m *schemaMaker) shapeRule() object {
	var ways []any
	for _, k := range volumes.Kinds() {
		ways = append(ways, object{
			{"type", "object"}, {"description", k.Description},
			{"properties", object{{k.Name, m.vesselRule(k)}}},
			{"required", []string{k.Name}}, {"additionalProperties", false},
		})
	}
	return object{{"oneOf", ways}}
}

func (m *schemaMaker) vesselRule(k volumes.KindSpec) object {
	from0 := &spec{high: maxLengthCm, spread: true}
	above0 := &spec{low: 1e-6, high: maxLengthCm, spread: true}
	length, some := m.pattern(from0, units.Length), m.pattern(above0, units.Length)
	volume := m.pattern(&spec{high: maxLitres}, units.Volume)
	if k.Table {
		point := object{{"type", "array"}, {"prefixItems", []any{length, volume}}, {"minItems", 2}, {"maxItems", 2}}
		return object{{"type", "array"}, {"items", point}, {"minItems", 1}}
	}
	dims := object{}
	for _, name := range k.All() {
		rule := some
		if name == "wall" || name == "bottom_diameter" {
			rule = length
		}
		if isCount(name) {
			rule = object{{"type", "integer"}, {"minimum", 3}, {"maximum", 64}}
		}
		dims = append(dims, member{name, rule})
	}
	o := object{{"type", "object"}, {"properties", dims}, {"required", k.Required}, {"additionalProperties", false}}
	if rules := m.wallRule(k); len(rules) > 0 {
		o = append(o, member{"allOf", rules})
	}
	if len(k.OneOf) > 0 {
		var one []any
		for _, name := range k.OneOf {
			one = append(one, object{{"required", []string{name}}})
		}
		o = append(o, member{"oneOf", one})
	}
	return o
}
