package schedule

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"tidehold/refs/outside"
	"tidehold/volumes/site"
)

// Every plan of houses whose waters do not fit keeps every limit, and begins its changes and its work on vats when people
// are awake by the clock on the site's wall: at any hour only within four of the start. Counted in
// minutes of the day, by package time.
func TestChangesBeginWhenPeopleAreAwake(t *testing.T) {
	zone := time.FixedZone("east", 5*3600+45*60)
	by, night := map[string]int{}, map[string]int{}
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
		made := &out.Plans[0]
		begun := map[string][]float64{}
		for _, step := range made.Steps {
			begun["a change"] = append(begun["a change"], step.AtH)
		}
		for _, x := range made.Batches {
			begun["a batch"] = append(begun["a batch"], x.StartH)
		}
		for _, x := range made.Prepared {
			begun["work on a vat"] = append(begun["work on a vat"], x.AtH)
		}
		for what, hours := range begun {
			for _, h := range hours {
				at := start.Add(time.Duration(math.Round(h*3600)) * time.Second)
				if s.TimeZone != nil {
					at = at.In(zone)
				}
				clock := float64(at.Hour()) + float64(at.Minute())/60 + float64(at.Second())/3600
				const second = 1.5 / 3600
				awake := clock > from-second && clock < to+second
				if from > to {
					awake = clock > from-second || clock < to+second
				}
				switch by[what]++; {
				case h <= 4+1e-9:
				case !awake:
					t.Errorf("%s: %s at %s, awake from %g to %g h", name, what, at.Format("15:04:05"), from, to)
				case math.Abs(clock-from) < second:
					night[what]++ // it has waited for the morning
				}
			}
		}
	}
	t.Logf("%v, wait for the morning %v", by, night)
	if by["a change"] < fewer(300, 5) || night["a change"] < fewer(50, 5) || night["a batch"] == 0 && !outside.UnderRace {
		t.Errorf("%v, wait for the morning %v", by, night)
	}
}
