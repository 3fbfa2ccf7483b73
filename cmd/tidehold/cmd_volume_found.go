package main

import (
	"fmt"

	"github.com/spf13/pflag"

	"tidehold/refs/units"
	"tidehold/volumes"
	"tidehold/volumes/site"
)

// foundOptions are the flags that every way of finding a volume shares.
type foundOptions struct {
	walls  *quantityFlag
	system string
	also   []string
	// spread warns of a ± that the volume does not carry.
	spread func() []string
}

func (o *foundOptions) declare(fs *pflag.FlagSet) {
	o.walls = quantity(fs, "walls", units.Volume, 0, 1e9, "the volume by walls, rock and sand, with its uncertainty, to compare with")
	fs.StringVar(&o.system, "system", "", "`id` of a system of the site: its volume to compare with, its limits to keep")
	o.spread = func() []string {
		return unusedSpread(fs, "walls", "removed", "added", "mass", "in", "before", "after", "with")
	}
	fs.StringArrayVar(&o.also, "also", nil, "another `volume` found independently, with its uncertainty, e.g. 612±20L; repeatable")
}

// foundResult is a net volume found by a test.
type foundResult struct {
	VolumeL       float64              `json:"volume_l"`
	UncertaintyL  *float64             `json:"uncertainty_l"`
	Contributions []contributionResult `json:"contributions"`
	// Unreliable: the change was too small for the instrument.
	Unreliable bool           `json:"unreliable"`
	Caution    *cautionResult `json:"caution"`
	// Temperature says that the water put in is too warm or too cold.
	Temperature *temperatureResult `json:"temperature_caution"`
	Walls       *wallsResult       `json:"walls"`
	Combined    *combinedResult    `json:"combined"`
}

type cautionResult struct {
	Step     float64 `json:"salinity_step"`
	Limit    float64 `json:"limit"`
	LargestL float64 `json:"largest_exchange_l"`
	// LargestKg is for salt dissolved, LargestL for an exchange; the other is 0.
	LargestKg float64 `json:"largest_salt_kg"`
}

type temperatureResult struct {
	Step  float64 `json:"temperature_step_c"`
	Limit float64 `json:"limit_c"`
}

type wallsResult struct {
	VolumeL      float64  `json:"volume_l"`
	UncertaintyL *float64 `json:"uncertainty_l"`
	Better       bool     `json:"test_is_better"`
	Agree        bool     `json:"agree"`
	En           float64  `json:"e_n"`
}

type combinedResult struct {
	VolumeL      float64   `json:"volume_l"`
	UncertaintyL float64   `json:"uncertainty_l"`
	Weights      []float64 `json:"weights"`
	Consistent   bool      `json:"consistent"`
}

// found is one such command under way.
type found struct {
	app *app
	ans answer
	res foundResult
	sys *site.System
	u   units.System
}

func (f *found) assume(what, value, source string) { f.ans.assume(what, value, source) }

// begin loads the site if a system was named.
func (o *foundOptions) begin(a *app, command, title string) (*found, error) {
	f := &found{app: a, ans: answer{Command: command, Title: title}, u: a.displayUnits(units.Metric)}
	if o.system == "" {
		return f, nil
	}
	ls, err := a.loadSite()
	if err != nil {
		return nil, err
	}
	f.u = a.displayUnits(ls.Site.Units)
	if f.sys, err = findSystem(ls.Site, "system", o.system); err != nil {
		return nil, err
	}
	return f, nil
}

// finish compares the estimate with the walls and the others, and prints.
func (f *found) finish(o *foundOptions, e volumes.Estimate, head []block, method string) error {
	f.res.VolumeL, f.res.UncertaintyL, f.res.Unreliable = float64(e.Volume), stated(e.U), e.Unreliable
	f.res.Contributions = contributions(e.Budget)
	others, err := f.others(o, e)
	if err != nil {
		return err
	}
	if e.Unreliable {
		f.ans.Warnings = append(f.ans.Warnings, "the change is hardly larger than what the instrument can tell, so the volume may be further off than stated; make a larger change, or read with a finer instrument")
	}
	if len(others) > 0 {
		c, err := volumes.Combine(append([]volumes.Estimate{e}, others...))
		if err != nil {
			return usage(err)
		}
		f.res.Combined = &combinedResult{float64(c.Volume), float64(c.U), c.Weights, c.Consistent}
	}
	f.ans.Warnings = append(f.ans.Warnings, o.spread()...)
	f.ans.Result = f.res
	f.ans.Blocks = append(head, f.blocks(method)...)
	return f.app.print(f.ans)
}

// others collects the estimates to combine with: the walls, if they have an
// uncertainty, and --also.
func (f *found) others(o *foundOptions, e volumes.Estimate) ([]volumes.Estimate, error) {
	var out []volumes.Estimate
	walls := volumes.Estimate{Method: "walls"}
	switch {
	case o.walls.Given:
		walls.Volume, walls.U = units.Litres(o.walls.Value), units.Litres(o.walls.U)
	case f.sys != nil:
		walls.Volume, walls.U = f.sys.NetVolume, f.sys.NetVolumeU
	}
	if walls.Volume > 0 {
		c := e.Against(walls)
		f.res.Walls = &wallsResult{float64(walls.Volume), stated(walls.U), c.Better, c.Agree, c.En}
		if walls.U > 0 && e.U > 0 {
			out = append(out, walls)
		}
	}
	for _, text := range o.also {
		q, err := units.Parse(text, units.Volume)
		if err != nil {
			return nil, usagef("--also: %w", err)
		}
		if !(q.U > 0) || !(q.Value > 0) {
			return nil, usagef("--also: %q has no uncertainty, so it cannot be weighed against others; write it as in 612±20L", text)
		}
		if e.U == 0 {
			return nil, usagef("--also: this test has no uncertainty, so the two cannot be weighed; give the readings theirs, as in --before 35±0.2")
		}
		out = append(out, volumes.Estimate{Method: "other", Volume: units.Litres(q.Value), U: units.Litres(q.U)})
	}
	return out, nil
}

func stated(u units.Litres) *float64 {
	if u == 0 {
		return nil
	}
	x := float64(u)
	return &x
}

// blocks shows the volume found, how sure it is, and the verdict.
func (f *found) blocks(method string) []block {
	r, u := f.res, f.u
	out := []block{heading("Net volume")}
	if r.UncertaintyL != nil {
		out = append(out, budgetBlocks(r.VolumeL, *r.UncertaintyL, r.Contributions, u)...)
	} else {
		out = append(out, para("%s. No uncertainty was given, so none is known.", u.Volume(r.VolumeL, units.Nearest)))
	}
	if w := r.Walls; w != nil {
		out = append(out, para("%s", f.verdict(w)))
	}
	if c := r.Combined; c != nil {
		text := "All estimates together, weighted by how sure each is: %s ± %s."
		if !c.Consistent {
			text += " They differ by more than their uncertainties allow, so that is widened; one of them is probably wrong: measure again before you rely on it."
		}
		out = append(out, para(text, u.Volume(c.VolumeL, units.Nearest), u.Volume(c.UncertaintyL, units.Up)))
	}
	return append(out, para("%s", method))
}

// verdict says in plain words which of test and walls to believe.
func (f *found) verdict(w *wallsResult) string {
	walls := f.u.Volume(w.VolumeL, units.Nearest)
	if w.UncertaintyL != nil {
		walls += " ± " + f.u.Volume(*w.UncertaintyL, units.Up)
	}
	agree := "The two agree within their uncertainties."
	if !w.Agree {
		agree = "The two do not agree: check the levels, the rock and sand, and that the water was mixed before each reading."
	}
	if w.Better {
		return fmt.Sprintf("Better than the one from the walls (%s): use this test. %s", walls, agree)
	}
	return fmt.Sprintf("Not better than the one from the walls (%s): keep that one. %s", walls, agree)
}
