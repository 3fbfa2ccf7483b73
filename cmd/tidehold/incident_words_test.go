package main

import (
	"strings"
	"testing"
	"time"

	"tidehold/refs/units"
	"tidehold/response/incident"
	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// What the results say is said in one sentence, which claims no more than is known.
func TestWhatTheResultsSay(t *testing.T) {
	one, two := incident.Series{Samples: make([]incident.Sample, 1)}, incident.Series{Samples: make([]incident.Sample, 2)}
	chosen := &incident.Fit{}
	chosen.SourceMgH.Value, chosen.SourceMgH.SE, chosen.CleanedLH.Value = 0.84, 0.1, 120
	for want, f := range map[string]incident.Finding{
		"The results are what the changes alone explain.":                                                        {Series: two, Explanation: incident.Dilution},
		"Something is still adding it: 0.84 ± 0.20 mg/h. Find it and stop it.":                                   {Series: two, Explanation: incident.StillAdding, Chosen: chosen},
		"It is coming back from rock and sand: changes will be needed for longer.":                               {Series: two, Explanation: incident.ComingBack},
		"More is taken out than the changes explain, as carbon or resin cleaning 120 L/h would.":                 {Series: two, Explanation: incident.TakenOut, Chosen: chosen},
		"More comes in than the changes explain; a source and rock that gives it back cannot be told apart yet.": {Series: two, MoreIn: true},
		"Less is there than the changes explain; why cannot be told yet.":                                        {Series: two, LessIn: true},
		"One result: it sets the start, and cannot yet say whether anything else acts.":                          {Series: one},
		"Whether anything but the changes acts cannot be told yet.":                                              {Series: two},
	} {
		if got := explanationText(f); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// What was measured is drawn beside what was predicted, once there is a result; and whoever's tank is open beside is
// named, once one is.
func TestOnlyWhatIsThereIsShownOfANight(t *testing.T) {
	for _, c := range []struct {
		commands    []string
		drawn, more bool
	}{
		{brokenHeater[:2], false, false},
		{brokenHeater[:3], true, false},
		{append(brokenHeater[:1:1], "incident open pool-spill --at 2026-11-25T03:10:00Z"), false, true},
	} {
		siteFile := nightAt(t, c.commands...)
		code, out, errs := onSite(siteFile, "incident status --all --at 2026-11-25T03:30:00Z --system hall-reef")
		if code != exitNo {
			t.Fatalf("exit %d: %s", code, errs)
		}
		out = strings.Join(strings.Fields(out), " ")
		if drawn := strings.Contains(out, "Predicted and measured"); drawn != c.drawn {
			t.Errorf("%v: drawn %v", c.commands, drawn)
		}
		if more := strings.Contains(out, "Planned together with"); more != c.more {
			t.Errorf("%v: planned together %v\n%s", c.commands, more, out)
		}
	}
}

// nightOf is a night of one goal at 03:00, without a site's stores.
func nightOf(f *incident.Finding) *night {
	n := &night{units: units.Metric}
	n.Site = &site.Site{TimeZone: time.UTC}
	n.State.Now = time.Date(2026, 11, 25, 3, 0, 0, 0, time.UTC)
	n.Goals = []incident.Goal{{Contaminant: "copper", Target: 3.1, Finding: f}}
	return n
}

// TestWhyAChangeWaitsForAReadyVat: "cellar-1 790 L (ready)" stood beside a change an hour and a half later, which
// waited for the vat's heater; no word said so.
func TestWhyAChangeWaitsForAReadyVat(t *testing.T) {
	n := nightOf(nil)
	n.NextChange = n.State.Now
	n.Site.Stores = []site.Store{{ID: "vat", HeaterW: 300, Water: site.Chemistry{Temperature: 20}}}
	p := plan.Plan{Steps: []plan.Step{{AtH: 1.5, From: []plan.Draw{{StoreID: "vat", Temperature: 23}}}}}
	if got := n.waitsFor(p); got.text != "It waits for vat to warm: 20.0 °C now, 23.0 °C by then. See that its heater is on, and under water; if it warms more slowly, enter what it is, and look again:" || got.typed != "tidehold stock tested vat --temp VALUE" {
		t.Errorf("%q", got)
	}
	for why, other := range map[string]func(*night, *plan.Plan){
		"no heater":       func(n *night, _ *plan.Plan) { n.Site.Stores[0].HeaterW = 0 },
		"warm enough":     func(_ *night, p *plan.Plan) { p.Steps[0].From[0].Temperature = 20.4 },
		"the next is now": func(_ *night, p *plan.Plan) { p.Steps[0].AtH = 0 },
		"the interval":    func(n *night, _ *plan.Plan) { n.NextChange = n.State.Now.Add(90 * time.Minute) },
		"the morning":     func(_ *night, p *plan.Plan) { p.Steps[0].AtH = 5 },
		"work at a vat":   func(_ *night, p *plan.Plan) { p.Prepared = []plan.Prepare{{}} },
		"a batch":         func(_ *night, p *plan.Plan) { p.Batches = []plan.Batch{{StartH: 1}} },
		"another system":  func(n *night, _ *plan.Plan) { n.Besides = make([]incident.Log, 1) },
		"no change":       func(_ *night, p *plan.Plan) { p.Steps = nil },
	} {
		m, q := *n, plan.Plan{Steps: []plan.Step{{AtH: 1.5, From: []plan.Draw{{StoreID: "vat", Temperature: 23}}}}}
		changed := *n.Site
		changed.Stores = []site.Store{n.Site.Stores[0]}
		m.Site = &changed
		if other(&m, &q); m.waitsFor(q) != (wait{}) {
			t.Errorf("%s: %q", why, m.waitsFor(q))
		}
	}
}

// A sample that would decide between two explanations is named with its time and what each would show; where a
// change comes before it, right before each change is the time.
func TestWhatWouldDecideIsNamed(t *testing.T) {
	finding := func(d incident.Decider) *incident.Finding {
		t0 := time.Date(2026, 11, 25, 2, 0, 0, 0, time.UTC)
		return &incident.Finding{Series: incident.Series{T0: t0, Samples: make([]incident.Sample, 2)}, Decider: &d}
	}
	const unknown = "Whether anything but the changes acts cannot be told yet. "
	d := incident.Decider{AtH: 7, One: incident.Dilution, Other: incident.StillAdding, IfOne: 12, IfOther: 19, Enough: true}
	blurred := incident.Decider{AtH: 7, One: incident.ComingBack, Other: incident.TakenOut, IfOne: 12, IfOther: 9}
	soon, late := &plan.Plan{Steps: []plan.Step{{AtH: 6}}}, &plan.Plan{Steps: []plan.Step{{AtH: 6.1}}}
	for _, c := range []struct {
		d    incident.Decider
		plan *plan.Plan
		want string
	}{
		{d, nil, "A sample at Wed 25 Nov 09:00 would help to decide: 12.0 µg/L if the changes alone act, 19.0 µg/L if something is still adding."},
		{d, &plan.Plan{}, "A sample at Wed 25 Nov 09:00 would help to decide: 12.0 µg/L if the changes alone act, 19.0 µg/L if something is still adding."},
		{d, late, "A sample at Wed 25 Nov 09:00 would help to decide: 12.0 µg/L if the changes alone act, 19.0 µg/L if something is still adding."},
		{d, soon, "Take a sample right before each change."},
		{blurred, nil, "A sample at Wed 25 Nov 09:00 would help to decide: 12.0 µg/L if it comes back from rock, 9.00 µg/L if carbon takes it out (a smaller ± would be needed to be sure)."},
	} {
		if got := nightOf(finding(c.d)).findingText(incidentStatus{Plan: c.plan}); got != unknown+c.want {
			t.Errorf("%q, want %q", got, unknown+c.want)
		}
	}
	if got := nightOf(&incident.Finding{}).findingText(incidentStatus{}); got != "" {
		t.Errorf("nothing was measured: %q", got)
	}
}

// When the plan from here is done, how late, for how long, or what it lacks.
func TestThePlanFromHereSaysHowItEnds(t *testing.T) {
	h := func(x float64) *float64 { return &x }
	holds, rises := []plan.AimResult{{Holds: true}}, []plan.AimResult{{}}
	for want, p := range map[string]plan.Plan{
		"done Wed 25 Nov 09:00":                                             {DoneAtH: h(6), InTime: true, Aims: holds},
		"done late, Wed 25 Nov 09:00":                                       {DoneAtH: h(6), Aims: holds},
		"done for the moment Wed 25 Nov 09:00":                              {DoneAtH: h(6), InTime: true, Aims: rises},
		"done for the moment late, Wed 25 Nov 09:00":                        {DoneAtH: h(6), Aims: rises},
		"not enough: 36 L more now would do":                                {Reachable: true, LackingL: h(36), Aims: holds},
		"never done: more saltwater, or salt and purified water, is needed": {Reachable: true, LackingL: h(0), Aims: holds},
		"never done: the goal lies below what new water can reach":          {Aims: holds},
	} {
		if got := nightOf(nil).planText(p); got != "0 changes, 0 L, "+want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	if got := lackText(plan.Plan{Reachable: true, LackingL: h(36), Demand: plan.Demand{System: &site.System{Water: site.Chemistry{Salinity: 16, Temperature: 25}}}}, units.Metric); got != "36 L more saltwater (salinity 16.0, 25.0 °C) is needed" {
		t.Errorf("%q", got)
	}
}

// Each goal is said with where it stands and how that is known.
func TestAGoalSaysHowItsLevelIsKnown(t *testing.T) {
	now, chosen := &incident.Fitted{Value: 12, SE: 1}, &incident.Fit{}
	for want, g := range map[string]incident.Goal{
		"40 % of it left (goal 25 %)":                             {Left: 0.4, Target: 0.25},
		"copper not known: no result yet (goal 3.10 µg/L)":        {Contaminant: "copper", Target: 3.1, Finding: &incident.Finding{}},
		"copper at most 12.0 µg/L (goal 3.10 µg/L)":               {Contaminant: "copper", Target: 3.1, Finding: &incident.Finding{Now: now, AtMost: true, Chosen: chosen}},
		"copper about 12.0 ± 2.0 µg/L, supposed (goal 3.10 µg/L)": {Contaminant: "copper", Target: 3.1, Finding: &incident.Finding{Now: now}},
		"copper 12.0 ± 2.0 µg/L":                                  {Contaminant: "copper", Finding: &incident.Finding{Now: now, Chosen: chosen}},
	} {
		if got := goalText(g); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// What was read is kept as it was read, each by its own flag and in its own unit; a reading of nothing is refused.
func TestAReadingIsKeptAsItWasRead(t *testing.T) {
	siteFile := nightAt(t, brokenHeater[0])
	code, out, errs := onSite(siteFile, "incident reading --at 2026-11-25T03:20:00Z --temp 24.7C --salinity 34.9 --ph 8.05 --alkalinity 7.8dKH --oxygen 6.1mg/L --ammonia 0.5mg/L")
	const want = "read 24.7 °C, salinity 34.9, pH 8.05, alkalinity 7.8 dKH, oxygen 6.1 mg/L, ammonia total 0.500 mg/L"
	if out = strings.Join(strings.Fields(out), " "); code != exitDone || !strings.Contains(out, want) {
		t.Errorf("exit %d, %q%s, want %q", code, out, errs, want)
	}
	if code, _, errs := onSite(siteFile, "incident reading"); code != exitUsage || !strings.Contains(errs, "nothing was read") {
		t.Errorf("exit %d: %s", code, errs)
	}
}

// The results that are told are those of the goal that presses most, or else of the first that has any.
func TestWhichResultsAreTold(t *testing.T) {
	a, b := &incident.Finding{Surprise: 1}, &incident.Finding{Surprise: 2}
	for _, c := range []struct {
		goals []incident.Goal
		want  *incident.Finding
	}{
		{nil, nil}, {[]incident.Goal{{Left: 0.5, Target: 0.2}}, nil}, {[]incident.Goal{{Left: 0.5, Target: 0.2}, {Contaminant: "copper", Target: 3, Finding: a}}, a},
		{[]incident.Goal{{Contaminant: "copper", Target: 3, Finding: a}, {Contaminant: "zinc", Target: 3, Finding: b}}, a},
	} {
		n := nightOf(nil)
		n.Goals = c.goals
		if got := n.mainFinding(); got != c.want {
			t.Errorf("%+v: %+v", c.goals, got)
		}
	}
}
