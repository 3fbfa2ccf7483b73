package main

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"tidehold/refs/units"
	"tidehold/response/dilution"
)

// diluteOptions is what the dilute command was asked.
type diluteOptions struct {
	events                              []string
	system, of                          string
	volume, start, target, remove, new  *quantityFlag
	change, drawdown, every             *quantityFlag
	source, sourceUntil, sourceHalfLife *quantityFlag
	mediaCapacity                       *quantityFlag
	media, bound                        *pairFlag
	contaminants                        []string
	confidence                          *quantityFlag
	trials                              int
	continuous                          bool
	flow, water                         *quantityFlag
}

func newDiluteCmd(a *app) *cobra.Command {
	o := &diluteOptions{}
	c := &cobra.Command{
		Use:   "dilute",
		Short: "how many water changes, how large, and what is left after each",
		Long: `Plans the water changes that bring a contaminant below its target.

With --volume the plan is worked out from the flags alone: equal changes
(--change), full-size changes and a trimmed last one (--drawdown, the least water
when nothing is added or comes back meanwhile), or new water run through
(--continuous). Without a laboratory result, plan by the share to --remove, and
plan again when the result comes.

Without --volume it is the dated schedule from the water this site has or can
make: of an --event of the site file, or of --system with --start and --target, or
with --remove. Several events that strike at once are planned together: what one
draws, the next does not have.

A ± on the volume, the start or the new water's own level sizes the plan so that it
suffices in the --confidence share of cases.

` + exitHelp + ` No: the target
cannot be reached, the water does not suffice, or the event's time is not kept.`,
		Example: `  tidehold dilute --volume 640L --start 60ug/L --target 3.1ug/L --new 1ug/L --drawdown 45% --every 4h
  tidehold dilute --volume 640L±8% --start 60±8ug/L --target 3.1ug/L --new 1ug/L --change 25%
  tidehold dilute --volume 640L --remove 90% --drawdown 45%
  tidehold dilute --demo --event broken-heater
  tidehold dilute --demo --event halve-anything --event pool-spill`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			if o.volume.Given {
				return runDilute(a, o, c)
			}
			return runDiluteSite(a, o, c)
		},
	}
	fs := c.Flags()
	fs.StringArrayVar(&o.events, "event", nil, "plan an event of the site file from the site's own water; repeatable: those that strike at once share it")
	fs.StringVar(&o.system, "system", "", "plan for a system of the site file, with --start and --target or with --remove")
	fs.StringVar(&o.of, "of", "", "what is in the water, e.g. copper")
	o.volume = quantity(fs, "volume", units.Volume, 0.01, 1e9, "net volume of the water, e.g. 640L±8%")
	o.start = quantity(fs, "start", units.Concentration, 0, 1e12, "what is in the water now, e.g. 60ug/L±8")
	o.target = quantity(fs, "target", units.Concentration, 0, 1e12, "what it must come down to, e.g. 3.1ug/L")
	o.remove = quantity(fs, "remove", units.Share, 0.001, 0.999999, "share to remove where nothing was measured, e.g. 90%")
	o.new = quantity(fs, "new", units.Concentration, 0, 1e12, "what the new water itself brings (default 0)")
	fs.StringArrayVar(&o.contaminants, "contaminant", nil, "one of several, `"+contaminantForm+"`, the last two if known; repeatable, in place of --start, --target, --new and --source")
	o.change = quantity(fs, "change", units.Share, 1e-6, 1, "equal changes of this share of the volume, e.g. 25%")
	o.drawdown = quantity(fs, "drawdown", units.Share, 1e-6, 1, "the most that may be out at once; alone: changes as large as that and a trimmed last one")
	o.every = quantity(fs, "every", units.Duration, 1.0/60, 24*365, "from the start of one change to the start of the next (default 4h)")
	o.source = quantity(fs, "source", units.MassRate, 0, 1e9, "what still adds it, e.g. 0.5mg/h")
	o.sourceUntil = quantity(fs, "source-until", units.Duration, 0, 1e6, "when the source stops, e.g. 6h (default: never)")
	o.sourceHalfLife = quantity(fs, "source-half-life", units.Duration, 0, 1e6, "the time in which the source halves (default: constant)")
	o.media = pair(fs, "media", units.Flow, units.Share, 1, "400L/h,60%", "flow through media and the share one pass removes")
	o.mediaCapacity = quantity(fs, "media-capacity", units.Mass, 0, 1e6, "what the media can take up, e.g. 300mg (default: unlimited)")
	o.bound = pair(fs, "bound", units.Number, units.PerHour, 1e6, "1.5,0.1/h", "amount on rock and sand per amount in the water, and the rate at which it comes back")
	o.confidence = quantity(fs, "confidence", units.Share, dilution.MinConfidence, dilution.MaxConfidence, "share of cases in which the plan must suffice (default 90%)")
	fs.IntVar(&o.trials, "trials", defaultTrials, "random trials when an input has a ±")
	fs.BoolVar(&o.continuous, "continuous", false, "run new water through instead of changing it")
	o.flow = quantity(fs, "flow", units.Flow, 0, 1e9, "flow of --continuous, e.g. 60L/h")
	o.water = quantity(fs, "water", units.Volume, 0, 1e12, "new water there is; the plan is then the best that this much can do")
	return c
}

const (
	defaultTrials     = dilution.UsualTrials
	defaultConfidence = dilution.UsualConfidence
)

// runDilute plans from the flags alone.
func runDilute(a *app, o *diluteOptions, c *cobra.Command) error {
	asked, err := o.problem(a, c.Flags())
	if err != nil {
		return err
	}
	if err := asked.affordTrials(c.Flags().Changed("trials")); err != nil {
		return err
	}
	made, err := asked.Plan()
	if err != nil {
		return flagFault(err)
	}
	v := newFreeView(asked.Problem, made, o.remove.Given, a.displayUnits(units.Metric))
	blocks, more := v.blocks()
	return a.print(answer{
		Command: "dilute", Table: "steps", Title: "Water changes", Result: v.result(),
		Assumptions: asked.assumptions, Warnings: append(asked.warnings, v.warnings()...), Blocks: blocks, More: more, No: !made.Reached,
	})
}

// affordTrials holds the trials to what can be worked out while somebody waits: more
// that were asked for are refused, the usual number is cut, and that is said.
func (q *diluteAsked) affordTrials(stated bool) error {
	if q.Check() != nil || !q.Uncertain() {
		return nil // told where the plan is made
	}
	most := q.MostTrials()
	switch {
	case q.Trials <= most:
	case stated:
		return usagef("--trials: %d would take minutes where something acts between changes, each followed one by one; at most %d here", q.Trials, most)
	default:
		q.warnings = append(q.warnings, fmt.Sprintf("worked out from %d random trials in place of %d, since each follows many changes", most, q.Trials))
		q.Trials = most
	}
	return nil
}

// flagFault names the flag behind an input that cannot be planned with.
func flagFault(err error) error {
	var bad *dilution.InputError
	if errors.As(err, &bad) {
		return usagef("--%w", bad)
	}
	return err
}
