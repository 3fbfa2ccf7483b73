package main

import (
	"fmt"
	"strings"
	"time"

	"tidehold/refs/units"
	"tidehold/response/figure"
	"tidehold/volumes/site"
	"tidehold/volumes/stock"
)

// stockView shows what is on hand. It rounds down: what is on hand is never more than
// it says.
type stockView struct {
	stockResult
	site  *site.Site
	name  string
	now   time.Time
	units units.System
}

// answer is what can be used, store by store, and what is wrong with the kit.
func (v stockView) answer() []block {
	blocks := []block{para("%s, %s. For an event: %s.", v.name, moment(v.now), v.totals()), v.stores()}
	if s := v.kept(); s != "" {
		blocks = append(blocks, para("%s", s))
	}
	for _, s := range v.Salts {
		blocks = append(blocks, line("%s.", v.salt(s)))
	}
	if len(v.Kit) > 0 {
		blocks = append(blocks, line("%s", v.kit()))
	}
	return blocks
}

// totals is the water that counts, by kind.
func (v stockView) totals() string {
	var parts []string
	for _, t := range v.Totals {
		parts = append(parts, t.UsableL.down(v.units)+" of "+string(t.Holds)+" water")
	}
	return strings.ReplaceAll(listed(parts), "saltwater water", "saltwater")
}

func (v stockView) stores() block {
	g := grid{Header: []string{"store", "holds", "in it", "pump reaches", "salinity", "temp", "age", "state"}, Right: []int{2, 3, 4, 5, 6}}
	for _, s := range v.Stores {
		age := ageWords(s)
		g.Rows = append(g.Rows, []string{s.ID, string(s.Holds), s.VolumeL.down(v.units), s.UsableL.down(v.units), units.Fixed(s.Salinity, 1), v.units.Temperature(s.TempC), age, storeWords(s)})
	}
	return tableBlock(g)
}

// ageWords is how old the water is, whenever it was last tested.
func ageWords(s storeResult) string {
	switch {
	case s.MixedH != nil:
		return units.Hours(*s.MixedH)
	case s.Holds == site.Purified || s.TestedH != nil:
		return "-"
	}
	return "unknown"
}

// storeWords are the state of a store; one that counts by its last test and not by the
// age of its water is "tested".
func storeWords(s storeResult) string {
	if s.State == stock.Ready && s.TestedH != nil {
		return "tested"
	}
	if s.DatedAhead {
		return "date ahead"
	}
	return stateWords(s.State)
}

// stateWords are the states of a store as a keeper reads them.
func stateWords(s stock.State) string {
	switch s {
	case stock.OverAge:
		return "OVER AGE"
	case stock.AtHeel:
		return "EMPTY"
	case stock.Undated:
		return "no date"
	case stock.Mixing:
		return "being mixed"
	}
	return string(s)
}

// kept says what of the water does not count for an event, and why.
func (v stockView) kept() string {
	var parts []string
	for _, s := range v.Stores {
		if s.State == stock.OverAge {
			parts = append(parts, s.ID+" (over age)")
		}
	}
	for _, t := range v.Totals {
		if t.ReserveL.IsPositive() {
			parts = append(parts, "a reserve of "+t.ReserveL.down(v.units)+" "+string(t.Holds))
		}
	}
	if len(parts) == 0 {
		return ""
	}
	return "Not counted: what is left at the bottom, " + units.List(parts, "") + "."
}

func (v stockView) salt(s saltResult) string {
	text := fmt.Sprintf("Dry salt: %s of %s makes %s", v.units.Mass(s.OnHandKg.InexactFloat64(), units.Down), s.ID, v.units.Volume(s.MakesL, units.Down))
	if s.Vat != "" {
		text += fmt.Sprintf(" (%s fillings of %s)", units.Fixed(units.Down.To(s.Batches, 0.1), 1), s.Vat)
	}
	return text
}

// kit says what of it would fail.
func (v stockView) kit() string {
	var bad []string
	for _, k := range v.Kit {
		switch {
		case k.Have < k.Need:
			bad = append(bad, fmt.Sprintf("%s MISSING (%d of %d)", k.Item, k.Have, k.Need))
		case !k.OK:
			bad = append(bad, k.Item+" EXPIRED "+*k.Expires)
		}
	}
	if len(bad) == 0 {
		return fmt.Sprintf("Kit: all of %s there.", counted(len(v.Kit), "item"))
	}
	return fmt.Sprintf("Kit: %d of %s ready; %s.", len(v.Kit)-len(bad), counted(len(v.Kit), "item"), listed(bad))
}

// detail is the sums and the whole kit.
func (v stockView) detail() []block {
	totals := grid{Title: "For an event", Header: []string{"water", "in all", "usable", "kept in reserve"}, Right: []int{1, 2, 3}}
	for _, t := range v.Totals {
		totals.Rows = append(totals.Rows, []string{string(t.Holds), t.VolumeL.down(v.units), t.UsableL.down(v.units), t.ReserveL.down(v.units)})
	}
	out := []block{tableBlock(totals), para("Usable is all that the pump reaches and that is not over age, less the reserve.")}
	if len(v.Kit) == 0 {
		return out
	}
	g := grid{Title: "Kit", Header: []string{"item", "need", "have", "expires", "state"}, Right: []int{1, 2}}
	for _, k := range v.Kit {
		expires, state := "-", "ok"
		if k.Expires != nil {
			expires = *k.Expires
		}
		switch {
		case k.Have < k.Need:
			state = "MISSING"
		case !k.OK:
			state = "EXPIRED"
		}
		g.Rows = append(g.Rows, []string{k.Item, fmt.Sprint(k.Need), fmt.Sprint(k.Have), expires, state})
	}
	return append(out, tableBlock(g))
}

// mostDrawn is how many vats are drawn: more are a table's task.
const mostDrawn = 12

// picture draws the vats to scale.
func (v stockView) picture() []block {
	d := figure.Vats{Head: figure.Head{ID: "vats", Title: "Vats of " + v.name, Description: "Usable for an event: " + v.totals() + "."}, Units: v.units}
	for i := range v.site.Stores[:min(len(v.site.Stores), mostDrawn)] {
		d.List = append(d.List, vatOf(&v.site.Stores[i]))
	}
	if len(d.List) == 0 {
		return nil
	}
	return pictured(d)
}

// vatOf is a store as it is drawn.
func vatOf(s *site.Store) figure.Vat {
	now := units.Litres(s.Volume.InexactFloat64())
	v := figure.Vat{Name: s.ID, CapacityL: float64(s.Capacity), NowL: float64(now), BottomL: float64(s.Heel)}
	if v.CapacityL <= 0 {
		v.CapacityL = max(v.NowL, 1)
	}
	if s.Shape == nil {
		return v
	}
	v.HeightCm = s.Shape.HeightCm()
	for at, l := range map[*float64]units.Litres{&v.NowCm: now, &v.BottomCm: s.Heel, &v.BrimCm: s.Capacity} {
		if cm, err := s.Shape.LevelOf(min(l, s.Shape.Full())); err == nil {
			*at = cm
		}
	}
	return v
}
