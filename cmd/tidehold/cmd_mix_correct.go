package main

import (
	"github.com/spf13/cobra"

	"tidehold/refs/units"
	"tidehold/salinity/mixing"
)

// correctOptions is what mix correct was asked.
type correctOptions struct {
	volume, salinity, temp, to, brim, fill, source *quantityFlag
	salt                                           *saltFlags
	store                                          *string
}

// correctResult is the correction with bags, money and marks.
type correctResult struct {
	mixing.Correction
	mixing.Bill
	Marks []fillMark `json:"fill_marks"`
}

// adding is how the water to add is rounded: never past the brim that some had to be
// removed for.
func (c correctResult) adding() units.Rounding {
	if c.Remove > 0 {
		return units.Down
	}
	return units.Nearest
}

func newMixCorrectCmd(a *app) *cobra.Command {
	o := &correctOptions{}
	c := &cobra.Command{
		Use:   "correct --volume <volume> --salinity <salinity> --temp <temperature> --to <salinity> [--brim <volume>] [--dose <salt dose>]",
		Short: "bring a vat to a salinity, up with salt or down with purified water",
		Long: `What to add to a vat whose water is too fresh or too salty; with --fill also to
top it up to a volume. Nothing is removed unless the brim forces it.

This is for a vat without animals. A system with animals is moved by changes of
water, within its limits: see tidehold mix match --system-volume.

` + exitHelp,
		Example: `  tidehold mix correct --volume 300L --salinity 33 --temp 25C --to 35 --brim 310L --dose 38.4g/L
  tidehold mix correct --demo --store vat-a --to 35 --fill 420L`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error { return runMixCorrect(a, c, o) },
	}
	fs := c.Flags()
	o.volume = quantity(fs, "volume", units.Volume, 0, 1e9, "water in the vat")
	o.salinity = quantity(fs, "salinity", units.Salinity, 0, 1000, "its practical salinity")
	o.temp = quantity(fs, "temp", units.Temperature, -273, 1000, "its temperature")
	o.to = quantity(fs, "to", units.Salinity, 0, 1000, "practical salinity wanted")
	o.brim = quantity(fs, "brim", units.Volume, 0, 1e9, "the most the vat holds")
	o.fill = quantity(fs, "fill", units.Volume, 0, 1e9, "volume wanted afterwards (default: as it comes out)")
	o.source = quantity(fs, "source-temp", units.Temperature, -273, 1000, "temperature of the purified water (default: that of the vat)")
	o.salt = newSaltFlags(fs)
	o.store = storeFlag(fs)
	return c
}

func runMixCorrect(a *app, c *cobra.Command, o *correctOptions) error {
	r, err := a.begin("correct", "Correcting a vat", *o.store)
	if err != nil {
		return err
	}
	if err := r.needsFlags(c, "volume", "salinity", "temp"); err != nil {
		return err
	}
	if err := need(c.Flags(), "to"); err != nil {
		return err
	}
	water := mixing.Water{Volume: units.Litres(o.volume.Value), Salinity: units.Practical(o.salinity.Value), Temperature: units.Celsius(o.temp.Value)}
	m := mixing.Means{Brim: units.Litres(o.brim.Value), Fill: units.Litres(o.fill.Value)}
	if r.vat != nil {
		v := r.vat.water()
		water.Volume = units.Litres(o.volume.Or(float64(v.Volume)))
		water.Salinity = units.Practical(o.salinity.Or(float64(v.Salinity)))
		water.Temperature = units.Celsius(o.temp.Or(float64(v.Temperature)))
		m.Brim = units.Litres(o.brim.Or(float64(r.vat.Capacity)))
	} else if !o.brim.Given {
		r.assume("room in the vat", "enough", "no --brim given: nothing is removed first")
	}
	m.Source = units.Celsius(o.source.Or(float64(water.Temperature)))
	to := units.Practical(o.to.Value)
	if err := o.check(water, to, m); err != nil {
		return err
	}
	mix, err := o.salt.resolve(r)
	if err != nil {
		return err
	}
	if mix != nil {
		m.Dose = &mix.dose
	} else if to > water.Salinity {
		return mix.need()
	}
	r.warnSpread(c.Flags())
	res := correctResult{}
	if res.Correction, err = mixing.Correct(water, to, m); err != nil {
		return usage(err)
	}
	if res.AddWater > 0 && !o.source.Given {
		r.assume("temperature of the purified water", r.sys.Temperature(float64(m.Source)), "not given: taken as that of the vat")
	}
	return r.correction(res, water, mix)
}

// check names the flag behind water that no relation covers.
func (o *correctOptions) check(water mixing.Water, to units.Practical, m mixing.Means) error {
	if err := checkWater(water.Salinity, water.Temperature, "--salinity", "--temp"); err != nil {
		return err
	}
	if err := checkWater(to, water.Temperature, "--to", "--temp"); err != nil {
		return err
	}
	return checkWater(0, m.Source, "--source-temp", "--source-temp")
}

// correction writes the order of work and prints.
func (r *mixRun) correction(res correctResult, water mixing.Water, mix *saltMix) error {
	if mix == nil {
		mix = &saltMix{}
	}
	var err error
	if res.Bill, err = mixing.BillFor(res.AddSaltKg, mix.bagKg, mix.price); err != nil {
		return usagef("--bag: %w", err)
	}
	left := r.mark("after removing", res.Left)
	topped := r.mark("after adding water", res.Left+res.AddWater)
	done := r.mark("finished", res.Volume)
	switch {
	case res.Remove > 0:
		res.Marks = r.marks(left, topped, done)
	case res.AddWater > 0:
		res.Marks = r.marks(topped, done)
	default:
		res.Marks = r.marks(done)
	}
	if res.Remove > 0 {
		r.do("Remove %s%s.", r.poured(res.Remove, units.Up), r.upTo(left))
	}
	if res.AddWater > 0 {
		r.do("Add %s of purified water%s, with the pump running.", r.poured(res.AddWater, res.adding()), r.upTo(topped))
	}
	r.addSalt(res.AddSaltKg, mix, res.Bill)
	if len(r.steps) > 0 {
		r.coverAndMeasure(res.Salinity)
	}
	return r.finish(res, r.correctBlocks(res, water)...)
}

func (r *mixRun) correctBlocks(res correctResult, water mixing.Water) []block {
	after := mixing.Water{Volume: res.Volume, Salinity: res.Salinity, Temperature: res.Temperature}
	if res.Remove == 0 && res.AddWater == 0 && res.AddSaltKg == 0 {
		return []block{para("Nothing to do: the vat is %s already.", r.waterLine(water))}
	}
	g := grid{Header: []string{"what it takes", "amount"}, Right: []int{1}}
	if res.Remove > 0 {
		g.Rows = append(g.Rows, []string{"remove first", r.poured(res.Remove, units.Up)})
	}
	if res.AddWater > 0 {
		g.Rows = append(g.Rows, []string{"purified water to add", r.poured(res.AddWater, res.adding())})
	}
	if res.AddSaltKg > 0 {
		g.Rows = append(g.Rows, []string{"salt mix to add", r.sys.MassToPour(res.AddSaltKg, units.Up)})
		g.Rows = append(g.Rows, r.billRows(res.Bill)...)
	}
	var do []string
	if res.Remove > 0 {
		do = append(do, "remove "+r.poured(res.Remove, units.Up))
	}
	if res.AddWater > 0 {
		do = append(do, "add "+r.poured(res.AddWater, res.adding())+" of purified water")
	}
	if res.AddSaltKg > 0 {
		do = append(do, "add "+r.sys.MassToPour(res.AddSaltKg, units.Up)+" of salt mix")
	}
	r.detail(tableBlock(g))
	r.detail(r.markBlocks(res.Marks)...)
	return []block{para("From %s to %s: %s.%s", r.held(water), r.waterLine(after), listed(do), r.bill(res.Bill))}
}
