package playbook

import (
	"slices"
	"strings"

	"tidehold/volumes/site"
)

// Profile is what a site has, as far as a card's steps need it.
type Profile struct {
	// Known is false for a card without a site: then it prints both ways.
	Known bool
	// KitUnknown says that nobody has written down what the kit holds.
	KitUnknown bool
	// Has are words of siteNeeds, and "kit: ITEM" for things of the kit.
	Has map[string]bool
	// without is a thing that a reader of a card printed both ways turns out not to have:
	// he takes the other words of each step that needs it, and every line that is printed.
	without string
}

// has says whether the site has a thing; known is false where nobody has said.
func (p Profile) has(need string) (has, known bool) {
	_, thing := kitNeed(need)
	if !p.Known || p.KitUnknown && !p.Has[need] && (thing || need == "spare heater") {
		return false, false
	}
	if need == "mains" || need == "salt" && p.Has[need] {
		return true, true
	}
	return p.Has[need], true
}

// lacks says that the site is known to lack one of these.
func (p Profile) lacks(needs []string) bool {
	return slices.ContainsFunc(needs, func(n string) bool {
		has, known := p.has(n)
		return known && !has
	})
}

// unsure says that nobody has said whether one of these is here.
func (p Profile) unsure(needs []string) bool {
	return slices.ContainsFunc(needs, func(n string) bool {
		_, known := p.has(n)
		return !known
	})
}

// shows says whether a line is printed at the site.
func (p Profile) shows(it *Item) bool {
	if p.lacks(it.Only) {
		return false
	}
	return !slices.ContainsFunc(it.Unless, func(n string) bool {
		has, known := p.has(n)
		return known && has
	})
}

// at is the line as the site follows it: its own words and effects, or those for
// what it lacks.
func (it *Item) at(p Profile) (text string, effects []Effect, needs []string) {
	if it.otherWords(p) {
		return it.Lacking, it.LackingEffects, nil
	}
	return it.Do, it.Effects, it.Needs
}

// otherWords says that the reader follows what stands for a thing that is not here.
func (it *Item) otherWords(p Profile) bool {
	return it.Lacking != "" && (p.lacks(it.Needs) || p.without != "" && slices.Contains(it.Needs, p.without))
}

// ProfileOf is what a site has for one of its systems.
func ProfileOf(s *site.Site, sys *site.System) Profile {
	has := map[string]bool{}
	hasEquipment(has, s, sys)
	hasWater(has, s)
	for _, c := range s.Contacts {
		role := strings.ToLower(c.Role)
		if strings.Contains(role, "second") && c.Phone != "" {
			has["second person"] = true
		}
		if strings.Contains(role, "below") {
			has["people below"] = true
		}
	}
	for _, k := range s.Kit {
		for _, need := range kitWords {
			if k.Have >= 1 && matchesKit(k.Item, need) {
				has["kit: "+need] = true
			}
		}
	}
	has["spare heater"] = has["kit: spare heater"]
	has["other tanks"] = len(s.Systems) > 1
	meet(has)
	return Profile{Known: true, KitUnknown: len(s.Kit) == 0, Has: has}
}

// hasEquipment notes the devices of one system, and what keeps them live without the mains.
func hasEquipment(has map[string]bool, s *site.Site, sys *site.System) {
	for _, e := range sys.Equipment {
		switch e.Kind {
		case site.Heater:
			if has["heater"] {
				has["good heater"] = true
			}
			has["heater"] = true
		case site.Chiller, site.Doser, site.TopOff, site.Skimmer, site.Return, site.Generator:
			has[string(e.Kind)] = true
		case site.Battery:
			has["battery"] = true
		}
	}
	for _, b := range backups(s, sys) {
		has[string(b.Kind)] = true
	}
	// A heater that nobody listed is there all the same, but in a tank that is chilled.
	has["heater"] = has["heater"] || !has["chiller"]
	has["sump"] = len(sys.Parts) > 1 || has["return"]
}

// hasWater notes the vats, what fills and empties them, and the salt.
func hasWater(has map[string]bool, s *site.Site) {
	for _, st := range s.Stores {
		if st.Holds == site.Saltwater {
			has["vat"] = true
			has["vat heater"] = has["vat heater"] || st.HeaterW > 0
		}
		has["purified"] = has["purified"] || st.Holds == site.Purified && st.Usable() > 0
		has["transfer pump"] = has["transfer pump"] || st.TransferLH != nil
	}
	has["purifier"] = s.Purifier != nil && s.Purifier.RateLH > 0
	has["purified"] = has["purified"] || has["purifier"]
	has["salt"] = slices.ContainsFunc(s.Salts, func(salt site.Salt) bool { return salt.OnHand.IsPositive() })
}

// kitWords are the things cards ask for by name.
var kitWords = []string{
	"torch", "battery air pump", "spare heater", "bin", "dechlorinator", "total-chlorine test", "ammonia test", "salinity meter", "thermometer",
	"goggles", "gloves", "sample bottles", "carbon", "spill kit", "transfer pump", "hose", "carbon monoxide alarm", "alkalinity test",
	"pH test", "oxygen meter", "tongs", "metal resin", "scale",
}

// matchesKit says that a kit line names the thing: every word of it stands in the line.
func matchesKit(item, need string) bool {
	have := keywords(strings.ToLower(strings.ReplaceAll(item, "-", " ")))
	if strings.Contains(strings.ToLower(item), "thiosulf") && need == "dechlorinator" {
		return true
	}
	for _, w := range keywords(strings.ReplaceAll(need, "-", " ")) {
		if !slices.Contains(have, w) {
			return false
		}
	}
	return true
}

// Corners are sites with everything and with nothing, and those in between that
// lack one thing or have one thing.
func Corners() []Profile {
	all, none := map[string]bool{}, map[string]bool{}
	var words []string
	words = append(words, siteNeeds...)
	for _, k := range kitWords {
		words = append(words, "kit: "+k)
	}
	for _, w := range words {
		all[w] = true
	}
	out := []Profile{{Known: true, Has: all}, {Known: true, Has: none}}
	for _, w := range words {
		less, more := map[string]bool{}, map[string]bool{w: true}
		for k := range all {
			less[k] = k != w
		}
		if things, ok := either[w]; ok {
			more[things[0]] = true
		}
		if w == "purifier" { // it makes purified water
			more["purified"] = true
		}
		meet(less)
		meet(more)
		out = append(out, Profile{Known: true, Has: less}, Profile{Known: true, Has: more})
	}
	return out
}
