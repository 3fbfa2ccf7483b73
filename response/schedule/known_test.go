package schedule

import (
	"reflect"
	"strings"
	"testing"
	"unsafe"

	"tidehold/refs/outside"
	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// unasked are the parts of a problem that a question leaves out, by path: whose it is, what
// things are called, memory for the search, what is nothing at every start, and what follows
// from the rest.
var unasked = []string{
	".demand", ".scratch", ".grown",
	".vessels.id", ".works.salts.id",
	".start.spent", ".start.comes", ".start.ask.workFrom", ".start.ask.planned", ".start.ask.warmerH", ".start.ask.dayCap",
	".start.vats.course.gainC", ".start.vats.course.perH", ".start.vats.course.linear",
}

// leaves calls do with every number, word and truth in a value, by path and settable.
func leaves(v reflect.Value, path string, do func(path string, leaf reflect.Value)) {
	for _, u := range unasked {
		if strings.HasPrefix(path, u) {
			return
		}
	}
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			f := v.Field(i)
			f = reflect.NewAt(f.Type(), unsafe.Pointer(f.UnsafeAddr())).Elem()
			leaves(f, path+"."+v.Type().Field(i).Name, do)
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			leaves(v.Index(i), path, do)
		}
	case reflect.Pointer:
		if !v.IsNil() {
			leaves(v.Elem(), path, do)
		}
	default:
		do(path, v)
	}
}

// full is a problem in which every list has something.
func full(t *testing.T) *problem {
	t.Helper()
	s := many(1, 2)
	s.Deliveries = []site.Delivery{{AfterH: 5, SaltKg: 2}, {AfterH: 6, Purified: 20}, {AfterH: 7, Saltwater: 30}}
	s.Awake = &site.Awake{FromH: 7, ToH: 22}
	p, err := New(s, noon)
	if err != nil {
		t.Fatal(err)
	}
	d := plan.Demand{System: &s.Systems[0], NotBeforeH: 1, Aims: []plan.Aim{
		{EventID: "a", Start: 1, Target: 0.5, WithinH: 24},
		{EventID: "b", Contaminant: "copper", Start: 60, StartU: 5, Target: 9, SourceMgH: 0.1, BoundRatio: 0.2, BoundRatePerH: 0.1},
	}, Held: []plan.Held{{State: plan.State{Salinity: 34, Temperature: 24}, UntilH: -3}}}
	q, err := p.problem(&d, Options{}.withDefaults(s), nil)
	if err != nil {
		t.Fatal(err)
	}
	return q
}

// TestAQuestionIsAllOfAProblem: whatever changes in a problem changes the question, so that
// no plan is taken for the answer to another.
func TestAQuestionIsAllOfAProblem(t *testing.T) {
	p := full(t)
	was := p.question(100)
	if p.question(101) == was {
		t.Error("another budget is the same question")
	}
	n := 0
	leaves(reflect.ValueOf(p).Elem(), "", func(path string, leaf reflect.Value) {
		n++
		before := reflect.New(leaf.Type()).Elem()
		before.Set(leaf)
		switch leaf.Kind() {
		case reflect.Float64:
			leaf.SetFloat(leaf.Float()*1.5 + 7)
			if before.Float() == leaf.Float() { // without end
				leaf.SetFloat(3)
			}
		case reflect.Int, reflect.Int8:
			leaf.SetInt(leaf.Int() + 1)
		case reflect.Bool:
			leaf.SetBool(!leaf.Bool())
		default:
			t.Errorf("%s is a %s, which no question holds", path, leaf.Kind())
		}
		if p.question(100) == was {
			t.Errorf("%s is not asked about", path)
		}
		leaf.Set(before)
	})
	if p.question(100) != was || n < 150 {
		t.Errorf("%d parts were changed, and changed back", n)
	}
	for what, grow := range map[string]func(q *problem){
		"aim": func(q *problem) { q.aims = append(q.aims, aim{}) }, "vessel": func(q *problem) { q.vessels = append(q.vessels, vessel{}) },
		"salt":     func(q *problem) { q.works.salts = append(q.works.salts, saltKind{}) },
		"delivery": func(q *problem) { q.works.comes = append(q.works.comes, arrival{}) },
		"state":    func(q *problem) { q.start.held = append(q.start.held, held{}) },
	} {
		q := *p
		if grow(&q); q.question(100) == was {
			t.Errorf("one %s more is the same question", what)
		}
	}
	for _, u := range []string{".start.spent", ".start.comes", ".start.ask.workFrom", ".start.ask.warmerH", ".start.ask.dayCap"} {
		v := reflect.ValueOf(p).Elem()
		for _, name := range strings.Split(u[1:], ".") {
			v = v.FieldByName(name)
		}
		if !v.IsZero() {
			t.Errorf("%s is not nothing at the start", u)
		}
	}
	if p.start.ask.planned != noJob {
		t.Error("a job is planned at the start")
	}
}

// TestWhatIsKnownIsWhatWouldBeFound: plans with a memory are those without, digit for digit,
// whoever asked first and however closely; and alike systems are not searched twice.
func TestWhatIsKnownIsWhatWouldBeFound(t *testing.T) {
	s := many(21, 2) // seven sizes
	p, err := New(s, noon)
	if err != nil {
		t.Fatal(err)
	}
	known := NewKnown()
	asked := 0
	for i := range s.Events {
		if !outside.Tried(i, 1) {
			continue
		}
		e := &s.Events[i]
		a, err := aimOf(e)
		if err != nil {
			t.Fatal(err)
		}
		demands := []plan.Demand{{System: &s.Systems[i/3], Aims: []plan.Aim{a}, Reheats: e.Reheats}}
		for _, opt := range []Options{{Nodes: 200}, {Nodes: 200, Note: true}, {Nodes: 200, Note: true, Unproved: true}} {
			asked++
			want, err := p.Run(demands, opt)
			if err != nil {
				t.Fatal(err)
			}
			opt.Known = known
			got, err := p.Run(demands, opt)
			if err != nil || !reflect.DeepEqual(got, want) {
				t.Fatalf("%s: %v\nknown %+v\nfound %+v", e.ID, err, got, want)
			}
		}
	}
	if n := len(known.young); n != 21 && !outside.UnderRace { // three events of seven sizes
		t.Errorf("%d searches for %d plans", n, asked)
	}
}

// TestOldQuestionsAreForgotten: the memory has an end, and the newest stay in it.
func TestOldQuestionsAreForgotten(t *testing.T) {
	k, p := NewKnown(), full(t)
	for n := range 3*mostKnown + 1 {
		k.keep(p.question(n), found{nodes: n})
	}
	if len(k.young)+len(k.old) > 2*mostKnown {
		t.Errorf("%d are remembered", len(k.young)+len(k.old))
	}
	for n, want := range map[int]bool{0: false, mostKnown: false, 3 * mostKnown: true, 2*mostKnown + 1: true} {
		if _, f, ok := k.recall(p, n); ok != want || ok && f.nodes != n {
			t.Errorf("search %d of %d: known %t, %+v", n, 3*mostKnown+1, ok, f)
		}
	}
	var none *Known
	none.keep(question{}, found{})
	if _, _, ok := none.recall(p, 1); ok {
		t.Error("nothing remembers something")
	}
}
