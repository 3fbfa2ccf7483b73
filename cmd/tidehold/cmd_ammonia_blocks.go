package main

import (
	"tidehold/refs/units"
	"tidehold/salinity"
)

// no is the answer: the water, or what the change makes of it, is above the four-day
// criterion, or the change makes it worse.
func (r ammoniaResult) no() bool {
	_, high := judgedNH3(r.Ammonia)
	if r.After == nil {
		return high
	}
	_, highAfter := judgedNH3(r.After.Ammonia)
	return high || highAfter || *r.Rises
}

// judgedNH3 is the figure that stands beside the criteria: by their own formula where
// it reaches, else by the seawater constants.
func judgedNH3(a salinity.Ammonia) (mg float64, aboveChronic bool) {
	if a.Criteria != nil {
		return a.Criteria.NH3, a.Criteria.AboveChronic
	}
	return a.NH3, a.NH3 > salinity.AmmoniaChronic
}

// ammoniaBlocks says the answer first, then each water with the same digits.
func ammoniaBlocks(o *ammoniaOptions, res ammoniaResult) []block {
	blocks := []block{para("%s", ammoniaHeadline(res.Ammonia))}
	if res.After != nil {
		blocks = append(blocks, afterBlocks(o, res)...)
	}
	return append(blocks, tableBlock(ammoniaTable(res)),
		para("The criteria are those of US EPA 440/5-88-004 (1989), for wild waters, by their own formula; none is a limit for captive animals."))
}

// formulaBlocks are the detail: every published constant.
func formulaBlocks(res ammoniaResult) []block {
	g := grid{Title: "The same total by every published formula", Header: []string{"formula", "pH scale", "un-ionised share", "as NH3"}, Right: []int{2, 3}}
	for _, alt := range res.Alternatives {
		g.Rows = append(g.Rows, []string{string(alt.Method), alt.PHScale, units.Percent(alt.Fraction, 2), milligrams(alt.NH3)})
	}
	blocks := []block{tableBlock(g)}
	for _, w := range res.LeftOut {
		blocks = append(blocks, para("%s.", w))
	}
	return blocks
}

// ammoniaHeadline is the verdict on the water as it is.
func ammoniaHeadline(a salinity.Ammonia) string {
	head := "Un-ionised ammonia is " + milligrams(a.NH3) + " as NH3: " + units.Percent(a.Fraction, 1) + " of the total at pH " + units.Fixed(a.PH, 2) + "."
	judged, high := judgedNH3(a)
	by := "By the criteria's own formula it is " + milligrams(judged) + ": "
	if a.Criteria == nil {
		by = "The criteria's own formula does not reach this water; as it stands it is "
	}
	switch {
	case judged > salinity.AmmoniaAcute:
		return "TOO HIGH. " + head + " " + by + "ABOVE the criterion for one hour, " + milligrams(salinity.AmmoniaAcute) + "."
	case high:
		return "TOO HIGH. " + head + " " + by + "ABOVE the criterion for four days, " + milligrams(salinity.AmmoniaChronic) + "."
	case a.NH3 > salinity.AmmoniaChronic:
		return head + " " + by + "not above the criterion for four days, " + milligrams(salinity.AmmoniaChronic) + ", but near: by the seawater constants it would be above. Test again within hours."
	}
	return head + " " + by + "not above the criterion for four days, " + milligrams(salinity.AmmoniaChronic) + "."
}

// afterBlocks tell what the change does, and the worst that it could.
func afterBlocks(o *ammoniaOptions, res ammoniaResult) []block {
	verdict := "That is less than now."
	if *res.Rises {
		verdict = "That is MORE than now: do not do this change as it is. Bring the new water nearer to the pH and temperature of the old, or change less at a time."
		if p := res.After.HelpfulPH; p != nil {
			verdict += " Water of pH " + units.Fixed(units.Down.To(*p, 0.01), 2) + " or lower would help."
		}
	}
	at := "at pH " + units.Fixed(res.After.PH, 2) + " of the mixture"
	if !res.After.PHComputed {
		at = "at pH " + units.Fixed(res.After.PH, 2) + ", the higher of the two"
	}
	blocks := []block{para("After changing %s: %s as NH3 %s. %s", units.Percent(o.change.Value, 0), milligrams(res.After.NH3), at, verdict)}
	if !res.After.PHComputed {
		return append(blocks, para("The pH of the mixture cannot be worked out: %v.", res.After.outside))
	}
	if res.After.WorstPH > res.PH {
		blocks = append(blocks, line("At worst, at the higher pH of %s, it would be %s. Air brings the new water to the pH of the room's own carbon dioxide, not to the tank's.",
			units.Fixed(res.After.WorstPH, 2), milligrams(res.After.WorstNH3)))
	}
	return blocks
}

// ammoniaTable sets each water beside the criteria.
func ammoniaTable(res ammoniaResult) grid {
	g := grid{Header: []string{"", "pH", "total, as N", "NH3", "by the criteria", "1 h: " + milligrams(salinity.AmmoniaAcute), "4 d: " + milligrams(salinity.AmmoniaChronic)}, Right: []int{1, 2, 3, 4}}
	row := func(name string, a salinity.Ammonia) {
		by, hour, days := "-", "-", "-"
		if c := a.Criteria; c != nil {
			by, hour, days = milligrams(c.NH3), aboveOrBelow(c.AboveAcute), aboveOrBelow(c.AboveChronic)
		}
		g.Rows = append(g.Rows, []string{name, units.Fixed(a.PH, 2), milligrams(a.TotalN), milligrams(a.NH3), by, hour, days})
	}
	row("now", res.Ammonia)
	if res.After != nil {
		row("after", res.After.Ammonia)
		if res.After.PHComputed && res.After.WorstPH > res.After.PH {
			row("at worst", res.After.worst)
		}
	}
	return g
}
