package main

import (
	"github.com/spf13/cobra"

	"tidehold/refs/units"
	"tidehold/volumes"
)

// doseOptions are the flags of volume from-dose.
type doseOptions struct {
	foundOptions
	mass, in      *quantityFlag
	before, after *quantityFlag
}

func newFromDoseCmd(a *app) *cobra.Command {
	o := &doseOptions{}
	c := &cobra.Command{
		Use:   "from-dose",
		Short: "net volume from a known mass of something that stays in the water",
		Long: `Doses a known mass of something that neither decays, is eaten, nor sticks to rock
and filters, and finds the volume of the system from its concentration before and
after.

` + exitHelp,
		Example: `  tidehold volume from-dose --mass 6.4g --before 0mg/L --after 10.4±0.3mg/L
  tidehold volume from-dose --mass 6.4±0.05g --in 1L --before 2±0.1mg/L --after 12.1±0.3mg/L --walls 640L±8%`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			if err := need(c.Flags(), "mass", "before", "after"); err != nil {
				return err
			}
			return runFromDose(a, o)
		},
	}
	fs := c.Flags()
	o.mass = quantity(fs, "mass", units.Mass, 0, 1e6, "mass dosed, of what the test kit measures")
	o.in = quantity(fs, "in", units.Volume, 0, 1e9, "volume of the solution it was dosed in (default: none)")
	o.before = quantity(fs, "before", units.Concentration, 0, 1e9, "concentration in the system before")
	o.after = quantity(fs, "after", units.Concentration, 0, 1e9, "concentration in the system after, mixed")
	o.declare(fs)
	return c
}

func runFromDose(a *app, o *doseOptions) error {
	for _, q := range []struct {
		name string
		flag *quantityFlag
	}{{"before", o.before}, {"after", o.after}} {
		if q.flag.Below {
			return usagef("--%s: %q is below the reporting limit, so it cannot be subtracted; use a method that sees it, or dose more", q.name, q.flag.Text)
		}
	}
	f, err := o.begin(a, "volume from-dose", "Net volume from a dose")
	if err != nil {
		return err
	}
	e, err := volumes.FromDose(volumes.Dose{MassMg: o.mass.Measured().Times(units.MgPerKg), BeforeMgL: o.before.Measured().Times(1 / units.UgPerMg), AfterMgL: o.after.Measured().Times(1 / units.UgPerMg), InL: o.in.Measured()})
	if err != nil {
		return usage(err)
	}
	for _, q := range []struct {
		what string
		flag *quantityFlag
	}{{"mass dosed", o.mass}, {"concentration before", o.before}, {"concentration after", o.after}} {
		if q.flag.U == 0 {
			f.assume("uncertainty of "+q.what, "none", "none was stated; write it with ±")
		}
	}
	return f.finish(&o.foundOptions, e, []block{para("CAUTION: dose nothing that can harm at the strength it reaches, counting what is there already; " +
		"if you cannot say what that is, use an exchange instead (volume from-exchange).")},
		"How it is done: carbon, skimmer and other removal off, everything running. Measure. Dose over several minutes into strong flow. "+
			"Let it mix for an hour, measure again by the same method, then put the filters back on.")
}
