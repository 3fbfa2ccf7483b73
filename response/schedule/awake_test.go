package schedule

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"tidehold/volumes/site"
)

// Every plan of houses whose waters do not fit keeps every limit, and begins its changes when people
// are awake by the clock on the site's wall: at any hour only within four of the start. Counted in
// minutes of the day, by package time.
func TestChangesBeginWhenPeopleAreAwake(t *testing.T) {
	zone := time.FixedZone("east", 5*3600+45*60)
	by, night := 0, 0
	for seed := range uint64(fewer(400, 5)) {
		r := rand.New(rand.NewPCG(seed, 606))
		s, d := harsh(r)
		from, to := 5+5*r.Float64(), 15+9*r.Float64()
		if r.IntN(4) == 0 {
			from, to = to, from // who works by night
		}
		s.Awake = &site.Awake{FromH: from, ToH: to}
		if r.IntN(2) == 0 {
			s.TimeZone = zone
		}
		start := noon.Add(time.Duration(r.IntN(24*60)) * time.Minute)
		out, err := Run(s, start, d, Options{HorizonH: 96, Nodes: 100})
		if err != nil {
			t.Fatal(err)
		}
		name := fmt.Sprint("seed ", seed)
		limitsHold(t, name, out)
		for _, step := range out.Plans[0].Steps {
			at := start.Add(time.Duration(math.Round(step.AtH*3600)) * time.Second)
			if s.TimeZone != nil {
				at = at.In(zone)
			}
			clock := float64(at.Hour()) + float64(at.Minute())/60 + float64(at.Second())/3600
			const second = 1.5 / 3600
			awake := clock > from-second && clock < to+second
			if from > to {
				awake = clock > from-second || clock < to+second
			}
			switch by++; {
			case step.AtH <= 4+1e-9:
			case !awake:
				t.Errorf("%s: a change at %s, awake from %g to %g h", name, at.Format("15:04:05"), from, to)
			case math.Abs(clock-from) < second:
				night++ // it has waited for the morning
			}
		}
	}
	if t.Logf("%d changes, %d wait for the morning", by, night); by < fewer(300, 5) || night < fewer(50, 5) {
		t.Errorf("%d changes, %d wait for the morning", by, night)
	}
}
