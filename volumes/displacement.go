package volumes

import (
	"fmt"
	"math"

	"tidehold/refs/units"
)

// densestGrain bounds the density of the grains of rock in kg/L: above aragonite
// (2.93), the densest of the common reef minerals.
const densestGrain = 3.0

// Displaced is what stands in the water of one part.
type Displaced struct {
	// RockMassKg is the dry mass of the rock in kg.
	RockMassKg units.Measured
	// RockDensity is dry mass per litre of outline, kg/L, and RockPorosity the
	// share of the outline that fills with water (0 to below 1). The density of
	// the grains with porosity 0 says the same.
	RockDensity, RockPorosity units.Measured
	// SandDepthCm is the depth of the bed on the floor, SandPorosity the share
	// of the bed that is water (0 to below 1).
	SandDepthCm, SandPorosity units.Measured
	// OtherL is whatever else stands in the water, in litres.
	OtherL units.Measured
}

// RockL is the litres the rock displaces: mass / density · (1 − porosity).
func (d Displaced) RockL() float64 {
	if d.RockMassKg.Value == 0 {
		return 0
	}
	return d.RockMassKg.Value / d.RockDensity.Value * (1 - d.RockPorosity.Value)
}

// SandL is the litres the grains of the sand bed displace in a vessel of this
// shape: the volume up to the bed's surface · (1 − porosity).
func (d Displaced) SandL(s Shape) (float64, error) {
	if d.SandDepthCm.Value == 0 {
		return 0, nil
	}
	bed, err := s.VolumeAt(d.SandDepthCm.Value)
	if err != nil {
		return 0, fmt.Errorf("sand: %w", err)
	}
	return float64(bed) * (1 - d.SandPorosity.Value), nil
}

// check refuses what cannot be: negative amounts, a porosity outside 0 to 1, rock
// whose grains would be heavier than any mineral of a reef.
func (d Displaced) check() error {
	for _, f := range []struct {
		what string
		x    float64
	}{{"rock mass", d.RockMassKg.Value}, {"sand depth", d.SandDepthCm.Value}, {"other", d.OtherL.Value}} {
		if !(f.x >= 0) || math.IsInf(f.x, 0) {
			return fmt.Errorf("%s is %s; 0 or more is allowed", f.what, number(f.x))
		}
	}
	for _, f := range []struct {
		what string
		x    float64
	}{{"rock porosity", d.RockPorosity.Value}, {"sand porosity", d.SandPorosity.Value}} {
		if !(f.x >= 0 && f.x < 1) {
			return fmt.Errorf("%s is %s %%; 0 to below 100 %% is allowed", f.what, number(100*f.x))
		}
	}
	if d.RockMassKg.Value == 0 {
		return nil
	}
	if !(d.RockDensity.Value > 0) {
		return fmt.Errorf("rock density is %s kg/L; more than 0 is needed", number(d.RockDensity.Value))
	}
	if grain := d.RockDensity.Value / (1 - d.RockPorosity.Value); grain > densestGrain {
		return fmt.Errorf("rock of density %s kg/L with porosity %s %% would have grains of %s kg/L, more than any reef mineral (at most %s); "+
			"density counts the pores: give that of the whole piece, or that of the grains with porosity 0",
			number(d.RockDensity.Value), number(100*d.RockPorosity.Value), number(grain), number(densestGrain))
	}
	return nil
}
