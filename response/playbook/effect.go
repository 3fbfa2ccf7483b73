package playbook

import (
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"
	"sync"
)

// Effect is what a step does to people, power or water, in the closed vocabulary:
// a verb and, for most verbs, what it acts on ("cut batteries", "read salinity
// vat").
type Effect string

// verb and object are its two halves.
func (e Effect) verb() string {
	for _, v := range effectVerbs {
		if string(e) == v || strings.HasPrefix(string(e), v+" ") {
			return v
		}
	}
	return ""
}

func (e Effect) object() string {
	return strings.TrimPrefix(strings.TrimPrefix(string(e), e.verb()), " ")
}

// effectVerbs are the verbs of the vocabulary, in the order of a night.
var effectVerbs = []string{
	"move people", "leave", "stop until", "call", "cut", "prove off", "reach in", "energise",
	"sample", "read", "drain", "fill", "pour", "move animals", "open",
}

// devices are what may be cut, energised, or fail. "batteries" stands for every
// battery, UPS and generator; "good" for all that is whole; "feed" for what pumps the water that runs out.
var devices = []string{
	"mains", "batteries", "heater", "spare heater", "chiller", "pumps", "air", "good", "skimmer", "top-off", "doser",
	"purifier", "gas", "valve", "feed", "vat heater", "generator", "devices", "source", "failed",
}

// callees are who a step may phone.
var callees = []string{
	"emergency", "poison control", "power company", "electrician", "veterinarian", "keeper", "second person", "laboratory",
	"supplier", "sewer authority", "floor below", "gas supplier",
}

// effectObjects are what each verb acts on; nil: nothing.
var effectObjects = map[string][]string{
	"cut": devices, "energise": devices, "call": callees,
	"move people": nil, "leave": nil, "stop until": nil, "prove off": nil, "reach in": nil, "move animals": nil, "open": {"window"},
	"sample": {"A", "B", "C", "vat"},
	"read": {"temperature tank", "temperature vat", "temperature bin", "salinity tank", "salinity vat", "salinity bin", "ph", "ammonia",
		"oxygen", "chlorine", "alkalinity", "alarm", "bottle", "label", "level", "purified", "carbon dioxide"},
	"drain": {"tank", "vat", "sump", "floor", "skimmer", "excess"},
	"fill":  {"tank", "vat", "bin", "bin from tank"},
	"pour":  {"salt", "purified", "dechlorinator", "additive", "carbon"},
}

// allowedEffects lists the whole vocabulary.
var allowedEffects = sync.OnceValue(func() []string {
	var out []string
	for _, v := range effectVerbs {
		objects := effectObjects[v]
		if len(objects) == 0 {
			out = append(out, v)
		}
		for _, o := range objects {
			out = append(out, v+" "+o)
		}
	}
	return out
})

// professionals are those whose number may end a card.
var professionals = []string{"emergency", "poison control", "power company", "electrician", "veterinarian", "gas supplier"}

// findings are what an answer may tell about people, animals and vessels.
var findings = []string{"person ill", "animals ill", "leak tank", "wet plugs", "dechlorinator here", "meter here"}

// siteNeeds are what a site may have or lack; a need "kit: ITEM" is a thing of the kit. "backup" is a
// battery or a generator, "feeder" a top-off or a dosing pump, "mending" what mends a vat; "other tanks" stand on
// the same breaker.
var siteNeeds = []string{
	"mains", "purifier", "purified", "salt", "vat", "vat heater", "spare heater", "good heater", "heater", "chiller", "battery", "generator", "second person", "transfer pump",
	"sump", "return", "backup", "doser", "top-off", "feeder", "skimmer", "gas", "people below",
	"mending", "other tanks",
}

// either are needs that one of several things meets.
var either = map[string][]string{"backup": {"battery", "generator"}, "feeder": {"doser", "top-off"}, "mending": {"salt", "purified", "vat heater"}}

// meet adds the needs that what is there meets.
func meet(has map[string]bool) {
	for need, things := range either {
		has[need] = slices.ContainsFunc(things, func(w string) bool { return has[w] })
	}
}

// kitNeed is the thing of the kit a need names.
func kitNeed(need string) (string, bool) {
	item, ok := strings.CutPrefix(need, "kit: ")
	return item, ok
}

// telling pairs words of a step with the effects one of which they must have: the
// text and what it is declared to do must not part.
var telling = []struct {
	words   *regexp.Regexp
	effects []string
}{
	{regexp.MustCompile(`(?i)\b(switch|turn|power) (it |them )?(back )?on\b|\bswitch on\b|\bplug (it |them |the [a-z ]+)?in\b|\bput .* back on\b|\bstart (a |the |every )?(battery air|air|purifier|pump|generator|heater|chiller)`), []string{"energise"}},
	{regexp.MustCompile(`(?i)\bswitch (it |them )?off\b|\bunplug\b|\bpull (the|its|their|every) [a-z' ]*plug|\bshut the (cylinder|gas)|\bclose the [a-z ]*valve\b`), []string{"cut"}},
	{regexp.MustCompile(`(?i)^(if [^,]*, )?pour\b`), []string{"pour", "fill"}},
	{regexp.MustCompile(`(?i)\b(add|swap|move|stir in|dissolve)\b[^.]*\b(purified water|salt)\b`), []string{"pour"}},
	{regexp.MustCompile(`(?i)^(if [^,]*, )?fill\b`), []string{"fill", "sample"}},
	{regexp.MustCompile(`(?i)\breach into\b|\blift the [a-z ]+ out of the water\b|\bwith (a|the) (wet )?net\b|\bhands? in(to)? the water\b|\btongs\b`), []string{"reach in"}},
	{regexp.MustCompile(`(?i)\bturn (its|the|each) dial to\b`), []string{"reach in"}}, // it is on the heater, in the water
	{regexp.MustCompile(`(?i)^(if [^,]*, )?(hang|lay|put|place) [^.]*\b(in|into|under) the (sump|filter|water|tank)\b`), []string{"reach in"}},
	{regexp.MustCompile(`(?i)^(if [^,]*, )?(drain|siphon)\b`), []string{"drain"}},
	{regexp.MustCompile(`(?i)^(if [^,]*, )?read (the|its|both)\b`), []string{"read"}},
	{regexp.MustCompile(`(?i)\b(leave|get out of) the room\b|\bget out\b|\bgo outside\b|\beveryone out\b`), []string{"leave", "move people"}},
	{regexp.MustCompile(`(?i)\bphone\b`), []string{"call"}},
	{regexp.MustCompile(`(?i)\bbottles? (A|B|C)\b`), []string{"sample", "call laboratory"}},
	{regexp.MustCompile(`(?i)\bmove (the )?(fish|animals|coral)\b`), []string{"move animals"}},
	{regexp.MustCompile(`(?i)\b(feels? (ill|unwell)|is (hurt|ill)|headache|dizzy)\b`), []string{"call emergency", "call poison control", "leave"}},
}

// negated takes out what a text forbids, so that "Do NOT pour" pours nothing.
var negated = regexp.MustCompile(`(?i)\b(do not|never|without|not|nothing) [^.,:]*`)

// cardName is the title of a card a step sends the reader to.
var cardName = regexp.MustCompile(`\bcard [A-Z][^.,:]*`)

// partsFrom says which words of a text lack their effect; "" when none does.
func partsFrom(text string, effects []Effect) string {
	text = negated.ReplaceAllString(cardName.ReplaceAllString(quoted.ReplaceAllString(text, ""), ""), "")
	for _, sentence := range strings.Split(text, ". ") {
		if strings.Contains(sentence, "no hand in") {
			sentence = "" // it says how, from outside
		}
		for _, t := range telling {
			found := t.words.FindString(sentence)
			if found == "" {
				continue
			}
			if !slices.ContainsFunc(effects, func(e Effect) bool {
				return slices.Contains(t.effects, e.verb()) || slices.Contains(t.effects, string(e))
			}) {
				return fmt.Sprintf("%q without the effect %s", strings.TrimSpace(found), strings.Join(t.effects, " or "))
			}
		}
	}
	return ""
}

// knownHazards are the hazards a card or a step may name: those some caution of
// the library guards against.
func (l *Library) knownHazards() []string {
	set := map[string]bool{}
	for _, c := range l.Cautions {
		for _, h := range c.Hazards {
			set[h] = true
		}
	}
	return slices.Sorted(maps.Keys(set))
}
