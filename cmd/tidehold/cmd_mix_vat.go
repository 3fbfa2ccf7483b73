package main

import (
	"github.com/spf13/pflag"

	"tidehold/refs/units"
	"tidehold/response/figure"
	"tidehold/salinity/mixing"
	"tidehold/volumes/site"
)

// vat is a store of the site that a mix command works in.
type vat struct {
	site.Store
	now units.Litres
}

// fillMark is a volume in the vat and where it stands on its own dip chart.
type fillMark struct {
	What    string       `json:"what"`
	Volume  units.Litres `json:"volume_l"`
	LevelCm *float64     `json:"level_cm"` // nil: the vat's shape is not known
}

func storeFlag(fs *pflag.FlagSet) *string {
	return fs.String("store", "", "work in the vat with this `id` of the site file: its size, water and dip chart")
}

// begin starts a mix command: its answer, the units, and the vat if one is named.
func (a *app) begin(command, title, storeID string) (*mixRun, error) {
	r := &mixRun{app: a, ans: answer{Command: "mix " + command, Title: title}, sys: a.displayUnits(units.Metric)}
	if storeID == "" {
		return r, nil
	}
	ls, err := a.loadSite()
	if err != nil {
		return nil, err
	}
	r.sys = a.displayUnits(ls.Site.Units)
	store, err := findStore(ls.Site, "store", storeID)
	if err != nil {
		return nil, err
	}
	r.vat = &vat{Store: *store, now: units.Litres(store.Volume.InexactFloat64())}
	return r, nil
}

// water is what the vat holds now.
func (v *vat) water() mixing.Water {
	return mixing.Water{Volume: v.now, Salinity: v.Water.Salinity, Temperature: v.Water.Temperature}
}

// mark finds the level of a volume on the vat's dip chart.
func (r *mixRun) mark(what string, v units.Litres) fillMark {
	m := fillMark{What: what, Volume: v}
	if r.vat == nil || r.vat.Shape == nil {
		return m
	}
	if level, err := r.vat.Shape.LevelOf(v); err == nil {
		m.LevelCm = &level
	}
	return m
}

// marks lists volumes of the vat; none without a vat.
func (r *mixRun) marks(list ...fillMark) []fillMark {
	if r.vat == nil {
		return []fillMark{}
	}
	return list
}

// upTo says where a mark stands: " (up to the mark 55.5 cm)", or nothing.
func (r *mixRun) upTo(m fillMark) string {
	if m.LevelCm == nil {
		return ""
	}
	return " (to " + r.sys.Length(*m.LevelCm, units.Nearest) + " on the dipstick)"
}

// markBlocks prints the marks as a table.
func (r *mixRun) markBlocks(marks []fillMark) []block {
	if len(marks) == 0 {
		return nil
	}
	g := grid{Title: "Fill marks of " + r.vat.ID, Header: []string{"", "volume", "on the dipstick"}, Right: []int{1, 2}}
	for _, m := range marks {
		level := "no dip chart"
		if m.LevelCm != nil {
			level = r.sys.Length(*m.LevelCm, units.Nearest)
		}
		g.Rows = append(g.Rows, []string{m.What, r.poured(m.Volume, units.Nearest), level})
	}
	v := vatOf(&r.vat.Store)
	for _, m := range marks {
		mark := figure.VatMark{Text: m.What + " " + r.poured(m.Volume, units.Nearest), L: float64(m.Volume)}
		if m.LevelCm != nil {
			mark.Cm = *m.LevelCm
			mark.Text += ", " + r.sys.Length(*m.LevelCm, units.Nearest)
		}
		v.Marks = append(v.Marks, mark)
	}
	d := figure.Vats{Head: figure.Head{ID: "vat", Title: "Fill marks of " + r.vat.ID, Description: "What it holds now, and the marks."}, List: []figure.Vat{v}, Units: r.sys}
	return append([]block{tableBlock(g)}, pictured(d)...)
}

// fits refuses a volume that the vat cannot hold.
func (r *mixRun) fits(flag string, v units.Litres) error {
	if r.vat == nil || v <= r.vat.Capacity*(1+1e-9) {
		return nil
	}
	return usagef("%s: %s do not fit into %s, which holds %s at the brim", flag, r.sys.Volume(float64(v), units.Up), r.vat.ID, r.sys.Volume(float64(r.vat.Capacity), units.Down))
}

// heaterOvershoot is how far above the temperature wanted a heater may settle
// before it is worth a warning, K.
const heaterOvershoot = 3

// heatingSteps are the steps and the warning for a heater in a vat.
func (r *mixRun) heatingSteps(to units.Celsius, w mixing.Warming, watts float64) {
	r.caution(signalWarning, "electricity and water: plug the heater through a ground-fault protected outlet (GFCI, RCD), keep hands out of the water while it is plugged in, and unplug it before the level falls below it.")
	if w.Highest != nil && *w.Highest > to+heaterOvershoot {
		r.warn("a heater that stays on takes this vat to %s: a thermostat and a separate cut-out must stop it", r.sys.Temperature(float64(*w.Highest)))
	}
	if w.Possible {
		r.do("When the heater is covered by water, switch it on: %s with %s W to %s. Measure; do not trust its dial.", units.Hours(*w.Hours), units.Fixed(watts, 0), r.sys.Temperature(float64(to)))
		return
	}
	r.do("When the heater is covered by water, switch it on, and find a second one: this one alone does not reach %s.", r.sys.Temperature(float64(to)))
}

// coverAndMeasure ends every batch: how to know that it is done.
func (r *mixRun) coverAndMeasure(s units.Practical) {
	r.do("Let it circulate until it is clear and two salinity readings 10 minutes apart agree (common practice). It should read %s; if not, see tidehold mix correct.", salinityText(s))
}
