package main

import (
	"fmt"
	"slices"
	"strings"

	"tidehold/refs/units"
	"tidehold/response/hazards"
	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// hazardView shows the hazards of a site.
type hazardView struct {
	hazards.Result
	site  *site.Site
	kinds map[string]site.EquipmentKind
	units units.System
	// only is the system that was asked for; "": all.
	only string
}

// The verdict, the table's head, what is between, the assumptions and the next command
// take nine lines of a screen.
const (
	hazardFrame   = 9
	fewestHazards = 6
)

// room is how many rows of the table a screen has left beside the remarks and the
// warnings; the rest is --all's.
func room(remarks []block, warnings []string) int {
	n := screenLines - hazardFrame
	for _, r := range remarks {
		n -= linesOf(r.Text)
	}
	for _, w := range warnings[:min(len(warnings), mostWarnings)] {
		n -= linesOf("! " + w)
	}
	if len(warnings) > 0 {
		n -= 2
	}
	return max(n, fewestHazards)
}

// closestRoom is how many rows a screen set close has left beside the verdict, the remarks and a line that counts
// the warnings.
func closestRoom(verdict string, remarks []block) int {
	const headMoreWarningsAssumedNext = 7
	n := screenLines - headMoreWarningsAssumedNext - linesOf(verdict)
	for _, r := range remarks {
		n -= linesOf(r.Text)
	}
	return n
}

// deadly is how many rows, the worst first, harm people or kill within a day: no warning is shown in their place.
func deadly(rows []gatheredHazard) int {
	n := 0
	for _, r := range rows {
		if r.Harm == hazards.People || r.Harm == hazards.WithinADay {
			n++
		}
	}
	return n
}

// together is a list in which what is said of several systems in the same words is said once, of all of them.
func (v hazardView) together(warnings []string) []string {
	systems := map[string]bool{} // a file may hold thousands
	for i := range v.site.Systems {
		systems[v.site.Systems[i].ID] = true
	}
	var tails []string
	of := map[string][]string{}
	for _, w := range warnings {
		id, tail, ok := strings.Cut(w, ": ")
		if !ok || !systems[id] {
			id, tail = "", w
		}
		if of[tail] == nil {
			tails = append(tails, tail)
		}
		of[tail] = append(of[tail], id)
	}
	out := make([]string, 0, len(tails))
	for _, tail := range tails {
		if ids := of[tail]; ids[0] != "" {
			tail = listed(ids) + ": " + tail
		}
		out = append(out, tail)
	}
	return out
}

func linesOf(text string) int { return (len([]rune(text)) + screenColumns - 1) / screenColumns }

// answer is the verdict, the worst rows, and what else a keeper has to know tonight.
func (v hazardView) answer(warnings []string) []block {
	rows, remarks := v.gathered(), v.remarks()
	most := max(room(remarks, warnings), min(deadly(rows), closestRoom(v.verdict(), remarks)))
	g := grid{Header: []string{"", "what goes wrong", "limit after", "ends at", "guards"}, Right: []int{2, 3}}
	last := ""
	for i, row := range rows {
		if i == most {
			break
		}
		group := harmWord(row.Harm)
		shown := group
		if group == last {
			shown = ""
		}
		last = group
		g.Rows = append(g.Rows, []string{shown, v.sentence(row), v.after(row.Hazard), v.end(row.Hazard), guardsWord(row.Hazard)})
	}
	blocks := []block{para("%s", v.verdict())}
	if len(g.Rows) > 0 {
		blocks = append(blocks, tableBlock(g))
	}
	if more := len(rows) - most; more > 0 {
		blocks = append(blocks, onlyOnScreen(line("and %s: --all", counted(more, "more way")))...)
	}
	return append(blocks, remarks...)
}

// verdict counts what could go wrong by whom it harms.
func (v hazardView) verdict() string {
	n := map[hazards.Harm]int{}
	for _, h := range v.Hazards {
		n[h.Harm]++
	}
	var parts []string
	for _, p := range []struct {
		harm hazards.Harm
		one  string
		many string
	}{{hazards.People, "can harm people", "can harm people"}, {hazards.WithinADay, "kills within a day", "kill within a day"}, {hazards.Slow, "harms slowly", "harm slowly"}} {
		switch n[p.harm] {
		case 0:
		case 1:
			parts = append(parts, "1 "+p.one)
		default:
			parts = append(parts, fmt.Sprintf("%d %s", n[p.harm], p.many))
		}
	}
	if len(parts) == 0 {
		return "Of what the site file names, nothing can go past a limit while nobody looks."
	}
	return fmt.Sprintf("In %s unwatched: %s.", units.Hours(v.UnattendedH), listed(parts))
}

// gatheredHazard is a hazard that stands for several of its sort.
type gatheredHazard struct {
	hazards.Hazard
	sorts int
}

// gathered puts devices of one kind that fail in one way in one system on one row, by
// the worst of them; leaks on one row for the whole site.
func (v hazardView) gathered() []gatheredHazard {
	type sort struct {
		system  string
		kind    site.EquipmentKind
		failure hazards.Failure
		limit   plan.Limit
	}
	var out []gatheredHazard
	at := map[sort]int{}
	for _, h := range v.Hazards {
		if h.Limit == "" {
			continue
		}
		key := sort{h.System, v.kind(h), h.Failure, h.Limit}
		if h.Failure == hazards.Leak {
			key = sort{failure: hazards.Leak}
		}
		i, seen := at[key]
		if !seen || key.kind == "" && h.Failure != hazards.Leak {
			at[key] = len(out)
			out = append(out, gatheredHazard{h, 1})
			continue
		}
		out[i].sorts++
		if h.Failure == hazards.Leak && *h.Final > *out[i].Final || h.Failure != hazards.Leak && h.Counting() < out[i].Counting() {
			out[i].Hazard = h
		}
	}
	return out
}

// kind is the kind of the equipment that fails, "" for what is none.
func (v hazardView) kind(h hazards.Hazard) site.EquipmentKind {
	return v.kinds[h.System+"/"+h.Equipment]
}

// kindsOf are the kinds of all equipment by system/id.
func kindsOf(s *site.Site) map[string]site.EquipmentKind {
	out := map[string]site.EquipmentKind{}
	for _, sys := range s.Systems {
		for _, e := range sys.Equipment {
			out[sys.ID+"/"+e.ID] = e.Kind
		}
	}
	return out
}

// sentence says what fails, in a few words.
func (v hazardView) sentence(g gatheredHazard) string {
	h, who := g.Hazard, g.Equipment
	if g.sorts > 1 && h.Failure != hazards.Leak {
		who = string(v.kind(h))
	}
	switch {
	case h.Failure == hazards.Leak && g.sorts > 1:
		return "a tank or vat leaks"
	case h.Failure == hazards.Leak:
		return who + " leaks"
	case h.Failure == hazards.Outage:
		return h.System + " outage: " + outageOf(h.Limit)
	}
	if h.System != "" && len(v.site.Systems) > 1 {
		who = h.System + " " + who
	}
	return who + " " + failureWords[h.Failure]
}

// failureWords say how a part fails.
var failureWords = map[hazards.Failure]string{
	hazards.StuckOn: "stuck on", hazards.FailedOff: "stays off", hazards.BrokenOpen: "breaks", hazards.Overrun: "runs on",
	hazards.Overfill: "overfills", hazards.Overflow: "overflows", hazards.DrainBack: "runs over",
}

// outageOf says what a power cut does.
func outageOf(limit plan.Limit) string {
	switch limit {
	case plan.TemperatureLow:
		return "cold"
	case plan.TemperatureHigh:
		return "heat"
	}
	return "oxygen"
}

// harmWord names a harm in the first column.
func harmWord(h hazards.Harm) string {
	switch h {
	case hazards.People:
		return "PEOPLE"
	case hazards.WithinADay:
		return "A DAY"
	case hazards.Slow:
		return "SLOW"
	}
	return ""
}

// after is the time to the limit, rounded down.
func (v hazardView) after(h hazards.Hazard) string {
	if h.HoursToLimit != nil && *h.HoursToLimit < 1.0/60 {
		return "at once"
	}
	return hoursLeft(h.HoursToLimit, "unknown")
}

// guardsWord says what stands between a failure and the animals.
func guardsWord(h hazards.Hazard) string {
	if n := h.Counting(); n > 0 {
		return counted(n, "guard")
	}
	if !h.Guardable {
		return "none can"
	}
	for _, l := range h.Guards {
		switch {
		case !l.Fits:
		case l.Tested == "":
			return "untested"
		default:
			return "old test"
		}
	}
	return "NO GUARD"
}

// end prints where a hazard ends, as a bound where it is one.
func (v hazardView) end(h hazards.Hazard) string {
	if h.Limit == hazards.Metals {
		return "metals in it"
	}
	if h.Final == nil {
		return "unknown"
	}
	text := finalText(h, v.units)
	if h.FinalBound == "" {
		return text
	}
	return string(h.FinalBound) + " " + text
}

// finalText prints where a hazard ends in the units of display. A bound is rounded to
// the safe side: it stays a bound.
func finalText(h hazards.Hazard, u units.System) string {
	round := units.Nearest
	switch h.FinalBound {
	case hazards.AtMost:
		round = units.Up
	case hazards.AtLeast:
		round = units.Down
	}
	x := *h.Final
	switch h.FinalUnit {
	case hazards.Celsius:
		return u.TemperatureTo(x, round)
	case hazards.FloorL:
		return u.Volume(x, units.Up)
	case hazards.FloorLH:
		return u.Flow(x)
	case hazards.Practical:
		return units.Fixed(round.To(x, 0.1), 1) + " ppt"
	case hazards.OxygenMgL:
		return units.Fixed(round.To(x, 0.1), 1) + " mg/L"
	case hazards.DKH:
		return units.Fixed(round.To(x, 1), 0) + " dKH"
	}
	return units.Fixed(round.To(x, 1), 0) + " " + strings.Fields(string(h.FinalUnit))[0]
}

// remarks are what else counts tonight: dosing bottles, batteries, one cause of many
// guards, floors, and the usual cautions.
func (v hazardView) remarks() []block {
	var lines []string
	for i, d := range v.Dosers {
		if i == 2 {
			break
		}
		lines = append(lines, doseWords(d)+".")
	}
	for i, b := range v.Batteries {
		if b.Hours != nil && i < 2 {
			lines = append(lines, fmt.Sprintf("Battery %s runs %s for %s.", b.ID, listed(b.Feeds), hoursLeft(b.Hours, "")))
		}
	}
	if len(v.SharedCauses) > 0 {
		lines = append(lines, v.SharedCauses[0]+".")
	}
	if s := v.heavy(); s != "" {
		lines = append(lines, s)
	}
	if s := v.missing(); s != "" {
		lines = append(lines, s)
	}
	if s := v.bare(); s != "" {
		lines = append(lines, s)
	}
	if len(v.Generators) > 0 {
		lines = append(lines, "DANGER: a generator runs outdoors only; its exhaust kills. Never into a wall outlet.")
	}
	lines = append(lines, "WARNING: what is in the water is live until cut off. Wiring: an electrician.")
	out := make([]block, len(lines))
	for i, s := range lines {
		out[i] = block{Text: s, Tight: i > 0}
	}
	return out
}

// missing names the keys without which something could not be reckoned.
func (v hazardView) missing() string {
	var keys []string
	for _, h := range v.Hazards {
		for _, k := range h.Missing {
			if !slices.Contains(keys, k) {
				keys = append(keys, k)
			}
		}
	}
	if len(keys) == 0 {
		return ""
	}
	return fmt.Sprintf("Not all is reckoned yet; the site file does not say: %s.", listed(keys))
}

// bare names the systems of which the file has no device, so that nobody takes a short list for a safe house.
func (v hazardView) bare() string {
	var ids []string
	for _, sys := range v.site.Systems {
		if len(sys.Equipment) == 0 && (v.only == "" || v.only == sys.ID) {
			ids = append(ids, sys.ID)
		}
	}
	if n := len(ids); n > 3 {
		ids = append(ids[:2], fmt.Sprintf("%d more", n-2))
	}
	if len(ids) == 0 {
		return ""
	}
	return fmt.Sprintf("No heater, top-off or other equipment is named for %s: none is looked at.", listed(ids))
}

func doseWords(d hazards.DoseStep) string {
	unit := string(d.Unit)
	if d.Doses != site.Alkalinity {
		unit += " of " + string(d.Doses)
	}
	return fmt.Sprintf("100 mL missing from %s's bottle: %s %s more in %s", d.ID, units.Significant(d.Per100ML, 2), unit, d.System)
}

// heavy names what is too heavy for a usual floor.
func (v hazardView) heavy() string {
	n, worst := 0, hazards.Load{}
	for _, l := range v.Floor {
		if l.Caution == "" {
			continue
		}
		n++
		if l.KgPerM2 > worst.KgPerM2 {
			worst = l
		}
	}
	if n == 0 {
		return ""
	}
	return fmt.Sprintf("Floor: %s above a dwelling's usual load, %s the most (%s).", counted(n, "vessel"), loadName(worst), v.units.PerArea(worst.KgPerM2))
}

func loadName(l hazards.Load) string {
	if l.Store != "" {
		return l.Store
	}
	return strings.TrimSuffix(l.System+" "+l.Part, " ")
}

// next is the command to go on with.
func (v hazardView) next(o hazardOptions, all bool) string {
	s := "hazards --all"
	if all {
		s = "hazards --as-events"
	}
	if o.system != "" {
		s += " --system " + o.system
	}
	return s
}
