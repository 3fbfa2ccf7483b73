package site

import (
	"math"
	"slices"
	"strings"
	"testing"

	"tidehold/refs"
)

// TestADefaultGoesWithTheSalinity: what a tank of another salinity is taken to hold of what salt brings. The reference
// composition has 412.1 mg of calcium and 1283.7 mg of magnesium in a kilogram at salinity 35 [refcomp], in constant
// proportion; a litre at 25 °C weighs 1.0106 kg at salinity 18 and 1.0233 kg at 35 [unesco44].
func TestADefaultGoesWithTheSalinity(t *testing.T) {
	const form = "format: 1\nsystems: [{id: tub, net_volume: 90 L, water: {salinity: 18@}, limits: {salinity_low: 14, salinity_high: 20}}]\n"
	load := func(water string) (*Site, string) {
		s, faults := Load("tub.yaml", []byte(strings.Replace(form, "@", water, 1)))
		if s == nil {
			t.Fatal(faults)
		}
		list := ""
		for _, a := range s.Assumptions {
			list += a.What + ": " + a.Value + ": " + a.Source + "\n"
		}
		return s, list
	}
	s, list := load("")
	w, perKg := s.Systems[0].Water, 18.0/35*1.0106
	for what, x := range map[string]struct{ got, want float64 }{
		"alkalinity": {*w.AlkalinityDKH, 8 * perKg / 1.0233}, "calcium": {*w.CalciumMgL, 412.1 * perKg}, "magnesium": {*w.MagnesiumMgL, 1283.7 * perKg},
	} {
		if !(math.Abs(x.got-x.want) <= 2e-3*x.want) {
			t.Errorf("%s %g, want %g", what, x.got, x.want)
		}
	}
	const says = "systems.tub.water.alkalinity: 4.06 dKH: common practice: 7 to 11 dKH in reef systems, in proportion to salinity 18\n"
	if !strings.Contains(list, says) {
		t.Errorf("the assumption is to be told: %s", list)
	}
	if s, list = load(", alkalinity: 8 dKH"); *s.Systems[0].Water.AlkalinityDKH != 8 || strings.Contains(list, "water.alkalinity") {
		t.Errorf("what is stated stays: %s", list)
	}
	const at35 = "systems.tub.water.calcium: 422 mg/L: published: reference composition at salinity 35, 412.1 mg/kg at 25 °C [refcomp]\n"
	s, faults := Load("tub.yaml", []byte("format: 1\nsystems: [{id: tub, net_volume: 90 L}]\n"))
	if s == nil {
		t.Fatal(faults)
	}
	if *s.Systems[0].Water.CalciumMgL != 422 || !slices.ContainsFunc(s.Assumptions, func(a refs.Assumption) bool { return a.What+": "+a.Value+": "+a.Source+"\n" == at35 }) {
		t.Errorf("at 35: %v", s.Assumptions)
	}
}
