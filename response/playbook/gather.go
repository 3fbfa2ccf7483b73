package playbook

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/response/hazards"
	"tidehold/response/plan"
	"tidehold/response/readiness"
	"tidehold/response/schedule"
	"tidehold/volumes/site"
)

// Gather computes the facts of a site for one card: the plan from the stock as it
// stands now, the times to limits, and the numbers a hand needs.
//
// Errors: an event or system that does not exist (*NotFoundError), or an event of
// another system than the one asked for. What cannot be computed is left unknown
// and named in Warnings.
func Gather(s *site.Site, r Request) (*Facts, error) {
	ev, sys, err := choose(s, r)
	if err != nil {
		return nil, err
	}
	f := given(s, sys, ev, r)
	g := &gatherer{site: s, sys: sys, event: ev, facts: f, from: r.Printed}
	if r.At != nil {
		g.from = *r.At
	}
	f.Start = g.from.Format("15:04")
	if s.TimeZone != nil {
		f.Start = g.from.In(s.TimeZone).Format("15:04")
	}
	g.rows = r.Cards == nil || r.Cards.planned(r.Playbook, f.Profile)
	if ev.ID == "" && g.rows {
		f.Assumptions = append(f.Assumptions, refs.Assumption{
			What:   "aim of the card " + r.Playbook + ", which no event of the site names",
			Value:  fmt.Sprintf("remove %s within %s", units.Percent(defaultRemove, 0), units.Hours(defaultWithinH)),
			Source: "default event of the site file",
		})
	}
	for _, a := range readiness.CheckAges(s.Stores, g.from) {
		f.OverAge[a.Store] = !a.Counted
	}
	if len(s.Stores) == 0 {
		g.warn("The site file has no stores: there is no water to change with until it is mixed or brought")
	}
	g.hazards()
	if g.rows {
		g.plan()
	} else {
		g.carried()
	}
	g.small()
	g.purifier()
	g.bin()
	g.heat()
	g.dose()
	g.mend()
	g.chemistry()
	return f, nil
}

// given are the facts that stand in the site file.
func given(s *site.Site, sys *site.System, ev site.Event, r Request) *Facts {
	net, room, hot := float64(sys.NetVolume), float64(sys.Ambient.Coldest), float64(sys.Ambient.Hottest)
	return &Facts{
		Site: s.Name, System: sys.ID, Event: ev.ID, Units: r.Units,
		Printed: r.Printed, Contacts: s.Contacts, Profile: ProfileOf(s, sys),
		Water: &sys.Water, Limits: &sys.Limits, SwitchOff: switchOff(sys), Backups: backups(s, sys),
		Stores: s.Stores, OverAge: map[string]bool{},
		Beside: r.Beside, Several: len(s.Systems) > 1, OneSump: len(sys.Parts) > 2, Awake: s.Awake, EveryH: sys.ChangeEveryH,
		NetL: &net, RoomC: &room, HotRoomC: &hot,
	}
}

// gatherer fills the facts of one system.
type gatherer struct {
	site  *site.Site
	sys   *site.System
	event site.Event
	facts *Facts
	from  time.Time
	// rows says that the card, or one it sends people to, prints something of a plan.
	rows bool
}

// warn keeps what whoever prints the card should know.
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
			out = append(out, deviceName(e))
		}
	}
	return out
}

// plainKinds are words a neighbour knows, where the kind's own is not one.
var plainKinds = map[site.EquipmentKind]string{site.Circulation: "pump", site.Return: "return pump", site.Doser: "dosing pump", site.Air: "air pump"}

// deviceName is what a device is called: its id, behind its kind where the id does
// not tell it ("wave" is a word of the keeper's alone).
func deviceName(e site.Equipment) string {
	kind := string(e.Kind)
	if plain, ok := plainKinds[e.Kind]; ok {
		kind = plain
	}
	for _, word := range strings.Fields(kind) {
		if strings.Contains(e.ID, word) {
			return e.ID
		}
	}
	return kind + " " + e.ID
}

// deviceOf is the name of a system's device.
func deviceOf(sys *site.System, id string) string {
	for _, e := range sys.Equipment {
		if e.ID == id {
			return deviceName(e)
		}
	}
	return id
}

// Backup is a battery or generator that keeps devices live when the mains are off.
type Backup struct {
	Kind site.EquipmentKind
	ID   string
	// Feeds are the devices as people call them; none where the site does not say.
	Feeds []string
}

// box is what stands in the room: "battery box ups".
func (b Backup) box() string {
	kind := string(b.Kind)
	if b.Kind == site.Battery {
		kind = "battery box"
	}
	if slices.Contains(strings.Fields(kind), b.ID) {
		return kind // "battery box box" was read twice
	}
	return kind + " " + b.ID
}

// running is the phrase for one that is to stay on.
func (b Backup) running() string {
	if len(b.Feeds) == 0 {
		return b.box()
	}
	return b.box() + " (feeds " + units.List(b.Feeds, "") + ")"
}

// unplugged is the phrase behind "Unplug". It names the plug and where it comes out:
// "Unplug battery ups" was read as the box's own plug, and the pump went on turning.
func (b Backup) unplugged() string { return units.List(b.Feeds, "everything") + " from " + b.box() }

// backups lists every battery and generator that can keep a device of the system
// live when the mains are off, those of other systems too.
func backups(s *site.Site, sys *site.System) []Backup {
	var out []Backup
	for i := range s.Systems {
		own := s.Systems[i].ID == sys.ID
		for _, e := range s.Systems[i].Equipment {
			if e.Kind != site.Battery && e.Kind != site.Generator {
				continue
			}
			var feeds []string
			for _, f := range e.Feeds {
				if system, device, other := strings.Cut(f, "/"); other && system == sys.ID {
					feeds = append(feeds, deviceOf(sys, device))
				} else if own && !other {
					feeds = append(feeds, deviceOf(&s.Systems[i], f))
				}
			}
			if !own && len(feeds) == 0 && !(e.Kind == site.Generator && len(e.Feeds) == 0) {
				continue
			}
			out = append(out, Backup{Kind: e.Kind, ID: e.ID, Feeds: feeds})
		}
	}
	return out
}

// hazards takes over the times to a limit and, for a card that no event names,
// the share that undoes the hazard. Only this system is judged: a site may have
// thousands.
func (g *gatherer) hazards() {
	one := *g.site
	one.Systems, one.Stores, one.Events = []site.System{*g.sys}, nil, slices.DeleteFunc(slices.Clone(g.site.Events), func(e site.Event) bool { return e.System != g.sys.ID })
	r, err := hazards.Judge(&one, g.from, g.facts.Units)
	if err != nil {
		g.warn("times to limits are not known: %v", err)
		return
	}
	for _, h := range r.Hazards {
		if h.System != g.sys.ID {
			continue
		}
		if h.HoursToLimit != nil && h.Limit != "" {
			g.facts.Hours = append(g.facts.Hours, limitTime(h))
		}
		if g.rows && g.event.ID == "" && Current(h.Playbook) == Current(g.event.Playbook) && h.RemoveShare != nil && *h.RemoveShare > *g.event.Remove && *h.RemoveShare < 1 {
			share := *h.RemoveShare
			g.event.Remove = &share
			g.facts.Assumptions[0].Value = fmt.Sprintf("remove %s within %s, which undoes %s of %s", units.Percent(share, 0), units.Hours(defaultWithinH), h.Failure, h.Equipment)
		}
	}
	for _, b := range r.Batteries {
		if b.Hours != nil {
			g.facts.Hours = append(g.facts.Hours, LimitTime{Equipment: b.ID, Failure: string(hazards.Outage), Limit: "battery", LowH: *b.Hours, HighH: *b.Hours})
		}
	}
	for _, x := range r.Generators {
		words := fmt.Sprintf("%s carries %s; this system asks for %s", x.ID, units.Watts(x.PowerW), units.Watts(x.LoadW))
		if x.Hours != nil {
			words += "; the fuel lasts " + units.Hours(units.Down.To(*x.Hours, 1)) + ": stop it before, let it cool, refuel"
		}
		g.facts.Generators = append(g.facts.Generators, words)
	}
	g.facts.Assumptions = append(g.facts.Assumptions, r.Assumptions...)
}

// limitTime is how long a hazard takes to its limit, one time or a range.
func limitTime(h hazards.Hazard) LimitTime {
	t := LimitTime{Equipment: h.Equipment, Failure: string(h.Failure), Limit: string(h.Limit), LowH: *h.HoursToLimit, HighH: *h.HoursToLimit}
	if h.HoursLow != nil {
		t.LowH = *h.HoursLow
	}
	if h.HoursHigh != nil {
		t.HighH = *h.HoursHigh
	}
	return t
}

// demands are the event as the planner takes it, and those that share the water with it.
func (g *gatherer) demands() ([]plan.Demand, error) {
	if g.event.ID != "" {
		return schedule.Demands(g.site, append([]string{g.event.ID}, g.facts.Beside...)...)
	}
	own := plan.Demand{
		System: g.sys, NotBeforeH: g.sys.LeadH, // as an event of the site has it
		Aims:    []plan.Aim{{Start: 1, Target: 1 - *g.event.Remove, WithinH: g.event.WithinH}},
		Reheats: g.event.Reheats,
	}
	if len(g.facts.Beside) == 0 {
		return []plan.Demand{own}, nil
	}
	beside, err := schedule.Demands(g.site, g.facts.Beside...)
	list, _ := schedule.InFileOrder(g.site, append([]plan.Demand{own}, beside...))
	return list, err
}

// plan computes the changes with the stock as it is.
func (g *gatherer) plan() {
	list, err := g.demands()
	if err != nil {
		g.warn("the plan is not known: %v", err)
		return
	}
	made, err := readiness.PlansFor(g.site, g.from, list, readiness.Shown{})
	if err != nil {
		g.warn("the plan is not known: %v", err)
		return
	}
	own := slices.IndexFunc(list, func(d plan.Demand) bool { return d.System.ID == g.sys.ID })
	out := made.Of(own)
	g.facts.Assumptions = append(g.facts.Assumptions, out.Assumptions...)
	for _, w := range out.Warnings {
		g.warn("%s", units.UpperFirst(w))
	}
	p := out.Plan
	g.facts.Plan = &p
	for k := range list {
		if k != own {
			g.facts.Others = append(g.facts.Others, made.Of(k).Plan)
		}
	}
	if p.LackingL != nil {
		g.facts.LackingL = p.LackingL
	}
	g.transfer(&p)
	g.ladder(&p)
}

// transfer says whether any water of the plan is carried, and the slowest pump of the rest.
func (g *gatherer) transfer(p *plan.Plan) {
	for _, s := range p.Steps {
		for _, d := range s.From {
			if d.Buckets {
				g.facts.Buckets = true
				continue
			}
			if st := g.site.StoreByID(d.StoreID); st != nil && st.TransferLH != nil && (g.facts.PumpLH == nil || *st.TransferLH < *g.facts.PumpLH) {
				g.facts.PumpLH = st.TransferLH
			}
		}
	}
}

// carried says the same of a card without a plan: by what every vat of saltwater can be emptied.
func (g *gatherer) carried() {
	for _, st := range g.site.Stores {
		if st.Holds != site.Saltwater {
			continue
		}
		g.facts.Buckets = g.facts.Buckets || st.TransferLH == nil
		if st.TransferLH != nil && (g.facts.PumpLH == nil || *st.TransferLH < *g.facts.PumpLH) {
			g.facts.PumpLH = st.TransferLH
		}
	}
}

// rungs is how many further changes a table of results goes up to.
const rungs = 6

// ladder turns results into changes. A result of the bottle filled before the first
// change says how many rows of the plan it needs: the highest start that row k still
// brings to the target is c_new + (target − c_new)/left_k. A later bottle counts
// further changes as large as the plan's largest: c_new + (target − c_new)/(1 − d)^k.
func (g *gatherer) ladder(p *plan.Plan) {
	aim := p.Demand.Aims[0]
	if aim.Share() || len(p.Steps) == 0 {
		return
	}
	fresh := p.Aims[0].Background
	if aim.Target <= fresh {
		g.warn("The new water itself brings %.3g µg/L of %s: no number of changes goes below that", fresh, aim.Contaminant)
		return
	}
	g.facts.LadderA = append(g.facts.LadderA, Rung{UpToUgL: aim.Target})
	largest := 0.0
	for k, s := range p.Steps {
		largest = math.Max(largest, s.RemoveL)
		left := (s.Levels[0].After - fresh) / (aim.Start - fresh)
		if left > 0 && left < 1 {
			g.facts.LadderA = append(g.facts.LadderA, Rung{UpToUgL: fresh + (aim.Target-fresh)/left, Changes: k + 1})
		}
	}
	d := largest / float64(g.sys.NetVolume)
	for k := 0; k < rungs && d > 0 && d < 1; k++ {
		g.facts.Ladder = append(g.facts.Ladder, Rung{UpToUgL: fresh + (aim.Target-fresh)/math.Pow(1-d, float64(k)), Changes: k, ChangeL: largest})
	}
}
