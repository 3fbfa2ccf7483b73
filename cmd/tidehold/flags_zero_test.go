package main

import (
	"slices"
	"testing"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"tidehold/refs/units"
)

// zeroOf is nothing, in a unit of each dimension that flags have. A gravity, an index and a density are of something.
var zeroOf = map[units.Dimension]string{
	units.Volume: "0 L", units.Mass: "0 kg", units.Length: "0 cm", units.Area: "0 m2", units.TempStep: "0 K", units.Temperature: "0 C", units.Salinity: "0",
	units.Duration: "0 h", units.Flow: "0 L/h", units.Concentration: "0 ug/L", units.Share: "0 %", units.Power: "0 W", units.HeatLoss: "0 W/K",
	units.MassRate: "0 mg/h", units.Alkalinity: "0 dKH", units.Conductivity: "0 mS/cm", units.Dose: "0 g/L", units.AlkStrength: "0 meq/mL",
	units.IonStrength: "0 mg/mL", units.PerHour: "0 /h", units.Number: "0", units.SalinityStep: "0",
}

// neverNothing are the flags of which none is no answer: without a volume, a change, a time between changes or a
// step there is nothing to plan.
var neverNothing = map[string][]string{
	"assess": {"volume", "drawdown", "every"}, "dilute": {"volume", "drawdown", "every", "remove", "change", "confidence"},
	"match": {"steps"}, "shape": {"rock-density"}, "chart": {"step"},
}

// Nothing is an amount: no salt left, no purifier, freezing. A flag that takes an amount takes none of it, but where
// there would be nothing to plan.
func TestNothingIsAnAmount(t *testing.T) {
	taken := 0
	everyCommand(func(c *cobra.Command) {
		c.Flags().VisitAll(func(f *pflag.Flag) {
			q, is := valueOf(f).(*quantityFlag)
			if !is || zeroOf[q.dim] == "" || slices.Contains(neverNothing[c.Name()], f.Name) {
				return
			}
			if err := q.Set(zeroOf[q.dim]); err != nil {
				t.Errorf("%s --%s: %v", c.CommandPath(), f.Name, err)
			}
			taken++
		})
	})
	if taken < 80 {
		t.Errorf("%d flags take an amount", taken)
	}
}
