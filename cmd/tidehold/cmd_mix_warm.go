package main

import (
	"math"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"tidehold/refs/units"
	"tidehold/salinity/mixing"
)

// heatFlags describe a heater and what its vat loses.
type heatFlags struct {
	watts, room, loss *quantityFlag
}

func newHeatFlags(fs *pflag.FlagSet) *heatFlags {
	return &heatFlags{
		watts: quantity(fs, "heater", units.Power, 0, 1e7, "power of the vat's heater, e.g. 300W"),
		room:  quantity(fs, "room", units.Temperature, -60, 60, "temperature of the room"),
		loss:  quantity(fs, "loss", units.HeatLoss, 0, 1e6, "what the vat loses to the room, e.g. 6W/K"),
	}
}

// fill completes a heating from the flags and the vat. It is false when there is
// no heater to speak of.
func (r *mixRun) fill(f *heatFlags, h *mixing.Heating) (bool, error) {
	h.Watts, h.LossWK = f.watts.Value, f.loss.Value
	given := f.watts.Given
	lossKnown := f.loss.Given
	if r.vat != nil {
		if !given && r.vat.HeaterW > 0 {
			h.Watts, given = r.vat.HeaterW, true
		}
		if !lossKnown && r.vat.HeatLossWK != nil {
			h.LossWK, lossKnown = *r.vat.HeatLossWK, true
		}
	}
	if !given {
		return false, nil
	}
	if !lossKnown {
		r.assume("heat lost to the room", "none", "not given: the time is the shortest possible; find the loss with a cooling test and give --loss")
		return true, nil
	}
	if h.LossWK > 0 && !f.room.Given {
		return true, usagef("--room is missing; the loss of %s W/K needs the temperature of the room, e.g. --room 19C", units.Significant(h.LossWK, 3))
	}
	h.Room = units.Celsius(f.room.Value)
	return true, nil
}

// heating works a heating out and writes its steps; nil without a heater.
func (r *mixRun) heating(f *heatFlags, h mixing.Heating) (*mixing.Warming, error) {
	ok, err := r.fill(f, &h)
	if err != nil || !ok {
		return nil, err
	}
	w, err := mixing.Warm(h)
	if err != nil {
		return nil, waterFault(err, "--salinity", "--temp")
	}
	r.heatingSteps(h.To, w, h.Watts)
	return &w, nil
}

// warmOptions is what mix warm was asked.
type warmOptions struct {
	volume, salinity, from, to, within *quantityFlag
	heat                               *heatFlags
	store                              *string
}

// warmResult is how long it takes and what a deadline needs.
type warmResult struct {
	mixing.Warming
	HeaterW float64 `json:"heater_w"`
	// InTime says that a deadline is kept; nil without one. WattsNeeded keeps it.
	InTime      *bool    `json:"in_time"`
	WattsNeeded *float64 `json:"watts_needed"`
}

func newMixWarmCmd(a *app) *cobra.Command {
	o := &warmOptions{}
	c := &cobra.Command{
		Use:   "warm --volume <volume> --from <temperature> --to <temperature> --heater <power>",
		Short: "how long a vat heater takes, and whether it can do it at all",
		Long: `How long a heater takes to warm a vat, with what the vat loses to the room, and
whether it ever gets there. With --within, which heater would make it in time.

` + exitHelp + ` No: never warm enough, or not in time.`,
		Example: `  tidehold mix warm --volume 400L --from 18C --to 25C --heater 600W --room 16C --loss 8W/K
  tidehold mix warm --demo --store vat-a --to 25.5C --room 14C --within 6h`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error { return runMixWarm(a, c, o) },
	}
	fs := c.Flags()
	o.volume = quantity(fs, "volume", units.Volume, 0, 1e9, "water in the vat")
	o.salinity = quantity(fs, "salinity", units.Salinity, 0, 1000, "its practical salinity (default 35)")
	o.from = quantity(fs, "from", units.Temperature, -273, 1000, "temperature now")
	o.to = quantity(fs, "to", units.Temperature, -273, 1000, "temperature wanted")
	o.within = quantity(fs, "within", units.Duration, 0, 1e5, "time there is")
	o.heat = newHeatFlags(fs)
	o.store = storeFlag(fs)
	return c
}

func runMixWarm(a *app, c *cobra.Command, o *warmOptions) error {
	r, err := a.begin("warm", "Warming a vat", *o.store)
	if err != nil {
		return err
	}
	if err := r.needsFlags(c, "volume", "from"); err != nil {
		return err
	}
	if err := need(c.Flags(), "to"); err != nil {
		return err
	}
	h := o.heatingOf(r)
	if err := checkWater(h.Water.Salinity, h.Water.Temperature, "--salinity", "--from"); err != nil {
		return err
	}
	if err := checkWater(h.Water.Salinity, h.To, "--salinity", "--to"); err != nil {
		return err
	}
	ok, err := r.fill(o.heat, &h)
	if err != nil {
		return err
	}
	if !ok {
		return usagef("--heater is missing; write --heater <power>, e.g. --heater 300W")
	}
	r.warnSpread(c.Flags())
	res := warmResult{HeaterW: h.Watts}
	if res.Warming, err = mixing.Warm(h); err != nil {
		return usagef("--to: %w", err)
	}
	if o.within.Given {
		watts, err := mixing.WattsFor(h, o.within.Value)
		if err != nil {
			return usagef("--within: %w", err)
		}
		inTime := res.Possible && *res.Hours <= o.within.Value*(1+1e-9)
		res.WattsNeeded, res.InTime = &watts, &inTime
	}
	r.ans.No = !res.Possible || res.InTime != nil && !*res.InTime
	r.heatingSteps(h.To, res.Warming, h.Watts)
	return r.finish(res, r.warmBlocks(o, h, res)...)
}

// heatingOf reads the water from the flags and the vat.
func (o *warmOptions) heatingOf(r *mixRun) mixing.Heating {
	w := mixing.Water{Volume: units.Litres(o.volume.Value), Salinity: units.Practical(o.salinity.Or(mixing.LabelSalinity)), Temperature: units.Celsius(o.from.Value)}
	if r.vat != nil {
		v := r.vat.water()
		w.Volume = units.Litres(o.volume.Or(float64(v.Volume)))
		w.Salinity = units.Practical(o.salinity.Or(float64(v.Salinity)))
		w.Temperature = units.Celsius(o.from.Or(float64(v.Temperature)))
	} else if !o.salinity.Given {
		r.assume("salinity of the water", units.Fixed(mixing.LabelSalinity, 0), "not given; fresh water takes 2 % longer")
	}
	return mixing.Heating{Water: w, To: units.Celsius(o.to.Value)}
}

func (r *mixRun) warmBlocks(o *warmOptions, h mixing.Heating, res warmResult) []block {
	from, to := r.sys.Temperature(float64(h.Water.Temperature)), r.sys.Temperature(float64(h.To))
	volume := r.sys.Volume(float64(h.Water.Volume), units.Nearest)
	var answer block
	switch {
	case !res.Possible && res.Highest == nil:
		answer = para("No: without a heater nothing warms %s from %s to %s.", volume, from, to)
	case !res.Possible:
		answer = para("No: %s W never warms %s to %s. It ends at %s; holding %s alone takes %s W.",
			units.Fixed(res.HeaterW, 0), volume, to, r.sys.Temperature(float64(*res.Highest)), to, units.Fixed(units.Up.To(res.HoldW, 1), 0))
	default:
		atLeast := ""
		if h.LossWK == 0 {
			atLeast = "at least "
		}
		answer = para("%s W warms %s from %s to %s in %s%s.", units.Fixed(res.HeaterW, 0), volume, from, to, atLeast, units.Hours(*res.Hours))
	}
	g := grid{Header: []string{"", "value"}, Right: []int{1}}
	first := "warms at first, per hour"
	if res.FirstKPerH < 0 {
		first = "cools at first, per hour"
	}
	g.Rows = append(g.Rows, []string{first, r.sys.TempStep(math.Abs(res.FirstKPerH))})
	if res.EnergyKWh != nil {
		g.Rows = append(g.Rows, []string{"energy used", units.Fixed(*res.EnergyKWh, 1) + " kWh"})
	}
	if h.LossWK > 0 {
		g.Rows = append(g.Rows, []string{"power that only holds " + to, units.Fixed(res.HoldW, 0) + " W"})
		g.Rows = append(g.Rows, []string{"would settle at, if left on", r.sys.Temperature(float64(*res.Highest))})
	}
	blocks := []block{answer, tableBlock(g)}
	if res.InTime == nil {
		return blocks
	}
	verdict := "In time."
	if !*res.InTime {
		verdict = "Not in time."
	}
	return append(blocks, para("%s Warming it within %s takes %s W.", verdict, units.Hours(o.within.Value), units.Fixed(units.Up.To(*res.WattsNeeded, 1), 0)))
}
