package main

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"tidehold/refs/units"
	"tidehold/response/incident"
	"tidehold/response/plan"
	"tidehold/volumes/site"
	"tidehold/volumes/stock"
)

// next is the one thing to do next.
func (n *night) next(s incidentStatus) string {
	main := n.Main()
	switch {
	case n.longAfter():
		return n.enterAll()
	case n.Log.ClosedAt != nil && s.Surprise != nil:
		return fmt.Sprintf("Next: take a second sample now; if it shows the same, take the closing back: tidehold incident undo %d --incident %d%s", n.Log.LastOf(stock.Closed), n.Log.ID, n.here)
	case n.Log.ClosedAt != nil:
		return fmt.Sprintf("Next: the report: tidehold incident report --incident %d --format html%s", n.Log.ID, n.here)
	case len(n.Goals) == 0:
		return "Next: " + n.withoutGoal(s)
	case s.Surprise != nil && (s.Plan == nil || len(s.Plan.Steps) == 0):
		return "Next: take a second sample now, and enter what is found: " + n.enterResult()
	case s.Surprise != nil || n.inDoubt():
		return "Next: take a second sample now, and meanwhile go on: " + n.first(s)
	case s.Done && n.mainFinding() == nil: // a share, by the litres poured
		return "Next: watch the animals for a day, and if they are calm: tidehold incident close" + n.which() + n.here
	case s.Done && n.Confirmed():
		return "Next: two samples a day apart are at the goal: tidehold incident close" + n.which() + n.here
	case s.Done && len(n.mainFinding().Series.Samples) == 0:
		return "Next: it is reached by reckoning alone: take a sample, and enter what is found: " + n.enterResult()
	case s.Done: // the command to close comes with the second: whoever types what stands here would close at once
		return "Next: confirm it with a second sample a day later, and enter what is found: " + n.enterResult()
	case main != nil && main.Finding != nil && main.Finding.Now == nil:
		return "Next: take a sample before anything else is changed, and enter what is found."
	}
	return "Next: " + n.first(s)
}

// withoutGoal is what to do where nothing is to be thinned out: the card's steps, and what is read, until all is well.
func (n *night) withoutGoal(s incidentStatus) string {
	read := slices.ContainsFunc(n.Log.Items, func(it incident.Item) bool { return it.Kind == stock.Reading })
	if read && len(s.Beyond) == 0 {
		return "go on by the card, which asks for no change of water; when it is over: tidehold incident close" + n.which() + n.here
	}
	return "do its card, which asks for no change of water, and enter what you read: tidehold incident reading --temp VALUE --salinity VALUE" + n.which() + n.here
}

// enterResult is the command that enters a result of the substance that answers are about.
func (n *night) enterResult() string {
	return "tidehold incident result " + n.mainFinding().Series.Contaminant + "=VALUE" + n.which() + n.here
}

// inDoubt reports whether the last sample has results that cannot both be right, and changes are
// still to be made.
func (n *night) inDoubt() bool {
	f := n.mainFinding()
	if f == nil || n.Done() || len(f.Contradictions) == 0 {
		return false
	}
	last := f.Series.Samples[len(f.Series.Samples)-1]
	return slices.ContainsFunc(f.Contradictions, func(c incident.Contradiction) bool {
		return slices.ContainsFunc(f.Series.Samples, func(p incident.Sample) bool { return p.ID == c.Counted && p.AtH >= last.AtH-1 })
	})
}

// nextLines are what to do next, and how it is entered.
func (n *night) nextLines(s incidentStatus) []block {
	next, same := n.next(s), false
	if n.unentered != nil && !n.longAfter() {
		next = strings.Replace(next, "Next: ", "Next, if it was not: ", 1)
		if same = strings.Contains(next, n.unentered.What); same {
			next += " Then enter it so without --at."
		}
	}
	out := slices.Concat(n.spoilLines(s.Spoils), pasted(next), n.waitLines(s), n.keepPoured(s, next))
	if n.longAfter() || same {
		return out
	}
	if text := n.enterText(s); text != "" {
		for _, typed := range strings.Split(text, "\n") {
			out = append(out, command(typed))
		}
	}
	return out
}

// pasted is what to do, with the command that it ends in on a line of its own where both do not fit one: wrapped like words
// a shell takes half of it.
func pasted(text string) []block {
	words, typed, ends := strings.Cut(text, ": tidehold ")
	if !ends || utf8.RuneCountInString(text) <= screenColumns {
		return []block{line("%s", text)}
	}
	return []block{line("%s:", words), command("tidehold " + typed)}
}

// first is what the plan from here begins with.
func (n *night) first(s incidentStatus) string {
	name := "SUBSTANCE"
	if main := n.Main(); main != nil && main.Contaminant != "" {
		name = main.Contaminant
	}
	sample := "take a sample, and enter what is found: tidehold incident result " + name + "=VALUE" + n.which() + n.here
	switch p := s.Plan; {
	case p == nil:
		return sample
	case len(p.Steps) == 0 && p.DoneAtH != nil: // within its ± of the goal
		return "no change for now; " + sample
	case len(p.Steps) == 0 && p.Binding.Bars:
		return p.Binding.Says(p.DoneAtH, n.units) + "; else " + lackText(*p, n.units)
	case len(p.Steps) == 0:
		return "no change can be made with what is on hand: " + lackText(*p, n.units)
	}
	v, d, beside := n.head(s.Plan)
	if beside != nil { // the work at a vat can wait
		return fmt.Sprintf("%s, %s; and beside it %s.", beside.what, v.clock(beside.atH), d.what)
	}
	if d.rest() {
		return fmt.Sprintf("%s, now: %s of %s are in.", d.what, n.units.Volume(n.Rest.MadeL, units.Nearest), n.units.Volume(n.Rest.PlannedL, units.Down))
	}
	return fmt.Sprintf("%s, %s.", d.what, v.clock(d.atH))
}

// head is what a plan begins with, and the change that is due beside it where that is work at a vat.
func (n *night) head(p *plan.Plan) (v siteView, d doing, beside *doing) {
	v = n.view(*p)
	list := v.inOrder()
	if list[0].step == nil {
		beside = besides(list)
	}
	return v, list[0], beside
}

// besides is a change due at the same minute as the work at a vat that comes first, from other
// vats: the animals come before the vat. Nil: there is none.
func besides(list []doing) *doing {
	const minute = 1.0 / 60
	for i, c := range list[1:] {
		if c.atH >= list[0].atH+minute {
			return nil
		}
		if c.step != nil && !slices.ContainsFunc(c.step.From, func(d plan.Draw) bool { return d.StoreID == list[0].storeID }) {
			return &list[i+1]
		}
	}
	return nil
}

// enterText is the command that enters what is next, once it is done, on lines of their own where there are two; ""
// where there is none.
func (n *night) enterText(s incidentStatus) string {
	switch {
	case n.Log.ClosedAt != nil || n.Done() || s.Plan == nil:
		return ""
	case len(s.Plan.Steps) == 0:
		return n.enterBrought(s.Plan)
	}
	_, d, beside := n.head(s.Plan)
	step := d.step
	if beside != nil {
		step = beside.step
	}
	if step == nil {
		return n.enterWork(d)
	}
	row := s.Plan.Row(step, n.units)
	from, measured := "", ""
	poured := step.Poured(row)
	for _, i := range poured {
		d := step.From[i]
		store := d.StoreID
		if d.Delivery > 0 {
			store = elsewhere
		}
		if d.Delivery > 0 || n.unread(d.StoreID) {
			measured = " --salinity VALUE --temp VALUE"
		}
		from += " --from " + store
		if len(poured) > 1 {
			from += "=" + unspaced(row.Each[i])
		}
	}
	if n.severalWaters(step, poured) {
		measured = strings.Replace(measured, " --salinity VALUE", "", 1)
	}
	from += measured
	return fmt.Sprintf("Then enter: tidehold incident change %s%s%s%s", unspaced(row.Whole), from, n.which(), n.here)
}

// enterBrought is the command that enters water which somebody brings, where a plan can make no change without; "" where
// that would not help, or no vat has room for it.
func (n *night) enterBrought(p *plan.Plan) string {
	if p.DoneAtH != nil || p.Binding.Bars || !p.Reachable {
		return ""
	}
	best, room := "", 0.0
	for _, st := range n.Site.Stores {
		if free := float64(st.Capacity) - st.Volume.InexactFloat64(); st.Holds == site.Saltwater && free > room {
			best, room = st.ID, free
		}
	}
	if best == "" {
		return ""
	}
	return "When it is in " + best + ", enter: tidehold stock add " + best + " VOLUME --salinity VALUE --temp VALUE" + n.here
}

// unread reports whether a vat is not what its record says until somebody reads it: how warm its heater has made it, or what
// was mixed in it this night, of which the salinity and the temperature that were meant were entered. Of a delivery
// nothing is recorded at all.
func (n *night) unread(store string) bool {
	st := n.Site.StoreByID(store)
	if st == nil {
		return false
	}
	mixed := st.Mixed != nil && !st.Mixed.Before(n.Log.OpenedAt) && (st.Tested == nil || st.Tested.Before(*st.Mixed))
	return mixed || st.HeaterW > 0 && st.Water.Temperature+warmer < n.System.Water.Temperature
}

// severalWaters reports whether what is poured is of several salinities, of which one reading says nothing.
func (n *night) severalWaters(step *plan.Step, poured []int) bool {
	lowest, highest := math.Inf(1), math.Inf(-1)
	for _, i := range poured {
		if st := n.Site.StoreByID(step.From[i].StoreID); st != nil {
			lowest, highest = min(lowest, float64(st.Water.Salinity)), max(highest, float64(st.Water.Salinity))
		}
	}
	return highest-lowest > readOff
}

// enterWork is the command that enters work at a vat: without it the plan asks for the same again, and its
// record keeps a salinity that is no longer there.
func (n *night) enterWork(d doing) string {
	switch b, w := d.batch, d.prepared; {
	case b != nil:
		volume := "VOLUME" // what the vat then holds
		if s := n.Site.StoreByID(b.StoreID); s != nil && b.StartH == 0 {
			volume = unspaced(n.units.VolumeToPour(s.Volume.InexactFloat64()+b.Litres, units.Down))
		}
		return n.enterMixed(b.StoreID, volume, b.MixedH-b.StartH, b.Salinity, &b.Temperature, b.Salts, b.PurifiedL)
	case w.Pours():
		return "Then enter: tidehold stock draw " + w.StoreID + " " + unspaced(n.units.VolumeToPour(w.RemoveL, units.Nearest)) + n.here
	default:
		return n.enterMixed(w.StoreID, unspaced(n.units.VolumeToPour(w.Litres, units.Down)), w.ReadyH-w.AtH, w.Salinity, nil, w.Salts, w.AddL)
	}
}

// enterMixed is the command that enters what a vat holds once water and salt are in, with how long it is mixed from
// then on: before, nobody counts on it, and nobody mixes it a second time. It is a duration, since people are slower than a
// plan: by the clock a batch that was begun an hour late was to be poured after an hour less. Water that is still to be made
// is entered before: of what is not in the record nothing can be taken.
func (n *night) enterMixed(store, volume string, takesH, salinity float64, tempC *float64, salts []plan.Salt, pureL float64) string {
	from, text := n.onlyPurified(), ""
	if st := n.Site.StoreByID(from); st != nil && pureL > st.Volume.InexactFloat64() { // the purifier is to make it first
		text = "First enter what " + from + " holds then: tidehold stock dip " + from + " VOLUME" + n.here + "\n"
	}
	text += "When all is in, enter: tidehold stock mixed " + store + " " + volume + " --usable " + typedHours(takesH) +
		" --salinity " + towards(salinity, n.System)
	if tempC != nil {
		text += " --temp " + unspaced(strings.ReplaceAll(n.units.Temperature(*tempC), "°", ""))
	}
	if len(salts) > 0 { // one salt an entry; another is entered with stock salt
		onHand := math.Inf(1)
		for _, x := range n.Site.Salts {
			if x.ID == salts[0].ID {
				onHand = x.OnHand.InexactFloat64()
			}
		}
		text += " --salt " + salts[0].ID + "=" + used(salts[0].Kg, onHand, n.units.MassToPour, units.Mass)
	}
	if from != "" && pureL > 0 {
		text += " --water " + from + "=" + used(pureL, n.Site.StoreByID(from).Volume.InexactFloat64(), n.units.VolumeToPour, units.Volume)
	}
	return text + n.here
}

// used is an amount as an entry says it was used: rounded up, but where all there is goes in, no more than that, or the
// entry is refused.
func used(amount, onHand float64, show func(float64, units.Rounding) string, d units.Dimension) string {
	const same = 1e-6 // what rounding leaves
	up := unspaced(show(amount, units.Up))
	if q, err := units.Parse(up, d); err == nil && q.Value > onHand && amount <= onHand+same {
		return unspaced(show(onHand, units.Down))
	}
	return up
}

// onlyPurified is the one store of purified water, "" if there are several or none.
func (n *night) onlyPurified() string {
	id := ""
	for _, s := range n.Site.Stores {
		switch {
		case s.Holds != site.Purified:
		case id != "":
			return ""
		default:
			id = s.ID
		}
	}
	return id
}

// which names the incident where several are open.
func (n *night) which() string {
	logs, _ := incident.Logs(n.Journal.Entries)
	if len(incident.Open(logs)) > 1 {
		return " --system " + n.System.ID
	}
	return ""
}

// unspaced is an amount as one word of a command.
func unspaced(amount string) string { return strings.ReplaceAll(amount, " ", "") }

// lackText says what is lacking.
func lackText(p plan.Plan, u units.System) string {
	switch {
	case !p.Reachable:
		return "the goal lies below what new water can reach"
	case p.LackingL != nil && *p.LackingL > 0:
		water := p.Demand.System.Water
		return u.Volume(*p.LackingL, units.Up) + " more saltwater (" + plan.WaterWords(water.Salinity, water.Temperature, u) + ") is needed"
	}
	return "more saltwater, or salt and purified water, is needed"
}
