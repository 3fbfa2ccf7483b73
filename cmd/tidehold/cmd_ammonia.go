package main

import (
	"fmt"
	"slices"

	"github.com/spf13/cobra"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/salinity"
	"tidehold/salinity/mixing"
)

// ammoniaOptions is what the ammonia command was asked.
type ammoniaOptions struct {
	total, ph, temp, salinity                   *quantityFlag
	change, newPH, newTotal, newTemp, newSaline *quantityFlag
	as                                          *choice
}

// ammoniaResult is the water now and, where a change was asked for, after it.
type ammoniaResult struct {
	salinity.Ammonia
	// After is nil without a change; Rises says that it is worse than now.
	After *salinity.Ammonia `json:"after"`
	Rises *bool             `json:"rises"`
}

// ugPerMg: concentrations are parsed in µg/L.
const ugPerMg = 1000

func newAmmoniaCmd(a *app) *cobra.Command {
	o := &ammoniaOptions{}
	c := &cobra.Command{
		Use:   "ammonia --total <concentration> --ph <pH> --temp <temperature> --salinity <salinity>",
		Short: "un-ionised ammonia now and after a water change, beside the criteria",
		Long: `Only the un-ionised part of ammonia (NH3) gets into animals at once; how large it
is depends on pH above all, then on temperature and salinity. This shows it now
and, with --change, after a change, beside the saltwater criteria.

pH does not average when waters mix: after a change the higher of the two counts.
Fresh saltwater with a higher pH can make matters worse although it removes
ammonia; the answer says so.

` + exitHelp,
		Example: `  tidehold ammonia --total 1mg/L --ph 8.1 --temp 25C --salinity 35
  tidehold ammonia --total 1mg/L --ph 7.8 --temp 25C --salinity 35 --change 25% --new-ph 8.3`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			if err := need(c.Flags(), "total", "ph", "temp", "salinity"); err != nil {
				return err
			}
			for _, f := range []string{"new-ph", "new-total", "new-temp", "new-salinity"} {
				if c.Flags().Changed(f) && !o.change.Given {
					return usagef("--%s says what the new water is, but no change is asked for; add --change, e.g. --change 25%%", f)
				}
			}
			return runAmmonia(a, o)
		},
	}
	fs := c.Flags()
	o.total = quantity(fs, "total", units.Concentration, 0, 1e9, "total ammonia as the test shows it, e.g. 1mg/L")
	o.as = choiceVar(fs, "as", "n", "what the test reports ammonia as", "n", "nh3", "nh4")
	o.ph = quantity(fs, "ph", units.Number, 0, 14, "pH of the water")
	o.temp = quantity(fs, "temp", units.Temperature, -273, 1000, "temperature of the water")
	o.salinity = quantity(fs, "salinity", units.Salinity, 0, 1000, "practical salinity of the water")
	o.change = quantity(fs, "change", units.Share, 0, 1, "share of the water to be replaced, e.g. 25%")
	o.newPH = quantity(fs, "new-ph", units.Number, 0, 14, "pH of the new water (default: the same)")
	o.newTotal = quantity(fs, "new-total", units.Concentration, 0, 1e9, "total ammonia of the new water (default: none)")
	o.newTemp = quantity(fs, "new-temp", units.Temperature, -273, 1000, "temperature of the new water (default: the same)")
	o.newSaline = quantity(fs, "new-salinity", units.Salinity, 0, 1000, "salinity of the new water (default: the same)")
	return c
}

func runAmmonia(a *app, o *ammoniaOptions) error {
	now := salinity.AmmoniaWater{TotalN: o.asNitrogen(o.total), PH: o.ph.Value,
		Salinity: units.Practical(o.salinity.Value), Temperature: units.Celsius(o.temp.Value)}
	ans := answer{Command: "ammonia", Title: "Un-ionised ammonia", Warnings: o.spreads()}
	if o.as.Value == "n" {
		ans.Assumptions = append(ans.Assumptions, refs.Assumption{What: "total ammonia is given as", Value: "nitrogen (N)",
			Source: "common practice of laboratory reports; a test that reports NH3 or NH4 needs --as"})
	}
	var res ammoniaResult
	if o.change.Given {
		c, assumed, err := o.afterChange(now)
		if err != nil {
			return err
		}
		res = ammoniaResult{Ammonia: c.Now, After: &c.After, Rises: &c.Rises}
		ans.Assumptions = append(ans.Assumptions, assumed...)
		for _, w := range c.After.Warnings { // those that the change adds; the rest are of the formula
			if !slices.Contains(c.Now.Warnings, w) {
				ans.Warnings = append(ans.Warnings, w)
			}
		}
	} else {
		n, err := salinity.UnionisedAmmonia(now)
		if err != nil {
			return waterFault(err, "--salinity", "--temp")
		}
		res = ammoniaResult{Ammonia: n}
	}
	ans.Assumptions = append(ans.Assumptions, res.Assumptions...)
	ans.Warnings = append(ans.Warnings, res.Warnings...)
	ans.Result, ans.Blocks = res, ammoniaBlocks(o, res)
	return a.print(ans)
}

// asNitrogen converts what the test reports to mg/L of nitrogen.
func (o *ammoniaOptions) asNitrogen(q *quantityFlag) float64 {
	mg := q.Value / ugPerMg
	// the basis that has no ratio is nitrogen itself
	if r, ok := refs.RatioByID(o.as.Value + "_per_n"); ok {
		return mg / r.Value
	}
	return mg
}

// spreads warns of what is not carried into the answer.
func (o *ammoniaOptions) spreads() []string {
	var out []string
	if o.total.Below {
		out = append(out, fmt.Sprintf("--total %s is a reporting limit: the true value is lower, and so is the un-ionised part", o.total.Text))
	}
	return append(out, unusedSpread(map[string]*quantityFlag{"total": o.total, "ph": o.ph, "temp": o.temp, "salinity": o.salinity,
		"new-ph": o.newPH, "new-total": o.newTotal, "new-temp": o.newTemp, "new-salinity": o.newSaline})...)
}

// afterChange blends the two waters and works out both.
func (o *ammoniaOptions) afterChange(now salinity.AmmoniaWater) (salinity.AmmoniaChange, []refs.Assumption, error) {
	fresh := salinity.AmmoniaWater{TotalN: o.asNitrogen(o.newTotal), PH: o.newPH.Or(now.PH),
		Salinity: units.Practical(o.newSaline.Or(float64(now.Salinity))), Temperature: units.Celsius(o.newTemp.Or(float64(now.Temperature)))}
	var assumed []refs.Assumption
	for _, d := range []struct {
		flag        *quantityFlag
		what, value string
	}{
		{o.newPH, "pH of the new water", units.Fixed(now.PH, 2)},
		{o.newTotal, "ammonia in the new water", "none"},
		{o.newTemp, "temperature of the new water", units.Metric.Temperature(float64(now.Temperature))},
		{o.newSaline, "salinity of the new water", units.Fixed(float64(now.Salinity), 1)},
	} {
		if !d.flag.Given {
			assumed = append(assumed, refs.Assumption{What: d.what, Value: d.value, Source: "not given: taken as that of the system, ammonia as none"})
		}
	}
	var none salinity.AmmoniaChange
	f := o.change.Value
	mix, err := mixing.Blend(
		mixing.Water{Volume: units.Litres(1 - f), Salinity: now.Salinity, Temperature: now.Temperature},
		mixing.Water{Volume: units.Litres(f), Salinity: fresh.Salinity, Temperature: fresh.Temperature})
	if err != nil {
		return none, nil, waterFault(err, "--salinity or --new-salinity", "--temp or --new-temp")
	}
	c, err := salinity.AmmoniaAfterChange(now, fresh, f, mix.Salinity, mix.Temperature)
	if err != nil {
		return none, nil, waterFault(err, "--salinity", "--temp")
	}
	return c, assumed, nil
}

// ammoniaBlocks says the answer first, then the criteria and the spread.
func ammoniaBlocks(o *ammoniaOptions, res ammoniaResult) []block {
	blocks := []block{para("Un-ionised ammonia is %s as NH3: %s of the total at pH %s.",
		milligrams(res.NH3), units.Percent(res.Fraction, 1), units.Fixed(res.PH, 2))}
	if res.After != nil {
		blocks = append(blocks, afterBlock(o, res))
	}
	blocks = append(blocks, criteriaBlocks(res)...)
	g := grid{Title: "The same total by every published formula", Header: []string{"formula", "pH scale", "un-ionised share", "as NH3"}, Right: []int{2, 3}}
	for _, alt := range res.Alternatives {
		g.Rows = append(g.Rows, []string{string(alt.Method), alt.PHScale, units.Percent(alt.Fraction, 2), milligrams(alt.NH3)})
	}
	return append(blocks, tableBlock(g))
}

func afterBlock(o *ammoniaOptions, res ammoniaResult) block {
	verdict := "That is less than now."
	if *res.Rises {
		verdict = "That is MORE than now: do not do this change as it is. Bring the new water to the pH and temperature of the old first."
	}
	return para("After changing %s: %s as NH3, counted at pH %s, the higher of the two. %s",
		units.Percent(o.change.Value, 0), milligrams(res.After.NH3), units.Fixed(res.After.PH, 2), verdict)
}

// criteriaBlocks sets each state beside the criteria, by their own formula.
func criteriaBlocks(res ammoniaResult) []block {
	g := grid{Title: "Beside the saltwater criteria of US EPA 440/5-88-004 (1989), by their formula",
		Header: []string{"", "un-ionised, as NH3", "1 hour: " + milligrams(salinity.AmmoniaAcute), "4 days: " + milligrams(salinity.AmmoniaChronic)}, Right: []int{1}}
	row := func(name string, am *salinity.Ammonia) {
		if am == nil || am.Criteria == nil {
			return
		}
		g.Rows = append(g.Rows, []string{name, milligrams(am.Criteria.NH3), aboveOrBelow(am.Criteria.AboveAcute), aboveOrBelow(am.Criteria.AboveChronic)})
	}
	row("now", &res.Ammonia)
	row("after the change", res.After)
	if len(g.Rows) == 0 {
		return nil
	}
	return []block{tableBlock(g), para("The criteria are set for wild waters; none is a limit for captive animals.")}
}

func aboveOrBelow(above bool) string {
	if above {
		return "ABOVE"
	}
	return "not above"
}

// milligrams prints mg/L to three significant digits.
func milligrams(mg float64) string { return units.Significant(mg, 3) + " mg/L" }
