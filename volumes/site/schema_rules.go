package site

import "tidehold/refs/units"

// What a schema can say of more than one key at a time.

// substanceRule is what a substance may be called: a name, a symbol or an id.
const substanceRule = `^[A-Za-z0-9][A-Za-z0-9 ()+,._-]*$`

// maxLengthCm bounds a length of a shape.
const maxLengthCm = 20_000

// given is the condition that a key has a value.
func given(key, value string) object {
	return object{{"type", "object"}, {"properties", object{{key, object{{"const", value}}}}}, {"required", []string{key}}}
}

// has is the condition that keys are there.
func has(keys ...string) object { return object{{"type", "object"}, {"required", keys}} }

func whenThen(when, then object) object { return object{{"if", when}, {"then", then}} }

// siteRules: a purifier where something is filled by one, a system named where there are
// several, saltwater vats where batches are to be made.
func siteRules(*schemaMaker) []any {
	list := func(key string, rule object) object {
		return object{{"type", "object"}, {"properties", object{{key, append(object{{"type", "array"}}, rule...)}}}, {"required", []string{key}}}
	}
	mixingIn := object{{"type", "object"}, {"properties", object{{"mixing", object{{"type", "object"},
		{"properties", object{{"in", object{{"type", "array"}, {"minItems", 1}}}}}, {"required", []string{"in"}}}}}}, {"required", []string{"mixing"}}}
	return []any{
		whenThen(list("stores", object{{"contains", has("filled_by")}}), has("purifier")),
		whenThen(list("systems", object{{"minItems", 2}}), object{{"properties", object{{"events", object{{"type", "array"}, {"items", has("system")}}}}}}),
		whenThen(mixingIn, list("stores", object{{"contains", given("holds", string(Saltwater))}})),
	}
}

// storeRules: what is given beside the background is not in it, and purified water is.
func storeRules(m *schemaMaker) []any {
	var out []any
	for _, f := range chemistry() {
		out = append(out, object{{"not", object{{"type", "object"}, {"required", []string{f.key, "background"}}, {"properties", object{{"background", has(f.key)}}}}}})
	}
	out = append(out, vesselRules(m, "level")...)
	out = append(out, m.notAbove(units.Volume, "capacity", "volume", "heel")...)
	fresh := measure("salinity", units.Salinity, 0, MaxPurified, "salinity of purified water").spec
	return append(out, whenThen(given("holds", string(Purified)), object{{"properties", object{{"salinity", m.object(&fresh)}}}}))
}

// equipmentRules: alkalinity is dosed in equivalents, the ions by mass.
func equipmentRules(m *schemaMaker) []any {
	strength := func(d units.Dimension) object {
		return object{{"properties", object{{"strength", m.pattern(&spec{high: 1e4}, d)}}}}
	}
	return []any{
		whenThen(given("doses", "alkalinity"), strength(units.AlkStrength)),
		whenThen(given("doses", "calcium"), strength(units.IonStrength)),
		whenThen(given("doses", "magnesium"), strength(units.IonStrength)),
	}
}
