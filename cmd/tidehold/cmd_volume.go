package main

import (
	"strings"

	"github.com/spf13/cobra"

	"tidehold/refs/gum"
	"tidehold/refs/units"
	"tidehold/volumes"
)

func newVolumeCmd(a *app) *cobra.Command {
	c := &cobra.Command{
		Use:   "volume",
		Short: "litres: of a shape up to a level, of a system by test, of a vat by dipstick",
		Long: `How much water there is: in a vessel of known shape up to a level, in a vat by its
dipstick, in a system by an exchange or a dose of something that stays in the
water. A volume from the label counts walls, rock and sand as water; every dose
and every change is then out by as much.

Lengths are inner ones unless --wall is given. Every value takes an uncertainty,
as in --length "120±0.5cm"; the answer then has one too.

` + exitHelp,
		Example: `  tidehold volume box --length 60cm --width 60cm --height 90cm --level 70cm
  tidehold volume from-exchange --removed 60L --before 35 --after 31.5 --with 0 --temp 25C`,
	}
	for _, k := range volumes.Kinds() {
		c.AddCommand(newShapeCmd(a, k))
	}
	c.AddCommand(newVolumeSystemCmd(a), newVolumeChartCmd(a), newFromExchangeCmd(a), newFromDoseCmd(a), newFromSaltCmd(a))
	return c
}

// tapeHint says what a reading to the nearest half centimetre or quarter inch is
// good to: a rectangular distribution, 2 · half-width/√3 ([gum], 4.3.7).
func tapeHint(u units.System) string {
	if u == units.US {
		return "A tape read to the nearest quarter inch is good to ± 0.15 in: write it as in --level 20±0.15in."
	}
	return "A tape read to the nearest half centimetre is good to ± 0.3 cm: write it as in --level 50±0.3cm."
}

// budgetBlocks says how sure a volume is and what makes it so.
func budgetBlocks(v, uncertainty float64, budget []contributionResult, u units.System) []block {
	g := grid{Header: []string{"what is uncertain", "alone it gives ±"}, Right: []int{1}}
	for _, c := range budget {
		g.Rows = append(g.Rows, []string{c.What, u.Volume(c.L, units.Up)})
	}
	return []block{
		para("%s ± %s, in about 95 of 100 cases. What makes most of it: %s.", u.Volume(v, units.Nearest), u.Volume(uncertainty, units.Up), budget[0].What),
		tableBlock(g),
	}
}

// contributionResult is one line of an uncertainty budget.
type contributionResult struct {
	What string  `json:"what"`
	L    float64 `json:"uncertainty_l"`
}

func contributions(budget []gum.Contribution) []contributionResult {
	out := make([]contributionResult, len(budget))
	for i, c := range budget {
		out[i] = contributionResult{strings.TrimSpace(c.What), c.U}
	}
	return out
}
