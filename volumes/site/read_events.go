package site

import (
	"fmt"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/refs/yamlwalk"
)

func (l *loader) systemIDs() []string {
	out := make([]string, len(l.site.Systems))
	for i, s := range l.site.Systems {
		out[i] = s.ID
	}
	return out
}

func (l *loader) readRoutine(s scope) Routine {
	r := Routine{System: s.word("system"), Volume: units.Litres(s.given("volume").Value), EveryH: s.given("every").Value}
	if !s.sound("system") || !l.known(s.node("system"), r.System, "system", l.systems) {
		return r
	}
	if sys := &l.site.Systems[l.systems.at[r.System]]; s.sound("volume") && sys.NetVolume > 0 && r.Volume > sys.NetVolume {
		s.fault("volume", yamlwalk.Quote(s.node("volume").Raw())+" is more than the system holds", atMost(sys.NetVolume, s.given("volume")), "")
	}
	return r
}

func (l *loader) readDelivery(s scope) Delivery {
	d := Delivery{AfterH: s.given("after").Value, Saltwater: units.Litres(s.given("saltwater").Value), Purified: units.Litres(s.given("purified").Value), SaltKg: s.given("salt").Value}
	if v := s.maybe("salinity"); v != nil {
		p := units.Practical(*v)
		d.Salinity = &p
	}
	if v := s.maybe("temperature"); v != nil {
		t := units.Celsius(*v)
		d.Temperature = &t
	}
	d.Background, _ = l.readSubstanceList(s.sub("background"), s.items("background"))
	return d
}

func (l *loader) readMedia(s scope) Media {
	m := Media{ID: s.word("id"), System: s.word("system"), FlowLH: s.given("flow").Value}
	if s.sound("system") {
		l.known(s.node("system"), m.System, "system", l.systems)
	}
	m.SinglePass, _ = l.readSubstanceList(s.sub("single_pass"), s.items("single_pass"))
	if v := s.maybe("capacity"); v != nil {
		mg := *v * units.MgPerKg
		m.CapacityMg = &mg
	} else if !s.has("capacity") {
		s.note("", "no measured capacity: readiness ignores this medium")
	}
	return m
}

// Playbooks names the cards an event may follow. The last three are names of earlier
// editions, for too-hot, too-cold and unknown: site files that hold them stay good.
func Playbooks() []string {
	return []string{"heater-break", "too-hot", "too-cold", "outage", "breaker-tripped", "fire-or-smoke", "leak", "vat-overflow",
		"skimmer-overflow", "top-off-overrun", "dosing-overrun", "gas-reactor", "ammonia", "chlorine", "wrong-thing-in", "unknown",
		"heater-stuck-on", "chilled", "unknown-substance"}
}

// Shares and hours of the event a site has when it names none.
const (
	defaultRemove  = 0.5
	defaultWithinH = 24
)

// readEvents reads what the site wants to be ready for; without any, half of each
// system's water within a day.
func (l *loader) readEvents(s scope) {
	s.each("events", func(_ int, item scope) { l.site.Events = append(l.site.Events, l.readEvent(item)) })
	if len(s.items("events")) > 0 || s.has("events") && !s.sound("events") {
		return
	}
	for i := range l.site.Systems {
		sys, remove := &l.site.Systems[i], defaultRemove
		e := Event{ID: "halve-" + sys.ID, System: sys.ID, Playbook: "unknown", Remove: &remove, WithinH: defaultWithinH}
		e.Reheats, _ = sys.Reheats(false)
		l.site.Events = append(l.site.Events, e)
		scope{l: l, path: "events." + e.ID, place: refs.Place{List: "events", ID: e.ID}}.assume("", "remove 50 % within 24 h", basisHalfWithin)
	}
}

func (l *loader) readEvent(s scope) Event {
	e := Event{ID: s.word("id"), Playbook: s.take("playbook").text, Remove: s.maybe("remove"),
		WithinH: s.number("within"), SourceMgH: s.number("source")}
	l.readEventSystem(s, &e)
	l.readReheats(s, &e)
	if s.sound("priority") {
		e.Priority = s.v.get("priority").n
	}
	if s.sound("playbook") {
		l.checkPlaybook(s, e.Playbook)
	}
	if s.has("contaminant") {
		l.readContaminant(s, &e)
	}
	return e
}

// readEventSystem: with one system there is nothing to choose.
func (l *loader) readEventSystem(s scope, e *Event) {
	e.System = s.word("system")
	switch {
	case s.sound("system"):
		l.known(s.node("system"), e.System, "system", l.systems)
	case s.has("system") || s.v.kids == nil:
	case len(l.site.Systems) == 1:
		e.System = l.site.Systems[0].ID
		s.assume("system", e.System, basisOnlySystem)
	default:
		s.v.node.Fault("system is missing", "one of "+some(l.systems.ids), "")
	}
}

// readReheats: what broke does not heat; what is left has to hold the system.
func (l *loader) readReheats(s scope, e *Event) {
	switch {
	case s.has("reheats"):
		e.Reheats = s.v.get("reheats").yes
	default:
		word, why := "no", ""
		if e.Reheats, why = l.reheats(e); e.Reheats {
			word = "yes"
		}
		s.assume("reheats", word, why)
	}
}

// reheats is what the event's system does by itself.
func (l *loader) reheats(e *Event) (yes bool, why string) {
	if i, ok := l.systems.at[e.System]; ok {
		return l.site.Systems[i].Reheats(e.Playbook == HeaterBreak)
	}
	return e.Playbook != HeaterBreak, HeatersWork // a fault of the file, told elsewhere
}

// HeaterBreak is the playbook of the one event in which a heater is what failed.
const HeaterBreak = "heater-break"

// checkPlaybook takes a keeper's own checklist, but not a slip of the pen.
func (l *loader) checkPlaybook(s scope, playbook string) {
	known := Playbooks()
	for _, p := range known {
		if p == playbook {
			return
		}
	}
	if near, ok := refs.Nearest(playbook, known); ok {
		s.fault("playbook", "there is no playbook "+yamlwalk.Quote(playbook), "allowed: "+fmt.Sprint(some(known))+", or one of your own with another name", refs.DidYouMean(near))
		return
	}
	s.note("", "playbook %s is not one of this tool's: its sheet must come from you", yamlwalk.Quote(playbook))
}

func (l *loader) readContaminant(s scope, e *Event) {
	if s.sound("contaminant") {
		e.Contaminant = l.substance(s.node("contaminant"), s.word("contaminant"), false)
	}
	start, target := s.given("start"), s.given("target")
	e.StartUgL, e.StartUUgL, e.TargetUgL = start.Value, start.U, target.Value
	if start.Below {
		s.assume("start", amount(start.Value)+" ug/L", basisReportLimit)
	}
	if target.Below {
		s.fault("target", yamlwalk.Quote(s.node("target").Raw())+" is a reporting limit", "the concentration to reach, without the <", "write "+amount(target.Value)+" ug/L")
	}
	if s.sound("start") && s.sound("target") && !target.Below && start.Value <= target.Value {
		l.readNothingToRemove(s, e)
	}
}

// readNothingToRemove tells two numbers that stand in each other's place, which would be called
// covered, from a start that its ±, its reporting limit or a source takes above the target.
func (l *loader) readNothingToRemove(s scope, e *Event) {
	start, target := s.given("start"), s.given("target")
	switch {
	case start.Below || start.Value == 0 || start.Value == target.Value:
		s.note("", "the start is not above the target: nothing has to be removed")
	case start.Value+start.U <= target.Value && e.SourceMgH == 0:
		was, to := s.node("start").Raw(), s.node("target").Raw()
		s.fault("target", yamlwalk.Quote(to)+" is above the start, "+yamlwalk.Quote(was), "a target below the start, the level at its worst", "are the two swapped? Write start: "+to+", target: "+was)
	}
}

// readTogether reads which events must be survivable at once.
func (l *loader) readTogether(s scope) {
	ids := s.idsOf("events")
	if !s.has("events") {
		for _, e := range l.site.Events {
			ids = append(ids, e.ID)
		}
	}
	events := registerOf(ids)
	for _, set := range s.items("together") {
		var members []string
		seen := map[string]bool{}
		for _, v := range set.items {
			switch {
			case v.bad || !l.known(v.node, v.text, "event", events):
			case seen[v.text]:
				v.node.Fault(yamlwalk.Quote(v.text)+" stands in this list twice", "each event once", "")
			default:
				seen[v.text] = true
				members = append(members, v.text)
			}
		}
		l.site.Together = append(l.site.Together, members)
	}
}

// judge adds what a keeper should know although it is no fault.
func (l *loader) judge(root scope) {
	var salt, pure float64
	for _, st := range l.site.Stores {
		if st.Holds == Saltwater {
			salt += float64(st.Usable())
		} else {
			pure += float64(st.Usable())
		}
	}
	r, show := l.site.Reserve, l.site.Units
	if float64(r.Saltwater) > salt {
		root.sub("reserve").sub("saltwater").note("", "the reserve is %s, all stores together hold %s that can be drawn: nothing is left to plan with", show.Volume(float64(r.Saltwater), units.Nearest), show.Volume(salt, units.Down))
	}
	if float64(r.Purified) > pure && pure > 0 {
		root.sub("reserve").sub("purified").note("", "the reserve is %s, all stores together hold %s that can be drawn: nothing is left to plan with", show.Volume(float64(r.Purified), units.Nearest), show.Volume(pure, units.Down))
	}
	if m := l.site.Mixing; m.EmergencyTimeH > m.TimeH {
		root.sub("mixing").note("", "the emergency mixing time is longer than the usual one")
	}
	if len(l.site.Salts) == 0 {
		root.assume("salts", "none", basisNothingStated)
	}
	if len(l.site.Routine) == 0 {
		root.assume("routine", "none", basisNothingStated)
	}
}
