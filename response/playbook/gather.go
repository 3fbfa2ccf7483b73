package playbook

import (
	"fmt"
	"slices"
	"time"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/response/hazards"
	"tidehold/response/plan"
	"tidehold/response/readiness"
	"tidehold/response/schedule"
	"tidehold/volumes/site"
)

// Gather computes the facts of a site for one sheet: the plan from the stock as it
// stands now, the same with vats half full and empty, and the times to limits.
//
// Errors: an event or system that does not exist (*NotFoundError), or an event of
// another system than the one asked for. What cannot be computed is left unknown
// and named in Warnings.
func Gather(s *site.Site, r Request) (*Facts, error) {
	ev, sys, err := choose(s, r)
	if err != nil {
		return nil, err
	}
	f := &Facts{
		Site: s.Name, System: sys.ID, Event: ev.ID, Units: r.Units, Zone: s.TimeZone,
		Printed: r.Printed, At: r.At, Contacts: s.Contacts,
		Water: &sys.Water, Limits: &sys.Limits, SwitchOff: switchOff(sys),
	}
	net := float64(sys.NetVolume)
	f.NetL = &net
	g := &gatherer{site: s, sys: sys, event: ev, facts: f, from: r.Printed}
	if r.At != nil {
		g.from = *r.At
	}
	if ev.ID == "" {
		f.Assumptions = append(f.Assumptions, refs.Assumption{
			What:   "aim of the sheet " + r.Playbook + ", which no event of the site names",
			Value:  fmt.Sprintf("remove %s within %s", units.Percent(defaultRemove, 0), units.Hours(defaultWithinH)),
			Source: "default event of the site file",
		})
	}
	g.hazards()
	g.plan()
	g.vats()
	g.small()
	g.move()
	g.chemistry()
	return f, nil
}

// gatherer fills the facts of one system.
type gatherer struct {
	site  *site.Site
	sys   *site.System
	event site.Event
	facts *Facts
	from  time.Time
}

// warn keeps what a reader should know.
func (g *gatherer) warn(format string, args ...any) {
	g.facts.Warnings = append(g.facts.Warnings, fmt.Sprintf(format, args...)+".")
}

// switchOff names the devices that run dry, crack or fill the gap when water
// leaves the system. Air pumps and batteries stay on.
func switchOff(sys *site.System) []string {
	off := []site.EquipmentKind{site.Heater, site.Chiller, site.Return, site.Circulation, site.Skimmer, site.TopOff, site.Doser}
	var out []string
	for _, e := range sys.Equipment {
		if slices.Contains(off, e.Kind) {
			out = append(out, e.ID)
		}
	}
	return out
}

// hazards takes over the times to a limit and, for a sheet that no event names,
// the share that undoes the hazard.
func (g *gatherer) hazards() {
	r, err := hazards.Judge(g.site, g.from, g.facts.Units)
	if err != nil {
		g.warn("times to limits are not known: %v", err)
		return
	}
	for _, h := range r.Hazards {
		if h.System != g.sys.ID {
			continue
		}
		if h.HoursToLimit != nil && h.Limit != "" {
			t := LimitTime{Equipment: h.Equipment, Failure: string(h.Failure), Limit: h.Limit, LowH: *h.HoursToLimit, HighH: *h.HoursToLimit}
			if h.HoursLow != nil {
				t.LowH = *h.HoursLow
			}
			if h.HoursHigh != nil {
				t.HighH = *h.HoursHigh
			}
			g.facts.Hours = append(g.facts.Hours, t)
		}
		if g.event.ID == "" && h.Playbook == g.event.Playbook && h.RemoveShare != nil && *h.RemoveShare > *g.event.Remove && *h.RemoveShare < 1 {
			share := *h.RemoveShare
			g.event.Remove = &share
			g.facts.Assumptions[0].Value = fmt.Sprintf("remove %s within %s, which undoes %s of %s", units.Percent(share, 0), units.Hours(defaultWithinH), h.Failure, h.Equipment)
		}
	}
	for _, b := range r.Batteries {
		if b.System == g.sys.ID && b.Hours != nil {
			g.facts.Hours = append(g.facts.Hours, LimitTime{Equipment: b.ID, Failure: string(hazards.Outage), Limit: "battery", LowH: *b.Hours, HighH: *b.Hours})
		}
	}
	g.facts.Assumptions = append(g.facts.Assumptions, r.Assumptions...)
}

// demand is the event as the planner takes it.
func (g *gatherer) demand(s *site.Site) (plan.Demand, error) {
	if g.event.ID != "" {
		list, err := schedule.Demands(s, g.event.ID)
		if err != nil {
			return plan.Demand{}, err
		}
		return list[0], nil
	}
	return plan.Demand{
		System:  s.SystemByID(g.sys.ID),
		Aims:    []plan.Aim{{Start: 1, Target: 1 - *g.event.Remove, WithinH: g.event.WithinH}},
		Reheats: g.event.Reheats,
	}, nil
}

// run plans the event with the stock of s.
func (g *gatherer) run(s *site.Site, explain bool) (plan.Plan, schedule.Outcome, error) {
	d, err := g.demand(s)
	if err != nil {
		return plan.Plan{}, schedule.Outcome{}, err
	}
	out, err := schedule.Run(s, g.from, []plan.Demand{d}, schedule.Options{Explain: explain})
	if err != nil {
		return plan.Plan{}, schedule.Outcome{}, err
	}
	return out.Plans[0], out, nil
}

// plan computes the changes with the stock as it is, half and empty.
func (g *gatherer) plan() {
	p, out, err := g.run(g.site, true)
	if err != nil {
		g.warn("the plan is not known: %v", err)
		return
	}
	g.facts.Assumptions = append(g.facts.Assumptions, out.Assumptions...)
	for _, w := range out.Warnings {
		g.warn("%s", upperFirst(w))
	}
	g.facts.Plan = g.planOf(p)
	g.facts.Buckets, g.facts.PumpLH = g.transfer(p)
	g.facts.Batches = batchesOf(p)
	for _, c := range []struct {
		name  string
		share float64
	}{{"half full", 0.5}, {"empty", 0}} {
		less, _, err := g.run(withStock(g.site, c.share), false)
		if err != nil {
			g.warn("the plan with saltwater vats %s is not known: %v", c.name, err)
			continue
		}
		g.facts.Less = append(g.facts.Less, g.lessOf(c.name, less))
		if len(g.facts.Batches) == 0 && len(less.Batches) > 0 {
			g.facts.Batches, g.facts.BatchesIf = batchesOf(less), c.name
		}
	}
	if len(p.Steps) > 0 && len(p.Steps[0].From) > 0 {
		t := units.Celsius(p.Steps[0].From[0].Temperature)
		g.facts.VatTemperature = &t
	}
	g.ladder(p)
}

// batchesOf are the batches of a plan; mixed water is used before it is warm.
func batchesOf(p plan.Plan) []Batch {
	var out []Batch
	for _, b := range p.Batches {
		out = append(out, Batch{N: b.N, Vat: b.StoreID, PurifiedL: b.PurifiedL, SaltKg: b.SaltKg, StartH: b.StartH, ReadyH: b.MixedH})
	}
	return out
}

// withStock is the site with its saltwater vats filled to a share of what they
// can hold, never below the heel; purified water stays as it is.
func withStock(s *site.Site, share float64) *site.Site {
	c := *s
	c.Stores = slices.Clone(s.Stores)
	for i, st := range c.Stores {
		if st.Holds == site.Saltwater {
			c.Stores[i].Volume = litres(max(float64(st.Capacity)*share, float64(st.Heel)))
		}
	}
	return &c
}

// planOf turns a schedule into the rows of a sheet.
func (g *gatherer) planOf(p plan.Plan) *Plan {
	aim := p.Demand.Aims[0]
	out := &Plan{
		WithinH: aim.WithinH, DoneAtH: p.Aims[0].DoneAtH, InTime: p.Aims[0].InTime,
		UsableNowL: p.UsableNowL, WaterL: p.WaterL,
		LeftShare: 1, StartUgL: aim.Start, AimLeft: aim.Target / aim.Start,
	}
	if p.LackingL != nil {
		out.MissingL = *p.LackingL
	}
	if aim.Share() {
		remove := 1 - aim.Target
		out.Remove = &remove
	} else {
		target := aim.Target
		out.Contaminant, out.TargetUgL = aim.Contaminant, &target
	}
	for _, s := range p.Steps {
		out.Changes = append(out.Changes, g.changeOf(s, aim.Start))
		out.LeftShare = s.Levels[0].After / aim.Start
	}
	return out
}

// changeOf is one step of a schedule as a row of the table.
func (g *gatherer) changeOf(s plan.Step, start float64) Change {
	c := Change{N: s.N, AtH: s.AtH, DoneH: s.DoneH, DrainL: s.RemoveL, ToAim: s.LimitedBy == plan.ToTarget, DrainMinutes: s.DrainMinutes, FillMinutes: s.FillMinutes, Left: s.Levels[0].After / start}
	carried, heat := 0.0, 0.0
	for _, d := range s.From {
		heat += d.Temperature * d.Litres
		name := d.StoreID
		if d.Delivery > 0 {
			name = fmt.Sprintf("delivery %d", d.Delivery)
		}
		if d.Batch > 0 {
			name += fmt.Sprintf(" (batch %d)", d.Batch)
		}
		if len(s.From) > 1 {
			name = g.facts.amount(d.Litres, units.Nearest) + " " + name
		}
		c.From = append(c.From, name)
		if d.Buckets {
			carried += d.Litres
		}
	}
	if s.AddL > 0 {
		t := units.Celsius(heat / s.AddL)
		c.Temperature = &t
	}
	if carried > 0 {
		// Draining is by hand as well where filling is.
		c.Trips = bucketTrips(carried) * 2
	}
	return c
}

// transfer says whether any water of the plan is carried, and the slowest pump.
func (g *gatherer) transfer(p plan.Plan) (buckets bool, pump *float64) {
	for _, s := range p.Steps {
		for _, d := range s.From {
			if d.Buckets {
				return true, nil
			}
			if st := g.site.StoreByID(d.StoreID); st != nil && st.TransferLH != nil && (pump == nil || *st.TransferLH < *pump) {
				pump = st.TransferLH
			}
		}
	}
	return false, pump
}

// lessOf is how a plan with less water begins and ends.
func (g *gatherer) lessOf(name string, p plan.Plan) LessStock {
	out := LessStock{Name: name, UsableL: p.UsableNowL, DoneAtH: p.Aims[0].DoneAtH, Changes: len(p.Steps)}
	if len(p.Steps) > 0 {
		first := g.changeOf(p.Steps[0], p.Demand.Aims[0].Start)
		out.First = &first
	}
	return out
}

// vats lists the stores as they stand.
func (g *gatherer) vats() {
	counted := map[string]bool{}
	for _, a := range readiness.CheckAges(g.site.Stores, g.from) {
		counted[a.Store] = a.Counted
	}
	for _, st := range g.site.Stores {
		v := Vat{ID: st.ID, Holds: string(st.Holds), VolumeL: st.Volume.InexactFloat64(), UsableL: float64(st.Usable()), Temperature: st.Water.Temperature}
		if st.Holds == site.Saltwater {
			s := st.Water.Salinity
			v.Salinity = &s
			if !counted[st.ID] && st.Volume.IsPositive() {
				v.Holds, v.UsableL = "over age: saltwater", 0
			}
		}
		g.facts.Vats = append(g.facts.Vats, v)
	}
	if len(g.facts.Vats) == 0 {
		g.warn("The site file has no stores: there is no water to change with until it is mixed or brought")
	}
}
