package main

import (
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"tidehold/refs/units"
	"tidehold/response/incident"
	"tidehold/volumes/stock"
)

// readingFlags are what instruments show.
type readingFlags struct {
	set                                 *pflag.FlagSet
	temp, sal, ph, alk, oxygen, ammonia *quantityFlag
}

func newReadingFlags(fs *pflag.FlagSet) *readingFlags {
	return &readingFlags{
		set:     fs,
		temp:    quantity(fs, "temp", units.Temperature, 0, 40, "temperature"),
		sal:     quantity(fs, "salinity", units.Salinity, 0, 42, "salinity"),
		ph:      quantity(fs, "ph", units.Number, 0, 14, "pH"),
		alk:     quantity(fs, "alkalinity", units.Alkalinity, 0, 100, "alkalinity"),
		oxygen:  quantity(fs, "oxygen", units.Concentration, 0, 50_000, "dissolved oxygen"),
		ammonia: quantity(fs, "ammonia", units.Concentration, 0, 1e9, "total ammonia, as nitrogen"),
	}
}

// entry is the reading as an entry of the journal.
func (r *readingFlags) entry(d incident.Draft) (stock.Entry, error) {
	var v incident.Values
	given := false
	for _, q := range []struct {
		flag *quantityFlag
		per  float64
		to   **float64
	}{{r.temp, 1, &v.TempC}, {r.sal, 1, &v.Salinity}, {r.ph, 1, &v.PH}, {r.alk, 1, &v.AlkalinityDKH}, {r.oxygen, units.UgPerMg, &v.OxygenMgL}} {
		if q.flag.Given {
			x := q.flag.Value / q.per
			*q.to, given = &x, true
		}
	}
	var list []incident.Measured
	if r.ammonia.Given {
		list, given = []incident.Measured{{Contaminant: "ammonia_total", UgL: r.ammonia.Value, U: r.ammonia.U, Below: r.ammonia.Below}}, true
	}
	if !given {
		return stock.Entry{}, usagef("nothing was read; give at least one of --temp, --salinity, --ph, --alkalinity, --oxygen, --ammonia")
	}
	return d.Reading(v, list)
}

func newIncidentReadingCmd(a *app, f *incidentFlags) *cobra.Command {
	c := &cobra.Command{
		Use:   "reading",
		Short: "enter what the instruments show in the system",
		Long: `Enters what thermometer, refractometer and test kits show in the system. The state
and the plan go on from there. An ammonia reading counts as a result too.

` + exitHelp,
		Example: "  tidehold incident reading --temp 24.7C --salinity 34.9\n  tidehold incident reading --ph 8.1 --ammonia 0.5mg/L",
		Args:    cobra.NoArgs,
	}
	r := newReadingFlags(c.Flags())
	c.RunE = func(*cobra.Command, []string) error {
		return a.enterIncident(f, time.Time{}, func(_ loaded, d incident.Draft) (stock.Entry, error) { return r.entry(d) })
	}
	return c
}
