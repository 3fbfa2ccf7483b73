package main

import (
	"fmt"

	"errors"
	"io"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/response/assess"
	"tidehold/volumes/site"
)

// maxReportFile is one byte more than a report may have, so that it can be said.
const maxReportFile = 1<<20 + 1

// sample is the water the report is about, and where its plan's water comes from.
type sample struct {
	assess.Water
	site        *loaded
	system      *site.System
	assumptions []refs.Assumption
	units       units.System
	// firstOf is the number of the site's systems where the first was taken unasked.
	firstOf int
}

// warnings are what somebody has to know who named no system: a report judged by another's
// water, and a plan for the wrong tank.
func (s sample) warnings() []string {
	if s.firstOf == 0 {
		return nil
	}
	return []string{fmt.Sprintf("the sample is taken to be from %s, the first of %s: --system names another", s.system.ID, counted(s.firstOf, "system"))}
}

// sample finds the system: of the site, or described by flags.
func (o *assessOptions) sample(a *app, c *cobra.Command) (sample, error) {
	if !a.siteNamed() || o.volume.Given {
		return o.described(a)
	}
	for _, name := range []string{"salinity", "temp", "sensitivity", "volume", "drawdown", "every"} {
		if c.Flags().Changed(name) {
			return sample{}, usagef("--%s describes a system without a site; the site file has its own: try another with --set, or leave the site out with --volume", name)
		}
	}
	ls, err := a.loadSite()
	if err != nil {
		return sample{}, err
	}
	s := sample{site: &ls, assumptions: ls.Site.Assumptions, units: a.displayUnits(ls.Site.Units)}
	s.system = &ls.Site.Systems[0]
	if o.system != "" {
		if s.system, err = findSystem(ls.Site, "system", o.system); err != nil {
			return sample{}, err
		}
	} else if len(ls.Site.Systems) > 1 {
		s.firstOf = len(ls.Site.Systems)
		s.assumptions = append(s.assumptions, refs.Assumption{What: "system the sample is from", Value: s.system.ID, Source: "the first of the site file; --system names another"})
	}
	s.Water = assess.WaterOf(s.system)
	return s, nil
}

// described is a system without a site.
func (o *assessOptions) described(a *app) (sample, error) {
	if o.system != "" || o.volume.Given && (a.demo || a.site != "") {
		return sample{}, usagef("--volume describes a system without a site; leave it out, or leave out --site, --demo and --system")
	}
	s := sample{Water: assess.Water{Salinity: units.Practical(o.salinity.Or(35)), Temperature: units.Celsius(o.temp.Or(25)),
		Sensitivity: site.Sensitivity(o.sensitivity.Value)}, units: a.displayUnits(units.Metric)}
	if !o.salinity.Given {
		s.assumptions = append(s.assumptions, refs.Assumption{What: "salinity", Value: "35", Source: "open ocean, practical salinity about 35 [teos10]"})
	}
	if !o.temp.Given {
		s.assumptions = append(s.assumptions, refs.Assumption{What: "temperature", Value: "25 °C", Source: "common practice"})
	}
	if o.sensitivity.Value == "" {
		s.assumptions = append(s.assumptions, refs.Assumption{What: "most delicate group kept", Value: "coral", Source: "the most delicate; --sensitivity names another"})
	}
	return s, nil
}

// ownTargets are those of --target, then of the site's events for the system.
func (o *assessOptions) ownTargets(s sample) (map[string]float64, error) {
	out := map[string]float64{}
	if s.site != nil {
		for _, e := range s.site.Site.Events {
			if e.System == s.system.ID && e.Contaminant != "" {
				out[e.Contaminant] = e.TargetUgL
			}
		}
	}
	for _, text := range o.targets {
		name, value, ok := strings.Cut(text, "=")
		if !ok {
			return nil, usagef("--target: %q has no =; write NAME=VALUE, e.g. copper=3.1ug/L", text)
		}
		c, near, ok := refs.FindContaminant(name)
		if !ok {
			hint := ""
			if near != "" {
				hint = didYouMean(near)
			}
			return nil, usagef("--target: %q is not a contaminant of the tables%s", name, hint)
		}
		q, err := units.Parse(value, units.Concentration)
		if err != nil {
			return nil, usagef("--target %s: %w", name, err)
		}
		if q.U > 0 || q.Below {
			return nil, usagef("--target %s: %q is not one level; write the level to reach, e.g. %s=3.1ug/L", name, value, c.ID)
		}
		out[c.ID] = q.Value
	}
	return out, nil
}

// nameReport says which file is meant where it is not there.
const nameReport = "name the laboratory's CSV file"

// readReport reads a file from elsewhere, or standard input for "-"; missing is what to do where it is not
// there.
func readReport(in io.Reader, path, missing string) ([]byte, error) {
	if path != standardInput {
		info, err := os.Stat(path)
		if err != nil {
			return nil, fileError(path, err, missing)
		}
		if !info.Mode().IsRegular() {
			return nil, usagef("%s is no file to read, but a directory or a device; name the report in it", path)
		}
		f, err := os.Open(path)
		if err != nil {
			return nil, fileError(path, err, "check its permissions")
		}
		defer f.Close()
		in = f
	}
	data, err := io.ReadAll(io.LimitReader(in, maxReportFile))
	if err != nil {
		return nil, fileError(path, err, "check the disk")
	}
	return data, nil
}

// joinFaults prints a report's faults one a line.
func joinFaults(faults []error) error {
	lines := make([]string, len(faults))
	for i, f := range faults {
		lines[i] = f.Error()
	}
	return errors.New(strings.Join(lines, "\n"))
}
