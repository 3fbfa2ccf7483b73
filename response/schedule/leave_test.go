package schedule

import (
	"math"
	"testing"

	"tidehold/response/plan"
)

// Of two limits on the way the one that is met first is told, and where: in whatever order they are looked at.
func TestTheLimitThatIsMetFirstIsTold(t *testing.T) {
	b := bands{{low: 24, high: 26, lowBy: plan.TemperatureStep, highBy: plan.TemperatureHigh}, {low: 34, high: 36, lowBy: plan.SalinityLow, highBy: plan.SalinityStep}, everywhere()}
	inside := [3]float64{ofTemperature: 25, ofSalinity: 35, ofAlkalinity: 8}
	for _, c := range []struct {
		c, s, share float64
		by          plan.Limit
	}{{21, 37, 0.25, plan.TemperatureStep}, {23, 39, 0.25, plan.SalinityStep}, {30, 33, 0.2, plan.TemperatureHigh}, {27, 30, 0.2, plan.SalinityLow}} {
		share, by, left := b.leave(inside, [3]float64{ofTemperature: c.c, ofSalinity: c.s, ofAlkalinity: 8})
		if !left || by != c.by || !(math.Abs(share-c.share) <= 1e-12) {
			t.Errorf("to %g °C and %g: %g by %s, %v; want %g by %s", c.c, c.s, share, by, left, c.share, c.by)
		}
	}
}
