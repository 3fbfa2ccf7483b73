package main

import (
	"fmt"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/salinity"
)

// ammoniaOptions is what the ammonia command was asked.
type ammoniaOptions struct {
	total, ph, temp, salinity                   *quantityFlag
	change, newPH, newTotal, newTemp, newSaline *quantityFlag
	alkalinity, newAlkalinity                   *quantityFlag
	as                                          *choice
}

// maxDKH is above any water that animals live in: 36 meq/L.
const maxDKH = 100

func newAmmoniaCmd(a *app) *cobra.Command {
	o := &ammoniaOptions{}
	c := &cobra.Command{
		Use:   "ammonia --total <concentration> --ph <pH> --temp <temperature> --salinity <salinity>",
		Short: "un-ionised ammonia now and after a water change, beside the criteria",
		Long: `Only the un-ionised part of ammonia (NH3) gets into animals at once; how large it
is depends on pH above all, then on temperature and salinity. This shows it now
and, with --change, after a change, beside the saltwater criteria.

When waters mix, alkalinity and dissolved carbon are conserved, and the pH follows
from them. The higher of the two pHs is shown as the worst case, and counts where
the carbonate constants do not reach (salinity 19 to 42, 2 to 35 °C). Air brings
the new water to the pH of the room's own carbon dioxide, not to the tank's; no
gas exchange is counted.

` + exitHelp + ` No: now
or after the change it is above the four-day criterion, or the change raises it.`,
		Example: `  tidehold ammonia --total 1mg/L --ph 8.1 --temp 25C --salinity 35
  tidehold ammonia --total 1mg/L --ph 7.8 --temp 25C --salinity 35 --change 25% --new-ph 8.3`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			if err := need(c.Flags(), "total", "ph", "temp", "salinity"); err != nil {
				return err
			}
			for _, f := range []string{"new-ph", "new-total", "new-temp", "new-salinity", "new-alkalinity", "alkalinity"} {
				if c.Flags().Changed(f) && !o.change.Given {
					return usagef("--%s says what waters are mixed, but no change is asked for; add --change, e.g. --change 25%%", f)
				}
			}
			return runAmmonia(a, o, c.Flags())
		},
	}
	fs := c.Flags()
	o.total = quantity(fs, "total", units.Concentration, 0, 1e9, "total ammonia as the test shows it, e.g. 1mg/L")
	o.as = choiceVar(fs, "as", "n", "what the test reports ammonia as", "n", "nh3", "nh4")
	o.ph = quantity(fs, "ph", units.Number, 0, 14, "pH of the water")
	o.temp = quantity(fs, "temp", units.Temperature, -273, 1000, "temperature of the water")
	o.salinity = quantity(fs, "salinity", units.Salinity, 0, 1000, "practical salinity of the water")
	o.alkalinity = quantity(fs, "alkalinity", units.Alkalinity, 0, maxDKH, "alkalinity of the water, e.g. 8dKH (default: natural seawater's)")
	o.change = quantity(fs, "change", units.Share, 0, 1, "share of the water to be replaced, e.g. 25%")
	o.newPH = quantity(fs, "new-ph", units.Number, 0, 14, "pH of the new water (default: the same)")
	o.newTotal = quantity(fs, "new-total", units.Concentration, 0, 1e9, "total ammonia of the new water (default: none)")
	o.newTemp = quantity(fs, "new-temp", units.Temperature, -273, 1000, "temperature of the new water (default: the same)")
	o.newSaline = quantity(fs, "new-salinity", units.Salinity, 0, 1000, "salinity of the new water (default: the same)")
	o.newAlkalinity = quantity(fs, "new-alkalinity", units.Alkalinity, 0, maxDKH, "alkalinity of the new water (default: the same)")
	return c
}

func runAmmonia(a *app, o *ammoniaOptions, fs *pflag.FlagSet) error {
	now := salinity.AmmoniaWater{TotalN: o.asNitrogen(o.total), PH: o.ph.Value,
		Salinity: units.Practical(o.salinity.Value), Temperature: units.Celsius(o.temp.Value)}
	ans := answer{Command: "ammonia", Title: "Un-ionised ammonia", Warnings: append(o.reportingLimit(), unusedSpread(fs)...)}
	if o.as.Value == "n" {
		ans.assume("total ammonia is given as", "nitrogen (N)", "common practice of laboratory reports; a test that reports NH3 or NH4 needs --as")
	}
	res, assumed, err := o.answer(now)
	if err != nil {
		return err
	}
	ans.Assumptions = append(append(ans.Assumptions, assumed...), res.Assumptions...)
	ans.Warnings = append(ans.Warnings, res.Warnings...)
	ans.Result, ans.Blocks, ans.More, ans.No = res, ammoniaBlocks(o, res), formulaBlocks(res), res.no()
	return a.print(ans)
}

// answer works out the water and, where one is asked for, the change.
func (o *ammoniaOptions) answer(now salinity.AmmoniaWater) (ammoniaResult, []refs.Assumption, error) {
	if o.change.Given {
		return o.afterChange(now)
	}
	n, err := salinity.UnionisedAmmonia(now)
	if err != nil {
		return ammoniaResult{}, nil, waterFault(err, "--salinity", "--temp")
	}
	return ammoniaResult{Ammonia: n}, nil, nil
}

// asNitrogen converts what the test reports to mg/L of nitrogen.
func (o *ammoniaOptions) asNitrogen(q *quantityFlag) float64 {
	mg := q.Value / units.UgPerMg // concentrations are parsed in µg/L
	// the basis that has no ratio is nitrogen itself
	if r, ok := refs.RatioByID(o.as.Value + "_per_n"); ok {
		return mg / r.Value
	}
	return mg
}

// reportingLimit warns that the total is only known to be lower.
func (o *ammoniaOptions) reportingLimit() []string {
	if !o.total.Below {
		return nil
	}
	return []string{fmt.Sprintf("--total %s is a reporting limit: the true value is lower, and so is the un-ionised part", o.total.Text)}
}
