package main

import (
	"math"
	"testing"

	"github.com/spf13/pflag"

	"tidehold/refs/units"
)

// FuzzDiluteFlags: whatever stands behind the flags of several parts, no panic and
// no number past them that is not one.
func FuzzDiluteFlags(f *testing.F) {
	for _, text := range []string{"400L/h,60%", "1.5,0.1/h", "copper:60ug/L±8:3.1ug/L:1ug/L", "a:b:c", ",", ":::", "x:<2ug/L:1ug/L", "zn:3ug/L:1ug/L::0.1mg/h"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		fs := pflag.NewFlagSet("fuzz", pflag.ContinueOnError)
		for _, p := range []*pairFlag{
			pair(fs, "media", units.Flow, units.Share, 1, "400L/h,60%", "media"),
			pair(fs, "bound", units.Number, units.PerHour, 1e6, "1.5,0.1/h", "bound"),
		} {
			if err := p.Set(text); err != nil {
				continue
			}
			for _, x := range []float64{p.first.Value, p.second.Value} {
				if !(x >= 0) || math.IsInf(x, 0) {
					t.Errorf("%q gives %v", text, x)
				}
			}
		}
		c, _, err := parseContaminant(text)
		if err != nil {
			return
		}
		for _, x := range []float64{c.Start.Value, c.Start.U, c.Target, c.New.Value, c.New.U, c.Source.MgH} {
			if !(x >= 0) || math.IsInf(x, 0) || c.Name == "" {
				t.Errorf("%q gives %+v", text, c)
			}
		}
	})
}
