package salinity_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"tidehold/refs/units"
	"tidehold/salinity"
)

// 1.0264 for 25/25 °C and 1.0269 for 60/60 °F are salinity 35 by TEOS-10 (IOC, SCOR
// and IAPSO 2010), to the digits printed; half a unit of the last is worth 0.066. From the same
// library, 0.0005 of it is worth 0.660.
func TestPracticalSalinityFromAGravityWithItsPair(t *testing.T) {
	for _, text := range []string{"1.0264 sg@25C/25C", "1.0264SG @ 25/25", "1.0269sg@60F/60F", "1.0264 sg ± 0.0005 @25C/25C"} {
		q, err := salinity.ParsePractical(text)
		if err != nil || !(math.Abs(q.Value-35) <= 0.08) || q.Dim != units.Salinity {
			t.Errorf("%s: %+v, %v", text, q, err)
		}
		if strings.Contains(text, "±") != (q.U > 0) || q.U > 0 && !(math.Abs(q.U-0.66) <= 0.005) {
			t.Errorf("%s: ± %v, want 0.66 for 0.0005", text, q.U)
		}
	}
}

func TestABareGravityIsNotTakenForASalinity(t *testing.T) {
	for text, want := range map[string]string{
		"1.026": "write 1.026 sg@25C/25C for a gravity, 1.026 ppt for a salinity",
		"1.001": "looks like a specific gravity", "1.050": "looks like", "1.026 ± 0.001": "looks like",
		"1.0264 sg": "has no pair of temperatures", "1.264 sg@25C/25C": "out of range", "1.0264 sg@25": "temperature pair", "1.0264@25C/25C x": "pair",
	} {
		_, err := salinity.ParsePractical(text)
		var e *units.Error
		if !errors.As(err, &e) || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %q", text, err, want)
		}
	}
	for text, want := range map[string]float64{"1.026 ppt": 1.026, "1 psu": 1, "1": 1, "1.0": 1, "0.999": 0.999, "1.051": 1.051, "0": 0, "35": 35} {
		if q, err := salinity.ParsePractical(text); err != nil || q.Value != want {
			t.Errorf("%s: %+v, %v", text, q, err)
		}
	}
}
