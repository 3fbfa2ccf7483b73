package schedule

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// notch is one step by which a limit can be loosened, and the plan run again.
type notch struct {
	limit    plan.Limit
	from, to float64
	unit     string
	apply    func(d *plan.Demand, o *Options)
}

// shareForNotch is by how much the budget of nodes is smaller for trying a notch. A
// plan that is never done takes most of it to tell that a notch would mend it.
const shareForNotch = 2

// bind names the limit that holds the plan back most: of all that it ran into, the
// one whose next notch saves most time, or exposure where no time is saved; none where no notch
// saves either. Where getting up at night is all that is wanting, that: it asks nothing of the animals.
func (p *Planner) bind(made *plan.Plan, d *plan.Demand, opt Options, used *taken) {
	opt.Explain, opt.Note = false, false
	opt.Nodes = max(1, opt.Nodes/shareForNotch)
	best := -1
	var bestPlan plan.Plan
	notches := p.notches(made, d, opt)
	for i, n := range notches {
		sys := *d.System
		again, o := *d, opt
		again.System = &sys
		n.apply(&again, &o)
		relaxed, err := p.plan(&again, o, used, false)
		if err != nil {
			continue // one notch further is outside what can be planned
		}
		if best < 0 || sooner(&relaxed, &bestPlan) {
			best, bestPlan = i, relaxed
		}
		if n.limit == plan.ByNight && allInTime(&relaxed) && !allInTime(made) {
			best, bestPlan = i, relaxed
			break
		}
	}
	if best < 0 || !sooner(&bestPlan, made) {
		return
	}
	n := notches[best]
	made.Binding = plan.Binding{Limit: n.limit, From: n.from, To: n.to, Unit: n.unit, DoneAtH: bestPlan.DoneAtH}
	p.bars(&made.Binding, d.System.ID, made, &bestPlan)
	if made.DoneAtH != nil && bestPlan.DoneAtH != nil {
		saved := max(0, *made.DoneAtH-*bestPlan.DoneAtH)
		made.Binding.SavedH = &saved
	}
	made.Binding.Detail = fmt.Sprintf("%s: %s; with %s: %s", n.now(), when(made.DoneAtH), amount(n.to, n.unit), when(bestPlan.DoneAtH))
}

// now says where the limit stands: what is added is added to what is there.
func (n *notch) now() string {
	if n.from == 0 {
		return string(n.limit)
	}
	return string(n.limit) + " " + amount(n.from, n.unit)
}

// sooner reports whether a is done before b, or has less exposure when both are done
// at the same time or never.
func sooner(a, b *plan.Plan) bool {
	x, y := math.Inf(1), math.Inf(1)
	if a.DoneAtH != nil {
		x = *a.DoneAtH
	}
	if b.DoneAtH != nil {
		y = *b.DoneAtH
	}
	if !near(x, y) {
		return x < y
	}
	return a.Exposure < b.Exposure*(1-1e-6)
}

func amount(x float64, unit string) string {
	if unit == plan.GettingUp {
		return unit
	}
	text := units.Given(x, 4)
	if unit == "" {
		return text
	}
	return text + " " + unit
}

func when(h *float64) string {
	if h == nil {
		return "never done"
	}
	return "done in " + strconv.FormatFloat(math.Ceil(*h*10-1e-6)/10, 'f', -1, 64) + " h"
}

// notches lists what the plan ran into, each with one notch looser.
func (p *Planner) notches(made *plan.Plan, d *plan.Demand, opt Options) []notch {
	if !made.Reachable || len(made.Steps) == 1 && made.Steps[0].AtH == 0 && made.DoneAtH != nil {
		return nil
	}
	var list []notch
	seen := map[plan.Limit]bool{}
	meet := func(l plan.Limit) {
		if seen[l] {
			return
		}
		seen[l] = true
		if n, ok := p.notch(l, d, opt); ok {
			list = append(list, n)
		}
	}
	for _, s := range made.Steps {
		if s.LimitedBy != plan.ToTarget && s.LimitedBy != plan.ByWater {
			meet(s.LimitedBy)
		}
	}
	if p.waits(made) {
		for _, l := range p.wanting(made, d) {
			meet(l)
		}
	}
	if len(made.Steps) > 1 {
		meet(plan.ByInterval)
	}
	if p.site.Awake != nil {
		meet(plan.ByNight)
	}
	if len(made.Steps) == 0 && made.UsableNowL > 0 {
		for _, l := range barring {
			if mayBar(l, d.System) {
				meet(l)
			}
		}
	}
	return list
}

// barring are the limits of the site that may bar every change, whatever water there is.
var barring = []plan.Limit{plan.ByLeastChange, plan.TemperatureLow, plan.TemperatureHigh, plan.SalinityLow, plan.SalinityHigh}

// mayBar leaves out a bound that the system's own water keeps: water like it may be poured then.
func mayBar(l plan.Limit, sys *site.System) bool {
	own, x := sys.Water, sys.Limits
	switch l {
	case plan.TemperatureLow:
		return own.Temperature < x.TemperatureLow
	case plan.TemperatureHigh:
		return own.Temperature > x.TemperatureHigh
	case plan.SalinityLow:
		return own.Salinity < x.SalinityLow
	case plan.SalinityHigh:
		return own.Salinity > x.SalinityHigh
	}
	return true
}

// bars says of a binding whether its limit bars every change, and where it is set.
func (p *Planner) bars(b *plan.Binding, system string, made, relaxed *plan.Plan) {
	if b.Bars = len(made.Steps) == 0 && len(relaxed.Steps) > 0 && slices.Contains(barring, b.Limit); !b.Bars {
		return
	}
	b.Key = "systems." + system + ".limits." + string(b.Limit)
	if b.Limit == plan.ByLeastChange {
		b.Key = "systems." + system + "." + string(b.Limit)
	}
	b.Assumed = slices.ContainsFunc(p.site.Assumptions, func(a refs.Assumption) bool { return a.What == b.Key })
}

// waits reports whether the plan lacks water at some time.
func (p *Planner) waits(made *plan.Plan) bool {
	if made.DoneAtH == nil || len(made.Steps) == 0 || made.Steps[0].AtH > 0 {
		return true
	}
	for _, s := range made.Steps {
		if s.LimitedBy == plan.ByWater {
			return true
		}
	}
	return false
}

// wanting lists what the water could be wanting for.
func (p *Planner) wanting(made *plan.Plan, d *plan.Demand) []plan.Limit {
	list := []plan.Limit{plan.ByWater}
	if len(p.site.Salts) > 0 {
		list = append(list, plan.BySalt, plan.ByPurifiedWater)
	}
	if len(made.Batches) > 0 {
		list = append(list, plan.ByMixing)
	}
	for _, b := range made.Batches {
		if b.WarmH == nil || *b.WarmH > b.MixedH {
			return append(list, plan.ByWarming)
		}
	}
	for _, s := range made.Steps {
		for _, from := range s.From {
			if from.Temperature < float64(d.System.Water.Temperature)-limitSlack {
				return append(list, plan.ByWarming)
			}
		}
	}
	return list
}

// notch is one notch of a limit for this demand; false when the site has none.
func (p *Planner) notch(l plan.Limit, d *plan.Demand, opt Options) (notch, bool) {
	x := d.System.Limits
	bound := func(from, by float64, unit string, set func(*plan.Demand, float64)) (notch, bool) {
		to := from + by
		return notch{l, from, to, unit, func(d *plan.Demand, _ *Options) { set(d, to) }}, true
	}
	// A tank that is kept outside its own band is let to where it is, and a notch.
	beyond := func(bound, own, by float64, unit string, set func(x *site.Limits, to float64)) (notch, bool) {
		to := math.Min(bound, own) + by
		if by > 0 {
			to = math.Max(bound, own) + by
		}
		return notch{l, bound, to, unit, func(d *plan.Demand, _ *Options) { set(&d.System.Limits, to) }}, true
	}
	own := d.System.Water
	switch l {
	case plan.TemperatureStep:
		return bound(x.TemperatureStep, 1, "°C", func(d *plan.Demand, to float64) { d.System.Limits.TemperatureStep = to })
	case plan.TemperaturePerDay:
		return bound(x.TemperaturePerDay, 1, "°C", func(d *plan.Demand, to float64) { d.System.Limits.TemperaturePerDay = to })
	case plan.TemperatureLow:
		return beyond(float64(x.TemperatureLow), float64(own.Temperature), -1, "°C", func(x *site.Limits, to float64) { x.TemperatureLow = units.Celsius(to) })
	case plan.TemperatureHigh:
		return beyond(float64(x.TemperatureHigh), float64(own.Temperature), 1, "°C", func(x *site.Limits, to float64) { x.TemperatureHigh = units.Celsius(to) })
	case plan.SalinityStep:
		return bound(x.SalinityStep, 1, "", func(d *plan.Demand, to float64) { d.System.Limits.SalinityStep = to })
	case plan.SalinityPerDay:
		return bound(x.SalinityPerDay, 1, "", func(d *plan.Demand, to float64) { d.System.Limits.SalinityPerDay = to })
	case plan.SalinityLow:
		return beyond(float64(x.SalinityLow), float64(own.Salinity), -1, "", func(x *site.Limits, to float64) { x.SalinityLow = units.Practical(to) })
	case plan.SalinityHigh:
		return beyond(float64(x.SalinityHigh), float64(own.Salinity), 1, "", func(x *site.Limits, to float64) { x.SalinityHigh = units.Practical(to) })
	case plan.AlkalinityPerDay:
		return bound(x.AlkalinityPerDay, 0.5, "dKH", func(d *plan.Demand, to float64) { d.System.Limits.AlkalinityPerDay = to })
	case plan.ByDrawdown:
		by := min(0.05, 1-d.System.Drawdown)
		return notch{l, 100 * d.System.Drawdown, 100 * (d.System.Drawdown + by), "%", func(d *plan.Demand, _ *Options) { d.System.Drawdown += by }}, by > 0
	case plan.ByLeastChange:
		to := math.Min(d.System.LeastChange/5, d.System.Drawdown)
		return notch{l, 100 * d.System.LeastChange, 100 * to, "%", func(d *plan.Demand, _ *Options) { d.System.LeastChange = to }}, to > 0
	case plan.ByInterval:
		every := d.System.ChangeEveryH
		to := max(every-1, every/2)
		return notch{l, every, to, "h", func(d *plan.Demand, _ *Options) { d.System.ChangeEveryH = to }}, true
	case plan.ByNight:
		return notch{l, 0, 0, plan.GettingUp, func(_ *plan.Demand, o *Options) { o.sleepless = true }}, true
	case plan.ByMixing:
		mix := opt.mixH(p)
		to := max(mix-1, mix/2)
		return notch{l, mix, to, "h", func(_ *plan.Demand, o *Options) { o.mixInH = &to }}, mix > 0
	}
	return p.supplyNotch(l, d)
}

// supplyNotch is one notch more of water, salt or warmth: a tenth of the system's
// volume in whole litres, a bag, 100 W in every saltwater store.
func (p *Planner) supplyNotch(l plan.Limit, d *plan.Demand) (notch, bool) {
	tenth := math.Ceil(float64(d.System.NetVolume) / 10)
	switch l {
	case plan.ByWater:
		for _, i := range append(append([]int(nil), p.stock...), p.spare...) {
			id := p.site.Stores[i].ID
			return notch{l, 0, tenth, "L more stored", func(_ *plan.Demand, o *Options) { o.Extra = o.Extra.with(id, tenth) }}, true
		}
	case plan.ByPurifiedWater:
		for i := range p.site.Stores {
			if s := &p.site.Stores[i]; s.Holds == "purified" {
				return notch{l, 0, tenth, "L more stored", func(_ *plan.Demand, o *Options) { o.Extra = o.Extra.with(s.ID, tenth) }}, true
			}
		}
	case plan.BySalt:
		bag := p.site.Salts[0].BagKg
		if bag <= 0 {
			bag = 5
		}
		return notch{l, 0, bag, "kg more", func(_ *plan.Demand, o *Options) {
			o.Extra.SaltKg = plus(o.Extra.SaltKg, p.site.Salts[0].ID, bag)
		}}, true
	case plan.ByWarming:
		const watts = 100
		return notch{l, 0, watts, "W more in each vat", func(_ *plan.Demand, o *Options) {
			for _, i := range append(append([]int(nil), p.stock...), p.spare...) {
				o.Extra.HeaterW = plus(o.Extra.HeaterW, p.site.Stores[i].ID, watts)
			}
		}}, true
	}
	return notch{}, false
}

// with is the extra with litres added to a store.
func (e Extra) with(id string, litres float64) Extra {
	e.StoreL = plus(e.StoreL, id, litres)
	return e
}

// plus copies a map and adds to one entry.
func plus(m map[string]float64, id string, x float64) map[string]float64 {
	out := make(map[string]float64, len(m)+1)
	for k, v := range m {
		out[k] = v
	}
	out[id] += x
	return out
}
