package schedule

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"tidehold/refs/outside"
	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// twoReefs share a cleaner vat that fits both and another that fits the first alone: the first, served
// first, takes the cleaner.
func twoReefs() (*site.Site, []plan.Demand) {
	a, b := reef(100), reef(100)
	b.ID, b.Water.Salinity, b.Limits.SalinityStep, b.Limits.SalinityPerDay = "brackish", 33, 0.1, 0.1
	a.Water.Salinity, a.Limits.SalinityStep = 34, 2
	a.Drawdown, b.Drawdown = 0.6, 0.6
	clean, salty := vatOf("clean", 60, 60), vatOf("salty", 60, 60)
	clean.Water.Salinity = 33
	salty.Background = map[string]float64{"copper": 2}
	s := placeOf(a, clean, salty)
	s.Systems = append(s.Systems, b)
	aim := plan.Aim{EventID: "e", Contaminant: "copper", Start: 60, Target: 31, WithinH: 6}
	return s, []plan.Demand{{System: &s.Systems[0], Aims: []plan.Aim{aim}, Priority: 1, Reheats: true}, {System: &s.Systems[1], Aims: []plan.Aim{share(0.5, 6)}, Priority: 2, Reheats: true}}
}

// Where the demand that comes first takes what only the next could use, they are served in the other
// order; where that helps nobody, in the order of their priorities.
func TestAnotherOrderIsTried(t *testing.T) {
	s, d := twoReefs()
	p, err := New(s, noon)
	if err != nil {
		t.Fatal(err)
	}
	alone, err := p.serve(d, servingOrder(d), Options{}.withDefaults(s))
	if err != nil || !allInTime(&alone[0]) || allInTime(&alone[1]) {
		t.Fatalf("by priority the second is late: %v %+v", err, alone)
	}
	out, err := p.Run(d, Options{Note: true})
	if err != nil || !out.Reordered || out.Plans[0].Index != 1 || out.Plans[1].Index != 0 || !allInTime(&out.Plans[0]) || !allInTime(&out.Plans[1]) {
		t.Fatalf("%v %+v", err, out)
	}
	for what, met := range map[string]func([]plan.Demand, Options) (bool, error){"Meets": p.Meets, "InTime": p.InTime} {
		if ok, err := met(d, Options{}); !ok || err != nil {
			t.Errorf("%s: %v %v", what, ok, err)
		}
	}
	s.Stores = s.Stores[1:]
	if out, err = Run(s, noon, d, Options{}); err != nil || out.Reordered || out.Plans[0].Index != 0 {
		t.Errorf("where no order helps: %v %+v", err, out)
	}
}

// Whoever is never done either way does not take the water of the next.
func TestNoneIsLateForOneThatIsLateAnyhow(t *testing.T) {
	s, d := twoReefs()
	s.Stores[0].Water.Salinity, s.Stores[1].Water.Salinity = 33.5, 33.5
	s.Systems[1].Limits.SalinityStep, s.Systems[1].Limits.SalinityPerDay = 2, 4
	d[0].Aims[0].Target = 5 // takes all there is, and more
	out, err := Run(s, noon, d, Options{})
	if err != nil || !out.Reordered || out.Plans[0].Index != 1 || !allInTime(&out.Plans[0]) || allInTime(&out.Plans[1]) || len(out.Plans[1].Steps) == 0 {
		t.Errorf("%v %+v", err, out)
	}
	// One that is in time by priority is not given up for two that are not.
	third := d[1]
	d[0].Aims[0].Target = 22
	s.Stores = append(s.Stores[:1], vatOf("small", 14, 20))
	s.Stores[1].Water.Salinity = 33.5
	if out, err = Run(s, noon, append(d, third), Options{}); err != nil || !allInTime(&out.Plans[0]) || out.Plans[0].Index != 0 {
		t.Errorf("%v %+v", err, out)
	}
}

// Of two demands on one house it makes no difference to whether both are in time which has the priority.
func TestPriorityDoesNotDecideWhetherAllAreInTime(t *testing.T) {
	both, reordered := 0, 0
	for seed := range uint64(outside.Cases(4000, 300, 60)) {
		r := rand.New(rand.NewPCG(seed, 281))
		s, d := coldHouse(r)
		second := s.Systems[0]
		second.ID, second.NetVolume = "second", second.NetVolume*0.6
		if seed%2 == 0 {
			second.Water.Salinity--
		}
		s.Systems = append(s.Systems, second)
		d.System, d.Aims = &s.Systems[0], []plan.Aim{share(0.2, 12)}
		list := []plan.Demand{d, d}
		list[1].System, list[1].Aims = &s.Systems[1], []plan.Aim{share(0.2, 24)}
		var met [2]bool
		for k := range met {
			list[0].Priority, list[1].Priority = 1+k, 2-k
			out, err := Run(s, noon, list, Options{Nodes: 1000})
			if err != nil {
				t.Fatal(err)
			}
			met[k] = !slices.ContainsFunc(out.Plans, func(made plan.Plan) bool { return !allInTime(&made) })
			if out.Reordered {
				reordered++
			}
			if out.Reordered {
				spared(t, s, list, out.Plans)
			}
		}
		if met[0] != met[1] {
			t.Errorf("seed %d: in time %v as the priorities are", seed, met)
		}
		if met[0] {
			both++
		}
	}
	t.Logf("%d in time, %d in another order", both, reordered)
	if both < outside.Cases(3000, 200, 30) || reordered < outside.Cases(50, 3, 0) && !outside.UnderRace {
		t.Errorf("%d in time, %d in another order", both, reordered)
	}
}

// spared checks that fewer are late in the order of the plans than by priority, and none that was not.
func spared(t *testing.T, s *site.Site, list []plan.Demand, plans []plan.Plan) {
	t.Helper()
	p, err := New(s, noon)
	if err != nil {
		t.Fatal(err)
	}
	byPriority, err := p.serve(list, servingOrder(list), Options{Nodes: 1000}.withDefaults(s))
	if err != nil {
		t.Fatal(err)
	}
	was, is := lateOf(byPriority), lateOf(plans)
	if len(is) >= len(was) || slices.ContainsFunc(is, func(d int) bool { return !slices.Contains(was, d) }) {
		t.Errorf("late by priority %v, in another order %v", was, is)
	}
}

// A place that is moved to the front leaves the others in their order.
func TestServedFirst(t *testing.T) {
	order := []int{3, 1, 2, 0}
	if got := fmt.Sprint(servedFirst(order, 2), servedFirst(order, 3), order); got != "[2 3 1 0] [0 3 1 2] [3 1 2 0]" {
		t.Error(got)
	}
}

// Of three demands whichever is late is served first, until the first is late itself or every one has had
// its turn.
func TestHowManyOrdersAreTried(t *testing.T) {
	p := &Planner{}
	tried := func(late ...int) string {
		var orders [][]int
		_, all, err := p.inAnyOrder([]int{0, 1, 2}, 3, func(order []int) (int, error) {
			orders = append(orders, slices.Clone(order))
			return late[len(orders)-1], nil
		})
		return fmt.Sprint(orders, all, err)
	}
	for want, late := range map[string][]int{
		"[[0 1 2]] true <nil>":                  {-1},
		"[[0 1 2]] false <nil>":                 {0},
		"[[0 1 2] [2 0 1]] true <nil>":          {2, -1},
		"[[0 1 2] [1 0 2] [2 1 0]] false <nil>": {1, 2, 1},
		"[[0 1 2] [1 0 2] [0 1 2]] true <nil>":  {1, 1, -1},
	} {
		if got := tried(late...); got != want {
			t.Errorf("%v: %s, want %s", late, got, want)
		}
	}
}

// TestAPairIsNotLateWithMore: in the order that is not by deadline, too, the last is looked for as what is shown is: with
// 285 L in the new container a pair was short that had enough with 279 L and with 300 L.
func TestAPairIsNotLateWithMore(t *testing.T) {
	s := siteOf(t, "more-in-a-container")
	d, err := Demands(s, "chalk-in", "ammonia-qt")
	if err != nil {
		t.Fatal(err)
	}
	for _, litres := range []int64{279, 285, 290, 300} {
		s.StoreByID("new").Volume = decimal.NewFromInt(litres)
		out, err := Run(s, time.Date(2026, 11, 25, 3, 0, 0, 0, s.TimeZone), d, Options{Note: true, Unproved: true})
		if err != nil {
			t.Fatal(err)
		}
		if late := lateOf(out.Plans); len(late) > 0 {
			t.Errorf("%d L: %v is late", litres, late)
		}
	}
}
