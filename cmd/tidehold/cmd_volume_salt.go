package main

import (
	"github.com/spf13/cobra"

	"tidehold/refs/units"
	"tidehold/volumes"
)

// saltTestOptions are the flags of volume from-salt.
type saltTestOptions struct {
	foundOptions
	salinityFlags
	added *quantityFlag
	salt  *saltFlags
}

func newFromSaltCmd(a *app) *cobra.Command {
	o := &saltTestOptions{}
	c := &cobra.Command{
		Use:   "from-salt",
		Short: "net volume from sea salt dissolved in the system",
		Long: `Dissolves a weighed amount of sea salt in a system and finds its volume from the
salinity before and after, by mass and salt. How much of the salt mix is salt comes
from its own dose.

` + exitHelp,
		Example: `  tidehold volume from-salt --added 0.6±0.01kg --before 34.2±0.1 --after 35±0.1 --temp 25C --dose 38.4g/L`,
		Args:    cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			if err := need(c.Flags(), "added", "before", "after", "temp"); err != nil {
				return err
			}
			return runFromSalt(a, o)
		},
	}
	fs := c.Flags()
	o.added = quantity(fs, "added", units.Mass, 0, 1e6, "salt mix dissolved, as weighed")
	o.salinityFlags = newSalinityFlags(fs)
	o.salt = newSaltFlags(fs)
	for _, name := range []string{"bag", "price"} {
		fs.Lookup(name).Hidden = true // of no use here
	}
	o.declare(fs)
	return c
}

func runFromSalt(a *app, o *saltTestOptions) error {
	f, err := o.begin(a, "volume from-salt", "Net volume from dissolved salt")
	if err != nil {
		return err
	}
	r := &mixRun{app: a}
	salt, err := o.salt.resolve(r)
	if err != nil {
		return err
	}
	if err := salt.need(); err != nil {
		return err
	}
	dry, err := salt.dose.DryFraction()
	if err != nil {
		return usage(err)
	}
	f.ans.Assumptions, f.ans.Warnings = r.ans.Assumptions, r.ans.Warnings
	d := volumes.SaltDose{MassKg: o.added.Measured(), DryFraction: dry, Before: o.before.Measured(), After: o.after.Measured(),
		Temperature: units.Celsius(o.temp.Value), OffsetU: o.offset.Value}
	f.readings(&d.Before, &d.After, &d.OffsetU, o.offset.Given)
	e, err := volumes.FromSalt(d)
	if err != nil {
		return usage(err)
	}
	caution, err := f.caution(d, e.Volume, d.Before.Value, d.After.Value)
	if err != nil {
		return err
	}
	return f.finish(&o.foundOptions, e, caution,
		"How it is done: top-off off, everything running. Read the salinity. Dissolve the salt in water taken from the system, pour it back slowly into strong flow, "+
			"never dry onto animals. Let it mix for an hour, then read again with the same instrument.")
}
