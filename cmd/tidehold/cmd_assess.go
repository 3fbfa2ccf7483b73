package main

import (
	"fmt"
	"math"
	"time"

	"github.com/spf13/cobra"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/response/assess"
)

// assessOptions are the flags of assess; without a site they describe the system.
type assessOptions struct {
	system, columns, sampled                    string
	targets                                     []string
	decimal, sensitivity                        *choice
	salinity, temp, ph, volume, drawdown, every *quantityFlag
}

func newAssessCmd(a *app) *cobra.Command {
	o := &assessOptions{}
	cmd := &cobra.Command{
		Use:   "assess <report.csv>",
		Short: "which laboratory results matter, and the plan for all of them",
		Long: `Reads a laboratory's own file and sets each result beside natural seawater at the
system's salinity, the published criteria and your own limits, worst first: too
high, unsure (the result's uncertainty or its reporting limit reaches across the
criterion), far from natural, fine, or not judged. Then plans the changes that
bring down what is too high or unsure.

The file may have fields separated by commas, semicolons or tabs, title lines,
decimal commas, and headings in English, German, French, Spanish, Italian or
Dutch; --columns says which column is which where they are not understood. "-"
reads standard input. A result below a reporting limit that is above the
criterion asks for a lower limit, and plans nothing.

Corals and invertebrates are judged by the strictest published criterion, fish by
that of the US EPA where there is one. Ammonia and sulfide are judged at the pH,
temperature and salinity of the system. Your own limits come first: --target
copper=3.1ug/L, or the targets of the site's events. Criteria are written for wild
waters; none is a limit set for captive animals.

The plan uses the site's own water; without a site, give --volume and --drawdown.

` + exitHelp + ` No: a
result is neither below its criterion nor left unjudged.`,
		Example: "  tidehold assess report.csv --demo --system hall-reef\n  tidehold assess report.csv --volume 640L --drawdown 45% --target copper=3.1ug/L",
		Args:    cobra.ExactArgs(1),
		RunE:    func(c *cobra.Command, args []string) error { return runAssess(a, o, c, args[0]) },
	}
	fs := cmd.Flags()
	fs.StringVar(&o.system, "system", "", "system of the site the sample is from (default: the first)")
	fs.StringArrayVar(&o.targets, "target", nil, "your own limit, `NAME=VALUE`; repeatable")
	fs.StringVar(&o.columns, "columns", "", "which column is which, by number or heading: `analyte=1,value=3,unit=4`")
	o.decimal = choiceVar(fs, "decimal", "", "the report's decimal mark, where the file does not show it", "point", "comma")
	fs.StringVar(&o.sampled, "sampled", "", "when the sample was taken, `TIME` as for --at (default: what the report says)")
	o.salinity = quantity(fs, "salinity", units.Salinity, 0, 42, "salinity of the system, without a site")
	o.temp = quantity(fs, "temp", units.Temperature, 0, 40, "its temperature")
	o.ph = quantity(fs, "ph", units.Number, 0, 14, "its pH (default: the site's, else the report's)")
	o.sensitivity = choiceVar(fs, "sensitivity", "", "the most delicate group kept, without a site", "coral", "invertebrate", "fish")
	o.volume = quantity(fs, "volume", units.Volume, 0.001, 1e9, "its net volume, for a plan")
	o.drawdown = quantity(fs, "drawdown", units.Share, 0.001, 1, "the most that may be out at once")
	o.every = quantity(fs, "every", units.Duration, 1.0/60, 24*365, "shortest time between changes")
	return cmd
}

// assessed is what assess prints as JSON.
type assessed struct {
	Analytes []assess.Analyte `json:"analytes"`
	Passed   []assess.Passed  `json:"passed_over"`
	// SampledAt is null where nobody says.
	SampledAt *time.Time `json:"sampled_at"`
	// ReadAs says how the file was read.
	ReadAs []string `json:"read_as"`
	// Plan is as dilute prints it; null when nothing has to come down.
	Plan *diluteResult `json:"plan"`
}

func runAssess(a *app, o *assessOptions, c *cobra.Command, path string) error {
	s, err := o.sample(a, c)
	if err != nil {
		return err
	}
	targets, err := o.ownTargets(s)
	if err != nil {
		return err
	}
	report, err := o.readFor(a, &s, path)
	if err != nil {
		return err
	}
	judged, err := assess.Judge(report.Readings, s.Water, targets)
	if err != nil {
		return usage(err)
	}
	ans := answer{
		Command: "assess", Table: "analytes", Title: "Laboratory report " + path, Assumptions: s.assumptions, No: judged.Concern > 0,
		Warnings: append(s.warnings(), unusedSpread(c.Flags(), "volume")...),
	}
	result := assessed{Analytes: judged.Analytes, Passed: append([]assess.Passed{}, report.Passed...), ReadAs: append([]string{}, report.Notes...)}
	age, err := o.age(a, s, report)
	if err != nil {
		return err
	}
	if !age.at.IsZero() {
		result.SampledAt = &age.at
	}
	v := assessView{Result: judged, report: report, age: age}
	ans.Blocks = v.blocks()
	ans.More = append(v.drawing(), v.detail()...)
	if result.Plan, err = s.plan(a, o, judged, &ans); err != nil {
		return err
	}
	ans.Blocks = append(ans.Blocks, line("%s", criteriaCaution))
	ans.Result = result
	return a.print(ans)
}

// readFor reads the report for a sample, which takes from it what nobody said of its water.
func (o *assessOptions) readFor(a *app, s *sample, path string) (assess.Report, error) {
	report, err := o.read(a, *s, path)
	if err == nil && s.fromReport(o, report) {
		// Results per kilogram are litres at the salinity that the report itself has.
		report, err = o.read(a, *s, path)
	}
	if err != nil {
		return report, err
	}
	report.Notes = append(report.Notes, s.differs(report)...)
	return report, nil
}

// read reads the report and refuses one in which nothing could be judged.
func (o *assessOptions) read(a *app, s sample, path string) (assess.Report, error) {
	var none assess.Report
	density, err := s.KgPerL()
	if err != nil {
		return none, usage(err)
	}
	options := assess.Options{Density: density, Decimal: assess.DecimalMark(o.decimal.Value)}
	if o.columns != "" {
		if options.Columns, err = assess.ParseColumns(o.columns); err != nil {
			return none, usagef("--columns: %w", err)
		}
	}
	data, err := readReport(a.In, path, nameReport)
	if err != nil {
		return none, err
	}
	report, faults := assess.Read(path, data, options)
	if len(faults) > 0 {
		return none, &usageError{err: joinFaults(faults), located: true}
	}
	if len(report.Readings) == 0 {
		return none, usagef("%s: no result in it could be judged: it has no result for a contaminant of the tables; see tidehold refs contaminants", path)
	}
	return report, nil
}

// fromReport fills what neither the site nor a flag says of the water: its salinity and
// pH from the report, the pH else the end that harms most. It says whether the density
// is another now.
func (s *sample) fromReport(o *assessOptions, r assess.Report) (denser bool) {
	if s.site == nil && !o.salinity.Given && r.Salinity != nil {
		denser = s.Salinity != units.Practical(*r.Salinity)
		s.Salinity = units.Practical(*r.Salinity)
		s.assumptions[0].Value, s.assumptions[0].Source = units.Fixed(*r.Salinity, 1), "as the report has it"
	}
	s.phFrom(o, r)
	return denser
}

func (s *sample) phFrom(o *assessOptions, r assess.Report) {
	if o.ph.Given {
		s.PH = &o.ph.Value
	}
	if s.PH == nil && r.PH != nil && *r.PH >= 0 && *r.PH <= 14 {
		s.PH = r.PH
		s.assumptions = append(s.assumptions, refs.Assumption{What: "pH", Value: units.Fixed(*r.PH, 2), Source: "as the report has it"})
	}
	if s.PH != nil {
		return
	}
	for _, x := range r.Readings {
		switch x.Contaminant.ID {
		case "ammonia_total":
			s.assumptions = append(s.assumptions, refs.Assumption{What: "pH, for ammonia", Value: units.Fixed(assess.AlkalineEnd, 1), Source: "the end of what tanks have that harms most; --ph says it"})
		case "sulfide":
			s.assumptions = append(s.assumptions, refs.Assumption{What: "pH, for sulfide", Value: units.Fixed(assess.AcidEnd, 1), Source: "the end of what tanks have that harms most; --ph says it"})
		}
	}
}

// differs says where the report has another water than the one the results are judged
// in: by enough to move a limit or a natural level.
func (s *sample) differs(r assess.Report) []string {
	const (
		ofPH       = 0.1
		ofSalinity = 1
	)
	var out []string
	if r.PH != nil && s.PH != nil && math.Abs(*r.PH-*s.PH) >= ofPH {
		out = append(out, fmt.Sprintf("the report has pH %s, judged is at %s (--ph changes it)", units.Fixed(*r.PH, 2), units.Fixed(*s.PH, 2)))
	}
	if r.Salinity != nil && math.Abs(*r.Salinity-float64(s.Salinity)) >= ofSalinity {
		out = append(out, fmt.Sprintf("the report has salinity %s, natural levels are those of %s", units.Fixed(*r.Salinity, 1), units.Fixed(float64(s.Salinity), 1)))
	}
	return out
}

// sampleAge is when the sample was taken and how long ago; at is zero where nobody
// says.
type sampleAge struct {
	at    time.Time
	clock bool
	ago   time.Duration
}

// age takes --sampled, else what the report says, in the site's time zone.
func (o *assessOptions) age(a *app, s sample, r assess.Report) (sampleAge, error) {
	zone := time.UTC
	now, err := a.nowIn(zone)
	if err != nil {
		return sampleAge{}, err
	}
	if s.site != nil {
		zone, now = s.site.Site.TimeZone, s.site.Now
	}
	var age sampleAge
	switch {
	case o.sampled != "":
		if age.at, err = flagMoment("--sampled", o.sampled, now.In(zone)); err != nil {
			return age, err
		}
		age.clock = true
	case !r.SampledAt.IsZero():
		t := r.SampledAt
		age.at, age.clock = time.Date(t.Year(), t.Month(), t.Day(), t.Hour(), t.Minute(), 0, 0, zone), r.HasClock
	default:
		return age, nil
	}
	age.ago = now.Sub(age.at)
	if age.ago < 0 && o.sampled != "" {
		return age, usagef("--sampled: %s is in the future", o.sampled)
	}
	return age, nil
}

// text says it in a line.
func (s sampleAge) text() string {
	if s.at.IsZero() {
		return ""
	}
	form := "Mon 2 Jan 2006 15:04"
	if !s.clock {
		form = "Mon 2 Jan 2006"
	}
	at := s.at.Format(form)
	if s.ago < 0 {
		return fmt.Sprintf("Sampled %s, which is in the future: check the date.", at)
	}
	return fmt.Sprintf("Sampled %s, %s ago: changes made since are not in these results.", at, units.Hours(s.ago.Hours()))
}
