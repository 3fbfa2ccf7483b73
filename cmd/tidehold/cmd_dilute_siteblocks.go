package main

import (
	"fmt"
	"strings"
	"time"

	"tidehold/refs/units"
)

// blocks are the scheduled plan: the answer, the steps with clock times and stores,
// the batches, the fall, what each change does to the water, and what holds it back.
func (v *siteDilution) blocks() ([]block, error) {
	out := []block{para("%s", v.headline())}
	if len(v.Steps) == 0 {
		return append(out, v.otherWays()...), nil
	}
	out = append(out, para("%s", siteCaution), v.steps())
	if len(v.Batches) > 0 {
		out = append(out, v.batches())
	}
	fall, err := v.fall()
	if err != nil {
		return nil, err
	}
	out = append(append(out, fall...), v.effects())
	return append(out, v.otherWays()...), nil
}

// level prints µg/L, or the share left.
func (v *siteDilution) level(x float64) string {
	if v.aim().Share() {
		return units.Significant(100*x, 3) + " %"
	}
	return units.Dissolved(x)
}

// headline is the answer in a sentence or two.
func (v *siteDilution) headline() string {
	a, r := v.aim(), v.Aims[0]
	what := a.Contaminant
	goal := fmt.Sprintf("bring %s from %s to %s", what, v.level(a.Start), v.level(a.Target))
	if a.Share() {
		goal = fmt.Sprintf("take out %s of whatever is in %s", units.Percent(1-a.Target, 0), v.Demand.System.ID)
	}
	changes := fmt.Sprintf("%s with %s", counted(len(v.Steps), "change"), v.units.Volume(v.WaterL, units.Up))
	last := a.Start
	if n := len(v.Steps); n > 0 {
		last = v.Steps[n-1].Levels[0].After
	}
	switch {
	case len(v.Steps) == 0 && v.DoneAtH != nil:
		return fmt.Sprintf("0 changes: %s is already at or below %s. Nothing to do.", what, v.level(a.Target))
	case !v.Reachable:
		return fmt.Sprintf("No: to %s is out of reach; any number of changes leads to %s at best. Planned as far as it goes: %s, to %s.", goal, v.level(r.Floor), changes, v.level(last))
	case v.DoneAtH == nil && v.LackingL == nil:
		return fmt.Sprintf("No: the water this site has or can make never does, to %s. The best it can do is %s, to %s.", goal, changes, v.level(last))
	case v.DoneAtH == nil:
		return fmt.Sprintf("No: the water this site has or can make is %s short to %s. The best it can do is %s, to %s.", v.units.Volume(*v.LackingL, units.Up), goal, changes, v.level(last))
	}
	s := fmt.Sprintf("%s %s, done after %s", changes, goal, units.Hours(*v.DoneAtH))
	switch {
	case a.WithinH > 0 && r.InTime:
		s += fmt.Sprintf(", in time (%s allowed)", units.Hours(a.WithinH))
	case a.WithinH > 0:
		s += fmt.Sprintf(", LATE: %s allowed", units.Hours(a.WithinH))
	}
	return s + "."
}

// clock is the time of day at which an hour of the plan falls.
func (v *siteDilution) clock(h float64) string {
	return v.Now.Add(time.Duration(h * float64(time.Hour))).Format("2006-01-02 15:04")
}

func (v *siteDilution) steps() block {
	g := grid{Header: []string{"change", "start", "take out", "put in, from", "before", "after", "size set by"}, Right: []int{0, 2, 4, 5}}
	for _, s := range v.Steps {
		var from []string
		for _, d := range s.From {
			text := v.units.Volume(d.Litres, units.Nearest) + " " + drawnFrom(d)
			if d.Batch > 0 {
				text += fmt.Sprintf(", batch %d", d.Batch)
			}
			if d.Buckets {
				text += ", by bucket"
			}
			from = append(from, text)
		}
		g.Rows = append(g.Rows, []string{fmt.Sprint(s.N), v.clock(s.AtH), v.units.Volume(s.RemoveL, units.Nearest), strings.Join(from, "; "),
			v.level(s.Levels[0].Before), v.level(s.Levels[0].After), words(string(s.LimitedBy))})
	}
	return tableBlock(g)
}

func (v *siteDilution) batches() block {
	g := grid{Title: "Mix meanwhile", Header: []string{"batch", "in", "start", "usable", "makes", "purified water", "salt"}, Right: []int{0, 4, 5, 6}}
	for _, b := range v.Batches {
		g.Rows = append(g.Rows, []string{fmt.Sprint(b.N), b.StoreID, v.clock(b.StartH), v.clock(b.MixedH),
			v.units.Volume(b.Litres, units.Down), v.units.Volume(b.PurifiedL, units.Up), v.units.Mass(b.SaltKg, units.Up)})
	}
	return tableBlock(g)
}

// ammoniaID is total ammonia among the contaminants.
const ammoniaID = "ammonia_total"

// effects is what each change does to the system's own water.
func (v *siteDilution) effects() block {
	g := grid{Title: "What each change does to the water", Header: []string{"change", "full again", "salinity", "temperature", "alkalinity", "calcium", "magnesium"}, Right: []int{0, 2, 3, 4, 5, 6}}
	ammonia := v.aim().Contaminant == ammoniaID
	if ammonia {
		g.Header, g.Right = append(g.Header, "NH3-N"), append(g.Right, 7)
	}
	for _, s := range v.Steps {
		w := s.After
		row := []string{fmt.Sprint(s.N), v.clock(s.DoneH), units.Fixed(w.Salinity, 1), v.units.Temperature(w.Temperature),
			known(w.AlkalinityDKH, 1, "dKH"), known(w.CalciumMgL, 0, "mg/L"), known(w.MagnesiumMgL, 0, "mg/L")}
		if ammonia {
			n := known(s.Levels[0].UnionisedAfter, 1, "µg/L")
			if s.Levels[0].Rises {
				n += " RISES"
			}
			row = append(row, n)
		}
		g.Rows = append(g.Rows, row)
	}
	return tableBlock(g)
}

// known prints a value that may not be known.
func known(x *float64, decimals int, unit string) string {
	if x == nil {
		return "-"
	}
	return units.Fixed(*x, decimals) + " " + unit
}

// otherWays are the limit that binds, the slow exchange, and what would lower the
// floor.
func (v *siteDilution) otherWays() []block {
	var out []block
	if d := v.Binding.Detail; d != "" {
		out = append(out, para("What holds it back: %s. Loosening a limit is for you and your veterinarian to weigh.", words(d)))
	}
	if c := v.Continuous; c != nil {
		when := ""
		if within := v.aim().WithinH; v.late() && c.Hours <= within {
			when = ", and it is in time"
		}
		out = append(out, para("Another way: run %s of new water through, in and out alike, for %s (%s in all); the heaters keep up with that%s.", v.units.Flow(c.FlowLH), units.Hours(c.Hours), v.units.Volume(c.WaterL, units.Up), when))
	}
	for _, l := range v.free.Levers {
		out = append(out, para("Would lower the floor: %s, to %s.", l.What, v.level(l.Floor)))
	}
	if v.aim().Share() && len(v.Steps) > 0 {
		out = append(out, para(unmeasured))
	}
	return out
}
