package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"tidehold/refs/units"
	"tidehold/salinity/mixing"
)

// batchOptions are what new and from have in common.
type batchOptions struct {
	salinity, temp, source *quantityFlag
	salt                   *saltFlags
	heat                   *heatFlags
	store                  *string
}

func newBatchOptions(fs *pflag.FlagSet) *batchOptions {
	o := &batchOptions{}
	o.salinity = quantity(fs, "salinity", units.Salinity, 0, 1000, "practical salinity wanted")
	o.temp = quantity(fs, "temp", units.Temperature, -273, 1000, "temperature wanted")
	o.source = quantity(fs, "source-temp", units.Temperature, -273, 1000, "temperature of the purified water (default: that wanted)")
	o.salt = newSaltFlags(fs)
	o.heat = newHeatFlags(fs)
	o.store = storeFlag(fs)
	return o
}

// batchResult is a batch with what it means in bags, money, hours and marks.
type batchResult struct {
	mixing.Batch
	mixing.Bill
	// Heating is nil when nothing has to be warmed or no heater was given.
	Heating *mixing.Warming `json:"heating"`
	Marks   []fillMark      `json:"fill_marks"`
}

func newMixNewCmd(a *app) *cobra.Command {
	var volume *quantityFlag
	var o *batchOptions
	c := &cobra.Command{
		Use:   "new --volume <volume> --salinity <salinity> --temp <temperature> --dose <salt dose>",
		Short: "salt and purified water for a new batch",
		Long: `Salt and purified water for a batch of saltwater of a volume, salinity and
temperature. Salt takes up room and water changes its volume with temperature:
both are counted. The share of the mix that is salt comes from its own dose.

` + exitHelp,
		Example: `  tidehold mix new --volume 200L --salinity 35 --temp 25C --source-temp 18C --dose 38.4g/L
  tidehold mix new --demo --store vat-a --volume 300L`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			r, err := a.begin("new", "A new batch of saltwater", *o.store)
			if err != nil {
				return err
			}
			if err := r.needsFlags(c, "volume", "salinity", "temp"); err != nil {
				return err
			}
			if r.vat != nil && !volume.Given {
				r.assume("volume", r.sys.Volume(float64(r.vat.Capacity), units.Down), "all that "+r.vat.ID+" holds")
			}
			v := units.Litres(volume.Value)
			if r.vat != nil {
				v = units.Litres(volume.Or(float64(r.vat.Capacity)))
			}
			if err := r.fits("--volume", v); err != nil {
				return err
			}
			r.warnSpread(c.Flags())
			return r.batch(o, func(rc mixing.Recipe) (mixing.Batch, error) {
				return mixing.New(v, rc.Salinity, rc.Temperature, rc.Source, rc.Dose)
			})
		},
	}
	volume = quantity(c.Flags(), "volume", units.Volume, 0, 1e9, "finished volume")
	o = newBatchOptions(c.Flags())
	return c
}

func newMixFromCmd(a *app) *cobra.Command {
	var water, kg *quantityFlag
	var o *batchOptions
	c := &cobra.Command{
		Use:   "from (--water <volume> | --salt-mass <mass>) --salinity <salinity> --temp <temperature> --dose <salt dose>",
		Short: "what the purified water, or the salt, on hand makes",
		Long: `What a volume of purified water makes and the salt for it, or what a weight of salt
makes and the water for it. With both, the one that runs out first counts.

` + exitHelp,
		Example: `  tidehold mix from --water 150L --salinity 35 --temp 25C --dose 38.4g/L
  tidehold mix from --salt-mass 5kg --salinity 35 --temp 25C --dose 38.4g/L`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			if !water.Given && !kg.Given && o.salt.id == "" {
				return usagef("--water and --salt-mass are missing; write --water <volume>, --salt-mass <mass> or both, or --salt <id> for all there is of a salt of the site")
			}
			r, err := a.begin("from", "What this makes", *o.store)
			if err == nil && !water.Given && !kg.Given {
				err = r.allOnHand(o.salt, kg)
			}
			if err != nil {
				return err
			}
			if err := r.needsFlags(c, "salinity", "temp"); err != nil {
				return err
			}
			r.warnSpread(c.Flags())
			return r.batch(o, func(rc mixing.Recipe) (mixing.Batch, error) { return fromWhatThereIs(r, water, kg, rc) })
		},
	}
	water = quantity(c.Flags(), "water", units.Volume, 0, 1e9, "purified water on hand, measured at --source-temp")
	kg = quantity(c.Flags(), "salt-mass", units.Mass, 0, 1e9, "salt mix on hand")
	o = newBatchOptions(c.Flags())
	return c
}

// allOnHand takes all there is of a salt of the site, where nothing else was said.
func (r *mixRun) allOnHand(s *saltFlags, kg *quantityFlag) error {
	ls, err := r.app.loadSite()
	if err != nil {
		return err
	}
	salt, err := findSalt(ls.Site, "salt", s.id)
	if err != nil {
		return err
	}
	if kg.Value = salt.OnHand.InexactFloat64(); kg.Value <= 0 {
		return usagef("none of the salt %s is on hand; write --salt-mass <mass> or --water <volume>", salt.ID)
	}
	kg.Given = true
	r.sys = r.app.displayUnits(ls.Site.Units)
	r.assume("salt-mass", r.sys.Mass(kg.Value, units.Down), "all that is on hand, by the site file and its journal")
	return nil
}

// fromWhatThereIs makes the smaller of the two batches.
func fromWhatThereIs(r *mixRun, water, kg *quantityFlag, rc mixing.Recipe) (mixing.Batch, error) {
	if !kg.Given {
		return mixing.FromWater(units.Litres(water.Value), rc)
	}
	bySalt, err := mixing.FromSalt(kg.Value, rc)
	if err != nil || !water.Given {
		return bySalt, err
	}
	byWater, err := mixing.FromWater(units.Litres(water.Value), rc)
	if err != nil || byWater.Volume <= bySalt.Volume {
		r.warn("the purified water runs out first: %s of salt are left over", r.sys.Mass(max(0, kg.Value-byWater.SaltKg), units.Down))
		return byWater, err
	}
	r.warn("the salt runs out first: %s of purified water are left over", r.sys.Volume(water.Value-float64(bySalt.Water), units.Down))
	return bySalt, nil
}

// recipe reads the flags, with what the vat gives where they are not set.
func (r *mixRun) recipe(o *batchOptions) (mixing.Recipe, *saltMix, error) {
	rc := mixing.Recipe{Salinity: units.Practical(o.salinity.Value), Temperature: units.Celsius(o.temp.Value)}
	if r.vat != nil {
		rc.Salinity = units.Practical(o.salinity.Or(float64(r.vat.Water.Salinity)))
		rc.Temperature = units.Celsius(o.temp.Or(float64(r.vat.Water.Temperature)))
	}
	rc.Source = units.Celsius(o.source.Or(float64(rc.Temperature)))
	if err := checkWater(rc.Salinity, rc.Temperature, "--salinity", "--temp"); err != nil {
		return rc, nil, err
	}
	if err := checkWater(0, rc.Source, "--source-temp", "--source-temp"); err != nil {
		return rc, nil, err
	}
	if !o.source.Given {
		r.assume("temperature of the purified water", r.sys.Temperature(float64(rc.Source)), "not given: taken as that wanted")
	}
	mix, err := o.salt.resolve(r)
	if err == nil {
		err = mix.need()
	}
	if err != nil {
		return rc, nil, err
	}
	rc.Dose = mix.dose
	return rc, mix, nil
}

// topUp is the command that fills the vat up to a batch's volume, as it is typed; none where
// the vat holds more already, for then it would pour water away.
func (r *mixRun) topUp(o *batchOptions, b mixing.Batch) string {
	if r.vat.now >= b.Volume {
		return ", and this batch is no more than that"
	}
	s := fmt.Sprintf(". To top it up: tidehold mix correct --store %s --to %s --fill %s", r.vat.ID, units.Trimmed(float64(b.Salinity), 4), strings.ReplaceAll(r.poured(b.Volume, units.Down), " ", ""))
	return s + o.salt.typed() + r.app.here()
}

// batch works one batch out and prints it.
func (r *mixRun) batch(o *batchOptions, worked func(mixing.Recipe) (mixing.Batch, error)) error {
	rc, mix, err := r.recipe(o)
	if err != nil {
		return err
	}
	b, err := worked(rc)
	if err != nil {
		return waterFault(err, "--salinity", "--temp")
	}
	if err := r.fits("the batch", b.Volume); err != nil {
		return err
	}
	res := batchResult{Batch: b}
	if res.Bill, err = mixing.BillFor(b.SaltKg, mix.bagKg, mix.price); err != nil {
		return usagef("--bag: %w", err)
	}
	in, full := r.mark("purified water in", b.Water), r.mark("finished batch", b.Volume)
	res.Marks = r.marks(in, full)
	if r.vat != nil && r.vat.now > 0 {
		r.warn("%s holds %s now; the marks are for an empty vat%s", r.vat.ID, r.sys.Volume(float64(r.vat.now), units.Down), r.topUp(o, b))
	}
	r.do("Put %s of purified water at %s into the clean, empty vat%s and start the pump.", r.poured(b.Water, units.Nearest), r.sys.Temperature(float64(rc.Source)), r.upTo(in))
	if rc.Temperature > rc.Source {
		h := mixing.Heating{Water: mixing.Water{Volume: b.Volume, Salinity: b.Salinity, Temperature: rc.Source}, To: rc.Temperature}
		if res.Heating, err = r.heating(o.heat, h); err != nil {
			return err
		}
	}
	r.addSalt(b.SaltKg, mix, res.Bill)
	r.coverAndMeasure(rc.Salinity)
	if rc.Source > rc.Temperature {
		r.do("Let it cool to %s, and use none before the thermometer in the vat says so.", r.sys.Temperature(float64(rc.Temperature)))
	}
	return r.finish(res, r.batchBlocks(res)...)
}

func (r *mixRun) batchBlocks(res batchResult) []block {
	made := mixing.Water{Volume: res.Volume, Salinity: res.Salinity, Temperature: res.Temperature}
	g := grid{Header: []string{"what it takes", "amount"}, Right: []int{1}, Rows: [][]string{
		{"purified water", r.poured(res.Water, units.Nearest)},
		{"salt mix", r.sys.MassToPour(res.SaltKg, units.Up)},
	}}
	g.Rows = append(g.Rows, r.billRows(res.Bill)...)
	switch {
	case res.HeatKWh > 0:
		g.Rows = append(g.Rows, []string{"heat, without losses", units.Fixed(res.HeatKWh, 1) + " kWh"})
	case res.HeatKWh < 0:
		g.Rows = append(g.Rows, []string{"heat to lose before use", units.Fixed(-res.HeatKWh, 1) + " kWh"})
	}
	r.detail(tableBlock(g))
	r.detail(r.markBlocks(res.Marks)...)
	return []block{para("%s of purified water and %s of salt mix make %s.%s", r.poured(res.Water, units.Nearest), r.sys.MassToPour(res.SaltKg, units.Up), r.waterLine(made), r.bill(res.Bill))}
}
