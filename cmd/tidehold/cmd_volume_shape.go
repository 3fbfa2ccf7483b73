package main

import (
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"tidehold/refs/units"
	"tidehold/volumes"
)

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
