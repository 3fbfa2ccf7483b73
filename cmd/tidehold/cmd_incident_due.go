package main

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"tidehold/response/incident"
	"tidehold/response/plan"
	"tidehold/response/schedule"
	"tidehold/volumes/stock"
)

// askedAfterH is how long what was to be done may be overdue, in hours, before it is asked about: people take their time, and
// enter what they did when their hands are dry. A rule of this tool.
const askedAfterH = 1

// unentered is what the plan asked for first when something was last done, and nobody has entered. Taken for undone, a change
// that was made and only noted on paper was asked for again, of water that was no longer there.
type unentered struct {
	What string    `json:"what"`
	Due  string    `json:"due_at"`
	At   time.Time `json:"-"`
	// typed are the commands that enter it.
	typed []string
}

// askFirst looks, where a change is still to be made, for what was due an hour before now or earlier.
//
// Errors: as stateOf.
func (a *app) askFirst(n *night, s *incidentStatus, now time.Time) (err error) {
	if n.Log.ClosedAt != nil || n.Done() || s.Plan == nil || len(s.Plan.Steps) == 0 {
		return nil
	}
	n.unentered, err = a.unenteredBy(n.loaded, n.Log, now)
	s.Unentered = n.unentered
	return err
}

// unenteredBy is what was due by then; nil: nothing was.
func (a *app) unenteredBy(ls loaded, l incident.Log, now time.Time) (*unentered, error) {
	since := lastDone(ls.Journal.Entries, l, now)
	if now.Sub(since).Hours() < askedAfterH {
		return nil, nil
	}
	then := ls
	then.Now, then.Journal.Entries = since, stock.Standing(ls.Journal.Entries, time.Time{}, since)
	then.Site, _ = stock.Fold(ls.Filed, then.Journal.Entries, since)
	n, err := a.stateOf(then, l, since)
	if err != nil {
		return nil, err
	}
	p, err := n.Begins(then.Site, schedule.Options{})
	if err != nil {
		return nil, usage(err)
	}
	if p != nil && len(p.Steps) > 0 && p.Steps[0].Rest { // a change that broke off, and stayed so
		p.Steps = p.Steps[1:]
	}
	if p == nil || len(p.Steps) == 0 {
		return nil, nil
	}
	return n.askAbout(p, now), nil
}

// lastDone is when something was last done by now that the plan goes on from: the incident opened, a change of its tank, work at
// a vat. A change of another tank makes what was due here no less due.
func lastDone(entries []stock.Entry, l incident.Log, now time.Time) time.Time {
	last := l.OpenedAt
	for _, it := range l.Items {
		if it.Kind == stock.Change && !it.At.After(now) {
			last = it.At
		}
	}
	for _, e := range stock.Standing(entries, last, now) {
		if slices.Contains([]stock.Kind{stock.Mixed, stock.Draw, stock.Add}, e.Kind) {
			last = e.Time
		}
	}
	return last
}

// askAbout is what a plan begins with, if that was due so long before now that it may have been done.
func (n *night) askAbout(p *plan.Plan, now time.Time) *unentered {
	_, d, beside := n.head(p)
	if beside != nil {
		d = *beside
	}
	x := unentered{What: d.what, At: n.State.Now.Add(hoursSince(d.atH)).In(n.Site.TimeZone)}
	x.Due = x.At.UTC().Format(time.RFC3339)
	if now.Sub(x.At).Hours() < askedAfterH {
		return nil
	}
	for _, text := range strings.Split(n.enterText(incidentStatus{Plan: p}), "\n") {
		if _, typed, ok := strings.Cut(text, ": tidehold "); ok {
			x.typed = append(x.typed, "tidehold "+typed+" --at "+asTyped(atText(x.At, now.In(n.Site.TimeZone))))
		}
	}
	return &x
}

// atText is a moment as --at takes it: the time of day, with the date where it is another day.
func atText(t, now time.Time) string {
	if t.Format(time.DateOnly) == now.Format(time.DateOnly) {
		return t.Format("15:04")
	}
	return t.Format("2006-01-02 15:04")
}

// dueLines ask about what was due.
func (n *night) dueLines() (out []block) {
	if n.unentered == nil {
		return nil
	}
	out = append(out, line("Due %s and not entered: %s. What was done of that, or since, enter first, with when and how much:", clockText(n.unentered.At, n.Site.TimeZone), n.unentered.What))
	for _, typed := range n.unentered.typed {
		out = append(out, command(typed))
	}
	return out
}

// longAfter reports whether an entry of a night that is written down long after it would be answered with what was next
// then: a change of a date two days ago is nothing to do now.
func (n *night) longAfter() bool {
	return n.late && n.Log.ClosedAt == nil && !n.Done() && len(n.Goals) > 0
}

// enterAll is what is next then: nothing, before all of it is entered.
func (n *night) enterAll() string {
	return fmt.Sprintf("Next: enter what else was done up to now, each with --at; then: tidehold incident status%s%s", n.which(), n.here)
}
