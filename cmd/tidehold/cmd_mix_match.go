package main

import (
	"github.com/spf13/cobra"

	"tidehold/refs/units"
	"tidehold/salinity/mixing"
)

// matchOptions is what mix match was asked: two waters, or a system to be moved.
type matchOptions struct {
	volume, salinity *quantityFlag
	first, second    string
	store            *string
	shift            *shiftFlags
}

// matchResult is how much of each of two waters.
type matchResult struct {
	mixing.Pairing
	Marks []fillMark `json:"fill_marks"`
}

func newMixMatchCmd(a *app) *cobra.Command {
	o := &matchOptions{}
	c := &cobra.Command{
		Use:   "match (--volume <volume> --salinity <salinity> --first <water> --second <water> | --system-volume <volume> --from <salinity> --to <salinity> --temp <temperature> --change <volume or share>)",
		Short: "two waters for a salinity; or what new water moves a system to another salinity",
		Long: `Two questions about reaching a salinity by mixing.

Two waters: how much of each makes a volume at a salinity, and is there enough?

A system with animals: what must the new water be, step by step, to bring it from
one salinity to another by changes of water, how many steps do the limits per step
and per day ask for, and is there one new water that does for all of them?

` + exitHelp + ` No: not enough water on hand; more than the limits allow.`,
		Example: `  tidehold mix match --volume 200L --salinity 35 --first 150L,38,24C --second 100L,0,18C
  tidehold mix match --system-volume 640L --from 32 --to 35 --temp 25C --change 20% --every 12h --step-limit 1 --day-limit 2`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			if o.shift.asked(c.Flags()) {
				return runMixShift(a, c, o)
			}
			return runMixMatch(a, c, o)
		},
	}
	fs := c.Flags()
	o.volume = quantity(fs, "volume", units.Volume, 0, 1e9, "volume wanted of the two waters together")
	o.salinity = quantity(fs, "salinity", units.Salinity, 0, 1000, "practical salinity wanted")
	fs.StringVar(&o.first, "first", "", "the first `water`: volume on hand,salinity,temperature")
	fs.StringVar(&o.second, "second", "", "the second `water`")
	o.store = storeFlag(fs)
	o.shift = newShiftFlags(fs)
	return c
}

func runMixMatch(a *app, c *cobra.Command, o *matchOptions) error {
	if err := need(c.Flags(), "volume", "salinity", "first", "second"); err != nil {
		return err
	}
	r, err := a.begin("match", "Two waters for a salinity", *o.store)
	if err != nil {
		return err
	}
	first, err := mixing.ParseWater(o.first)
	if err != nil {
		return usagef("--first: %w", err)
	}
	second, err := mixing.ParseWater(o.second)
	if err != nil {
		return usagef("--second: %w", err)
	}
	if err := r.fits("--volume", units.Litres(o.volume.Value)); err != nil {
		return err
	}
	r.warnSpread(c.Flags())
	p, err := mixing.Match(units.Litres(o.volume.Value), units.Practical(o.salinity.Value), first, second)
	if err != nil {
		return usagef("--salinity: %w", err)
	}
	res := matchResult{Pairing: p}
	one, full := r.mark("first water in", p.First), r.mark("both in", p.Volume)
	res.Marks = r.marks(one, full)
	r.ans.No = !p.Enough
	if p.Enough {
		r.do("Put in %s of the first water%s.", r.poured(p.First, units.Nearest), r.upTo(one))
		r.do("Add %s of the second%s, with the pump running.", r.poured(p.Second, units.Nearest), r.upTo(full))
		r.do("Measure: it should read salinity %s at %s.", salinityText(p.Salinity), r.sys.Temperature(float64(p.Temperature)))
	}
	return r.finish(res, r.matchBlocks(first, second, res)...)
}

func (r *mixRun) matchBlocks(first, second mixing.Water, res matchResult) []block {
	verdict := para("%s and %s make %s.",
		r.part(first, res.First), r.part(second, res.Second),
		r.waterLine(mixing.Water{Volume: res.Volume, Salinity: res.Salinity, Temperature: res.Temperature}))
	g := grid{Header: []string{"water", "salinity", "temperature", "on hand", "needed"}, Right: []int{1, 2, 3, 4}}
	for _, w := range []struct {
		name string
		mixing.Water
		needed units.Litres
	}{{"first", first, res.First}, {"second", second, res.Second}} {
		g.Rows = append(g.Rows, []string{w.name, salinityText(w.Salinity), r.sys.Temperature(float64(w.Temperature)),
			r.sys.Volume(float64(w.Volume), units.Down), r.poured(w.needed, units.Nearest)})
	}
	blocks := []block{verdict, tableBlock(g)}
	if !res.Enough {
		blocks = append(blocks, para("Not enough on hand: they make %s at most.", r.sys.Volume(float64(res.Most), units.Down)))
	}
	return append(blocks, r.markBlocks(res.Marks)...)
}

// part names a share of a water by its salinity.
func (r *mixRun) part(w mixing.Water, v units.Litres) string {
	return r.poured(v, units.Nearest) + " of salinity " + salinityText(w.Salinity)
}
