package incident

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"tidehold/response/plan"
	"tidehold/response/schedule"
	"tidehold/volumes/site"
	"tidehold/volumes/stock"
)

// anyHouse is a random house of one or two tanks: what is in its vats, how warm and how far from the
// tank's salinity, whether it mixes and purifies, whether people sleep.
func anyHouse(t *testing.T, r *rand.Rand) (*site.Site, Opening) {
	t.Helper()
	within := func(low, high float64) float64 { return low + r.Float64()*(high-low) }
	net := within(100, 900)
	text := fmt.Sprintf("format: 1\nsystems:\n  - {id: tank, net_volume: %.0f L, drawdown: %.0f %%, change_every: %.0f h, water: {salinity: 35, temperature: 25 C}}\nstores:\n",
		net, within(15, 50), within(1, 6))
	for i := range 1 + r.IntN(3) {
		full := net * within(0.2, 0.8)
		pump := ""
		if r.IntN(2) == 0 {
			pump = fmt.Sprintf(", transfer: %.0f L/h", within(300, 3000))
		}
		text += fmt.Sprintf("  - {id: vat-%d, holds: saltwater, capacity: %.1f L, volume: %.1f L, heel: %.1f L, salinity: %.2f, temperature: %.1f C, mixed: 2026-11-20%s}\n",
			i, full, full*within(0.2, 1), full*0.03, within(34, 36), within(20, 26), pump)
	}
	if r.IntN(2) == 0 {
		text += fmt.Sprintf("  - {id: pure, holds: purified, volume: %.1f L}\nsalts: [{id: salt, on_hand: %.1f kg, dose: 38 g/L}]\n", net*within(0.1, 1), net*within(0.005, 0.04))
	}
	if r.IntN(3) == 0 {
		text += "awake: {from: 07:00, to: 23:00}\n"
	}
	s, faults := site.Load("house.yaml", []byte(text))
	if len(faults) > 0 {
		t.Fatal(faults, text)
	}
	o := Opening{Name: "spill", System: "tank", Reheats: r.IntN(2) == 0, Aims: []Aim{{Remove: within(0.2, 0.7), WithinH: within(6, 96)}}}
	if r.IntN(2) == 0 {
		o.Aims = []Aim{{Contaminant: "copper", Start: 60, Target: within(10, 40), WithinH: within(6, 96)}}
	}
	return s, o
}

// follower does what a plan says, to the litre and the minute, and writes it down.
type follower struct {
	*book
	filed *site.Site
	begin time.Time
}

// plan is the plan from here, h hours after the beginning, nil where nothing is left to do.
func (f *follower) plan(h float64) (*plan.Plan, State) {
	f.t.Helper()
	now := f.begin.Add(hours(h))
	folded, warnings := stock.Fold(f.filed, f.entries, now)
	if len(warnings) > 0 {
		f.t.Fatal(warnings)
	}
	st, err := f.log().StateAt(folded, now, noTarget)
	if err == nil {
		err = st.UnderWay(f.filed, folded, f.entries, schedule.Options{Nodes: followNodes})
	}
	if err != nil {
		f.t.Fatal(err)
	}
	p, _, err := st.Plan(folded, schedule.Options{Nodes: followNodes})
	if err != nil {
		f.t.Fatal(err)
	}
	return p, st
}

// followNodes bounds each search: a few tens of milliseconds a plan.
const followNodes = 2000

// change enters a step as planned, h hours after the beginning.
func (f *follower) change(s plan.Step, h float64) {
	f.t.Helper()
	var pours []stock.Pour
	for _, d := range s.From {
		salinity, temp := d.Salinity, d.Temperature
		pours = append(pours, stock.Pour{Store: d.StoreID, Litres: decimal.NewFromFloat(d.Litres).Round(6), Salinity: &salinity, TemperatureC: &temp})
	}
	draft := Draft{At: f.begin.Add(hours(h)), Incident: 1}
	f.put(draft.Change(pours))
}

// TestWhoeverFollowsThePlanKeepsIt: after every change that was made as planned, the plan from here is what is
// left of the plan that was followed: no less done, no later, no row more. At houses that sleep the hour moves
// what may be started, and a plan may only get better by it. Where a batch or other work at a vat is part of the
// plan, it is followed until that begins: the journal knows of a batch only once it may be used.
func TestWhoeverFollowsThePlanKeepsIt(t *testing.T) {
	const (
		houses = 300
		moment = 0.01 // hours after a change begins
		minute = 1.0 / 60
		// The last change begins no later; it may take its water from a vat that is drawn by bucket.
		slower = 0.5
	)
	followed, checked, ended := 0, 0, 0
	for seed := range uint64(houses) {
		s, o := anyHouse(t, rand.New(rand.NewPCG(seed, 7)))
		f := &follower{&book{t: t}, s, three.Add(hours(24 * rand.New(rand.NewPCG(seed, 8)).Float64()))}
		f.put(Draft{At: f.begin}.Open(o))
		p, _ := f.plan(0)
		if p == nil || len(p.Steps) == 0 {
			continue
		}
		followed++
		plan := *p
		for i, step := range plan.Steps {
			if step.AtH >= untouched(plan) {
				break
			}
			f.change(step, step.AtH)
			h := step.AtH + moment
			q, st := f.plan(h)
			left := len(plan.Steps) - i - 1
			checked++
			switch {
			case q == nil && left == 0 && plan.DoneAtH != nil:
				ended++
			case q == nil:
				t.Errorf("seed %d: nothing is left after change %d of %d: %+v", seed, i+1, len(plan.Steps), st.Goals)
			case left == 0 && plan.DoneAtH != nil:
				t.Errorf("seed %d: all is done, and %d more changes are asked for: %+v", seed, len(q.Steps), st.Goals)
			case plan.DoneAtH != nil && (q.DoneAtH == nil || h+q.Steps[len(q.Steps)-1].AtH > plan.Steps[len(plan.Steps)-1].AtH+minute || h+*q.DoneAtH > *plan.DoneAtH+slower):
				t.Errorf("seed %d, after change %d of %d: the plan from here ends later than the %v h planned: %+v", seed, i+1, len(plan.Steps), *plan.DoneAtH, q.Steps[len(q.Steps)-1])
			case s.Awake == nil && plan.DoneAtH != nil && len(q.Steps) > left:
				t.Errorf("seed %d, after change %d: %d changes, planned %d", seed, i+1, len(q.Steps), left)
			case plan.InTime && !q.InTime:
				t.Errorf("seed %d, after change %d: late, and was in time", seed, i+1)
			}
		}
	}
	if followed < houses*9/10 || checked < houses || ended < houses/5 {
		t.Errorf("%d plans followed, %d states checked, %d to their end: too few", followed, checked, ended)
	}
}

// untouched is until when a plan does nothing at a vat, in hours.
func untouched(p plan.Plan) float64 {
	until := math.Inf(1)
	for _, b := range p.Batches {
		until = min(until, b.StartH)
	}
	for _, q := range p.Prepared {
		until = min(until, q.AtH)
	}
	return until
}
