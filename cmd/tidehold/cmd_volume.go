package main

import (
	"errors"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"tidehold/refs/gum"
	"tidehold/refs/units"
	"tidehold/volumes"
)

func newVolumeCmd(a *app) *cobra.Command {
	c := &cobra.Command{
		Use:   "volume",
		Short: "litres: of a shape up to a level, of a system by test, of a vat by dipstick",
		Long: `How much water there is: in a vessel of known shape up to a level, in a vat by its
dipstick, in a system by an exchange or a dose of something that stays in the
water. A volume from the label counts walls, rock and sand as water; every dose
and every change is then out by as much.

Lengths are inner ones unless --wall is given. Every value takes an uncertainty,
as in --length "120±0.5cm"; the answer then has one too.

` + exitHelp,
		Example: `  tidehold volume box --length 60cm --width 60cm --height 90cm --level 70cm
  tidehold volume from-exchange --removed 60L --before 35 --after 31.5 --with 0 --temp 25C`,
	}
	for _, k := range volumes.Kinds() {
		c.AddCommand(newShapeCmd(a, k))
	}
	c.AddCommand(newVolumeSystemCmd(a), newVolumeChartCmd(a), newFromExchangeCmd(a), newFromDoseCmd(a), newFromSaltCmd(a))
	return c
}

// shapeOptions is what a shape command was asked.
type shapeOptions struct {
	kind          volumes.KindSpec
	dims          map[string]*quantityFlag
	points        []string
	level, volume *quantityFlag
	rock, density *quantityFlag
	porosity      *quantityFlag
	sand, sandGap *quantityFlag
	other         *quantityFlag
}

// newShapeCmd makes the command of one shape from its entry in volumes.Kinds.
func newShapeCmd(a *app, k volumes.KindSpec) *cobra.Command {
	o := &shapeOptions{kind: k, dims: map[string]*quantityFlag{}}
	word := strings.ReplaceAll(k.Name, "_", "-")
	c := &cobra.Command{
		Use:   word,
		Short: k.Description,
		Long: `The volume of a ` + word + ` up to --level, or full; with --volume, the level at
which it holds that much. ` + units.UpperFirst(k.Description) + `.

With --rock, --sand or --other, also the net volume: what is left for water.

` + exitHelp,
		Example: shapeExample(k),
		Args:    cobra.NoArgs,
		RunE:    func(c *cobra.Command, _ []string) error { return runShape(a, o, c.Flags()) },
	}
	if word != k.Name {
		c.Aliases = []string{k.Name}
	}
	fs := c.Flags()
	fs.SetNormalizeFunc(func(_ *pflag.FlagSet, name string) pflag.NormalizedName {
		return pflag.NormalizedName(strings.ReplaceAll(name, "_", "-"))
	})
	for _, d := range volumes.Dimensions() {
		o.declare(fs, d)
	}
	if k.Table {
		fs.StringArrayVar(&o.points, "point", nil, "one line of the table, `level,volume`, e.g. 10cm,42L; repeat from the floor up to the brim")
	}
	o.level = quantity(fs, "level", units.Length, 0, 1e5, "height of the water above the lowest point (default: full)")
	o.volume = quantity(fs, "volume", units.Volume, 0, 1e9, "find the level at which it holds this")
	o.rock = quantity(fs, "rock", units.Mass, 0, 1e6, "dry mass of the rock in it")
	o.density = quantity(fs, "rock-density", units.Density, 500, 3000, "dry mass of the rock per volume of its outline (default: that of its grains)")
	o.porosity = quantity(fs, "rock-porosity", units.Share, 0, 0.95, "share of the rock's outline that fills with water (default 0%, which goes with the grains)")
	o.sand = quantity(fs, "sand", units.Length, 0, 1e4, "depth of the sand bed")
	o.sandGap = quantity(fs, "sand-porosity", units.Share, 0, 0.95, "share of the bed that is water (default: that of sieved sand)")
	o.other = quantity(fs, "other", units.Volume, 0, 1e9, "whatever else stands in the water")
	return c
}

// shapeLengths are lengths that make a sensible vessel of any shape, for examples.
var shapeLengths = map[string]string{
	"length": "60cm", "width": "50cm", "height": "90cm", "diameter": "75cm", "cone_height": "15cm", "bottom_diameter": "50cm", "top_diameter": "60cm",
	"bottom_length": "100cm", "bottom_width": "60cm", "top_length": "110cm", "top_width": "70cm", "bow": "8cm", "sides": "6", "side": "40cm", "across_flats": "70cm",
}

// shapeExample is a call of a shape's command.
func shapeExample(k volumes.KindSpec) string {
	words := "  tidehold volume " + strings.ReplaceAll(k.Name, "_", "-")
	if k.Table {
		return words + " --point 0cm,0L --point 10cm,42L --point 40cm,180L --level 25cm"
	}
	lengths := map[string]string{}
	for name, text := range shapeLengths {
		lengths[name] = text
	}
	if k.Name == "tapered_round" || k.Name == "tapered_rect" {
		lengths["height"] = "40cm"
	}
	if k.Name == "cone_bottom" {
		lengths["diameter"] = "60cm"
	}
	dims := k.Required
	if len(k.OneOf) > 0 {
		dims = append(slices.Clone(dims), k.OneOf[0])
	}
	for _, d := range dims {
		words += " --" + strings.ReplaceAll(d, "_", "-") + " " + lengths[d]
	}
	return words + " --level 30cm"
}

// declare adds the flag of a dimension if the shape has it.
func (o *shapeOptions) declare(fs *pflag.FlagSet, d volumes.Dimension) {
	for _, name := range o.kind.All() {
		if name != d.Name {
			continue
		}
		dim := units.Length
		if d.Count {
			dim = units.Number
		}
		o.dims[name] = quantity(fs, strings.ReplaceAll(name, "_", "-"), dim, 0, 1e5, d.Description)
	}
}

// shapeResult is the answer of a shape command.
type shapeResult struct {
	Kind     string  `json:"kind"`
	VolumeL  float64 `json:"volume_l"`
	FullL    float64 `json:"full_l"`
	LevelCm  float64 `json:"level_cm"`
	HeightCm float64 `json:"height_cm"`
	// NetL is what rock, sand and the rest leave; equal to VolumeL without them.
	NetL          float64              `json:"net_volume_l"`
	RockL         float64              `json:"rock_l"`
	SandL         float64              `json:"sand_l"`
	OtherL        float64              `json:"other_l"`
	UncertaintyL  *float64             `json:"uncertainty_l"`
	Contributions []contributionResult `json:"contributions"`
}

// contributionResult is one line of an uncertainty budget.
type contributionResult struct {
	What string  `json:"what"`
	L    float64 `json:"uncertainty_l"`
}

func contributions(budget []gum.Contribution) []contributionResult {
	out := make([]contributionResult, len(budget))
	for i, c := range budget {
		out[i] = contributionResult{strings.TrimSpace(c.What), c.U}
	}
	return out
}

func runShape(a *app, o *shapeOptions, fs *pflag.FlagSet) error {
	if err := exclusive(fs, "level", "volume"); err != nil {
		return err
	}
	u := a.displayUnits(units.Metric)
	part, err := o.part()
	if err != nil {
		return inUnits(err, u)
	}
	ans := answer{Command: "volume " + o.kind.Name, Title: "Volume of a " + strings.ReplaceAll(o.kind.Name, "_", " ")}
	if part.Displaced, err = o.displaced(&ans); err != nil {
		return err
	}
	n, err := volumes.NetVolume([]volumes.Part{part})
	if err != nil {
		return usagef("%s", strings.TrimPrefix(inUnits(err, u).Error(), ": "))
	}
	v := n.Parts[0]
	res := shapeResult{Kind: o.kind.Name, VolumeL: float64(v.Gross), FullL: float64(part.Shape.Full()), LevelCm: part.LevelCm.Value,
		HeightCm: part.Shape.HeightCm(), NetL: float64(v.Net), RockL: float64(v.Rock), SandL: float64(v.Sand), OtherL: float64(v.Other),
		Contributions: contributions(n.Budget)}
	if n.U > 0 {
		u := float64(n.U)
		res.UncertaintyL = &u
	}
	ans.Result = res
	ans.Blocks = shapeBlocks(res, u)
	return a.print(ans)
}

// inUnits says in the units of display that a level or a volume is out of range.
func inUnits(err error, u units.System) error {
	var out *volumes.RangeError
	if u != units.US || !errors.As(err, &out) {
		return err
	}
	in := *out
	switch out.Unit {
	case "cm":
		per := u.CmPer()
		in.Unit, in.Value, in.Low, in.High = "in", out.Value/per, out.Low/per, out.High/per
	case "L":
		per := u.LitresPer()
		in.Unit, in.Value, in.Low, in.High = "gal", out.Value/per, out.Low/per, out.High/per
	}
	return usage(&in)
}

// part builds the vessel with its level from the flags.
func (o *shapeOptions) part() (volumes.Part, error) {
	values, measured := map[string]float64{}, map[string]units.Measured{}
	for name, f := range o.dims {
		if f.Given {
			values[name] = f.Value
			measured[name] = f.Measured()
		}
	}
	table, err := o.table()
	if err != nil {
		return volumes.Part{}, err
	}
	shape, err := volumes.New(o.kind.Name, values, table)
	if err != nil {
		return volumes.Part{}, usage(err)
	}
	p := volumes.Part{Shape: shape, LevelCm: units.Exact(shape.HeightCm())}
	if !o.kind.Table {
		p.Dims = measured
	}
	switch {
	case o.level.Given:
		p.LevelCm = o.level.Measured()
	case o.volume.Given:
		if p.LevelCm.Value, err = shape.LevelOf(units.Litres(o.volume.Value)); err != nil {
			return volumes.Part{}, usagef("--volume: %w", err)
		}
	}
	return p, nil
}

// table reads the points of a strapping table.
func (o *shapeOptions) table() ([]volumes.Point, error) {
	if !o.kind.Table {
		return nil, nil
	}
	table := []volumes.Point{}
	for _, text := range o.points {
		l, v, ok := strings.Cut(text, ",")
		if !ok {
			return nil, usagef("--point: %q is not a level and a volume; write them with a comma between, as in 10cm,42L", text)
		}
		level, err := units.Parse(l, units.Length)
		if err != nil {
			return nil, usagef("--point: %w", err)
		}
		volume, err := units.Parse(v, units.Volume)
		if err != nil {
			return nil, usagef("--point: %w", err)
		}
		table = append(table, volumes.Point{LevelCm: level.Value, Volume: units.Litres(volume.Value)})
	}
	return table, nil
}

// displaced collects what stands in the water, and lists the defaults it takes.
func (o *shapeOptions) displaced(ans *answer) (volumes.Displaced, error) {
	d := volumes.Displaced{OtherL: o.other.Measured()}
	if o.rock.Given {
		density, err := o.density.orSite(ans, "rock density", "systems.parts.displaced.rock.density")
		if err != nil {
			return d, err
		}
		d.RockMassKg, d.RockPorosity = o.rock.Measured(), o.porosity.Measured()
		d.RockDensity = density.Times(1 / units.LitresPerM3)
		if !o.porosity.Given && o.density.Given {
			ans.assume("rock porosity", "0 %", "goes with the density of the grains; if yours is that of the whole piece, give --rock-porosity")
		}
	}
	if o.sand.Given {
		var err error
		d.SandDepthCm = o.sand.Measured()
		d.SandPorosity, err = o.sandGap.orSite(ans, "sand porosity", "systems.parts.displaced.sand.porosity")
		return d, err
	}
	return d, nil
}

// orSite is what the flag says, else the default that a site file takes for the
// same thing, which is listed.
func (q *quantityFlag) orSite(ans *answer, what, path string) (units.Measured, error) {
	if q.Given {
		return q.Measured(), nil
	}
	usual, err := siteDefault(path)
	if err != nil {
		return units.Measured{}, err
	}
	ans.assume(what, usual.Value, usual.Source)
	v, err := units.Parse(usual.Value, q.dim)
	return v.Measured(), err
}

// shapeBlocks shows the volume, what displaces it, and what makes it uncertain.
func shapeBlocks(r shapeResult, u units.System) []block {
	g := grid{Header: []string{"", "volume"}, Right: []int{1}, Rows: [][]string{
		{"up to " + lengthText(r.LevelCm, u), u.Volume(r.VolumeL, units.Nearest)},
		{"full, at " + lengthText(r.HeightCm, u), u.Volume(r.FullL, units.Nearest)},
	}}
	for _, d := range []struct {
		what string
		l    float64
	}{{"rock displaces", r.RockL}, {"sand displaces", r.SandL}, {"other things displace", r.OtherL}} {
		if d.l > 0 {
			g.Rows = append(g.Rows, []string{d.what, u.Volume(d.l, units.Nearest)})
		}
	}
	if r.NetL < r.VolumeL {
		g.Rows = append(g.Rows, []string{"net, water alone", u.Volume(r.NetL, units.Nearest)})
	}
	blocks := []block{tableBlock(g)}
	if r.UncertaintyL == nil {
		return append(blocks, para("No uncertainty was given, so none is known. %s", tapeHint(u)))
	}
	return append(blocks, budgetBlocks(r.NetL, *r.UncertaintyL, r.Contributions, u)...)
}

// tapeHint says what a reading to the nearest half centimetre or quarter inch is
// good to: a rectangular distribution, 2 · half-width/√3 ([gum], 4.3.7).
func tapeHint(u units.System) string {
	if u == units.US {
		return "A tape read to the nearest quarter inch is good to ± 0.15 in: write it as in --level 20±0.15in."
	}
	return "A tape read to the nearest half centimetre is good to ± 0.3 cm: write it as in --level 50±0.3cm."
}

// budgetBlocks says how sure a volume is and what makes it so.
func budgetBlocks(v, uncertainty float64, budget []contributionResult, u units.System) []block {
	g := grid{Header: []string{"what is uncertain", "alone it gives ±"}, Right: []int{1}}
	for _, c := range budget {
		g.Rows = append(g.Rows, []string{c.What, u.Volume(c.L, units.Up)})
	}
	return []block{
		para("%s ± %s, in about 95 of 100 cases. What makes most of it: %s.", u.Volume(v, units.Nearest), u.Volume(uncertainty, units.Up), budget[0].What),
		tableBlock(g),
	}
}
