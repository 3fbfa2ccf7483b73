package site

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/volumes"
)

// This file writes what a schema has no words for: that one written quantity is not above
// another, and that a word is not a slip of one that is known. A comparison is cut into
// steps: never one above a step and the other at or below it. Between two steps, and across
// lists, it is left to Load; it refuses nothing that Load takes.

// steps of each dimension at which written quantities are compared, in base units.
var steps = map[units.Dimension][]float64{
	units.Temperature: evenly(16, 32, 1),
	units.Salinity:    evenly(20, 40, 2),
	units.Length:      {20, 30, 40, 50, 60, 80, 100, 120, 150, 200},
	units.Volume:      {20, 50, 100, 150, 200, 300, 500, 1000, 2000, 5000},
}

func evenly(from, to, by float64) []float64 {
	var out []float64
	for x := from; x <= to; x += by {
		out = append(out, x)
	}
	return out
}

// notAbove is the rule that no low, each a key, exceeds high.
func (m *schemaMaker) notAbove(d units.Dimension, high string, lows ...string) []any {
	var out []any
	for _, at := range steps[d] {
		above := object{}
		for _, low := range lows {
			above = append(above, member{low, object{{"not", m.beyond(d, at)}}})
		}
		out = append(out, whenThen(along([]string{high}, m.within(d, at)), object{{"properties", above}}))
	}
	return out
}

// along puts a rule at the end of a path of keys that are there.
func along(path []string, rule object) object {
	for _, key := range slices.Backward(path) {
		rule = object{{"type", "object"}, {"required", []string{key}}, {"properties", object{{key, rule}}}}
	}
	return rule
}

// beyond is a quantity above a step, within one at or below it.
func (m *schemaMaker) beyond(d units.Dimension, at float64) object {
	return m.compared(d, at, "above", object{{"type", "number"}, {"exclusiveMinimum", at}}, func(x float64) string {
		return wholeFrom(math.Floor(x)+1) + `(\.[0-9]+)?`
	})
}

func (m *schemaMaker) within(d units.Dimension, at float64) object {
	return m.compared(d, at, "at_most", object{{"type", "number"}, {"maximum", at}}, func(x float64) string {
		whole := math.Floor(x)
		exact := strconv.FormatFloat(whole, 'f', 0, 64) + `(\.0+)?`
		if whole < 1 {
			return exact
		}
		ways := []string{exact, `0(\.[0-9]+)?`}
		for _, w := range wholeUpTo(strconv.FormatFloat(whole-1, 'f', 0, 64)) {
			ways = append(ways, w.pattern+`(\.[0-9]+)?`)
		}
		return "(" + strings.Join(ways, "|") + ")"
	})
}

// from is a quantity at or above a step.
func (m *schemaMaker) from(d units.Dimension, at float64) object {
	return m.compared(d, at, "from", object{{"type", "number"}, {"minimum", at}}, func(x float64) string {
		return wholeFrom(math.Ceil(x)) + `(\.[0-9]+)?`
	})
}

// compared refers to a pattern for the quantities on one side of a step, in any unit; what is
// behind ± does not count. A bare number has a rule of its own.
func (m *schemaMaker) compared(d units.Dimension, at float64, side string, bare object, number func(float64) string) object {
	name := strings.ReplaceAll(d.String(), " ", "_") + "_" + side + "_" + amount(at)
	return m.define(name, func() object {
		var ways []string
		for _, u := range d.Scales() {
			x := u.FromBase(at)
			if x < 0 {
				continue
			}
			x = math.Round(x*1e9) / 1e9
			unit := ""
			if len(u.Names) > 0 {
				unit = `\s*` + alternatives(u.Names)
			}
			if d.Bare() && unit != "" {
				unit = "(" + unit + ")?"
			}
			ways = append(ways, number(x)+unit)
		}
		rule := object{{"type", "string"}, {"pattern", `^\s*(` + strings.Join(ways, "|") + `)(` + plusMinus + `.*)?\s*$`}}
		if d.Bare() {
			rule = object{{"anyOf", []any{bare, rule}}}
		}
		return rule
	})
}

// wholeFrom is a pattern of the whole numbers from n on, in plain digits.
func wholeFrom(n float64) string {
	text := strconv.FormatFloat(n, 'f', 0, 64)
	if n <= 1 {
		return `[1-9][0-9]*`
	}
	ways := []string{fmt.Sprintf(`[1-9][0-9]{%d,}`, len(text)), text}
	for i, c := range []byte(text) {
		if c == '9' {
			continue
		}
		ways = append(ways, text[:i]+"["+string(c+1)+"-9]"+fmt.Sprintf("[0-9]{%d}", len(text)-1-i))
	}
	return "(" + strings.Join(ways, "|") + ")"
}

// limitRules: what is low is not above what is high, stated or by default.
func limitRules(m *schemaMaker) []any {
	var out []any
	for i, name := range []string{"temperature", "salinity"} {
		d := []units.Dimension{units.Temperature, units.Salinity}[i]
		low, high := name+"_low", name+"_high"
		out = append(out, m.notAbove(d, high, low)...)
		alone := func(key, other string, rule object) {
			out = append(out, whenThen(object{{"not", has(other)}}, object{{"not", along([]string{key}, rule)}}))
		}
		alone(low, high, m.beyond(d, defaultOf("systems.limits."+high)))
		alone(high, low, m.within(d, lowestDefaultOf("systems.limits."+low)-1))
	}
	return out
}

// defaultOf is the number of a default, in the base unit it is written in.
func defaultOf(path string) float64 {
	return parsed(presets()[path].text, path)
}

func parsed(text, path string) float64 {
	number, _, _ := strings.Cut(text, " ")
	x, err := strconv.ParseFloat(number, 64)
	if err != nil {
		panic("site: schema: no default of " + path) // a test makes the schema
	}
	return x
}

// systemRules: where not only fish are kept, the highest salinity lies above the lowest that is
// assumed of the others.
func systemRules(m *schemaMaker) []any {
	fish := along([]string{"livestock"}, given("sensitivity", string(Fish)))
	low := along([]string{"limits"}, has("salinity_low"))
	tooLow := along([]string{"limits", "salinity_high"}, m.within(units.Salinity, defaultOf("systems.limits.salinity_low")-1))
	return []any{whenThen(object{{"not", object{{"anyOf", []any{fish, low}}}}}, object{{"not", tooLow}})}
}

// lowestDefaultOf is the lower of two defaults where that of fish is another: it is refused
// whatever is kept.
func lowestDefaultOf(path string) float64 {
	if p, ok := fishPresets()[path]; ok {
		return min(defaultOf(path), parsed(p.text, path))
	}
	return defaultOf(path)
}

// wallRule: two walls are less than what they are around.
func (m *schemaMaker) wallRule(k volumes.KindSpec) []any {
	var out []any
	for _, at := range steps[units.Length] {
		var around []any
		for _, name := range k.Required {
			if name == "length" || name == "width" || name == "diameter" {
				around = append(around, along([]string{name}, m.within(units.Length, at)))
			}
		}
		if len(around) > 0 && slices.Contains(k.Optional, "wall") {
			out = append(out, whenThen(object{{"anyOf", around}}, object{{"properties", object{{"wall", object{{"not", m.from(units.Length, at/2)}}}}}}))
		}
	}
	return out
}

// densest is what volumes takes for the densest reef mineral, g/L.
const densest = 3000

// rockRules: rock is no denser than its mineral, by its pores.
func rockRules(m *schemaMaker) []any {
	var out []any
	for pores := 10; pores <= 90; pores += 10 {
		heavy := m.beyond(units.Density, densest*float64(100-pores)/100)
		out = append(out, whenThen(along([]string{"porosity"}, m.from(units.Share, float64(pores)/100)), object{{"properties", object{{"density", object{{"not", heavy}}}}}}))
	}
	return out
}

func ambientRules(m *schemaMaker) []any {
	return append(m.notAbove(units.Temperature, "usual", "coldest"), m.notAbove(units.Temperature, "hottest", "usual")...)
}

func coolingRules(m *schemaMaker) []any {
	return m.notAbove(units.Temperature, "from", "to")
}

// awakeRules: from and to differ, as far as half hours go.
func awakeRules(*schemaMaker) []any {
	var out []any
	for half := range 48 {
		at := fmt.Sprintf("%02d:%02d", half/2, half%2*30)
		out = append(out, object{{"not", object{{"allOf", []any{given("from", at), given("to", at)}}}}})
	}
	return out
}

// leastDose is the dry salt in a litre of salinity 35 at 25 °C, which a dose is supposed to
// make where nothing is stated, g/L: 35.99 by [eos80], which Load rounds up to a tenth.
const leastDose = 36

// saltRules: a dose can reach the salinity that is supposed where none is stated, but for
// what Load forgives a label.
func saltRules(m *schemaMaker) []any {
	return []any{whenThen(object{{"not", has("dose_at")}}, object{{"not", along([]string{"dose"}, m.within(units.Dose, math.Floor(leastDose*(1-labelSlack))))}})}
}

// vesselRules: no level is above the height of its vessel. Of a cone the height is not all
// there is.
func vesselRules(m *schemaMaker, keys ...string) []any {
	var out []any
	for _, at := range steps[units.Length] {
		low := m.define("vessel_at_most_"+amount(at), func() object {
			var ways []any
			for _, k := range volumes.Kinds() {
				if slices.Contains(k.Required, "height") && !slices.Contains(k.All(), "cone_height") {
					ways = append(ways, along([]string{k.Name, "height"}, m.within(units.Length, at)))
				}
			}
			return object{{"anyOf", ways}}
		})
		above := object{}
		for _, key := range keys {
			above = append(above, member{key, object{{"not", m.beyond(units.Length, at)}}})
		}
		out = append(out, whenThen(along([]string{"shape"}, low), object{{"properties", above}}))
	}
	return out
}

func partRules(m *schemaMaker) []any {
	return append(vesselRules(m, "level", "brim"), m.notAbove(units.Length, "brim", "level")...)
}

// eventRules: what is meant is not guessed.
func eventRules(m *schemaMaker) []any {
	return []any{object{{"properties", object{{"contaminant", m.known("known_substance", substanceNames(), false)}, {"playbook", m.known("known_card", Playbooks(), true)}}}}}
}

// known refers to the rule that a word is no slip of one of a list.
func (m *schemaMaker) known(name string, words []string, hyphens bool) object {
	return m.define(name, func() object { return slips(words, hyphens) })
}

// onceEach refers to the rule that no substance stands under two of its names.
func (m *schemaMaker) onceEach() object {
	return m.define("twice", func() object {
		var pairs []any
		for _, c := range refs.Contaminants() {
			names := append([]string{c.ID, c.Name}, c.Aliases...)
			slices.Sort(names)
			names = slices.Compact(names)
			for i := range names {
				for k := range i {
					pairs = append(pairs, has(names[k], names[i]))
				}
			}
		}
		return object{{"anyOf", pairs}}
	})
}

// slips is the rule that a word is not one letter away from a known one of at least five
// letters: Load would ask whether that was meant. Names with hyphens are left out where
// Load reads them with or without.
func slips(known []string, hyphens bool) object {
	var ways []string
	for _, w := range known {
		if len(w) < 5 || strings.ContainsFunc(w, func(r rune) bool { return (r < 'a' || r > 'z') && !(hyphens && r == '-') }) {
			continue
		}
		for i := range len(w) + 1 {
			ways = append(ways, w[:i]+"[a-z]"+w[i:])
			if i < len(w) {
				ways = append(ways, w[:i]+w[i+1:], w[:i]+"[a-z]"+w[i+1:])
			}
		}
	}
	return object{{"anyOf", []any{object{{"enum", known}}, object{{"not", object{{"type", "string"}, {"pattern", "^(" + strings.Join(ways, "|") + ")$"}}}}}}}
}

// substanceNames are all that the tables know.
func substanceNames() []string {
	var out []string
	for _, c := range refs.Contaminants() {
		for _, s := range append([]string{c.ID, c.Name}, c.Aliases...) {
			if !slices.Contains(out, s) {
				out = append(out, s)
			}
		}
	}
	return out
}
