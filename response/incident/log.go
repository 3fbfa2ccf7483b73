package incident

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"tidehold/volumes/stock"
)

// Log is one incident in order of time, whatever the order in which it was written
// down. Entries taken back are not in it.
type Log struct {
	// ID is the id of the entry that opened it.
	ID      int
	Opening Opening
	// OpenedAt and ClosedAt; nil: still open.
	OpenedAt time.Time
	ClosedAt *time.Time
	Items    []Item
	// Before is the incident before it on the same system, where what was read or changed then still counts within a day; nil:
	// none does.
	Before *Log
}

// Item is one entry of a log. Exactly one of the fields after Note is set, or Kind
// says it all.
type Item struct {
	ID   int
	At   time.Time
	Kind stock.Kind
	// Written is when it was entered; zero: when it happened.
	Written time.Time
	// Text is the note, or what was noted with the entry.
	Text    string
	Pours   []stock.Pour
	Values  *Values
	Results []Measured
	// Report names the laboratory's file.
	Report string
}

// Litres is the water of a change.
func (it Item) Litres() float64 {
	sum := 0.0
	for _, p := range it.Pours {
		sum += p.Litres.InexactFloat64()
	}
	return sum
}

// Logs finds the incidents of a journal, in the order in which they were opened.
// Entries that cannot be read or belong to no incident are passed over and named.
func Logs(entries []stock.Entry) (logs []Log, problems []string) {
	var own []stock.Entry
	for _, e := range entries {
		if e.Kind.OfIncident() {
			own = append(own, e)
		}
	}
	if len(own) == 0 {
		return nil, nil
	}
	undone := stock.Undone(entries)
	f := filing{place: map[int]int{}}
	for _, e := range own {
		if undone[e.ID] {
			continue
		}
		if err := f.take(e); err != nil {
			problems = append(problems, err.Error()+"; it is passed over")
		}
	}
	for i := range f.logs {
		slices.SortStableFunc(f.logs[i].Items, func(a, b Item) int { return a.At.Compare(b.At) })
	}
	f.follow()
	return f.logs, problems
}

// filing puts entries into the logs they belong to.
type filing struct {
	logs  []Log
	place map[int]int // of a log, by the id of the entry that opened it
}

// follow sets each log behind the one before it on its system: of a day's limits nothing is given back by closing one incident
// and opening another. Half an hour after a change of 66 L the same was to be poured again.
func (f *filing) follow() {
	order := make([]int, len(f.logs))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return f.logs[a].OpenedAt.Compare(f.logs[b].OpenedAt) })
	last := map[string]*Log{}
	for _, i := range order {
		l := &f.logs[i]
		if b := last[l.Opening.System]; b != nil && b.within(l.OpenedAt) {
			l.Before = b
		}
		last[l.Opening.System] = l
	}
}

// sinceBefore are the items of a log behind those of the one before it.
func (l Log) sinceBefore() []Item {
	if l.Before == nil {
		return l.Items
	}
	return append(slices.Clone(l.Before.until(l.OpenedAt).sinceBefore()), l.Items...)
}

// within reports whether something was read or changed in the 24 h before a time.
func (l *Log) within(at time.Time) bool {
	from := at.Add(-windowH * time.Hour)
	return l.Before != nil && l.OpenedAt.After(from) || slices.ContainsFunc(l.Items, func(it Item) bool {
		return (it.Kind == stock.Change || it.Kind == stock.Reading) && it.At.After(from) && !it.At.After(at)
	})
}

// take files one entry. It returns an error for one that cannot be read or belongs to no incident.
func (f *filing) take(e stock.Entry) error {
	x, err := decode(e)
	if err != nil {
		return err
	}
	if e.Kind == stock.Opened {
		f.place[e.ID] = len(f.logs)
		f.logs = append(f.logs, Log{ID: e.ID, Opening: *x.Opening, OpenedAt: e.Time})
		x.Incident = e.ID
	}
	k, known := f.place[x.Incident]
	if !known {
		return fmt.Errorf("entry %d, %s, belongs to incident %d, which is not in the journal", e.ID, e.Kind, x.Incident)
	}
	it, err := itemOf(e, x)
	if err != nil {
		return err
	}
	l := &f.logs[k]
	l.Items = append(l.Items, it)
	if e.Kind == stock.Closed && l.ClosedAt == nil {
		at := e.Time
		l.ClosedAt = &at
	}
	return nil
}

// itemOf is one entry as the log shows it.
func itemOf(e stock.Entry, x data) (Item, error) {
	it := Item{ID: e.ID, At: e.Time, Kind: e.Kind, Text: cmp.Or(x.Text, e.Note), Values: x.Values, Results: x.Results, Report: x.Report}
	if x.Written != "" {
		// A time that cannot be read is left out: it only says when somebody wrote.
		it.Written, _ = time.Parse(time.RFC3339, x.Written)
	}
	var err error
	if e.Kind == stock.Change {
		it.Pours, err = e.Pours()
	}
	return it, err
}

// Open lists the incidents that are not closed.
func Open(logs []Log) []Log {
	return slices.DeleteFunc(slices.Clone(logs), func(l Log) bool { return l.ClosedAt != nil })
}

// Find gives the incident that a keeper means: the one with an id if id > 0, else the
// open one of the system if one is named, else the only open one.
func Find(logs []Log, id int, system string) (Log, error) {
	if id > 0 {
		for _, l := range logs {
			if l.ID == id {
				return l, nil
			}
		}
		return Log{}, fmt.Errorf("there is no incident %d; %s", id, listed(logs))
	}
	open := Open(logs)
	if system != "" {
		for _, l := range open {
			if l.Opening.System == system {
				return l, nil
			}
		}
		return Log{}, fmt.Errorf("no incident is open on %s; %s", system, listed(open))
	}
	switch len(open) {
	case 0:
		last := ""
		if n := len(logs); n > 0 {
			l := logs[n-1]
			last = fmt.Sprintf("the last, %s on %s, is closed: --incident %d; or ", l.Opening.Name, l.Opening.System, l.ID)
		}
		return Log{}, fmt.Errorf("no incident is open; %sopen one first, as in: tidehold incident open EVENT", last)
	case 1:
		return open[0], nil
	}
	return Log{}, fmt.Errorf("%d incidents are open; say which with --system: %s", len(open), listed(open))
}

// listed names incidents for a message.
func listed(logs []Log) string {
	if len(logs) == 0 {
		return "the journal holds none"
	}
	var names []string
	for _, l := range logs {
		names = append(names, fmt.Sprintf("number %d on %s (%s)", l.ID, l.Opening.System, l.Opening.Name))
	}
	return strings.Join(names, ", ")
}

// Validate says whether an entry of an incident, or an undo, may follow the others.
// What the stores hold is stock.Validate's to say. Times are said in the zone of now.
func Validate(entries []stock.Entry, e stock.Entry, now time.Time) error {
	zone := now.Location()
	if e.Kind == stock.Undo {
		return validateUndo(entries, e)
	}
	if !e.Kind.OfIncident() {
		return nil
	}
	if e.Time.After(now.Add(clockSlack)) {
		return fmt.Errorf("%s is in the future; enter what has happened%s", stock.Said(e.Time, zone), stock.ForYesterday(e.Time, now, zone))
	}
	x, err := decode(e)
	if err != nil {
		return err
	}
	logs, _ := Logs(entries)
	if e.Kind == stock.Opened {
		for _, l := range Open(logs) {
			if l.Opening.System == x.Opening.System && len(l.Opening.Aims) == 0 {
				return fmt.Errorf("an incident is open on %s already: number %d, %s, since %s, which asks for no change of water; its card goes on, but its record ends where this one begins: tidehold incident close --system %s; then open this one: what was read is carried over", l.Opening.System, l.ID, l.Opening.Name, stock.Said(l.OpenedAt, zone), l.Opening.System)
			}
			if l.Opening.System == x.Opening.System {
				return fmt.Errorf("an incident is open on %s already: number %d, %s, since %s; close that one only if it is over; else take the card of what happens now (tidehold playbook 'WHAT HAPPENS' --system %s), and enter it there: tidehold incident note 'WHAT HAPPENS' --system %s", l.Opening.System, l.ID, l.Opening.Name, stock.Said(l.OpenedAt, zone), l.Opening.System, l.Opening.System)
			}
		}
		return nil
	}
	l, err := Find(logs, x.Incident, "")
	if err != nil {
		return err
	}
	switch {
	case e.Kind == stock.Closed && l.ClosedAt != nil:
		return fmt.Errorf("incident %d was closed at %s", l.ID, stock.Said(*l.ClosedAt, zone))
	case e.Kind == stock.Change && l.ClosedAt != nil && e.Time.After(*l.ClosedAt):
		return fmt.Errorf("incident %d was closed at %s; undo the closing (entry %d), or open a new one", l.ID, stock.Said(*l.ClosedAt, zone), l.closing())
	case e.Time.Before(l.OpenedAt) && e.Kind != stock.Result && e.Kind != stock.Remark:
		return fmt.Errorf("%s is before the incident was opened, %s; if it began earlier, undo entry %d and open it with --at",
			stock.Said(e.Time, zone), stock.Said(l.OpenedAt, zone), l.ID)
	}
	return nil
}

// clockSlack is how far two clocks of one house may differ.
const clockSlack = 5 * time.Minute

// closing is the id of the entry that closed the incident.
func (l Log) closing() int {
	for _, it := range l.Items {
		if it.Kind == stock.Closed {
			return it.ID
		}
	}
	return 0
}

// validateUndo refuses to take back an opening that others belong to.
func validateUndo(entries []stock.Entry, e stock.Entry) error {
	logs, _ := Logs(entries)
	for _, l := range logs {
		if l.ID == e.Undoes && len(l.Items) > 1 {
			return fmt.Errorf("entry %d opened incident %d, and %d entries belong to it; undo those first, or close it", l.ID, l.ID, len(l.Items)-1)
		}
	}
	return nil
}

// LastEntry is the last entry of an incident that counts, in the order in which they
// were written: the one a keeper would undo.
func (l Log) LastEntry() (id int) {
	for _, it := range l.Items {
		id = max(id, it.ID)
	}
	return id
}

// LastOf is the last entry of a kind; 0: there is none.
func (l Log) LastOf(kind stock.Kind) (id int) {
	for _, it := range l.Items {
		if it.Kind == kind {
			id = max(id, it.ID)
		}
	}
	return id
}

// Latest is when the last thing in the log happened.
func (l Log) Latest() time.Time {
	if len(l.Items) == 0 {
		return l.OpenedAt
	}
	return l.Items[len(l.Items)-1].At
}

// Has reports whether the log holds an entry of the same kind and time that says the same.
func (l Log) Has(e stock.Entry) bool {
	x, err := decode(e)
	if err != nil {
		return false
	}
	want, err := itemOf(e, x)
	if err != nil {
		return false
	}
	for _, it := range l.Items {
		if it.Kind == want.Kind && it.At.Equal(want.At) && it.Text == want.Text && slices.Equal(it.Results, want.Results) &&
			slices.EqualFunc(it.Pours, want.Pours, samePour) && sameValues(it.Values, want.Values) {
			return true
		}
	}
	return false
}

// samePour reports whether two pours are the same water; what the record of the store said
// of it may have changed since.
func samePour(a, b stock.Pour) bool {
	if a.Store != b.Store || !a.Litres.Equal(b.Litres) {
		return false
	}
	return (a.SalinityRecorded && b.SalinityRecorded || sameValue(a.Salinity, b.Salinity)) && (a.TempRecorded && b.TempRecorded || sameValue(a.TemperatureC, b.TemperatureC))
}

func sameValue(a, b *float64) bool { return (a == nil) == (b == nil) && (a == nil || *a == *b) }

func sameValues(v, w *Values) bool {
	if v == nil || w == nil {
		return v == w
	}
	return sameValue(v.TempC, w.TempC) && sameValue(v.Salinity, w.Salinity) && sameValue(v.PH, w.PH) && sameValue(v.AlkalinityDKH, w.AlkalinityDKH) && sameValue(v.OxygenMgL, w.OxygenMgL)
}
