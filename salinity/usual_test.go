package salinity

import "testing"

// TestWhatAFloatIsTakenToBeGoodFor: 0.001 in specific gravity is 1 kg/m³ of water's 1000, and in
// salinity what that is by the slope of EOS-80 [unesco44] in seawater of 35.
func TestWhatAFloatIsTakenToBeGoodFor(t *testing.T) {
	low, err := Density(34, 25)
	if err != nil {
		t.Fatal(err)
	}
	high, err := Density(36, 25)
	if err != nil {
		t.Fatal(err)
	}
	for scale, want := range map[Scale]float64{ScaleDensity: 1, ScaleSalinity: 2 / float64(high-low)} {
		if got := floatU(Reading{Scale: scale}).value; got < want*0.99 || got > want*1.01 || scale == ScaleDensity && got != want {
			t.Errorf("scale %v: ±%g, want ±%g", scale, got, want)
		}
	}
}
