package playbook

import (
	"regexp"
	"slices"
	"strings"
)

// isolated says that every supply this site has was switched off.
func (w *walker) isolated(s *night) bool {
	mains := s.mainsCut
	for _, supply := range []string{"battery", "generator"} {
		if has, known := w.at.has(supply); (has || !known) && !s.batteriesCut {
			return false
		}
	}
	return mains
}

// nearVerbs bring somebody to the tank.
var nearVerbs = map[string]bool{"cut": true, "prove off": true, "reach in": true, "energise": true, "sample": true, "drain": true, "fill": true,
	"pour": true, "move animals": true}

// judge holds one step to the rules and takes in what it does.
func (w *walker) judge(n *node, s *night) {
	w.needs(n, s)
	w.stopped(n, s)
	w.unwell(n, s)
	s.tagged = s.tagged || n.tags && tagsFailed(n.text, w.event.Failed)
	s.small = s.small || strings.Contains(n.text, smallChange)
	for _, a := range n.acts {
		if !s.people && nearVerbs[a.verb] {
			w.broken(10, n, "somebody is sent near before the others were moved away")
			s.people = true // said once
		}
		switch a.verb {
		case "move people":
			s.people = true
		case "leave":
			s.out = true
		case "call":
			s.call(a.object)
		case "cut":
			s.cut(a.object, w.event.Failed)
			w.suspect(n, s, a.object)
		case "energise":
			w.energise(n, s, a.object)
		case "reach in", "move animals":
			if !s.proved {
				w.broken(1, n, "somebody reaches into the water with a supply not proved off")
			}
		case "prove off":
			if n.item.Ask == "" {
				s.proved = w.isolated(s)
			}
		default:
			w.water(n, s, a)
		}
	}
}

// stopped is rule 3: who was sent out does nothing but phone, wait and keep others out.
func (w *walker) stopped(n *node, s *night) {
	if !s.out {
		return
	}
	allowed := n.item.Ask == "" && len(n.acts) > 0
	for _, a := range n.acts {
		allowed = allowed && (a.verb == "call" || a.verb == "leave" || a.verb == "move people" || a.verb == "stop until")
	}
	if !allowed {
		w.broken(3, n, "the way runs on from a stop")
		s.out = false // said once
	}
}

// unwell is rule 9.
func (w *walker) unwell(n *node, s *night) {
	if n.calls("emergency") || n.calls("poison control") {
		s.emergency = true
	}
	if s.personIll && !s.emergency {
		for _, a := range n.acts {
			if !helps[a] && !helps[act{verb: a.verb}] {
				w.broken(9, n, "a person is ill and this comes before the emergency number")
				s.emergency = true // said once
				break
			}
		}
	}
	if n.person && n.calls("veterinarian") && !n.calls("emergency") {
		w.broken(9, n, "a person who is ill is sent to the veterinarian")
	}
	if n.animal && n.calls("emergency") && !n.person {
		w.broken(9, n, "an animal is sent to the emergency number")
	}
}

// helps are what may come before the emergency number is phoned.
var helps = map[act]bool{{verb: "leave"}: true, {verb: "move people"}: true, {verb: "stop until"}: true, {verb: "open"}: true,
	{"open", "window"}: true, {"cut", "mains"}: true, {"cut", "gas"}: true, {"cut", "batteries"}: true}

var (
	personWords = regexp.MustCompile(`(?i)\b(anyone|a person|somebody|you) .*(ill|hurt|dizzy|unwell|faint)|\bheadache\b`)
	animalWords = regexp.MustCompile(`(?i)\b(animal|animals|fish|coral)\b.*\b(gasp|side|die|ill)`)
)

// call takes in who was phoned.
func (s *night) call(who string) {
	switch who {
	case "emergency", "poison control":
		s.emergency = true
	case "veterinarian":
		s.vet = true
	case "electrician", "power company":
		s.powerCalled = true
	}
	if slices.Contains(professionals, who) {
		s.professional = true
	}
}

// cut takes in what was switched off.
func (s *night) cut(what, failed string) {
	switch what {
	case "mains":
		s.mainsCut = true
	case "batteries", "generator":
		s.batteriesCut = true
	case "devices":
		s.devicesOff = true
	case "vat heater":
		s.vatHot = false
	}
	if what == "failed" || failed != "" && what == failed {
		s.failedOut = true
	}
}

// suspect takes in what is unplugged because it may be what adds it: nobody knows what went in, and the
// list of what goes on again after a row names the top-off and the dosing pumps, "but none that is tagged".
func (w *walker) suspect(n *node, s *night, what string) {
	if w.event.Contaminant && what != w.event.Failed && (what == "doser" || what == "top-off") {
		s.suspects, s.suspectsTagged = true, s.suspectsTagged || tags.MatchString(n.text)
	}
}

// energise is rule 2, and ends what was proved.
func (w *walker) energise(n *node, s *night, what string) {
	if what == w.at.without {
		return // nobody switches on what is not there
	}
	w.onAgain(n, s, what)
	if w.event.Failed == "source" && what == "good" {
		s.failedOut = false // which one failed is not known before it trips again
	}
	if what == "vat heater" {
		s.vatHot = true
		if !covered.MatchString(n.text) {
			w.broken(2, n, "a vat heater is switched on where its vat may be empty")
		}
	}
	outside := what == "air" || what == "purifier" || what == "vat heater"
	if s.low && !outside && what != "mains" {
		w.broken(2, n, "switched on while it may be dry")
	}
	switch what {
	case "mains":
		s.mainsCut, s.proved, s.powerCalled = false, false, false
	case "batteries", "generator":
		s.batteriesCut, s.proved = false, false
	case "good", "pumps", "devices":
		s.devicesOff, s.proved = false, false
	default:
		if !outside {
			s.proved = false
		}
	}
}

// onAgain holds what is switched on against what failed and what got wet.
func (w *walker) onAgain(n *node, s *night, what string) {
	failed := w.event.Failed
	switch {
	case what == "failed" || failed != "" && what == failed:
		w.broken(2, n, "the device that failed is switched on")
	case what == "devices":
		w.broken(2, n, "everything is switched on, whatever failed among it")
	case failed != "" && !s.failedOut && (what == "mains" || what == "good"):
		w.broken(2, n, "power comes back while the device that failed is still plugged in")
	case what == "good" && s.suspects && !s.suspectsTagged:
		w.broken(2, n, "what may still be adding it is named among what goes on again, and has no tag")
	case what == "good" && !s.tagged && namedBack[failed] != "":
		w.broken(2, n, "what failed is named among what goes on again, and has no tag yet")
	}
	if s.wet && inWet[what] && !dryOnly.MatchString(n.text) {
		w.broken(2, n, "what got wet is switched on with the rest")
	}
}

// namedBack are the words for what may fail and stands in the list of what is switched on again,
// "but none that is tagged"; tags says that a step tags something.
var (
	namedBack = map[string]string{"heater": "heater", "skimmer": "skimmer", "top-off": "top-off", "doser": "dosing pump", "feed": "pump"}
	tags      = regexp.MustCompile(`(?i)\btag (it|them|the|that|all)\b`)
)

// tagsFailed says that a step puts a tag on the device that failed.
func tagsFailed(text, failed string) bool {
	return tags.MatchString(text) && strings.Contains(text, namedBack[failed])
}

// inWet are what may hang on a plug that got wet; dryOnly says that a step leaves it off,
// covered that a vat heater goes on under water alone.
var (
	inWet   = set("mains good pumps devices")
	covered = regexp.MustCompile(`(?i)\bwater covers (it|them)\b|\bunder water\b`)
	dryOnly = regexp.MustCompile(`(?i)\bdry (devices|pumps|ones|plugs)\b|\ball is dry\b`)
)

// water holds what is drained, filled, read and sampled to rules 2, 4, 5 and 6.
func (w *walker) water(n *node, s *night, a act) {
	switch a.verb + " " + a.object {
	case "drain vat":
		w.emptied(n, s)
	case "read salinity vat":
		s.readSalt, s.byNote = true, s.byNote || strings.Contains(n.text, "note")
		if s.vatHot && !strings.Contains(n.text, "jug") {
			w.broken(1, n, "somebody reads in a vat whose heater is on")
		}
	case "read temperature vat":
		w.readWarmth(n, s)
	case "sample A":
		s.sampleA = true
	case "sample B":
		s.after = max(s.after, 1)
	case "sample C":
		if s.after >= 1 {
			s.after = 2
		}
	case "drain tank":
		if !s.devicesOff && !s.mainsCut {
			w.broken(2, n, "water leaves while heaters and pumps are on")
		}
		w.sampled(n, s)
		s.low = true
	case "fill tank":
		w.fill(n, s)
		w.emptied(n, s)
		if s.leaks {
			w.broken(4, n, "a tank that leaks by itself is refilled")
		}
		w.sampled(n, s)
		s.low, s.changed, s.after = false, true, 0
	case "fill bin":
		s.readWarm = s.readBin
		w.fill(n, s)
	case "pour salt", "pour purified":
		s.readSalt, s.readWarm = false, false
	}
}

// readWarmth is a vat's thermometer: a row of a plan has a band of its own; animals go from the
// tank's band into the tank's band, and no water is inside both.
func (w *walker) readWarmth(n *node, s *night) {
	row, own := strings.Contains(n.text, "row"), strings.Contains(n.text, tempBand)
	small := strings.Contains(n.text, smallBand) || strings.Contains(n.text, refillBand)
	s.readBin = own && !row
	s.readWarm = row || small || !w.event.Contaminant && !w.event.Shared && n.card == w.event
	switch {
	case row && own:
		w.broken(6, n, "two bands for one water")
	case !row && !own && !small:
		w.broken(6, n, "the band printed is not that of the row")
		s.readWarm = true
	}
}

// emptied is water that leaves a vat.
func (w *walker) emptied(n *node, s *night) {
	if s.vatHot {
		w.broken(2, n, "a vat is emptied with its heater on")
		s.vatHot = false // said once
	}
}

// sampled asks for the sample before the water is changed.
func (w *walker) sampled(n *node, s *night) {
	if w.event.Contaminant && !s.sampleA {
		w.broken(5, n, "water is changed before the sample was taken")
		s.sampleA = true
	}
}

// smallChange is the field of a row so small that no vat of the house moves the tank by more than a step.
const smallChange = "{{small_change}}"

// tempBand is the field of the tank's own temperature, smallBand that of vats for a row so small
// that it moves the tank by one step, refillBand that of vats for one such row after the other.
const (
	tempBand   = "{{temp_band}}"
	smallBand  = "{{vat_usable}}"
	refillBand = "{{vat_refill}}"
)

// fill is rule 6, and asks for new readings before the next time.
func (w *walker) fill(n *node, s *night) {
	if !s.readSalt || !s.readWarm {
		w.broken(6, n, "water is poured whose salinity and temperature were not read")
	}
	if s.byNote && !s.small {
		w.broken(6, n, "a vat known by its note alone is poured as a whole row")
	}
	s.readSalt, s.readWarm, s.readBin, s.byNote, s.small = false, false, false, false, false
}

// electric are needs that hang on the mains.
var electric = set("mains purifier chiller")

// needs is rule 8.
func (w *walker) needs(n *node, s *night) {
	off := s.mainsCut
	for _, a := range n.acts {
		if a == (act{"energise", "mains"}) {
			off = false
		}
	}
	for _, need := range n.needs {
		if has, known := w.at.has(need); known && !has {
			w.broken(8, n, "it needs what this site lacks: "+need)
		}
		if electric[need] && off {
			w.broken(8, n, "it needs the mains, which are off")
		}
	}
	for _, a := range n.acts {
		if need := asks[a]; need != "" {
			if has, known := w.at.has(need); known && !has && !(s.dechlorinator && a.object == "dechlorinator") {
				w.broken(8, n, "it needs what this site lacks: "+need)
			}
		}
	}
	if !off || s.onGenerator(w) {
		return
	}
	for _, a := range n.acts {
		if a.verb == "energise" && onMains[a.object] {
			w.broken(8, n, "it is switched on while the mains are off")
		}
	}
}

// asks are the things that an act cannot do without, whatever the step declares: the
// step for what is missing must not ask for another missing thing.
var asks = map[act]string{{"pour", "dechlorinator"}: "kit: dechlorinator", {"energise", "spare heater"}: "spare heater", {"energise", "chiller"}: "chiller",
	{"energise", "generator"}: "generator", {"energise", "vat heater"}: "vat heater", {"energise", "purifier"}: "purifier", {"sample", "vat"}: "vat",
	{"pour", "purified"}: "purified", {"pour", "salt"}: "salt"}

// onMains are what the mains alone carry.
var onMains = map[string]bool{"chiller": true, "good": true, "pumps": true, "spare heater": true, "heater": true, "vat heater": true, "purifier": true}

// onGenerator says that a generator may carry it: one that this site has and that
// no step has switched off.
func (s *night) onGenerator(w *walker) bool {
	has, known := w.at.has("generator")
	return (has || !known) && !s.batteriesCut && w.event.PowerOut
}
