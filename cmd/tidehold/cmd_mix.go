package main

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"tidehold/refs/units"
	"tidehold/salinity"
	"tidehold/salinity/mixing"
)

func newMixCmd(a *app) *cobra.Command {
	c := &cobra.Command{
		Use:   "mix",
		Short: "salt, water and heat for new saltwater, and for water that is off",
		Long: `Calculators for saltwater, by mass, salt and heat: a new batch, what the water or
salt on hand makes, a vat that is too salty or too fresh, waters poured together,
two waters for a salinity, a system that must move to another salinity, and how
long a vat heater takes.

They need no site file; with --store or --salt they take a vat or a salt from it.

` + exitHelp,
		Example: `  tidehold mix new --volume 200L --salinity 35 --temp 25C --source-temp 18C --dose 38.4g/L
  tidehold mix correct --volume 300L --salinity 33 --temp 25C --to 35 --dose 38.4g/L`,
	}
	c.AddCommand(newMixNewCmd(a), newMixFromCmd(a), newMixCorrectCmd(a), newMixBlendCmd(a), newMixMatchCmd(a), newMixWarmCmd(a))
	return c
}

// mixRun is one mix command under way: where the answer is collected and what of
// the site was asked for.
type mixRun struct {
	app   *app
	ans   answer
	sys   units.System
	vat   *vat
	steps []workStep
	// currency of the site whose salt is taken, "" without one.
	currency string
}

func (r *mixRun) assume(what, value, source string) { r.ans.assume(what, value, source) }

func (r *mixRun) warn(format string, args ...any) {
	r.ans.Warnings = append(r.ans.Warnings, fmt.Sprintf(format, args...))
}

// detail keeps blocks for those who ask for more than what to do.
func (r *mixRun) detail(blocks ...block) { r.ans.More = append(r.ans.More, blocks...) }

// finish prints the result: the blocks given, then the order of work.
func (r *mixRun) finish(result any, blocks ...block) error {
	r.ans.Result = result
	r.ans.Blocks = append(r.ans.Blocks, blocks...)
	r.ans.Blocks = append(r.ans.Blocks, orderBlocks(r.steps)...)
	return r.app.print(r.ans)
}

// workStep is one line of the order of work: something to do, or a caution that
// stands before the step it protects.
type workStep struct {
	caution bool
	text    string
}

func (r *mixRun) do(format string, args ...any) {
	r.steps = append(r.steps, workStep{text: fmt.Sprintf(format, args...)})
}

func (r *mixRun) caution(signal, format string, args ...any) {
	r.steps = append(r.steps, workStep{caution: true, text: signal + ": " + fmt.Sprintf(format, args...)})
}

// Signal words as ANSI Z535.6 uses them: a warning where death or serious injury
// could follow, a caution where minor injury could.
const (
	signalWarning = "WARNING"
	signalCaution = "CAUTION"
)

// orderBlocks numbers what is to be done; cautions have no number.
func orderBlocks(steps []workStep) []block {
	if len(steps) == 0 {
		return nil
	}
	g := grid{Header: []string{"step", "in this order"}, Right: []int{0}}
	n := 0
	for _, s := range steps {
		number := "!"
		if !s.caution {
			n++
			number = fmt.Sprint(n)
		}
		g.Rows = append(g.Rows, []string{number, s.text})
	}
	return []block{tableBlock(g)}
}

// needsFlags are the flags a command cannot do without, unless a vat of the site
// gives them.
func (r *mixRun) needsFlags(c *cobra.Command, names ...string) error {
	if r.vat == nil {
		return need(c.Flags(), names...)
	}
	return nil
}

// warnSpread warns of uncertainties, none of which a mix command carries.
func (r *mixRun) warnSpread(fs *pflag.FlagSet) {
	r.ans.Warnings = append(r.ans.Warnings, unusedSpread(fs)...)
}

// waterFault names the flag behind a seawater relation's range error: that of the
// salinity, or that of the temperature.
func waterFault(err error, salinityFlag, tempFlag string) error {
	var out *salinity.RangeError
	if err == nil || !errors.As(err, &out) {
		return usage(err)
	}
	if out.Argument == "temperature" {
		return usagef("%s: %w", tempFlag, err)
	}
	return usagef("%s: %w", salinityFlag, err)
}

// checkWater refuses a salinity or temperature out of the range of density, by the
// flag it came from.
func checkWater(s units.Practical, t units.Celsius, salinityFlag, tempFlag string) error {
	_, err := salinity.Density(s, t)
	return waterFault(err, salinityFlag, tempFlag)
}

// poured prints an amount of water that goes into a mix: no vat is filled with more than
// stands beside its brim.
func (r *mixRun) poured(l units.Litres, round units.Rounding) string {
	if r.vat != nil && r.vat.Capacity > 0 && l > r.vat.Capacity*(1-1e-9) {
		round = units.Down
	}
	return r.sys.Volume(float64(l), round)
}

// held describes water that is there: its litres rounded down, as stock has them.
func (r *mixRun) held(w mixing.Water) string {
	return fmt.Sprintf("%s of salinity %s at %s", r.poured(w.Volume, units.Down), salinityText(w.Salinity), r.sys.Temperature(float64(w.Temperature)))
}

// waterLine describes a parcel in words.
func (r *mixRun) waterLine(w mixing.Water) string {
	return fmt.Sprintf("%s of salinity %s at %s", r.poured(w.Volume, units.Nearest), salinityText(w.Salinity), r.sys.Temperature(float64(w.Temperature)))
}
