package schedule

import "tidehold/volumes/site"

// Options of a run. The zero value is the default of each.
type Options struct {
	// Confidence is the share of cases, by the stated uncertainties of volume and
	// start, in which the litres planned must suffice; 0: 0.90.
	Confidence float64
	// HorizonH is how far ahead is planned, in hours; 0: 90 days. A target not
	// reached by then counts as never.
	HorizonH float64
	// Nodes is the budget of each search for a plan in time, half as much again that of the
	// search for less exposure; 0: Budget of the site, the one of every plan
	// that is shown. A plan says when its search was cut short.
	Nodes int
	// Explain adds what a reader wants and a comparison does not: what keeping good water costs, the binding limit
	// with its notch, the continuous alternative, the assumptions and warnings.
	Explain bool
	// Note adds the assumptions and warnings alone, which cost no search.
	Note bool
	// Unproved leaves out of Explain and Note to ask closely how near the best each plan is:
	// Proved and GapPercent are then what the search itself says.
	Unproved bool
	// AnyInTime ends the search for a single demand with the first plan that is in time, and makes none
	// where by the bound the target is never reached, for whoever asks no more than that: such a plan is
	// not the best. Not beside Explain or Note, but Unproved.
	AnyInTime bool
	// Brief, beside AnyInTime, leaves out the later part of a search that found none in time: it may miss
	// one that the plan that is shown is.
	Brief bool
	// Extra is counted on top of what the site has, so that a remedy can be tried
	// without another site.
	Extra Extra
	// Media counts the site's media as the site file states them. A plan to act on is
	// made without: this tells what they would bring beside it.
	Media bool
	// Known remembers searches from one plan to the next, of whatever system and site; nil: it
	// does not. It changes no answer.
	Known *Known
	// shared says that other demands come after this one.
	shared bool
	// keepsStored is as the site's Reserve has it where a plan is made to see what that would cost.
	keepsStored bool
	// sleepless makes changes at any hour of the night when that notch is tried.
	sleepless bool
	// mixInH replaces the site's mixing time when a notch is tried.
	mixInH *float64
}

// mixH is how long a batch is mixed.
func (o *Options) mixH(p *Planner) float64 {
	if o.mixInH != nil {
		return *o.mixInH
	}
	return p.site.Mixing.EmergencyTimeH
}

// Extra is what a site might have in addition. Nil maps add nothing; ids that do
// not exist are ignored.
type Extra struct {
	// StoreL litres in a store, of the water it holds, by store id; CapacityL
	// litres of room; HeaterW watts of vat heater.
	StoreL, CapacityL, HeaterW map[string]float64
	// SaltKg by salt id.
	SaltKg map[string]float64
	// PurifierLH of rate at the rated temperature.
	PurifierLH float64
}

const (
	defaultConfidence = 0.90
	defaultHorizonH   = 90 * 24
	// mostSteps bounds the changes of one plan: a plan that asks for more is not
	// one that people carry out.
	mostSteps = 2000
)

// A house has mostNodes for each of its plans, one of few events more: fewNodes, halved for
// each event beyond the first. A file of many events shares allNodes among them, leastNodes each.
const (
	fewNodes, mostNodes, leastNodes, allNodes = 4_000, 1_000, 500, 1_500_000
)

// Budget is the number of nodes in which a plan that is shown is searched for on a site:
// the same by whatever command, so that the same question has the same answer.
func Budget(s *site.Site) int {
	n := max(1, len(s.Events))
	return max(min(mostNodes, max(leastNodes, allNodes/n)), fewNodes>>(n-1))
}

// rounds is how often the close bound of a plan is made closer: fewer times in a file of many
// events.
func rounds(s *site.Site) int {
	const most, all = 16, 500
	return min(most, max(1, all/max(1, len(s.Events))))
}

// finishing is how many nodes may go into what houses with less lead to (less.go), beyond the budget of the
// search: the share of one event. None where that is not worth beginning, and of several events none of a
// plan that is not shown, or that leaves water to the next.
func (o *Options) finishing(s *site.Site) int {
	const all, least = 250_000, 16_000
	share := all / max(1, len(s.Events))
	if share < least || o.Nodes < fewNodes && (o.shared || !o.Explain && !o.Note) {
		return 0
	}
	return share
}

func (o Options) withDefaults(s *site.Site) Options {
	if o.Confidence <= 0 {
		o.Confidence = defaultConfidence
	}
	if o.HorizonH <= 0 {
		o.HorizonH = defaultHorizonH
	}
	if o.Nodes <= 0 {
		o.Nodes = Budget(s)
	}
	return o
}
