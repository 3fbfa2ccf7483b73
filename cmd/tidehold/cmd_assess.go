package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/response/assess"
	"tidehold/response/dilution"
	"tidehold/response/plan"
	"tidehold/response/readiness"
	"tidehold/volumes/site"
)

// maxReportFile is one byte more than a report may have, so that it can be said.
const maxReportFile = 1<<20 + 1

// assessOptions are the flags of assess; without a site they describe the system.
type assessOptions struct {
	system                                  string
	targets                                 []string
	salinity, temp, volume, drawdown, every *quantityFlag
}

func newAssessCmd(a *app) *cobra.Command {
	o := &assessOptions{}
	cmd := &cobra.Command{
		Use:   "assess REPORT.csv",
		Short: "which laboratory results matter, and the plan for all of them",
		Long: `Sets a laboratory report beside natural seawater at the system's salinity, the
published criteria and your own targets, worst first: below, undecided (the
result's uncertainty or its reporting limit reaches across the criterion) or
above. Then plans the changes that bring down everything that is not below.

The report is CSV with the headings analyte, value, unit and optionally ±
(expanded, k = 2), separated by commas, semicolons or tabs; a value may be <2.
"-" reads standard input. Criteria are written for wild waters; none is a limit
set for captive animals. Your own targets come first: --target copper=3.1ug/L, or
the targets of the site's events.

The plan uses the site's own water; without a site, give --volume and --drawdown.

` + exitHelp + ` No: a
result is not below its criterion.`,
		Example: "  tidehold assess report.csv --demo --system hall-reef\n  tidehold assess report.csv --volume 640L --drawdown 45% --target copper=3.1ug/L",
		Args:    cobra.ExactArgs(1),
		RunE:    func(c *cobra.Command, args []string) error { return runAssess(a, o, c, args[0]) },
	}
	fs := cmd.Flags()
	fs.StringVar(&o.system, "system", "", "system of the site the sample is from (default: the first)")
	fs.StringArrayVar(&o.targets, "target", nil, "your own target, `NAME=VALUE`; repeatable")
	o.salinity = quantity(fs, "salinity", units.Salinity, 0, 42, "salinity of the system, without a site")
	o.temp = quantity(fs, "temp", units.Temperature, 0, 40, "its temperature")
	o.volume = quantity(fs, "volume", units.Volume, 0.001, 1e9, "its net volume, for a plan")
	o.drawdown = quantity(fs, "drawdown", units.Share, 0.001, 1, "the most that may be out at once")
	o.every = quantity(fs, "every", units.Duration, 1.0/60, 24*365, "shortest time between changes")
	return cmd
}

// assessed is what assess prints as JSON.
type assessed struct {
	Analytes []assess.Analyte `json:"analytes"`
	Passed   []string         `json:"passed_over"`
	// Plan is as dilute prints it; null when nothing has to come down.
	Plan *diluteResult `json:"plan"`
}

// sample is the water the report is about, and where its plan's water comes from.
type sample struct {
	assess.Water
	site        *loaded
	system      *site.System
	assumptions []refs.Assumption
	units       units.System
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
	density, err := s.KgPerL()
	if err != nil {
		return usage(err)
	}
	data, err := readReport(a.In, path)
	if err != nil {
		return err
	}
	readings, passed, faults := assess.Read(path, data, density)
	if len(faults) > 0 {
		return &usageError{err: joinFaults(faults), located: true}
	}
	if len(readings) == 0 {
		return usagef("%s: no result in it could be judged: it names no contaminant of the tables; see tidehold refs contaminants", path)
	}
	judged, err := assess.Judge(readings, s.Water, targets)
	if err != nil {
		return usage(err)
	}
	ans := answer{
		Command: "assess", Table: "analytes", Title: "Laboratory report " + path, Assumptions: s.assumptions, No: judged.Concern > 0,
		Warnings: unusedSpread(spreadFlags{"salinity": o.salinity, "temp": o.temp, "drawdown": o.drawdown, "every": o.every}),
	}
	result := assessed{Analytes: judged.Analytes, Passed: append([]string{}, passed...)}
	ans.Blocks = assessBlocks(judged, passed)
	if judged.Concern > 0 {
		plan, blocks, err := s.plan(a, o, judged, &ans)
		if err != nil {
			return err
		}
		result.Plan = plan
		ans.Blocks = append(ans.Blocks, blocks...)
	}
	ans.Result = result
	return a.print(ans)
}

// sample finds the system: of the site, or described by flags.
func (o *assessOptions) sample(a *app, c *cobra.Command) (sample, error) {
	described := []string{"salinity", "temp", "volume", "drawdown", "every"}
	if !a.siteNamed() || o.volume.Given {
		if o.system != "" || o.volume.Given && (a.demo || a.site != "") {
			return sample{}, usagef("--volume describes a system without a site; leave it out, or leave out --site, --demo and --system")
		}
		s := sample{Water: assess.Water{Salinity: units.Practical(o.salinity.Or(35)), Temperature: units.Celsius(o.temp.Or(25))}, units: a.displayUnits(units.Metric)}
		if !o.salinity.Given {
			s.assumptions = append(s.assumptions, refs.Assumption{What: "salinity", Value: "35", Source: "open ocean, practical salinity about 35 [teos10]"})
		}
		if !o.temp.Given {
			s.assumptions = append(s.assumptions, refs.Assumption{What: "temperature", Value: "25 °C", Source: "common practice"})
		}
		return s, nil
	}
	for _, name := range described {
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
		s.assumptions = append(s.assumptions, refs.Assumption{What: "system the sample is from", Value: s.system.ID, Source: "the first of the site file; --system names another"})
	}
	s.Water = assess.Water{Salinity: s.system.Water.Salinity, Temperature: s.system.Water.Temperature}
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

// readReport reads a report file, or standard input for "-".
func readReport(in io.Reader, path string) ([]byte, error) {
	if path != "-" {
		info, err := os.Stat(path)
		if err != nil {
			return nil, fileError(path, err, "name the laboratory's CSV file")
		}
		if info.IsDir() {
			return nil, usagef("%s is a directory; name the report in it", path)
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

// plan is the plan for everything that is not below its criterion: from the site's
// own water, or with all the water at hand.
func (s sample) plan(a *app, o *assessOptions, r assess.Result, ans *answer) (*diluteResult, []block, error) {
	if s.site != nil {
		return s.planFromSite(a, r, ans)
	}
	if !o.volume.Given || !o.drawdown.Given {
		return nil, []block{para("For the plan that brings these down give --volume and --drawdown, or a site with --site.")}, nil
	}
	p := dilution.Problem{
		Volume: o.volume.Measured(), Contaminants: r.ToLower(nil), ChangeL: o.drawdown.Value * o.volume.Value, Trim: true,
		EveryH: o.every.Or(siteUsual(changeEvery).value), Confidence: defaultConfidence, Trials: defaultTrials, Seed: a.seed,
	}
	ans.Assumptions = append(ans.Assumptions, r.Uncovered(nil)...)
	made, err := p.Plan()
	if err != nil {
		return nil, nil, flagFault(err)
	}
	v := newFreeView(p, made, false, s.units)
	blocks, more, err := v.blocks()
	if err != nil {
		return nil, nil, err
	}
	ans.More = append(ans.More, more...)
	ans.Warnings = append(ans.Warnings, v.warnings()...)
	result := v.result()
	return &result, append([]block{heading("The plan for all of them")}, blocks...), nil
}

// planFromSite schedules the site's own water; the contaminant that asks for the
// most stands first.
func (s sample) planFromSite(a *app, r assess.Result, ans *answer) (*diluteResult, []block, error) {
	background := map[string]float64{}
	for _, st := range s.site.Site.Stores {
		for id, ugL := range st.Background {
			background[id] = max(background[id], ugL)
		}
	}
	demand := plan.Demand{System: s.system, Reheats: true}
	var brings []float64
	for _, c := range r.ToLower(background) {
		demand.Aims = append(demand.Aims, plan.Aim{Contaminant: c.Name, Start: c.Start.Value, StartU: c.Start.U, Target: c.Target})
		brings = append(brings, c.New.Value)
	}
	demand, err := readiness.Foremost(demand, brings)
	if err != nil {
		return nil, nil, flagFault(err)
	}
	v, made, err := plannedView(*s.site, demand, 0, s.units)
	if err != nil {
		return nil, nil, err
	}
	blocks, more, err := v.blocks()
	if err != nil {
		return nil, nil, err
	}
	ans.More = append(ans.More, more...)
	ans.Assumptions = append(append(ans.Assumptions, made.Assumptions...), r.Uncovered(background)...)
	ans.Warnings = append(append(append(ans.Warnings, site.Texts(s.site.Site.Warnings)...), made.Warnings...), v.warnings()...)
	result := v.result()
	return &result, append([]block{heading("The plan for all of them, from this site's water"), s.ends(v)}, blocks...), nil
}

// ends tells where the plan leaves every contaminant.
func (s sample) ends(v diluteView) block {
	g := grid{Header: []string{"contaminant", "from", "to", "target", "reached after"}, Right: []int{1, 2, 3, 4}}
	for i, aim := range v.Demand.Aims {
		g.Rows = append(g.Rows, []string{aim.Contaminant, units.Dissolved(aim.Start), units.Dissolved(v.Plan.Aims[i].Final), units.Dissolved(aim.Target), hoursOr(v.Plan.Aims[i].DoneAtH, "never")})
	}
	return tableBlock(g)
}

// assessBlocks is the report, worst first.
func assessBlocks(r assess.Result, passed []string) []block {
	g := grid{Header: []string{"analyte", "result", "natural", "criterion", "verdict", "by which criterion"}, Right: []int{1, 2, 3}}
	for _, x := range r.Analytes {
		value := units.Dissolved(x.ValueUgL)
		switch {
		case x.BelowLimit:
			value = "<" + value
		case x.Uncertainty > 0:
			value += " ± " + units.Significant(x.Uncertainty, 2)
		}
		g.Rows = append(g.Rows, []string{x.ID, value, dissolvedOr(x.NaturalUgL), dissolvedOr(x.CriterionUgL), x.Verdict, x.CriterionSource})
	}
	head := "Every result is below its criterion, or has none."
	if r.Concern > 0 {
		head = fmt.Sprintf("%s of %d not below the criterion.", counted(r.Concern, "result"), len(r.Analytes))
	}
	if r.Stricter > 0 {
		head += fmt.Sprintf(" %s below it but above a stricter published one, named under the table.", counted(r.Stricter, "result"))
	}
	blocks := []block{para("%s", head), tableBlock(g)}
	for _, x := range r.Analytes {
		if len(x.Stricter) > 0 {
			blocks = append(blocks, para("%s is below %s, but above %s.", x.ID, x.CriterionSource, strings.Join(x.Stricter, "; ")))
		}
		if x.Note != "" && (x.Verdict != string(dilution.Below) || len(x.Stricter) > 0) {
			blocks = append(blocks, para("%s: %s.", x.ID, x.Note))
		}
	}
	if len(passed) > 0 {
		blocks = append(blocks, para("Passed over, because they are no contaminants: %s.", strings.Join(passed, ", ")))
	}
	return append(blocks, para("Criteria are written for wild waters; none is a limit set for captive animals. Metals criteria are for dissolved metal: a total result errs on the safe side. Ask a veterinarian before treating animals."))
}
