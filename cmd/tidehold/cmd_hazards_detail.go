package main

import (
	"fmt"
	"strings"

	"tidehold/refs/units"
	"tidehold/response/hazards"
)

// detail is everything: each failure with its water to undo and its sentence, what
// reaches no limit, what stands by, and what weighs on the floor.
func (v hazardView) detail() []block {
	blocks := []block{heading("Every way to go past a limit")}
	table := grid{Header: []string{"what", "fails", "limit", "after", "safe reservoir", "water to undo"}, Right: []int{3, 4, 5}}
	var sentences []block
	quiet := grid{Header: []string{"what", "fails", "why it is not above"}}
	for _, h := range v.Hazards {
		if h.Limit == "" {
			quiet.Rows = append(quiet.Rows, []string{hazardName(h), string(h.Failure), h.Detail})
			continue
		}
		table.Rows = append(table.Rows, []string{hazardName(h), string(h.Failure), limitName(h.Limit), v.after(h), v.reservoir(h), volumeOr(h.WaterToUndoL, v.units, "-")})
		sentences = append(sentences, para("%s, %s: %s%s.", hazardName(h), h.Failure, h.Detail, guardSentence(h)))
	}
	if len(table.Rows) > 0 {
		blocks = append(blocks, tableBlock(table), para("Water to undo is by dilution alone, with the volume as stated; ready also counts the ± and what new water brings."))
		blocks = append(blocks, sentences...)
	}
	if len(v.SharedCauses) > 0 {
		blocks = append(blocks, heading("Guards that fail together"), para("%s.", strings.Join(v.SharedCauses, "; ")))
	}
	if len(quiet.Rows) > 0 {
		blocks = append(blocks, heading("Reaches no limit, or cannot be computed yet"), tableBlock(quiet))
	}
	blocks = append(blocks, v.standby()...)
	return append(blocks, v.weights()...)
}

func hazardName(h hazards.Hazard) string {
	if h.System == h.Equipment {
		return h.System
	}
	return strings.TrimPrefix(h.System+" "+h.Equipment, " ")
}

func (v hazardView) reservoir(h hazards.Hazard) string {
	if h.SafeReservoirL == nil {
		return "-"
	}
	return v.units.Volume(*h.SafeReservoirL, units.Down)
}

// guardSentence names the guards that could stop the failure, and why those that do
// not count do not.
func guardSentence(h hazards.Hazard) string {
	if !h.Guardable {
		return ". No guard can stop it"
	}
	var counts, idle []string
	for _, l := range h.Guards {
		switch {
		case l.Counts:
			counts = append(counts, l.Kind)
		case l.Fits:
			idle = append(idle, l.Kind+" ("+l.Why+")")
		}
	}
	s := ""
	switch {
	case len(counts) == 0:
		s = ". No guard counts, two are wanted"
	case h.SinglePoint:
		s = ". Only " + listed(counts) + " counts, two are wanted"
	default:
		s = ". Guarded by " + listed(counts)
	}
	if len(idle) > 0 {
		s += "; does not count: " + strings.Join(idle, ", ")
	}
	return s
}

// standby is what takes over when the mains fail, and what it can run.
func (v hazardView) standby() []block {
	var blocks []block
	if len(v.Batteries) > 0 {
		g := grid{Header: []string{"battery", "feeds", "lasts", "how"}, Right: []int{2}}
		for _, b := range v.Batteries {
			g.Rows = append(g.Rows, []string{b.System + " " + b.ID, strings.Join(b.Feeds, ", "), hoursLeft(b.Hours, "-"), b.Detail})
		}
		blocks = append(blocks, heading("Batteries"), tableBlock(g))
	}
	if len(v.Generators) > 0 {
		g := grid{Header: []string{"generator", "power", "connected", "runs at once", "lasts", "how"}, Right: []int{1, 2, 4}}
		for _, e := range v.Generators {
			g.Rows = append(g.Rows, []string{e.System + " " + e.ID, fmt.Sprintf("%.0f W", e.PowerW), fmt.Sprintf("%.0f W", e.LoadW), listed(e.Runs), hoursLeft(e.Hours, "unknown"), e.Detail})
		}
		blocks = append(blocks, heading("Generators"), tableBlock(g),
			para("DANGER: run a generator outdoors only, far from every opening: its exhaust kills. Never plug it into a wall outlet."))
	}
	if len(v.Dosers) > 0 {
		blocks = append(blocks, heading("Dosing bottles"))
		for _, d := range v.Dosers {
			blocks = append(blocks, para("%s.", doseWords(d)))
		}
	}
	return blocks
}

// weights are what is too heavy for a usual floor, and the usual cautions.
func (v hazardView) weights() []block {
	g := grid{Header: []string{"what", "weighs at least", "over what it stands on"}, Right: []int{1, 2}}
	caution := ""
	for _, l := range v.Floor {
		if l.Caution != "" {
			g.Rows = append(g.Rows, []string{loadName(l), v.units.Mass(l.MassKg, units.Up), v.units.PerArea(l.KgPerM2)})
			caution = l.Caution
		}
	}
	var blocks []block
	if caution != "" {
		blocks = append(blocks, heading("Heavier than a dwelling's floor is designed for"), tableBlock(g), para("WARNING: %s.", caution))
	}
	return append(blocks, para("WARNING: treat every device in or over the water as live until its supply is off; wiring and guards are a licensed electrician's work, and local codes come first."))
}
