package main

import (
	"fmt"
	"slices"

	"github.com/spf13/cobra"

	"tidehold/refs/units"
	"tidehold/salinity/mixing"
)

// blendResult is what the waters make.
type blendResult struct {
	Volume      units.Litres       `json:"volume_l"`
	Salinity    units.Practical    `json:"salinity"`
	Temperature units.Celsius      `json:"temp_c"`
	MassKg      float64            `json:"mass_kg"`
	SaltKg      float64            `json:"dissolved_salt_kg"`
	Solutes     map[string]float64 `json:"solutes_ug_l"`
	Marks       []fillMark         `json:"fill_marks"`
}

func newMixBlendCmd(a *app) *cobra.Command {
	var texts []string
	var store *string
	c := &cobra.Command{
		Use:   "blend --water <volume,salinity,temperature> --water ...",
		Short: "what several waters make when poured together",
		Long: `Pours any number of waters together: mass, salt, heat and solutes are conserved,
litres are not. Each water is volume, salinity and temperature with commas
between; solutes may follow: 100L,35,25C,copper=60ug/L.

` + exitHelp,
		Example: `  tidehold mix blend --water 100L,35,25C --water 50L,0,18C
  tidehold mix blend --water 400L,35,25C,copper=60ug/L --water 100L,35,24C`,
		Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error { return runMixBlend(a, texts, *store) },
	}
	c.Flags().StringArrayVar(&texts, "water", nil, "one `water`: volume,salinity,temperature; repeatable")
	store = storeFlag(c.Flags())
	return c
}

func runMixBlend(a *app, texts []string, storeID string) error {
	if len(texts) == 0 {
		return usagef("--water is missing; write one for each water, e.g. --water 100L,35,25C --water 50L,0,18C")
	}
	r, err := a.begin("blend", "Waters poured together", storeID)
	if err != nil {
		return err
	}
	var waters []mixing.Water
	if r.vat != nil && r.vat.now > 0 {
		waters = append(waters, r.vat.water())
		r.assume("water already in "+r.vat.ID, r.waterLine(r.vat.water()), "the site file and its journal")
	}
	for _, text := range texts {
		w, err := mixing.ParseWater(text)
		if err != nil {
			return usagef("--water: %w", err)
		}
		waters = append(waters, w)
	}
	mix, err := mixing.Blend(waters...)
	if err != nil {
		return usagef("--water: %w", err)
	}
	if err := r.fits("the blend", mix.Volume); err != nil {
		return err
	}
	res := blendResult{Volume: mix.Volume, Salinity: mix.Salinity, Temperature: mix.Temperature, Solutes: mix.Solutes}
	if res.Solutes == nil {
		res.Solutes = map[string]float64{}
	}
	if res.MassKg, err = mix.MassKg(); err != nil {
		return err
	}
	if res.SaltKg, err = mix.SaltKg(); err != nil {
		return err
	}
	r.warnAbsent(waters, mix.Solutes)
	res.Marks = r.marks(r.mark("all together", mix.Volume))
	return r.finish(res, r.blendBlocks(waters, mix, res)...)
}

// warnAbsent says which solutes were taken as absent from a water.
func (r *mixRun) warnAbsent(waters []mixing.Water, solutes map[string]float64) {
	for _, id := range sortedKeys(solutes) {
		for i, w := range waters {
			if _, ok := w.Solutes[id]; !ok && w.Volume > 0 {
				r.assume(id+" in water "+fmt.Sprint(i+1), "none", "not given")
			}
		}
	}
}

func sortedKeys(m map[string]float64) []string {
	var keys []string
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}

func (r *mixRun) blendBlocks(waters []mixing.Water, mix mixing.Water, res blendResult) []block {
	ids := sortedKeys(mix.Solutes)
	g := grid{Header: append([]string{"water", "volume", "salinity", "temperature"}, ids...)}
	for i := range g.Header[1:] {
		g.Right = append(g.Right, i+1)
	}
	row := func(name string, w mixing.Water) {
		cells := []string{name, r.sys.Volume(float64(w.Volume), units.Nearest), salinityText(w.Salinity), r.sys.Temperature(float64(w.Temperature))}
		for _, id := range ids {
			cells = append(cells, units.Dissolved(w.Solutes[id]))
		}
		g.Rows = append(g.Rows, cells)
	}
	for i, w := range waters {
		row(fmt.Sprint(i+1), w)
	}
	row("together", mix)
	blocks := []block{para("Together: %s, %s with %s of dissolved salt.", r.waterLine(mix), r.sys.Mass(res.MassKg, units.Nearest), r.sys.Mass(res.SaltKg, units.Nearest)), tableBlock(g)}
	return append(blocks, r.markBlocks(res.Marks)...)
}
