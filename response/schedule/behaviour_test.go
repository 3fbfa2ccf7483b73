package schedule

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"tidehold/refs/outside"
	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/salinity"
	"tidehold/volumes/site"
)

func TestAgeDecidesWhatCounts(t *testing.T) {
	old, fresh := noon.Add(-31*24*time.Hour), noon.Add(-2*24*time.Hour)
	vat := vatOf("vat", 300, 440)
	vat.MaxAgeH = 30 * 24
	vat.Mixed = &old
	s := placeOf(reef(400), vat)
	p := planned(t, s, Options{}, false, share(0.3, 24))
	if p.UsableNowL != 0 || len(p.Steps) != 0 {
		t.Errorf("over-age water is planned with: %+v", p.Steps)
	}
	s.Stores[0].Tested = &fresh
	if p = planned(t, s, Options{}, false, share(0.3, 24)); p.UsableNowL != 300 {
		t.Errorf("tested water does not count: %g L", p.UsableNowL)
	}
	s.Stores[0].Mixed, s.Stores[0].Tested = nil, nil
	out, err := Run(s, noon, []plan.Demand{{System: &s.Systems[0], Aims: []plan.Aim{share(0.3, 24)}}}, Options{Explain: true})
	if err != nil {
		t.Fatal(err)
	}
	if out.UsableNowL != 300 || len(out.Warnings) != 1 || !strings.Contains(out.Warnings[0], "no date of mixing") {
		t.Errorf("undated water: %g L, warnings %q", out.UsableNowL, out.Warnings)
	}
	s.Stores[0].DatedAhead = true
	out, _ = Run(s, noon, []plan.Demand{{System: &s.Systems[0], Aims: []plan.Aim{share(0.3, 24)}}}, Options{Explain: true})
	if len(out.Warnings) != 1 || !strings.Contains(out.Warnings[0], "dated in the future; it is counted: correct the date") {
		t.Errorf("dated ahead: warnings %q", out.Warnings)
	}
	s.Stores[0].DatedAhead = false
	s.Stores[0].Mixed = &old
	out, _ = Run(s, noon, []plan.Demand{{System: &s.Systems[0], Aims: []plan.Aim{share(0.3, 24)}}}, Options{Explain: true})
	if len(out.Warnings) != 1 || !strings.Contains(out.Warnings[0], "over its age") {
		t.Errorf("warnings %q", out.Warnings)
	}
}

// 100 L now, 200 L after 9 h: 40 % of 400 L needs 100 L, then 80 L.
func TestDeliveryCountsWhenItComes(t *testing.T) {
	s := placeOf(reef(400), vatOf("vat", 100, 440))
	s.Deliveries = []site.Delivery{{AfterH: 9, Saltwater: 200}}
	p := planned(t, s, Options{Explain: true}, false, share(0.4, 24))
	if len(p.Steps) != 2 || p.Steps[1].AtH != 9 || p.Steps[1].From[0].Delivery != 1 {
		t.Fatalf("steps %+v", p.Steps)
	}
	close2(t, "from the delivery", p.Steps[1].RemoveL, 400*(1-0.6/0.75), 1e-6)
	close2(t, "exposure", p.Exposure, 9*0.15/0.6, 1e-9)
}

// 10 kg of salt after 5 h make the batch that the 2 kg in the house do not.
func TestSaltDeliveryMakesABatch(t *testing.T) {
	s := placeOf(reef(400), vatOf("vat", 0, 440), pureOf("pure", 300, 300))
	s.Salts = []site.Salt{houseSalt(0)}
	s.Deliveries = []site.Delivery{{AfterH: 5, SaltKg: 10}}
	p := planned(t, s, Options{}, false, share(0.4, 24))
	if len(p.Steps) != 1 || len(p.Batches) != 1 {
		t.Fatalf("%+v", p)
	}
	close2(t, "start", p.Batches[0].StartH, 5, 1e-9)
	close2(t, "change", p.Steps[0].AtH, 7, 1e-9)
}

// Nothing but the reserve is left in the only vat: the batch goes on top and all of it
// waits.
func TestBatchOnTopOfTheReserve(t *testing.T) {
	s := placeOf(reef(400), vatOf("vat", 160, 440), pureOf("pure", 250, 300))
	s.Reserve.Saltwater = 60
	s.Salts = []site.Salt{houseSalt(40)}
	p := planned(t, s, Options{}, false, share(0.4, 24))
	if len(p.Batches) != 1 || !p.Batches[0].OnTop || len(p.Steps) != 2 {
		t.Fatalf("batches %+v steps %+v", p.Batches, p.Steps)
	}
	close2(t, "first", p.Steps[0].RemoveL, 100, 1e-9)
	close2(t, "batch", p.Batches[0].Litres, 400*(1-0.6/0.75), 1e-6)
	close2(t, "starts when the first change is over", p.Batches[0].StartH, p.Steps[0].DoneH, 1e-9)
}

func TestBucketsAreSlowAndSaidSo(t *testing.T) {
	vat := vatOf("vat", 300, 440)
	vat.TransferLH = nil
	s := placeOf(reef(400), vat)
	out, err := Run(s, noon, []plan.Demand{{System: &s.Systems[0], Aims: []plan.Aim{share(0.3, 24)}}}, Options{Explain: true})
	if err != nil {
		t.Fatal(err)
	}
	step := out.Plans[0].Steps[0]
	if !step.From[0].Buckets {
		t.Error("no buckets")
	}
	close2(t, "minutes", step.DrainMinutes, 12, 1e-9)
	close2(t, "finish", step.DoneH, 0.4, 1e-9)
	if fmt.Sprint(out.Assumptions) == "[]" || !strings.Contains(fmt.Sprint(out.Assumptions), "common practice") {
		t.Errorf("assumptions %v", out.Assumptions)
	}
}

// A volume known to ± 8 % (k = 2): halving it with 90 % confidence takes half of
// 640·(1 + 0.04·1.28155) L.
func TestUncertainVolumeIsAllowedFor(t *testing.T) {
	sys := reef(640)
	sys.NetVolumeU, sys.Drawdown = 0.08*640, 0.9
	p := planned(t, placeOf(sys, vatOf("vat", 400, 440)), Options{}, false, share(0.5, 24))
	close2(t, "water", p.WaterL, 320*(1+0.04*1.2815515655446004), 1e-6)
	close2(t, "as sized", p.Steps[0].Levels[0].SizedAfter, 0.5, 1e-12)
	close2(t, "as expected", p.Steps[0].Levels[0].After, 1-p.WaterL/640, 1e-12)
	close2(t, "confidence", *p.Confidence, 0.9, 0)
}

// The joint allowance for start and volume against simulation: the litres planned
// suffice in 90 % of 200 000 seeded trials, within a percentage point.
func TestConfidenceAgreesWithTrials(t *testing.T) {
	for _, c := range []struct{ startU, volumeU, drawdown, target float64 }{
		{10, 0, 0.4, 10}, {8, 50, 0.1, 10}, {0, 60, 0.4, 10}, {8, 50, 0.4, 10}, {12, 20, 0.8, 20},
		{20, 0, 0.4, 62}, {30, 50, 0.4, 60}, {20, 80, 0.4, 65}, // a start at or below the target may lie above it
	} {
		sys := reef(400)
		sys.NetVolumeU, sys.Drawdown = units.Litres(c.volumeU), c.drawdown
		s := placeOf(sys, vatOf("vat", 3000, 3000))
		p := planned(t, s, Options{}, false, plan.Aim{Contaminant: "copper", Start: 60, StartU: c.startU, Target: c.target})
		if p.Aims[0].Contaminant != "copper" || p.Aims[0].EventID != "" {
			t.Errorf("the result is of %q, event %q", p.Aims[0].Contaminant, p.Aims[0].EventID)
		}
		r := rand.New(rand.NewPCG(1, 2))
		met := 0
		const trials = 200000
		for range trials {
			v, x := 400+c.volumeU/2*r.NormFloat64(), 60+c.startU/2*r.NormFloat64()
			for _, step := range p.Steps {
				x *= 1 - step.RemoveL/v
			}
			if x <= c.target*(1+1e-9) {
				met++
			}
		}
		close2(t, fmt.Sprintf("share met for %+v", c), float64(met)/trials, 0.9, 0.01)
	}
}

// 30 % of pH 8.3 into pH 7.9, both 2.86 mmol/kg of alkalinity at S 35, 25 °C: an
// independent program has pH 8.0382. The NH3 falls, although at the higher of the two
// pHs it would rise; with a vat at pH 8.6 it does rise.
func TestAmmoniaAtThePHOfTheMixture(t *testing.T) {
	alk, err := salinity.AlkalinityFromMolality(2.86, 35, 25)
	if err != nil {
		t.Fatal(err)
	}
	sys := reef(400)
	sys.Water.PH, sys.Water.AlkalinityDKH = ptr(7.9), &alk.DKH
	vat := vatOf("vat", 300, 440)
	vat.Water.PH, vat.Water.AlkalinityDKH = ptr(8.3), &alk.DKH
	aim := plan.Aim{Contaminant: "ammonia_total", Start: 500, Target: 350, WithinH: 24}
	step := planned(t, placeOf(sys, vat), Options{}, false, aim).Steps[0]
	l := step.Levels[0]
	if l.UnionisedBefore == nil || l.Rises {
		t.Fatalf("level %+v", l)
	}
	close2(t, "pH of the mixture", *step.After.PH, 8.0382, 5e-5)
	before, _ := salinity.UnionisedFraction(salinity.CleggWhitfieldTotal, 7.9, 35, 25)
	after, _ := salinity.UnionisedFraction(salinity.CleggWhitfieldTotal, *step.After.PH, 35, 25)
	close2(t, "before", *l.UnionisedBefore, 500*before, 1e-9)
	close2(t, "after", *l.UnionisedAfter, 350*after, 1e-6)
	vat.Water.PH = ptr(8.6)
	if l := planned(t, placeOf(sys, vat), Options{}, false, aim).Steps[0].Levels[0]; !l.Rises {
		t.Errorf("a vat at pH 8.6: %+v", l)
	}
	// Colder than the carbonate constants reach: the higher of the two.
	cold := reef(400)
	cold.Water.PH, cold.Water.Temperature, cold.Limits.TemperatureLow = ptr(7.9), 1, 0
	other := vatOf("vat", 300, 440)
	other.Water.PH, other.Water.Temperature = ptr(8.3), 1
	if step := planned(t, placeOf(cold, other), Options{}, false, aim).Steps[0]; *step.After.PH != 8.3 {
		t.Errorf("at 1 °C: pH %g", *step.After.PH)
	}
	sys.Water.PH = nil
	aim.Target = 200 // two changes
	for _, step := range planned(t, placeOf(sys, vat), Options{}, false, aim).Steps {
		if step.Levels[0].UnionisedBefore != nil || step.After.PH != nil {
			t.Errorf("change %d: un-ionised ammonia without a pH", step.N)
		}
	}
}

// A source of 1 mg/h in 400 L adds 2.5 µg/L an hour: the floor of 45 % changes every
// 4 h is 10·0.55/0.45 µg/L above the background.
func TestFloorWithASource(t *testing.T) {
	p := planned(t, placeOf(reef(400), vatOf("vat", 440, 440)), Options{}, false,
		plan.Aim{Contaminant: "copper", Start: 60, Target: 5, SourceMgH: 1, WithinH: 72})
	close2(t, "floor", p.Aims[0].Floor, 10*0.55/0.45, 1e-6)
	if p.Reachable || p.Aims[0].InTime {
		t.Error("a target below the floor is reached")
	}
	if len(p.Steps) == 0 {
		t.Error("nothing is done about it")
	}
}

func TestMediaWithMeasuredCapacityHelp(t *testing.T) {
	s := placeOf(reef(400), vatOf("vat", 20, 440))
	capacity := 300.0
	s.Media = []site.Media{{ID: "carbon", System: "reef", FlowLH: 400, SinglePass: map[string]float64{"copper": 0.6}, CapacityMg: &capacity}}
	a := plan.Aim{Contaminant: "copper", Start: 60, Target: 6, WithinH: 72}
	if p := planned(t, s, Options{}, false, a); p.DoneAtH != nil {
		t.Error("a plan to act on counts media")
	}
	p := planned(t, s, Options{Media: true}, false, a)
	if p.DoneAtH == nil {
		t.Fatal("media are not counted")
	}
	// C falls by e^(−0.6·t): first by the 5 % change at once.
	close2(t, "done", *p.DoneAtH, math.Log(60*0.95/6)/0.6, 1e-6)
	// What takes out something else has no part in it, nor has what is full.
	s.Media = append(s.Media, site.Media{ID: "resin", System: "reef", FlowLH: 400, SinglePass: map[string]float64{"nitrate": 0.9}, CapacityMg: ptr(1e6)},
		site.Media{ID: "next door", System: "other", FlowLH: 400, SinglePass: map[string]float64{"copper": 0.9}, CapacityMg: ptr(1e6)},
		site.Media{ID: "used up", System: "reef", FlowLH: 400, SinglePass: map[string]float64{"copper": 0.9}, CapacityMg: ptr(0)})
	s.Media[0].CapacityMg = ptr(5) // 12.5 of 57 µg/L: then it stops
	q := planned(t, s, Options{Media: true}, false, a)
	if q.DoneAtH != nil {
		t.Errorf("5 mg bring it down at %v h", *q.DoneAtH)
	}
	close2(t, "what 5 mg leave", q.Aims[0].Final, 60*0.95-5000.0/400, 1e-6)
	s.Media = s.Media[:1]
	s.Media[0].CapacityMg = nil
	if p = planned(t, s, Options{Media: true}, false, a); p.DoneAtH != nil {
		t.Error("media without a measured capacity are counted")
	}
}

// 100 L now and 50 L after 3 h will never take 60 % out of 400 L: all in one change
// leaves least until the third day, and what is lacking then is the least too.
func TestShortOfWaterTheLeastExposureCounts(t *testing.T) {
	s := placeOf(reef(400), vatOf("vat", 100, 440))
	s.Deliveries = []site.Delivery{{AfterH: 3, Saltwater: 50}}
	p := planned(t, s, Options{}, false, share(0.6, 24))
	if p.DoneAtH != nil || len(p.Steps) != 1 || p.Steps[0].AtH != 3 {
		t.Fatalf("steps %+v", p.Steps)
	}
	close2(t, "water", p.WaterL, 150, 1e-9)
	close2(t, "lacking", *p.LackingL, 400*(1-0.4/(1-150.0/400)), 1e-6)
}

// A source that goes on brings the level up again after the last change: what was
// lacking then is what counts, not what a month of it would ask for.
func TestShortfallWithASourceIsThatAfterTheLastChange(t *testing.T) {
	s := placeOf(reef(400), vatOf("vat", 300, 440))
	p := planned(t, s, Options{}, false, plan.Aim{Contaminant: "copper", Start: 60, Target: 5, WithinH: 48, SourceMgH: 0.1})
	if p.DoneAtH != nil || len(p.Steps) == 0 {
		t.Fatalf("done %v, steps %+v", p.DoneAtH, p.Steps)
	}
	left, most := p.Steps[len(p.Steps)-1].Levels[0].After, p.Demand.System.Drawdown*400
	if single := 400 * (1 - 5/left); *p.LackingL < single-1e-6 || *p.LackingL > 3*max(single, most) {
		t.Errorf("lacking %.1f L at %.2f µg/L; one change would be %.1f L", *p.LackingL, left, single)
	}
}

func TestTargetAlreadyMetTakesNothing(t *testing.T) {
	p := planned(t, placeOf(reef(400), vatOf("vat", 20, 440)), Options{Explain: true}, false, plan.Aim{Contaminant: "copper", Start: 2, Target: 3})
	if p.DoneAtH == nil || *p.DoneAtH != 0 || len(p.Steps) != 0 || *p.DemandL != 0 {
		t.Errorf("%+v", p)
	}
}

func TestLimitAlreadyBrokenForbidsOnlyMovingAway(t *testing.T) {
	sys := reef(400)
	sys.Water.Temperature = 21 // below temperature_low
	warm, cold := vatOf("warm", 300, 440), vatOf("cold", 300, 440)
	warm.Water.Temperature, cold.Water.Temperature = 23, 19
	p := planned(t, placeOf(sys, warm), Options{}, true, share(0.3, 24))
	if len(p.Steps) == 0 || !(p.Steps[0].After.Temperature > 21) {
		t.Errorf("warmer water is refused: %+v", p.Steps)
	}
	p = planned(t, placeOf(sys, cold), Options{}, true, share(0.3, 24))
	if len(p.Steps) != 0 {
		t.Errorf("colder water is let in: %+v", p.Steps)
	}
}

// Warm and cold water hold each other within the limits, and a trimmed change keeps
// their proportion.
func TestWatersThatLeanEitherWayMakeALargerChange(t *testing.T) {
	warm, cold := vatOf("warm", 100, 440), vatOf("cold", 100, 440)
	warm.Water.Temperature, cold.Water.Temperature = 30, 20
	p := planned(t, placeOf(reef(400), warm, cold), Options{}, false, share(0.4, 24))
	if len(p.Steps) != 1 {
		t.Fatalf("steps %+v", p.Steps)
	}
	close2(t, "change", p.Steps[0].RemoveL, 160, 1e-6)
	limitsHold(t, "both", Outcome{Plans: []plan.Plan{p}})
}

// A cold store and heaters that stay in use: the slow exchange is offered at the rate
// that the heaters can warm: 600 W at a duty of 40 % leave 360 W, which warm 4 K of
// 79.1 L/h.
func TestContinuousExchangeIsOfferedWhereColdCaps(t *testing.T) {
	sys := reef(400)
	duty := 0.4
	sys.HeatLoss.HeaterDuty = &duty
	sys.Equipment = []site.Equipment{{ID: "h", Kind: site.Heater, PowerW: 600}}
	vat := vatOf("vat", 430, 440)
	vat.Water.Temperature = 21
	p := planned(t, placeOf(sys, vat), Options{Explain: true}, true, share(0.5, 24))
	if p.Continuous == nil {
		t.Fatal("no continuous exchange")
	}
	close2(t, "flow", p.Continuous.FlowLH, 360*3600/(4*litreHeat(35, 23)), 1e-6)
	close2(t, "hours", p.Continuous.Hours, math.Ln2*400/p.Continuous.FlowLH, 1e-6)
	close2(t, "water", p.Continuous.WaterL, math.Ln2*400, 1e-6)
	for name, change := range map[string]func(*site.System){
		"heaters too small": func(x *site.System) {
			x.Equipment[0].PowerW = 1
			c := 30.0
			x.HeatLoss = site.HeatLoss{Coefficient: &c}
		},
		"loss unknown": func(x *site.System) { x.HeatLoss = site.HeatLoss{} },
		"cooling test": func(x *site.System) {
			x.HeatLoss = site.HeatLoss{CoolingTest: &site.CoolingTest{From: 25, To: 25, InH: 3}}
		},
	} {
		other := sys
		other.Equipment = append([]site.Equipment(nil), sys.Equipment...)
		change(&other)
		if q := planned(t, placeOf(other, vat), Options{Explain: true}, true, share(0.5, 24)); q.Continuous != nil {
			t.Errorf("%s: %+v", name, q.Continuous)
		}
	}
	sys.HeatLoss = site.HeatLoss{CoolingTest: &site.CoolingTest{From: 25, To: 24.6, InH: 3}}
	if q := planned(t, placeOf(sys, vat), Options{Explain: true}, true, share(0.5, 24)); q.Continuous == nil {
		t.Error("no continuous exchange from a cooling test")
	}
	if q := planned(t, placeOf(sys, vat), Options{Explain: true}, false, share(0.5, 24)); q.Continuous != nil {
		t.Error("a continuous exchange with the heaters off")
	}
}

// 1 °C a step takes about twice as long as 2 °C.
func TestBindingLimitNamesWhatANotchSaves(t *testing.T) {
	vat := vatOf("vat", 1000, 1000)
	vat.Water.Temperature = 21
	sys := reef(400)
	sys.Limits.TemperaturePerDay = 10
	p := planned(t, placeOf(sys, vat), Options{Explain: true}, true, share(0.9, 200))
	if p.Binding.Limit != plan.TemperatureStep || p.Binding.From != 1 || p.Binding.To != 2 || p.Binding.SavedH == nil {
		t.Fatalf("%+v", p.Binding)
	}
	if *p.Binding.DoneAtH > 0.6**p.DoneAtH {
		t.Errorf("%g h with one notch, %g h without", *p.Binding.DoneAtH, *p.DoneAtH)
	}
	if !strings.Contains(p.Binding.Detail, "temperature_step 1 °C: done in ") {
		t.Error(p.Binding.Detail)
	}
}

// Each kind of limit can be the binding one, and its notch saves time, or exposure.
func TestEveryNotchCanBeTried(t *testing.T) {
	seen := map[plan.Limit]int{}
	for seed := range uint64(outside.Cases(200, 100, 100)) {
		r := rand.New(rand.NewPCG(seed, 31))
		s, d := small(r)
		l := &s.Systems[0].Limits
		switch r.IntN(5) {
		case 0:
			l.TemperatureStep, l.TemperatureLow = 8, 24
		case 1:
			l.TemperatureStep, l.TemperaturePerDay = 3, 0.7
		case 2:
			l.SalinityStep, l.SalinityPerDay = 0.1, 3
			s.Salts, s.Stores = nil, slices.DeleteFunc(s.Stores, func(st site.Store) bool { return st.Holds == site.Purified })
		case 3:
			l.AlkalinityPerDay = 0.3
			for i := range s.Stores {
				s.Stores[i].Water.AlkalinityDKH = ptr(10)
			}
		case 4:
			for i := range s.Stores {
				s.Stores[i].Water.Temperature, s.Stores[i].HeaterW = 15, 40
			}
		}
		out, err := Run(s, noon, d, Options{Explain: true, Nodes: 200})
		if err != nil {
			t.Fatal(err)
		}
		b := out.Plans[0].Binding
		seen[b.Limit]++
		if b.SavedH != nil && *b.SavedH < 0 {
			t.Errorf("seed %d: %+v", seed, b)
		}
	}
	t.Log(seen)
	for _, l := range []plan.Limit{plan.ByDrawdown, plan.ByInterval, plan.ByWater, plan.BySalt, plan.ByPurifiedWater, plan.ByWarming, plan.TemperatureStep, plan.SalinityStep, plan.AlkalinityPerDay} {
		if seen[l] == 0 && !outside.UnderRace {
			t.Errorf("%s never binds", l)
		}
	}
}

func TestMeetsAgreesWithRun(t *testing.T) {
	yes, missed := 0, 0
	for seed := uint64(15); seed < 15+uint64(outside.Cases(400, 17, 15)); seed++ {
		s, d := small(rand.New(rand.NewPCG(seed, 17)))
		d[0].Aims[0].WithinH = float64(1 + seed%30)
		p, err := New(s, noon)
		if err != nil {
			t.Fatal(err)
		}
		out, err := p.Run(d, Options{})
		if err != nil {
			t.Fatal(err)
		}
		got, err := p.Meets(d, Options{})
		if err != nil {
			t.Fatal(err)
		}
		switch is := out.Plans[0].Aims[0].InTime; {
		case got && !is:
			t.Errorf("seed %d: meets, but the plan does not", seed)
		case is && !got:
			missed++ // found only while looking for less exposure
		}
		if got {
			yes++
		}
		two := append(append([]plan.Demand(nil), d...), d...)
		if both, err := p.Meets(two, Options{}); err != nil || both && !got {
			t.Errorf("seed %d: two are met where one is not (%v)", seed, err)
		}
	}
	if missed > 2 {
		t.Errorf("%d met by the plan alone", missed)
	}
	if yes < outside.Cases(20, 1, 1) && !outside.UnderRace {
		t.Errorf("only %d met", yes)
	}
}

func TestExtraCountsLikeTheSiteItself(t *testing.T) {
	s := placeOf(reef(400), vatOf("vat", 100, 440), pureOf("pure", 50, 60))
	s.Salts = []site.Salt{houseSalt(1)}
	s.Purifier = &site.Purifier{RateLH: 5, RatedAt: 25, Feed: 15}
	s.Stores[0].Water.Temperature, s.Stores[0].HeaterW = 22, 100
	extra := Extra{
		StoreL: map[string]float64{"vat": 60, "pure": 40, "nowhere": 5}, CapacityL: map[string]float64{"vat": 100, "pure": 30},
		HeaterW: map[string]float64{"vat": 200}, SaltKg: map[string]float64{"house": 4}, PurifierLH: 6,
	}
	more := *s
	more.Stores = append([]site.Store(nil), s.Stores...)
	more.Stores[0].Volume, more.Stores[0].Capacity, more.Stores[0].HeaterW = decimal.NewFromInt(160), 540, 300
	more.Stores[1].Volume, more.Stores[1].Capacity = decimal.NewFromInt(90), 130
	more.Salts = []site.Salt{houseSalt(5)}
	more.Purifier = &site.Purifier{RateLH: 11, RatedAt: 25, Feed: 15}
	a, b := planned(t, s, Options{Extra: extra}, false, share(0.6, 100)), planned(t, &more, Options{}, false, share(0.6, 100))
	if len(a.Steps) != len(b.Steps) || a.Exposure != b.Exposure || a.WaterL != b.WaterL {
		t.Errorf("with extra %g h·target, %g L; with a site that has it %g, %g", a.Exposure, a.WaterL, b.Exposure, b.WaterL)
	}
}

func TestBudgetOfNodesIsSaid(t *testing.T) {
	s := many(1, 2)
	a, _ := aimOf(&s.Events[2])
	out, err := Run(s, noon, []plan.Demand{{System: &s.Systems[0], Aims: []plan.Aim{a}}}, Options{Nodes: 20, Explain: true})
	if err != nil {
		t.Fatal(err)
	}
	if out.Plans[0].Proved || len(out.Warnings) == 0 || !strings.Contains(strings.Join(out.Warnings, "\n"), "not proved best") {
		t.Errorf("exact %v, warnings %q", out.Plans[0].Proved, out.Warnings)
	}
}

func TestManyStoresAreNotAllLookedAt(t *testing.T) {
	s := many(2, 200)
	for i := range s.Stores { // warm, so that nothing is poured away to be warm sooner
		s.Stores[i].Water.Temperature = s.Systems[0].Water.Temperature
	}
	for i := range 20 {
		s.Stores = append(s.Stores, vatOf(fmt.Sprint("spare", i), 0, 300))
	}
	p := planned(t, s, Options{Explain: true}, true, share(0.3, 24))
	if p.DoneAtH == nil || p.UsableNowL < 50000 {
		t.Errorf("%g L usable, done %v", p.UsableNowL, p.DoneAtH)
	}
	out, err := Run(s, noon, []plan.Demand{
		{System: &s.Systems[0], Aims: []plan.Aim{share(0.3, 24)}}, {System: &s.Systems[1], Aims: []plan.Aim{share(0.3, 24)}},
	}, Options{Extra: Extra{StoreL: map[string]float64{"spare7": 10}}})
	if err != nil {
		t.Fatal(err)
	}
	close2(t, "left", out.Plans[0].UsableNowL-out.Plans[1].UsableNowL, out.Plans[0].WaterL, 1e-6)
}

func TestFaults(t *testing.T) {
	good := func() *site.Site {
		s := placeOf(reef(400), vatOf("vat", 300, 440))
		s.Salts = []site.Salt{houseSalt(5)}
		half := 0.5
		s.Events = []site.Event{{ID: "halve", System: "reef", Remove: &half, WithinH: 4}}
		return s
	}
	for _, c := range []struct {
		want   string
		change func(*site.Site, *plan.Aim)
	}{
		{"net volume 0 L", func(s *site.Site, _ *plan.Aim) { s.Systems[0].NetVolume = 0 }},
		{"drawdown 1.2", func(s *site.Site, _ *plan.Aim) { s.Systems[0].Drawdown = 1.2 }},
		{"drawdown 0;", func(s *site.Site, _ *plan.Aim) { s.Systems[0].Drawdown = 0 }},
		{"change_every 0 h", func(s *site.Site, _ *plan.Aim) { s.Systems[0].ChangeEveryH = 0 }},
		{"system reef: salinity 350", func(s *site.Site, _ *plan.Aim) { s.Systems[0].Water.Salinity = 350 }},
		{"store vat: temperature 45 °C", func(s *site.Site, _ *plan.Aim) { s.Stores[0].Water.Temperature = 45 }},
		{"salt house: dose 30 g/L", func(s *site.Site, _ *plan.Aim) { s.Salts[0].DoseGL = 30 }},
		{"nothing to bring down", func(_ *site.Site, a *plan.Aim) { a.EventID = "none" }},
		{"target NaN", func(_ *site.Site, a *plan.Aim) { a.Target = math.NaN() }},
		{"source -1", func(_ *site.Site, a *plan.Aim) { a.SourceMgH = -1 }},
		{"start +Inf", func(_ *site.Site, a *plan.Aim) { a.Start = math.Inf(1) }},
	} {
		s, a := good(), share(0.5, 4)
		c.change(s, &a)
		d := plan.Demand{System: &s.Systems[0], Aims: []plan.Aim{a}}
		if a.EventID == "none" {
			d.Aims = nil
		}
		_, err := Run(s, noon, []plan.Demand{d}, Options{})
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("error %v, want %q", err, c.want)
		}
	}
	for _, c := range []struct {
		want   string
		change func(*site.Event)
	}{
		{`system "pond" is not in the site file`, func(e *site.Event) { e.System = "pond" }},
		{"neither what share", func(e *site.Event) { e.Remove = nil }},
		{"start concentration of copper is not known", func(e *site.Event) { e.Remove, e.Contaminant = nil, "copper" }},
	} {
		s := good()
		c.change(&s.Events[0])
		if _, err := Demands(s, "halve"); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("error %v, want %q", err, c.want)
		}
	}
	if _, err := Demands(good(), "flood"); err == nil || !strings.Contains(err.Error(), `event "flood" is not`) {
		t.Errorf("error %v", err)
	}
}
