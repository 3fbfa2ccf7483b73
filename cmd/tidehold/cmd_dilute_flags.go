package main

import (
	"fmt"
	"strings"

	"github.com/spf13/pflag"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/response/dilution"
)

// pairFlag is a flag of two quantities with a comma between.
type pairFlag struct {
	first, second quantityFlag
	Given         bool
	text, example string
}

// pair declares a flag of two quantities, each zero or more, the second at most
// high.
func pair(fs *pflag.FlagSet, name string, first, second units.Dimension, high float64, example, usage string) *pairFlag {
	p := &pairFlag{example: example,
		first:  quantityFlag{dim: first, low: 0, high: 1e9},
		second: quantityFlag{dim: second, low: 0, high: high}}
	fs.Var(p, name, usage+", e.g. "+example)
	return p
}

// Set parses both parts.
func (p *pairFlag) Set(text string) error {
	left, right, found := strings.Cut(text, ",")
	if !found || strings.Contains(right, ",") {
		return fmt.Errorf("%q is not two amounts with one comma between; write for example %s", text, p.example)
	}
	for _, part := range []struct {
		q    *quantityFlag
		text string
	}{{&p.first, left}, {&p.second, right}} {
		if err := part.q.Set(strings.TrimSpace(part.text)); err != nil {
			return err
		}
	}
	p.Given, p.text = true, text
	return nil
}

func (p *pairFlag) String() string { return p.text }

func (p *pairFlag) uncertain() bool { return p.first.U > 0 || p.second.U > 0 }

// Type is the placeholder in help texts.
func (p *pairFlag) Type() string { return p.first.dim.String() + "," + p.second.dim.String() }

// diluteAsked is the problem as understood, with what was assumed.
type diluteAsked struct {
	dilution.Problem
	assumptions []refs.Assumption
	warnings    []string
}

func (q *diluteAsked) assume(what, value, source string) {
	q.assumptions = append(q.assumptions, refs.Assumption{What: what, Value: value, Source: source})
}

// problem turns the flags into a problem.
func (o *diluteOptions) problem(a *app, fs *pflag.FlagSet) (*diluteAsked, error) {
	if err := o.refuse(fs); err != nil {
		return nil, err
	}
	q := &diluteAsked{warnings: append(o.reportingLimits(), unusedSpread(fs, "volume", "start", "new")...), Problem: dilution.Problem{
		Volume: o.volume.Measured(), EveryH: o.every.Or(siteUsual(changeEvery).value),
		Limited: o.water.Given, WaterL: o.water.Value, Continuous: o.continuous, FlowLH: o.flow.Value,
		Confidence: o.confidence.Or(defaultConfidence), Trials: o.trials, Seed: a.seed,
	}}
	if err := o.contaminantsOf(q); err != nil {
		return nil, err
	}
	o.size(q)
	if q.Uncertain() && !o.confidence.Given {
		q.assume("confidence", units.Percent(defaultConfidence, 0), "assumption of this tool; --confidence replaces it")
	}
	return q, nil
}

// refuse finds flags that do not go together, or are missing.
func (o *diluteOptions) refuse(fs *pflag.FlagSet) error {
	for _, names := range [][]string{
		{"volume", "event"}, {"volume", "system"}, {"start", "remove"}, {"start", "contaminant"}, {"remove", "contaminant"},
		{"remove", "new"}, {"remove", "target"}, {"remove", "source"}, {"remove", "media-capacity"}, {"contaminant", "new"}, {"contaminant", "target"},
		{"contaminant", "media"}, {"contaminant", "bound"}, {"contaminant", "of"},
		{"continuous", "change"}, {"continuous", "drawdown"}, {"continuous", "every"},
	} {
		if err := exclusive(fs, names...); err != nil {
			return err
		}
	}
	if fs.Changed("contaminant") && fs.Changed("source") {
		return usagef("--contaminant and --source exclude each other; write what still adds it as the fifth part, e.g. copper:60ug/L:3.1ug/L:1ug/L:0.5mg/h")
	}
	if fs.Changed("trials") && (o.trials < dilution.MinTrials || o.trials > dilution.MaxTrials) {
		return usagef("--trials: %d is out of range; allowed: %d to %d", o.trials, dilution.MinTrials, dilution.MaxTrials)
	}
	if err := o.volume.Sure(o.volume.Text); err != nil {
		return usagef("--volume: %w", err)
	}
	if o.target.Below {
		return usagef("--target: %q is a reporting limit; write the level to reach, e.g. 3.1 ug/L", o.target.Text)
	}
	for _, d := range [][2]string{{"source-until", "source"}, {"source-half-life", "source"}, {"media-capacity", "media"}, {"flow", "continuous"}} {
		if fs.Changed(d[0]) && !fs.Changed(d[1]) {
			return usagef("--%s says more about --%s, which is missing", d[0], d[1])
		}
	}
	for _, d := range []struct {
		name string
		q    *quantityFlag
	}{{"source-until", o.sourceUntil}, {"source-half-life", o.sourceHalfLife}, {"media-capacity", o.mediaCapacity}} {
		if d.q.Given && d.q.Value == 0 {
			return usagef("--%s: %q is zero; more than zero is allowed, or leave it out", d.name, d.q.Text)
		}
	}
	if !o.remove.Given && len(o.contaminants) == 0 {
		if !o.start.Given && !o.target.Given {
			return usagef("nothing to bring down; write --start 60ug/L --target 3.1ug/L, or where nothing was measured --remove 90%%")
		}
		return need(fs, "start", "target")
	}
	return nil
}

// contaminantsOf reads what is to be brought down.
func (o *diluteOptions) contaminantsOf(q *diluteAsked) error {
	for _, text := range o.contaminants {
		c, notes, err := parseContaminant(text)
		if err != nil {
			return err
		}
		q.warnings = append(q.warnings, notes...)
		for _, other := range q.Contaminants {
			if other.Name == c.Name {
				return usagef("--contaminant: %q is given twice; keep one", c.Name)
			}
		}
		q.Contaminants = append(q.Contaminants, c)
		if parts := strings.Split(text, ":"); len(parts) < 4 || parts[3] == "" {
			q.assume("what the new water itself brings of "+c.Name, "0 ug/L", "not given; it is the fourth part of --contaminant")
		}
	}
	if len(o.contaminants) > 0 {
		return nil
	}
	c := dilution.Share(o.remove.Value)
	if !o.remove.Given {
		c = dilution.Contaminant{Name: o.of, Start: o.start.Measured(), Target: o.target.Value, New: o.new.Measured()}
		if !o.new.Given {
			q.assume("what the new water itself brings", "0 ug/L", "not given; --new replaces it, e.g. from a test of the stored water")
		}
	}
	c.Name = o.of
	c.Source = dilution.Source{MgH: o.source.Value, UntilH: o.sourceUntil.Value, HalfLifeH: o.sourceHalfLife.Value}
	c.ClearanceLH = o.media.first.Value * o.media.second.Value
	c.CapacityMg = o.mediaCapacity.Value * units.MgPerKg // masses are parsed in kg
	c.BoundRatio, c.BoundRatePerH = o.bound.first.Value, o.bound.second.Value
	q.Contaminants = []dilution.Contaminant{c}
	return nil
}

// size sets the size and the interval of the changes.
func (o *diluteOptions) size(q *diluteAsked) {
	v := q.Volume.Value
	if q.Continuous {
		return
	}
	switch {
	case o.change.Given:
		q.ChangeL = o.change.Value * v
		if o.drawdown.Given {
			q.MaxChangeL = o.drawdown.Value * v
		}
	case o.drawdown.Given:
		q.ChangeL, q.Trim = o.drawdown.Value*v, true
	default:
		usual := siteUsual(drawdown)
		q.ChangeL, q.Trim = usual.value*v, true
		q.assume("the most that may be out at once", usual.text, usual.basis+"; --drawdown replaces it")
	}
	if !o.every.Given {
		usual := siteUsual(changeEvery)
		q.assume("time between changes", usual.text, usual.basis+"; --every replaces it")
	}
}

// reportingLimits warns of results below a reporting limit.
func (o *diluteOptions) reportingLimits() []string {
	var out []string
	for _, f := range []struct {
		name string
		q    *quantityFlag
	}{{"start", o.start}, {"new", o.new}} {
		if f.q.Below {
			out = append(out, fmt.Sprintf("--%s %s is a reporting limit: the limit itself is planned with, the most it can be", f.name, f.q.Text))
		}
	}
	return append(out, o.swapped()...)
}

// swapped warns of a target above its start: a good result, or two numbers in each other's place,
// which only the keeper can tell apart.
func (o *diluteOptions) swapped() []string {
	if !o.start.Given || !o.target.Given || o.start.Below || o.source.Value > 0 || o.start.Value == 0 || o.start.Value+o.start.U >= o.target.Value {
		return nil
	}
	return []string{fmt.Sprintf("--target %s is above --start %s: if the two are swapped, write --start %s --target %s", o.target.Text, o.start.Text, o.target.Text, o.start.Text)}
}

// contaminantForm is how one of several contaminants is written.
const contaminantForm = "name:start:target:new:source"

// parseContaminant reads contaminantForm, of which new and source may be left out or
// empty. The notes are warnings: what is planned with as it stands.
func parseContaminant(text string) (c dilution.Contaminant, notes []string, err error) {
	parts := strings.Split(text, ":")
	c.Name = strings.TrimSpace(parts[0])
	if len(parts) < 3 || len(parts) > 5 || c.Name == "" {
		return c, nil, usagef("--contaminant: %q is not %s, the last two if known; write for example copper:60ug/L:3.1ug/L:1ug/L", text, contaminantForm)
	}
	var given [4]units.Quantity // start, target, new, source
	for i, part := range parts[1:] {
		dim := units.Concentration
		if i == 3 {
			dim = units.MassRate
		}
		if part == "" && i >= 2 {
			continue
		}
		if given[i], err = units.Parse(part, dim); err != nil {
			return c, nil, usagef("--contaminant %s: %w", c.Name, err)
		}
	}
	if given[1].Below {
		return c, nil, usagef("--contaminant %s: the target %q is a reporting limit; write the level to reach, e.g. 3.1 ug/L", c.Name, parts[2])
	}
	if given[0].Below || given[2].Below {
		notes = append(notes, fmt.Sprintf("--contaminant %s: a reporting limit is planned with as it stands, the most it can be", c.Name))
	}
	if given[1].U > 0 || given[3].U > 0 {
		notes = append(notes, fmt.Sprintf("--contaminant %s: the uncertainty of its target and source is not planned with: plan again with the worse value", c.Name))
	}
	if !given[0].Below && given[3].Value == 0 && given[0].Value > 0 && given[0].Value+given[0].U < given[1].Value {
		notes = append(notes, fmt.Sprintf("--contaminant %s: the target %s is above the start %s: if the two are swapped, write %s:%s:%s", c.Name, parts[2], parts[1], c.Name, parts[2], parts[1]))
	}
	c.Start, c.Target = given[0].Measured(), given[1].Value
	c.New, c.Source.MgH = given[2].Measured(), given[3].Value
	return c, notes, nil
}
