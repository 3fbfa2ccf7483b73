package mixing

import (
	"math"
	"testing"

	"tidehold/refs/units"
	"tidehold/salinity"
)

// Published amounts, each to half a unit of its last printed digit plus what the
// density relation used here (EOS-80) and that of the source (TEOS-10) differ by:
// 0.009 kg/m³ in 1023, 1e-5 of a mass.
func TestBatchesAgainstPublishedAmounts(t *testing.T) {
	const teos = 1e-5
	pure := Dose{GPerL: 40, Per: Finished, Salinity: 35, Temperature: 25}
	batch := func(v units.Litres, s units.Practical) Batch {
		b, err := New(v, s, 25, 25, pure)
		if err != nil {
			t.Fatal(err)
		}
		return b
	}
	dissolved := func(b Batch) float64 { return b.SaltKg * b.DryFraction }
	water := func(b Batch) float64 { return b.MassKg - dissolved(b) }
	b35, b33, b200 := batch(100, 35), batch(100, 33), batch(200, 33)
	for _, c := range []struct {
		source, what string
		got, want    float64
		halfDigit    float64
	}{
		{"Millero et al. 2008 (Deep-Sea Res. I 55, 50-72) with EOS-80, S_P 35, 25 °C", "kg in 100 L", b35.MassKg, 102.334, 0.0005},
		{"the same", "kg of dissolved salt in 100 L", dissolved(b35), 3.5986, 0.00005},
		{"the same", "kg of water in 100 L", water(b35), 98.736, 0.0005},
		{"the same", "g of salt per kg of seawater", 1000 * saltShare(35), 35.165, 0.0005},
		{"the same", "g of salt per kg of water", 1000 * saltShare(35) / (1 - saltShare(35)), 36.447, 0.0005},
		{"TEOS-10 (IOC, SCOR and IAPSO 2010), density x 35.165 g/kg, 25 °C", "g of dry salt per finished litre, S_P 35", 10 * dissolved(b35), 35.99, 0.005},
		{"TEOS-10", "g of dry salt per finished litre, S_P 33", 10 * dissolved(b33), 33.88, 0.005},
		{"TEOS-10", "kg in 200 L of S_P 33", b200.MassKg, 204.367, 0.0005},
		{"TEOS-10", "kg of dry salt in 200 L of S_P 33", dissolved(b200), 6.776, 0.0005},
		{"TEOS-10", "kg of water in 200 L of S_P 33", water(b200), 197.591, 0.0005},
		{"TEOS-10", "kg of a mix that is 90 % salt for 200 L of S_P 33", dissolved(b200) / 0.9, 7.529, 0.0005},
	} {
		if tolerance := c.halfDigit + teos*c.want; !(math.Abs(c.got-c.want) <= tolerance) {
			t.Errorf("%s: %s = %.6f, want %v ± %.2g", c.source, c.what, c.got, c.want, tolerance)
		}
	}
}

// TEOS-10: a mix of nothing but salt takes 36.34 g per litre of pure water used,
// and 99.03 L of it make 100 L, at S_P 35 and 25 °C.
func TestDrySaltPerPurifiedLitre(t *testing.T) {
	rho, err := salinity.Density(35, 25)
	if err != nil {
		t.Fatal(err)
	}
	dry := Dose{GPerL: 1000 * saltShare(35) * float64(rho) / 1000, Per: Finished, Salinity: 35, Temperature: 25}
	b, err := New(100, 35, 25, 25, dry)
	if err != nil {
		t.Fatal(err)
	}
	within(t, "dry fraction", b.DryFraction, 1, 1e-12)
	if got := 1000 * b.SaltKg / float64(b.Water); !(math.Abs(got-36.34) <= 0.005) {
		t.Errorf("%.4f g per purified litre, want 36.34", got)
	}
	if !(math.Abs(float64(b.Water)-99.03) <= 0.005) {
		t.Errorf("%.4f L of water for 100 L, want 99.03", b.Water)
	}
	// The same dose quoted per purified litre says the same of the mix.
	w, err := Dose{GPerL: 1000 * b.SaltKg / float64(b.Water), Per: Purified, Salinity: 35, Temperature: 25}.DryFraction()
	if err != nil && w != 0 {
		t.Fatal(err)
	}
	if err == nil {
		within(t, "dry fraction per purified litre", w, 1, 1e-12)
	}
}

// Reference salinity (Millero et al. 2008) with EOS-80: 10 L of S_P 35 and 10 L of
// pure water, both 25 °C, are not 20 L of 17.5.
func TestHalvingSeawaterWithPureWater(t *testing.T) {
	mix, err := Blend(Water{Volume: 10, Salinity: 35, Temperature: 25}, Water{Volume: 10, Temperature: 25})
	if err != nil {
		t.Fatal(err)
	}
	if !(math.Abs(float64(mix.Salinity)-17.728) <= 0.0005) {
		t.Errorf("salinity %.5f, want 17.728", mix.Salinity)
	}
	if !(math.Abs(float64(mix.Volume)-19.997) <= 0.0005) {
		t.Errorf("%.5f L, want 19.997", mix.Volume)
	}
}

// TEOS-10: 400 L of S_P 35 at 25 °C (409.34 kg, 3999 J/(kg K)) rise by 3 K in
// 2.27 h with 600 W, and with 300 W begin at 0.66 K/h; with losses of 8, 16, 24
// and 40 W/K, 300 W settle 37, 19, 12 and 7.5 K above the room.
func TestHeatingAgainstPublishedTimes(t *testing.T) {
	vat := Water{Volume: 400, Salinity: 35, Temperature: 25}
	w, err := Warm(Heating{Water: vat, To: 28, Watts: 600})
	if err != nil {
		t.Fatal(err)
	}
	if !(math.Abs(*w.Hours-2.27) <= 0.005) {
		t.Errorf("%.4f h, want 2.27", *w.Hours)
	}
	if w, err = Warm(Heating{Water: vat, To: 28, Watts: 300}); err != nil || !(math.Abs(w.FirstKPerH-0.66) <= 0.005) {
		t.Errorf("%.4f K/h (%v), want 0.66", w.FirstKPerH, err)
	}
	for loss, rise := range map[float64]float64{8: 37.5, 16: 18.75, 24: 12.5, 40: 7.5} {
		w, err := Warm(Heating{Water: vat, To: 26, Watts: 300, Room: 20, LossWK: loss})
		if err != nil || !(math.Abs(float64(*w.Highest)-20-rise) <= 1e-9) {
			t.Errorf("loss %v W/K: settles at %v °C (%v), want %v above 20", loss, *w.Highest, err, rise)
		}
	}
}

// Dry salt mixes: by composition the share of salt lies between 0.84, with every
// magnesium and calcium salt fully hydrated, and 1. A trade label's 36 to 40 g/L
// (common practice) must come out inside that.
func TestTradeDosesGivePlausibleMixes(t *testing.T) {
	for _, dose := range []float64{36.34, 38.4, 40} {
		w, err := Dose{GPerL: dose, Per: Finished, Salinity: 35, Temperature: 25}.DryFraction()
		if err != nil || w < 0.84 || w > 1 {
			t.Errorf("%v g/L: dry fraction %v, %v", dose, w, err)
		}
	}
}
