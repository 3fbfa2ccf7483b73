package main

import (
	"fmt"
	"strings"

	"tidehold/refs/units"
	"tidehold/response/incident"
	"tidehold/response/plan"
	"tidehold/volumes/stock"
)

// peopleFirst is what comes before any water, once something has happened: the card, which says when a hand
// may go in. Nothing for later entries: whoever enters a change has the card in hand.
func (n *night) peopleFirst(e stock.Entry) []block {
	if e.Kind != stock.Opened {
		return nil
	}
	card := "--event " + n.Log.Opening.Name
	if !n.Log.Opening.Event {
		card = cardFor(n.Log.Opening.Name) + " --system " + n.System.ID
	}
	return []block{line("WARNING: people first: hands, nets and tools stay out of the water until the card lets them in; a broken or wet device makes it live. Its steps come before any water:"),
		command("tidehold playbook " + card + n.here)}
}

// spoilLines stand before a plan that cuts or pours away what another open incident needs: which of the two can wait is for
// the people to say, and it cannot be said of what is down the drain.
func (n *night) spoilLines(list []incident.Spoiled) (out []block) {
	for _, x := range list {
		first := ""
		if x.Ranked {
			first = fmt.Sprintf("; to serve %s first, write priority: 1 into its event %s in the site file", x.System, x.Event)
		}
		out = append(out, line("WARNING: this takes water that %s needs: it is late so, and alone is done %s. Leave the vats as they are until it is decided which can wait%s.",
			x.System, clockText(n.State.Now.Add(hoursSince(x.AloneAtH)), n.Site.TimeZone), first))
	}
	return out
}

// keepPoured stands under work at a vat that begins with pouring water away that may be used: nobody knows yet whether
// another system will want it this night, and what is down the drain does not come back.
func (n *night) keepPoured(s incidentStatus, next string) []block {
	if s.Plan == nil || len(s.Plan.Steps) == 0 {
		return nil
	}
	_, d, _ := n.head(s.Plan)
	if d.prepared == nil || d.prepared.RemoveL <= 0 || !strings.Contains(next, d.what) {
		return nil
	}
	for _, st := range stock.StatusOf(n.Site, n.State.Now).Stores {
		if st.ID == d.storeID && st.State == stock.OverAge {
			return nil
		}
	}
	return []block{line("Vat heater off first. What is poured away is good water: keep it in clean bins with lids, as far as there are any (what is used of it: --from %s).", elsewhere)}
}

// cautionFirst stands before a change that is next: what may run dry is off before water goes out. Whoever answers one
// entry with the next has not seen it since the incident was looked at.
func (n *night) cautionFirst(s incidentStatus) []block {
	if n.longAfter() || n.Log.ClosedAt != nil || n.Done() || s.Plan == nil || len(s.Plan.Steps) == 0 {
		return nil
	}
	if _, d, beside := n.head(s.Plan); d.step == nil && beside == nil {
		return nil
	}
	return []block{line("%s", dryCaution)}
}

// breaches are what was read last that the animals do not bear. A value that is to be read again waits for that: salt for
// a tank that was mistyped harms it.
func (n *night) breaches() []incident.Breach {
	list := []incident.Breach{}
	if n.Log.ClosedAt != nil {
		return list
	}
	for _, b := range n.Unborne() {
		temp, salinity, err := n.Log.Leaps(n.System, b.Entry)
		if err != nil {
			return list // told with the state
		}
		again := map[plan.Limit]bool{plan.TemperatureLow: temp != nil, plan.TemperatureHigh: temp != nil, plan.SalinityLow: salinity != nil, plan.SalinityHigh: salinity != nil}
		if !again[b.Limit] {
			list = append(list, b)
		}
	}
	return list
}

// breachWords say which limit a value is at or beyond.
func (n *night) breachWords(b incident.Breach) string {
	say := func(what, than string, show func(float64) string) string {
		return fmt.Sprintf("%s %s is %s allowed, %s", what, show(b.Is), than, show(b.Bound))
	}
	const least, most = "no more than the lowest", "no less than the highest"
	bare := func(x float64) string { return units.Fixed(x, 1) }
	switch b.Limit {
	case plan.OxygenLow:
		return say("oxygen", least, func(x float64) string { return bare(x) + " mg/L" })
	case plan.TemperatureLow:
		return say("temperature", least, n.units.Temperature)
	case plan.TemperatureHigh:
		return say("temperature", most, n.units.Temperature)
	case plan.SalinityLow:
		return say("salinity", least, bare)
	}
	return say("salinity", most, bare)
}

// breachLines say it, and name the card that comes before the next change: that one may be hours away.
func (n *night) breachLines(list []incident.Breach) (out []block) {
	do := map[plan.Limit]string{plan.OxygenLow: " air into the water now, then the card:", plan.SalinityHigh: " phone the veterinarian"}
	cards := map[plan.Limit]string{plan.OxygenLow: "unknown", plan.TemperatureLow: "too-cold", plan.TemperatureHigh: "too-hot", plan.SalinityLow: "top-off-overrun"}
	for _, b := range list {
		out = append(out, line("WARNING: %s:%s", n.breachWords(b), do[b.Limit]))
		if card := cards[b.Limit]; card != "" {
			out = append(out, command("tidehold playbook "+card+" --system "+n.System.ID+n.here))
		}
	}
	return out
}

// reckonedLines ask to read water that a change took beyond a limit by the reckoning.
func (n *night) reckonedLines() (out []block) {
	if n.Log.ClosedAt != nil {
		return nil
	}
	for _, b := range n.Reckoned() {
		out = append(out, line("WARNING: by the reckoning %s. Pour no more; read the tank, and enter it:", n.breachWords(b)),
			command("tidehold incident reading --temp VALUE --salinity VALUE"+n.which()+n.here))
	}
	return out
}
