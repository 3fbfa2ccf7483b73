package main

import (
	"fmt"
	"math"
	"strings"

	"github.com/spf13/cobra"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/salinity"
)

// salinityOptions is what the salinity command was asked.
type salinityOptions struct {
	reading, with         readingText
	temp, withTemp        *quantityFlag
	alpha                 *quantityFlag
	expansion             *quantityFlag
	pressure              *quantityFlag
	pair, withPair        string
	instrument, withInstr *choice
	scale                 *choice
}

// salinityResult is one water in all forms, how that was found, and the second
// reading beside it.
type salinityResult struct {
	salinity.Forms
	Temperature float64                 `json:"temp_c"`
	Instrument  string                  `json:"instrument"`
	Method      string                  `json:"method"`
	Sources     []string                `json:"sources"`
	Budget      []salinity.Contribution `json:"budget"`
	With        *salinity.Determination `json:"with"`
	Agreement   *salinity.Agreement     `json:"agreement"`
}

func newSalinityCmd(a *app) *cobra.Command {
	o := &salinityOptions{}
	c := &cobra.Command{
		Use:   "salinity <reading> --temp <temperature>",
		Short: "one reading in all forms, with its uncertainty",
		Long: `Turns one reading of a float hydrometer, refractometer, conductivity meter or
density meter into practical salinity and every other form of it, and says how
sure that is. With --with, two readings of the same water are compared: do they
agree within their uncertainties, and what is the best value?

A specific gravity means nothing without the two temperatures of its scale: write
them behind it (1.0264sg@60F/60F) or with --pair. Without them 25/25 °C is taken.

` + exitHelp + ` No: the two readings do not agree.`,
		Example: `  tidehold salinity 1.0264sg±0.0005 --temp 25±0.5C --pair 60F/60F --instrument hydrometer
  tidehold salinity 53.1mS/cm --temp 25C --with 1.0264sg
  tidehold salinity 36 --temp 22C --instrument refractometer --scale brine-g-kg`,
		Args: cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			if err := need(c.Flags(), "temp"); err != nil {
				return err
			}
			o.reading.text = args[0]
			return runSalinity(a, o)
		},
	}
	fs := c.Flags()
	instruments := []string{"hydrometer", "refractometer", "conductivity", "density"}
	o.temp = quantity(fs, "temp", units.Temperature, -273, 1000, "temperature of the water, e.g. 25C or 25±0.5C")
	o.instrument = choiceVar(fs, "instrument", "", "what it was read from (default: by the unit)", instruments...)
	fs.StringVar(&o.pair, "pair", "", "the two temperatures of a specific gravity scale, e.g. 60F/60F (default 25C/25C)")
	o.scale = choiceVar(fs, "scale", "", "a refractometer made for sodium chloride, and its scale", "brine-g-kg", "brine-g-l", "brine-sg")
	fs.BoolVar(&o.reading.compensated, "compensated", false, "the meter shows conductivity compensated to 25 °C")
	o.alpha = quantity(fs, "alpha", units.Share, 0, 1, "temperature coefficient per °C of a compensating meter, e.g. 2% or 1.91±0.05%")
	o.expansion = quantity(fs, "expansion", units.Number, 0, 1, "thermal expansion of the float per °C, e.g. 0.000025 for glass")
	o.pressure = quantity(fs, "pressure", units.Pressure, 0, 1000, "air pressure where the water stands, for oxygen (default 1 atm)")
	fs.StringVar(&o.with.text, "with", "", "a second `reading` of the same water")
	o.withTemp = quantity(fs, "with-temp", units.Temperature, -273, 1000, "temperature at the second reading (default: the same, by the same thermometer)")
	o.withInstr = choiceVar(fs, "with-instrument", "", "instrument of the second reading", instruments...)
	fs.StringVar(&o.withPair, "with-pair", "", "the two temperatures of the second scale")
	fs.BoolVar(&o.with.compensated, "with-compensated", false, "the second meter shows conductivity compensated to 25 °C")
	return c
}

func runSalinity(a *app, o *salinityOptions) error {
	o.reading.instrument, o.reading.scale = o.instrument.Value, o.scale.Value
	first, assumed, err := o.measure(o.reading, o.pair, o.temp)
	if err != nil {
		return err
	}
	forms, err := first.Forms()
	if err != nil {
		return usage(err)
	}
	res := salinityResult{Forms: forms, Temperature: first.Temperature, Instrument: string(first.instrument),
		Method: first.Method, Sources: first.Sources, Budget: first.Budget}
	if res.Budget == nil {
		res.Budget = []salinity.Contribution{}
	}
	ans := answer{Command: "salinity", Title: "Salinity", Assumptions: assumed, Warnings: append(first.Warnings, forms.Warnings...)}
	if err := o.oxygen(&res, &ans); err != nil {
		return err
	}
	if o.with.text != "" {
		if err := o.compare(first, &res, &ans); err != nil {
			return err
		}
	}
	ans.Result = res
	sys := a.displayUnits(units.Metric)
	ans.Blocks, ans.More = salinityBlocks(o, res, sys), salinityDetail(res, sys)
	return a.print(ans)
}

// oneReading is a reading worked out, with the instrument it was taken for.
type oneReading struct {
	salinity.Determination
	instrument salinity.Instrument
}

// measure parses one reading and works it out.
func (o *salinityOptions) measure(r readingText, pair string, temp *quantityFlag) (oneReading, []refs.Assumption, error) {
	reading, assumed, err := parseReading(r)
	if err != nil {
		return oneReading{}, nil, usage(err)
	}
	if pair != "" {
		p, err := salinity.ParsePair(pair)
		if err != nil {
			return oneReading{}, nil, usagef("--pair: %w", err)
		}
		if reading.Pair != (salinity.Pair{}) && reading.Pair != p {
			return oneReading{}, nil, usagef("%q and --pair %s contradict each other; keep one", r.text, pair)
		}
		reading.Pair = p
	}
	reading.Temperature, reading.TemperatureU = units.Celsius(temp.Value), temp.U
	if o.alpha.Given {
		reading.Alpha, reading.AlphaU = o.alpha.Value, o.alpha.U
	}
	if o.expansion.Given {
		reading.Expansion, reading.ExpansionU = o.expansion.Value, o.expansion.U
	}
	m, err := reading.Salinity()
	if err != nil {
		return oneReading{}, nil, usagef("%q: %w", r.text, err)
	}
	return oneReading{m, reading.Instrument}, append(assumed, m.Assumptions...), nil
}

// oxygen restates the oxygen saturation for the air pressure given.
func (o *salinityOptions) oxygen(res *salinityResult, ans *answer) error {
	if !o.pressure.Given {
		ans.Assumptions = append(ans.Assumptions, refs.Assumption{What: "air pressure, for oxygen", Value: "101.325 kPa", Source: "one standard atmosphere"})
		return nil
	}
	if res.OxygenSaturation == nil {
		return nil
	}
	c, err := salinity.OxygenSaturationAt(units.Practical(res.Salinity), units.Celsius(res.Temperature), o.pressure.Value)
	if err != nil {
		return usagef("--pressure: %w", err)
	}
	res.OxygenSaturation = &c
	return nil
}

// compare sets the second reading beside the first.
func (o *salinityOptions) compare(first oneReading, res *salinityResult, ans *answer) error {
	o.with.instrument = o.withInstr.Value
	temp, same := o.temp, true
	if o.withTemp.Given {
		temp, same = o.withTemp, false
	}
	second, assumed, err := o.measure(o.with, o.withPair, temp)
	if err != nil {
		return fmt.Errorf("--with: %w", err)
	}
	agreement, err := salinity.Compare(first.Determination, second.Determination, same)
	if err != nil {
		return usage(err)
	}
	for _, s := range assumed {
		s.What += ", second reading"
		ans.Assumptions = append(ans.Assumptions, s)
	}
	for _, w := range second.Warnings {
		ans.Warnings = append(ans.Warnings, "second reading: "+w)
	}
	ans.Warnings = append(ans.Warnings, agreement.Warnings...)
	ans.No = !agreement.Agree
	res.With, res.Agreement = &second.Determination, &agreement
	return nil
}

// salinityBlocks says the answer first, then the forms a keeper meets.
func salinityBlocks(o *salinityOptions, res salinityResult, sys units.System) []block {
	blocks := []block{para("%s at %s is salinity %s.", strings.TrimSpace(o.reading.text), sys.Temperature(res.Temperature), plusMinus(res.Salinity, res.Uncertainty))}
	if res.Agreement != nil {
		blocks = append(blocks, agreementBlocks(o, res)...)
	}
	at := sys.Temperature(res.Temperature)
	rows := []formRow{
		{"practical salinity", &res.Salinity, 2, ""},
		{"dissolved salt (reference salinity)", &res.ReferenceSalinity, 2, "g/kg"},
		{"specific gravity, 25/25 °C", res.SG2525, 4, ""},
		{"specific gravity, 60/60 °F", res.SG60F, 4, ""},
		{"density at " + at, res.Density, 2, "kg/m³"},
		{"conductivity at 25 °C", res.Conductivity25, 2, "mS/cm"},
		{"oxygen when saturated", res.OxygenSaturation, 2, "mg/L"},
	}
	return append(blocks, formTable("the same water", rows))
}

// salinityDetail is the forms a keeper seldom meets, and where the uncertainty comes
// from.
func salinityDetail(res salinityResult, sys units.System) []block {
	blocks := []block{formTable("and", []formRow{
		{"specific gravity, 20/20 °C", res.SG2020, 4, ""},
		{"conductivity at " + sys.Temperature(res.Temperature), res.Conductivity, 2, "mS/cm"},
		{"refractive index", res.RefractiveIndex, 5, ""},
		{"heat capacity", res.HeatCapacity, 0, "J/(kg K)"},
	})}
	if len(res.Budget) == 0 {
		return blocks
	}
	b := grid{Header: []string{"where the uncertainty comes from", "standard uncertainty", "unit", "in salinity"}, Right: []int{1, 3}}
	for _, c := range res.Budget {
		b.Rows = append(b.Rows, []string{c.What, units.Significant(c.Standard, 2), c.Unit, units.Fixed(c.Salinity, 3)})
	}
	return append(blocks, tableBlock(b))
}

// formRow is one form of a water; nil is out of the range of its relation.
type formRow struct {
	name     string
	value    *float64
	decimals int
	unit     string
}

func formTable(title string, rows []formRow) block {
	g := grid{Header: []string{title, "value", "unit"}, Right: []int{1}}
	for _, r := range rows {
		text := "out of range"
		if r.value != nil {
			text = units.Fixed(*r.value, r.decimals)
		}
		g.Rows = append(g.Rows, []string{r.name, text, r.unit})
	}
	return tableBlock(g)
}

// agreementBlocks says whether two readings agree, and what to take.
func agreementBlocks(o *salinityOptions, res salinityResult) []block {
	ag := res.Agreement
	words := fmt.Sprintf("%s is salinity %s. ", strings.TrimSpace(o.with.text), plusMinus(res.With.Salinity, &res.With.U))
	differ := fmt.Sprintf("they differ by %s, and up to %s is explained by their uncertainties", units.Fixed(math.Abs(ag.Difference), 2), units.Fixed(ag.DifferenceU, 2))
	if ag.Agree {
		return []block{para("%s", words+"The two agree: "+differ+". Best value of both: "+plusMinus(ag.Weighted, &ag.WeightedU)+".")}
	}
	return []block{para("%s", words+"The two do not agree: "+differ+". At least one is wrong: rinse, calibrate and read both again.")}
}
