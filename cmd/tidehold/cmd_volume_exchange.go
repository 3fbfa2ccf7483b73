package main

import (
	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"tidehold/refs/units"
	"tidehold/volumes"
)

// exchangeOptions are the flags of volume from-exchange.
type exchangeOptions struct {
	foundOptions
	salinityFlags
	removed, added, with, withTemp *quantityFlag
}

// salinityFlags are the readings of a test that moves the salinity of a system.
type salinityFlags struct {
	before, after, temp, offset *quantityFlag
}

func newSalinityFlags(fs *pflag.FlagSet) salinityFlags {
	return salinityFlags{
		before: quantity(fs, "before", units.Salinity, 0, 42, "salinity of the system before"),
		after:  quantity(fs, "after", units.Salinity, 0, 42, "salinity of the system after, mixed"),
		temp:   quantity(fs, "temp", units.Temperature, 0, 40, "temperature of the system"),
		offset: quantity(fs, "offset", units.SalinityStep, 0, 5, "uncertainty that both readings share because one instrument made them; it nearly cancels"),
	}
}

func newFromExchangeCmd(a *app) *cobra.Command {
	o := &exchangeOptions{}
	c := &cobra.Command{
		Use:   "from-exchange",
		Short: "net volume from an exchange with water of another salinity",
		Long: `Takes some water out of a mixed system, puts as much water of another salinity in,
and finds the volume of the system from the salinity before and after, by mass and
salt.

` + exitHelp,
		Example: `  tidehold volume from-exchange --removed 60L --before 35 --after 31.5 --with 0 --temp 25C
  tidehold volume from-exchange --removed 40±0.5L --before 35±0.1 --after 34.2±0.1 --with 20 --temp 25C --walls 640L±8%`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			if err := need(c.Flags(), "removed", "before", "after", "with", "temp"); err != nil {
				return err
			}
			return runFromExchange(a, o)
		},
	}
	fs := c.Flags()
	o.removed = quantity(fs, "removed", units.Volume, 0, 1e9, "water taken out")
	o.added = quantity(fs, "added", units.Volume, 0, 1e9, "water put in (default: as much as was taken out)")
	o.salinityFlags = newSalinityFlags(fs)
	o.with = quantity(fs, "with", units.Salinity, 0, 42, "salinity of the water put in; 0 for purified water")
	o.withTemp = quantity(fs, "with-temp", units.Temperature, 0, 40, "temperature of the water put in (default: that of the system)")
	o.declare(fs)
	return c
}

func runFromExchange(a *app, o *exchangeOptions) error {
	f, err := o.begin(a, "volume from-exchange", "Net volume from an exchange")
	if err != nil {
		return err
	}
	x := volumes.Exchange{RemovedL: o.removed.Measured(), Before: o.before.Measured(), After: o.after.Measured(), With: o.with.Measured(),
		Temperature: units.Celsius(o.temp.Value), WithTemperature: units.Celsius(o.withTemp.Or(o.temp.Value)), OffsetU: o.offset.Value}
	if o.added.Given {
		added := o.added.Measured()
		x.AddedL = &added
	}
	if !o.withTemp.Given {
		f.assume("temperature of the water put in", f.u.Temperature(o.temp.Value), "as the system's; otherwise give --with-temp")
	}
	f.readings(&x.Before, &x.After, &x.OffsetU, o.offset.Given)
	if x.RemovedL.U == 0 {
		f.assume("uncertainty of the water taken out", "none", "none was stated; write it as in --removed 60±0.5L")
	}
	e, err := volumes.FromExchange(x)
	if err != nil {
		return usage(err)
	}
	caution, err := f.caution(x, e.Volume, x.Before.Value, x.After.Value)
	if err != nil {
		return err
	}
	warm, err := f.temperatureCaution(x, e.Volume)
	if err != nil {
		return err
	}
	return f.finish(&o.foundOptions, e, append(caution, warm...),
		"How it is done: top-off and dosing off, everything running. Read the salinity. Take the water out, put the other water in slowly, "+
			"with its temperature near the system's. Let it mix for an hour, read again with the same instrument, then bring the salinity back.")
}

// readings fills the uncertainties of two readings by one instrument.
func (f *found) readings(before, after *units.Measured, offset *float64, offsetGiven bool) {
	if before.U > 0 || after.U > 0 {
		return
	}
	before.U, after.U = volumes.ScaleReading, volumes.ScaleReading
	f.assume("uncertainty of each salinity reading", "± 0.29", "a scale with a line for each 1, read to the nearest half [gum]; otherwise write it as in --before 35±0.1")
	if !offsetGiven {
		*offset = volumes.SharedOffset
		f.assume("error both readings share", "± 1", "published: hand refractometer [instrument-accuracy]; it nearly cancels; otherwise give --offset")
	}
}
