package main

import (
	"math"
	"strings"

	"github.com/spf13/cobra"

	"tidehold/refs/units"
	"tidehold/response/figure"
	"tidehold/volumes"
)

func newVolumeChartCmd(a *app) *cobra.Command {
	var step *quantityFlag
	c := &cobra.Command{
		Use:   "chart <store>",
		Short: "a dip chart of a vat, to print and laminate",
		Long: `What a dipstick in a store means: the volume at every step, all there is and what
the pump can reach, with what is left at the bottom and the brim marked. With
--format html it is a page to print and laminate, with a strip to scale to tape on
the stick.

` + exitHelp,
		Example: `  tidehold volume chart vat-a --demo
  tidehold volume chart vat-a --demo --units us --step 1in --format html`,
		Args:              cobra.ExactArgs(1),
		ValidArgsFunction: a.completeIDs(storeIDs),
		RunE:              func(_ *cobra.Command, args []string) error { return runChart(a, args[0], step) },
	}
	step = quantity(c.Flags(), "step", units.Length, 0.1, 1000, "from one line to the next (default 5 cm, or 2 in)")
	return c
}

// chartResult is a dip chart.
type chartResult struct {
	Store     string     `json:"store"`
	HeelL     float64    `json:"heel_l"`
	CapacityL float64    `json:"capacity_l"`
	Rows      []chartRow `json:"rows"`
}

type chartRow struct {
	LevelCm float64           `json:"level_cm"`
	VolumeL float64           `json:"volume_l"`
	UsableL float64           `json:"usable_l"`
	Mark    volumes.ChartMark `json:"mark"`
}

func runChart(a *app, id string, step *quantityFlag) error {
	ls, err := a.loadSite()
	if err != nil {
		return err
	}
	store, err := findStore(ls.Site, "", id)
	if err != nil {
		return err
	}
	if store.Shape == nil {
		return usagef("%s has a capacity but no shape in the site file, and a chart needs one; "+
			"fill it from a bucket of known volume, note the levels, and give them as shape: {strapping: [[level, volume], …]}", store.ID)
	}
	u := a.displayUnits(ls.Site.Units)
	stepCm := step.Or(5)
	if u == units.US {
		stepCm = step.Or(2 * u.CmPer())
	}
	brim, err := store.Shape.LevelOf(min(store.Capacity, store.Shape.Full()))
	if err != nil {
		return usage(err)
	}
	rows, err := volumes.Chart(store.Shape, stepCm, store.Heel, brim)
	if err != nil {
		return usagef("%s: %w", store.ID, err)
	}
	res := chartResult{Store: store.ID, HeelL: float64(store.Heel), CapacityL: float64(store.Capacity)}
	for _, r := range rows {
		res.Rows = append(res.Rows, chartRow{r.LevelCm, float64(r.Volume), float64(r.Usable), r.Mark})
	}
	return a.print(answer{Command: "volume chart", Table: "rows", Title: "Dip chart: " + store.ID + ", " + ls.Title(), Result: res,
		Blocks: chartBlocks(res, u), More: stripBlocks(res, u)})
}

// markWord is a mark in words.
func markWord(mark volumes.ChartMark) string {
	if mark == volumes.MarkHeel {
		return "BOTTOM"
	}
	return strings.ToUpper(string(mark))
}

// markTo is how the volume at a mark is rounded: what is left at the bottom up, so that it
// is the same in the table and below it; all else down, since it must be there.
func markTo(mark volumes.ChartMark) units.Rounding {
	if mark == volumes.MarkHeel {
		return units.Up
	}
	return units.Down
}

// stripBlocks are the chart as a strip to scale, to tape on the stick: a page prints it,
// a terminal cannot.
func stripBlocks(r chartResult, u units.System) []block {
	s := figure.Strip{Head: figure.Head{ID: "strip", Title: "Dip strip of " + r.Store, Description: "The same volumes as in the table, as a strip to scale."}, Name: r.Store}
	volume := chartVolume(r, u)
	for _, row := range r.Rows {
		s.TopCm = max(s.TopCm, row.LevelCm)
		text := volume(row.VolumeL, markTo(row.Mark))
		if row.Mark != "" {
			text += " " + markWord(row.Mark)
		}
		s.Marks = append(s.Marks, figure.StripMark{Cm: row.LevelCm, Text: text, Strong: row.Mark != ""})
	}
	pages, err := s.Pages()
	if err != nil {
		return nil // the table has it all
	}
	out := []block{heading("To tape on the stick"), para("Print at 100 %% and check the line of 100 mm. Cut the pieces out, join them foot to top on the stick, piece 1 at its lower end, and laminate.")}
	for _, p := range pages {
		out = append(out, picture(p, ""))
	}
	return out
}

// chartVolume prints the volumes of a chart with as many decimals as that of the whole
// vessel has; gallons with one at least, since a whole one is too coarse for a bottom.
func chartVolume(r chartResult, u units.System) func(l float64, to units.Rounding) string {
	whole, _, _ := strings.Cut(u.Volume(r.CapacityL, units.Down), " ")
	_, after, _ := strings.Cut(whole, ".")
	decimals := len(after)
	if u == units.US {
		decimals = max(decimals, 1)
	}
	return func(l float64, to units.Rounding) string {
		x, unit := u.VolumeIn(l)
		return units.Fixed(to.To(x, math.Pow10(-decimals)), decimals) + " " + unit
	}
}

// chartBlocks prints volumes rounded down: what a stick shows must be there. The
// mark of the heel is rounded up and that of the brim down, to the safe side.
func chartBlocks(r chartResult, u units.System) []block {
	perUnit := u.CmPer()
	_, unit := u.LengthIn(0)
	volume := chartVolume(r, u)
	g := grid{Header: []string{"level (" + unit + ")", "volume", "above the bottom", "mark"}, Right: []int{0, 1, 2}}
	for _, row := range r.Rows {
		to := units.Nearest
		if row.Mark != "" {
			to = markTo(row.Mark)
		}
		level := to.To(row.LevelCm/perUnit, 0.1)
		g.Rows = append(g.Rows, []string{units.Fixed(level, 1), volume(row.VolumeL, markTo(row.Mark)), volume(row.UsableL, units.Down), markWord(row.Mark)})
	}
	blocks := []block{tableBlock(g)}
	if r.HeelL > 0 {
		blocks = append(blocks, para("BOTTOM: below this mark the pump draws air; %s are left at the bottom. BRIM: fill no higher.", volume(r.HeelL, units.Up)))
	} else {
		blocks = append(blocks, para("BRIM: fill no higher. The site file gives nothing that is left at the bottom (heel): all of it counts as within the pump's reach."))
	}
	return append(blocks, para("Stand the stick upright on the lowest point of the floor, with the water still. Rinse it in purified water before it goes into another vat."))
}
