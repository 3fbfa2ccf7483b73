package main

import (
	"math"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/response/assess"
	"tidehold/response/incident"
	"tidehold/volumes/stock"
)

func newIncidentResultCmd(a *app, f *incidentFlags) *cobra.Command {
	var sampled, report string
	c := &cobra.Command{
		Use:   "result <substance>=<value>",
		Short: "enter what was found in a sample, by hand or from a laboratory's file",
		Long: `Enters results: copper=12.2±1.5ug/L, or 'copper=<2ug/L' below the laboratory's limit,
in quotes: a shell takes a bare < for a file.
--sampled is when the sample was taken, which is what counts: a result may come days
later. --report reads a laboratory's own file as "assess" does.

` + exitHelp,
		Example: "  tidehold incident result copper=12.2±1.5ug/L --sampled 2026-11-25T09:00:00Z\n  tidehold incident result --report report.csv --sampled '2026-11-25 09:00'",
		Args:    cobra.ArbitraryArgs,
		RunE: func(_ *cobra.Command, args []string) error {
			if (len(args) == 0) == (report == "") {
				return usagef("give results, as in copper=12.2±1.5ug/L, or a laboratory's file with --report, and not both")
			}
			ls, err := a.loadSite()
			if err != nil {
				return err
			}
			var at time.Time
			if err := withHour(sampled); err != nil {
				return usagef("--sampled: %w", err)
			}
			if sampled != "" {
				if at, err = flagMoment("--sampled", sampled, ls.Now); err != nil {
					return err
				}
			}
			return a.enterIncident(f, at, func(ls loaded, d incident.Draft) (stock.Entry, error) {
				list, name, err := a.results(ls, d.Incident, args, report)
				if err != nil {
					return stock.Entry{}, err
				}
				return d.Result(list, name)
			})
		},
	}
	c.Flags().StringVar(&sampled, "sampled", "", "when the sample was taken, `TIME`: 03:00, 2026-11-25 03:00 or RFC 3339 (default: now)")
	c.Flags().StringVar(&report, "report", "", "a laboratory's `file`, as for assess")
	return c
}

// results reads results from arguments or from a laboratory's file, whose name it gives.
func (a *app) results(ls loaded, id int, args []string, report string) ([]incident.Measured, string, error) {
	if report != "" {
		list, err := a.reported(ls, id, report)
		return list, filepath.Base(report), err
	}
	var list []incident.Measured
	for _, text := range args {
		name, value, ok := strings.Cut(text, "=")
		if !ok {
			like := "copper=12.2±1.5ug/L"
			if strings.Contains(text, "<") {
				like = "'copper=<2ug/L'"
			}
			return nil, "", usagef("%q has no =; write it as in %s", text, like)
		}
		c, near, ok := refs.FindContaminant(name)
		if !ok {
			hint := ""
			if near != "" {
				hint = didYouMean(near)
			}
			return nil, "", usagef("%q is not a substance of the tables%s; see tidehold refs contaminants", name, hint)
		}
		q, err := units.Parse(value, units.Concentration)
		if err != nil {
			return nil, "", usagef("%s: %w", name, err)
		}
		if slices.ContainsFunc(list, func(m incident.Measured) bool { return m.Contaminant == c.ID }) {
			return nil, "", usagef("%s is given twice; two samples are two entries, each with its --sampled", c.ID)
		}
		list = append(list, incident.Measured{Contaminant: c.ID, UgL: q.Value, U: q.U, Below: q.Below})
	}
	return list, "", nil
}

// reported reads the results of a laboratory's file.
func (a *app) reported(ls loaded, id int, path string) ([]incident.Measured, error) {
	logs, _ := incident.Logs(ls.Journal.Entries)
	l, err := incident.Find(logs, id, "")
	if err != nil {
		return nil, usage(err)
	}
	w := assess.Water{Salinity: 35, Temperature: 25}
	if sys := ls.Site.SystemByID(l.Opening.System); sys != nil {
		w = assess.WaterOf(sys)
	}
	density, err := w.KgPerL()
	if err != nil {
		return nil, usage(err)
	}
	data, err := readReport(a.In, path, nameReport)
	if err != nil {
		return nil, err
	}
	report, faults := assess.Read(path, data, assess.Options{Density: density})
	if len(faults) > 0 {
		return nil, &usageError{err: joinFaults(faults), located: true}
	}
	var list []incident.Measured
	for _, r := range report.Readings {
		m := incident.Measured{Contaminant: r.Contaminant.ID, UgL: r.UgL, U: math.Max(0, r.U), Below: r.Below}
		// Two fractions of one metal are one entry: the higher.
		if i := slices.IndexFunc(list, func(x incident.Measured) bool { return x.Contaminant == m.Contaminant }); i >= 0 {
			if m.UgL > list[i].UgL {
				list[i] = m
			}
			continue
		}
		list = append(list, m)
	}
	if len(list) == 0 {
		return nil, usagef("%s: no result in it names a substance of the tables; see tidehold refs contaminants", path)
	}
	return list, nil
}
