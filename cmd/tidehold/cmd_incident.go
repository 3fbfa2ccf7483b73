package main

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/response/assess"
	"tidehold/response/incident"
	"tidehold/response/schedule"
	"tidehold/volumes/site"
	"tidehold/volumes/stock"
)

// incidentFlags say which incident is meant.
type incidentFlags struct {
	system string
	number int
}

func newIncidentCmd(a *app) *cobra.Command {
	f := &incidentFlags{}
	c := &cobra.Command{
		Use:   "incident",
		Short: "the night as it really went, and the plan from here",
		Long: `Keeps the record of one event: what was really changed, read, found and decided.
From it come the state now, what the results say (dilution alone, something still
adding, coming back from rock, taken out by carbon), the plan from here and the
report. Without a subcommand it shows the state, as "incident status" does.

Entries go into ` + journalName + ` beside the site file. --at says when it happened, if not
now; entries may come late and in any order. "incident undo" takes one back.

` + exitHelp + ` No: the goal is not reached.`,
		Example: `  tidehold incident open broken-heater
  tidehold incident change 120L --from vat-a --salinity 34.1 --temp 22C
  tidehold incident result copper=12.2±1.5ug/L --sampled 2026-11-25T09:00:00Z
  tidehold incident status`,
		RunE: func(*cobra.Command, []string) error { return runIncidentStatus(a, f) },
	}
	c.PersistentFlags().StringVar(&f.system, "system", "", "the system, when several incidents are open")
	c.PersistentFlags().IntVar(&f.number, "incident", 0, "the `number` of an incident, for one that is closed")
	c.AddCommand(newIncidentOpenCmd(a, f), newIncidentChangeCmd(a, f), newIncidentReadingCmd(a, f), newIncidentResultCmd(a, f),
		newIncidentNoteCmd(a, f), newIncidentUndoCmd(a, f), newIncidentStatusCmd(a, f), newIncidentCloseCmd(a, f), newIncidentReportCmd(a, f), newIncidentImportCmd(a, f))
	return c
}

// night is a site with one of its incidents at a moment.
type night struct {
	loaded
	incident.State
	units units.System
	// planned are the assumptions of the plan from here, once it is made.
	planned []refs.Assumption
	// here are the flags of the site, for commands that are named.
	here string
	// unentered is what was due and is not entered; nil: nothing is, or nobody asked. late: a night is written down long after it.
	unentered *unentered
	late      bool
}

// stateOf works one incident out at a moment; one that is closed stands still from its close,
// or a later result, on.
func (a *app) stateOf(ls loaded, l incident.Log, now time.Time) (night, error) {
	if l.ClosedAt != nil {
		if end := later(*l.ClosedAt, l.Latest()); now.After(end) {
			now = end
		}
	}
	sys := ls.Site.SystemByID(l.Opening.System)
	if sys == nil {
		return night{}, usagef("system %q of incident %d is no longer in the site file", l.Opening.System, l.ID)
	}
	st, err := l.StateAt(ls.Site, now, targetOf(ls.Site, sys))
	if err == nil && l.ClosedAt == nil {
		err = st.UnderWay(ls.Filed, ls.Site, ls.Journal.Entries, schedule.Options{})
	}
	if err != nil {
		return night{}, usage(err)
	}
	return night{loaded: ls, State: st, units: a.displayUnits(ls.Site.Units), here: a.here()}, nil
}

// targetOf gives the criterion of a contaminant: the target of the system's events,
// else the published one that assess judges by, as far as the site's own water reaches.
func targetOf(s *site.Site, sys *site.System) incident.Target {
	own := map[string]float64{}
	for _, e := range s.Events {
		if e.System == sys.ID && e.Contaminant != "" {
			own[e.Contaminant] = e.TargetUgL
		}
	}
	background := worstBackground(s)
	return func(id string) (float64, bool) {
		c, ok := refs.ContaminantByID(id)
		if !ok {
			return own[id], own[id] > 0
		}
		r, err := assess.Judge([]assess.Reading{{Contaminant: c}}, assess.WaterOf(sys), own)
		if err != nil || len(r.Analytes) == 0 {
			return 0, false
		}
		ugL, _, ok := r.Analytes[0].Target(background[id])
		return ugL, ok
	}
}

// drafted is an entry about to be written, once the incident it belongs to is known.
type drafted func(ls loaded, d incident.Draft) (stock.Entry, error)

// enterIncident writes one entry of an incident and says in three lines what was
// written, the state, and the next action. opening is true for a new incident.
func (a *app) enterIncident(f *incidentFlags, at time.Time, build drafted) error {
	if a.demo {
		return usagef(`the demo site is not a file, so nothing can be entered; write it out with "tidehold init --demo" first`)
	}
	if len(a.sets) > 0 {
		return usagef("--set is for what-ifs; leave it out to enter what happened")
	}
	if err := withHour(a.at); err != nil {
		return usagef("--at: %w", err)
	}
	ls, err := a.loadSite()
	if err != nil {
		return err
	}
	clock := a.clock()
	if at.IsZero() {
		at = clock
		if a.at != "" {
			at = ls.Now
		}
	}
	d := incident.Draft{At: at, Written: clock}
	if f != nil {
		logs, _ := incident.Logs(ls.Journal.Entries)
		l, err := incident.Find(logs, f.number, f.system)
		if err != nil {
			return usage(err)
		}
		d.Incident = l.ID
	}
	e, err := build(ls, d)
	if err != nil {
		return err
	}
	return a.writeIncident(ls, e, d)
}

// writeIncident appends the entry under the journal's lock and shows what follows.
func (a *app) writeIncident(ls loaded, e stock.Entry, d incident.Draft) error {
	written, _, err := a.write(&ls, e, !e.Time.Equal(d.Written), func(l stock.Log, e *stock.Entry) error {
		return incident.Validate(l.Entries, *e, later(d.Written, ls.Now).In(ls.Site.TimeZone))
	})
	if err != nil {
		return err
	}
	from := *a
	about := later(ls.Now, latestBy(ls.Journal.Entries, d.Written))
	switch { // what was entered since --at is not ahead of the clock
	case a.lived(about).After(about):
		from.at = "" // what follows is about now
	case about.After(ls.Now):
		from.at = about.Format(time.RFC3339)
	}
	if ls, err = from.loadSite(); err != nil {
		return fmt.Errorf("reading it back failed: %w", err)
	}
	id := d.Incident
	if id == 0 {
		id = written.ID
	}
	return a.answerEntry(ls, written, id)
}

// latestBy is when the last thing happened that is entered, as far as the clock has come.
func latestBy(entries []stock.Entry, clock time.Time) (last time.Time) {
	for _, e := range entries {
		if e.Time.After(last) && !e.Time.After(clock) {
			last = e.Time
		}
	}
	return last
}

// livedH is how late an entry may be, in hours, and still be of the night that is going on.
const livedH = 24

// lived is the moment that the answer to an entry is about: now, where the entry says what happened
// earlier this night (--at 03:40, entered at 04:10), since what is next is never in the past; the moment
// given, where a night is written down long after it.
func (a *app) lived(at time.Time) time.Time {
	if clock := a.clock(); clock.After(at) && clock.Sub(at).Hours() <= livedH {
		return clock.In(at.Location())
	}
	return at
}

func later(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}

// incidentEntry is an entry as written, and the state after it.
type incidentEntry struct {
	ID       int             `json:"id"`
	Time     string          `json:"time"`
	Kind     stock.Kind      `json:"kind"`
	Incident int             `json:"incident"`
	Written  string          `json:"written"`
	Next     string          `json:"next"`
	Status   *incidentStatus `json:"status"`
}

// answerEntry prints the three lines.
func (a *app) answerEntry(ls loaded, e stock.Entry, id int) error {
	logs, problems := incident.Logs(ls.Journal.Entries)
	problems = append(problems, aboutJournal(ls)...)
	wrote := fmt.Sprintf("Entered as number %d at %s: %s.", e.ID, clockText(e.Time, ls.Site.TimeZone), incidentDeed(ls, e))
	res := incidentEntry{ID: e.ID, Time: e.Time.UTC().Format(time.RFC3339), Kind: e.Kind, Incident: id, Written: wrote}
	l, err := incident.Find(logs, id, "")
	if err != nil { // the opening itself was taken back
		res.Next = "Nothing more: the incident is taken back."
		return a.print(answer{Command: "incident " + string(e.Kind), Title: "Incident", Result: res, Warnings: problems, Blocks: []block{para("%s", wrote), line("%s", res.Next)}})
	}
	n, status, err := a.nightAfter(ls, l)
	if err != nil {
		return err
	}
	res.Status, res.Next = &status, n.next(status)
	again := slices.Concat(n.leaps(e), n.slips(e), n.longBefore(e), n.tooSoon(e)) // before what is next, which goes by the value
	if k := n.Log.Twin(e.ID); k != 0 {
		again = append(again, fmt.Sprintf("entry %d says the same; if it was entered twice: tidehold incident undo %d%s%s", k, e.ID, n.which(), n.here))
	} else {
		again = append(again, n.rushed(e)...)
	}
	if e.Kind == stock.Closed && n.Done() && !n.Confirmed() {
		problems = append(problems, fmt.Sprintf("no second sample a day later confirms it; take one, and enter what is found with --incident %d", l.ID))
	}
	if e.Kind == stock.Closed && !n.Done() && len(n.Goals) > 0 {
		problems = append(problems, fmt.Sprintf("the goal is not reached; if it was closed too early: tidehold incident undo --incident %d%s", l.ID, n.here))
	}
	return a.print(answer{Command: "incident " + string(e.Kind), Title: "Incident " + l.Opening.Name, Result: res, Warnings: problems, Said: again,
		Blocks: slices.Concat([]block{para("%s", wrote), line("%s", n.stateLine())}, warned(again), n.peopleFirst(e), n.breachLines(status.Beyond), n.reckonedLines(), n.dueLines(), n.cautionFirst(status), n.nextLines(status))})
}

// nightAfter is a night as the answer to an entry shows it.
func (a *app) nightAfter(ls loaded, l incident.Log) (n night, status incidentStatus, err error) {
	if n, err = a.stateOf(ls, l, later(a.lived(ls.Now), l.Latest())); err != nil {
		return n, status, err
	}
	n.late = a.clock().Sub(n.State.Now).Hours() > livedH
	if status, err = n.status(); err == nil {
		err = a.askFirst(&n, &status, later(a.clock(), n.State.Now))
	}
	return n, status, err
}

// warned are warnings as they stand before what they are about.
func warned(list []string) (out []block) {
	for _, s := range list {
		out = append(out, pasted("WARNING: "+s)...)
	}
	return out
}

// leaps asks to look again where a reading lies far from what the tank had before, or a change moved it
// further than one step may.
func (n night) leaps(e stock.Entry) (list []string) {
	temp, salinity, err := n.Log.Leaps(n.System, e.ID)
	if err != nil {
		return nil // what makes the water unknown is told with the state
	}
	say := func(what string, l *incident.Leap, show func(x float64) string) {
		if l != nil {
			list = append(list, fmt.Sprintf("read it again: %s %s, and it was %s before; if it was mistyped: tidehold incident undo %d%s%s", what, show(l.Is), show(l.Was), e.ID, n.which(), n.here))
		}
	}
	say("temperature", temp, n.units.Temperature)
	bare := func(x float64) string { return units.Fixed(x, 1) }
	say("salinity", salinity, bare)
	if temp, salinity, err = n.Log.Steps(n.System, e.ID); err != nil {
		return list
	}
	step := func(what string, l *incident.Leap, most string, show func(x float64) string) {
		if l != nil {
			list = append(list, fmt.Sprintf("the change took the %s from %s to %s; at most %s is allowed in one step: watch the animals; if it was mistyped: tidehold incident undo %d%s%s", what, show(l.Was), show(l.Is), most, e.ID, n.which(), n.here))
		}
	}
	step("temperature", temp, n.units.TempStep(n.System.Limits.TemperatureStep), n.units.Temperature)
	step("salinity", salinity, units.Trimmed(n.System.Limits.SalinityStep, 2), bare)
	return list
}

// slip is how many times more or less than expected a result is of which the unit is asked about: mg for µg is a thousand.
// A rule of this tool.
const slip = 100

// slips asks to look again at a result that lies a hundred times from what was expected.
func (n night) slips(e stock.Entry) (list []string) {
	for _, g := range n.Goals {
		if g.Finding == nil {
			continue
		}
		for _, c := range g.Finding.Series.Comparisons() {
			if c.ID != e.ID || c.Predicted == nil || c.Below || c.UgL < slip*c.Predicted.Value && c.Predicted.Value < slip*c.UgL {
				continue
			}
			list = append(list, fmt.Sprintf("read it again: %s %s, and about %s was expected; if the unit was mistyped: tidehold incident undo %d%s%s",
				substance(g.Contaminant), units.Dissolved(c.UgL), units.Dissolved(c.Predicted.Value), e.ID, n.which(), n.here))
		}
	}
	return list
}

// longBeforeH is how long before the opening a sample counts as of the incident without a question, in hours: what is found in the
// morning may have begun in the evening. A rule of this tool.
const longBeforeH = 12

// longBefore asks about a sample from long before the incident: last week's "copper <2 µg/L" ended the plan.
func (n night) longBefore(e stock.Entry) []string {
	before := n.Log.OpenedAt.Sub(e.Time).Hours()
	if e.Kind != stock.Result || before <= longBeforeH {
		return nil
	}
	return []string{fmt.Sprintf("that was sampled %s before the incident was opened, and counts as its water; if it is older than what happened, or the day was mistyped: tidehold incident undo %d%s%s", units.Hours(before), e.ID, n.which(), n.here)}
}

// rushed warns of a change of more than may be out at once, and of one that follows another too soon.
func (n night) rushed(e stock.Entry) (list []string) {
	tooMuch, after := n.Log.Rushed(n.System, e.ID)
	undo := fmt.Sprintf("tidehold incident undo %d%s%s", e.ID, n.which(), n.here)
	switch {
	case tooMuch:
		list = append(list, fmt.Sprintf("that is more than the %s that may be out of %s at once: watch the animals; if it was mistyped: %s",
			n.units.Volume(n.System.Drawdown*float64(n.System.NetVolume), units.Down), n.System.ID, undo))
	case after > 0:
		list = append(list, fmt.Sprintf("the change before it began %s earlier, and %s lie between two: watch the animals; if it was made at another time, take it back and enter it with --at: %s",
			units.Hours(after.Hours()), units.Hours(n.System.ChangeEveryH), undo))
	}
	return list
}

// tooSoon warns of water that was poured while it was still being mixed.
func (n night) tooSoon(e stock.Entry) (list []string) {
	pours, err := e.Pours()
	if err != nil {
		return nil // no change
	}
	for _, p := range pours {
		if s := n.Site.StoreByID(p.Store); s != nil && s.BeingMixed(e.Time) > 0 {
			list = append(list, fmt.Sprintf("%s was to be mixed until %s: water that is not clear burns gills; watch the animals, and pour no more of it before two salinity readings agree", s.ID, clockText(*s.UsableFrom, n.Site.TimeZone)))
		}
	}
	return list
}

// clockText is a time for people: Wed 25 Nov 03:00, in the site's zone.
func clockText(t time.Time, zone *time.Location) string { return moment(t.In(zone)) }

// incidentDeed says what an entry holds, in words.
func incidentDeed(ls loaded, e stock.Entry) string {
	if e.Kind == stock.Undo {
		return fmt.Sprintf("entry %d is taken back", e.Undoes)
	}
	return cmp.Or(incidentDeeds(ls, ls.Site.Units)[e.ID], string(e.Kind))
}

// incidentDeeds are the entries of all incidents in words, by their numbers.
func incidentDeeds(ls loaded, u units.System) map[int]string {
	out := map[int]string{}
	// Without the undos: what was taken back is told too.
	logs, _ := incident.Logs(slices.DeleteFunc(slices.Clone(ls.Journal.Entries), func(e stock.Entry) bool { return e.Kind == stock.Undo }))
	for _, l := range logs {
		for _, it := range l.Items {
			out[it.ID] = itemText(l, it, u)
		}
	}
	return out
}

// itemText is one line of the record in words.
func itemText(l incident.Log, it incident.Item, u units.System) string {
	switch it.Kind {
	case stock.Opened:
		return "incident opened: " + l.Opening.Name + " on " + l.Opening.System
	case stock.Change:
		return "changed " + u.Volume(it.Litres(), units.Nearest) + ", " + poursText(it.Pours, u)
	case stock.Reading:
		return "read " + strings.Join(append(valuesText(*it.Values, u), resultsText(it.Results)...), ", ")
	case stock.Result:
		text := strings.Join(resultsText(it.Results), ", ")
		if it.Report != "" {
			text += " (report " + it.Report + ")"
		}
		return text
	case stock.Closed:
		if it.Text != "" {
			return "incident closed: " + it.Text
		}
		return "incident closed"
	}
	return it.Text
}

func poursText(pours []stock.Pour, u units.System) string {
	var list []string
	for _, p := range pours {
		from := p.Store
		if from == "" {
			from = "elsewhere"
		}
		text := "from " + from
		if len(pours) > 1 {
			text = u.Volume(p.Litres.InexactFloat64(), units.Nearest) + " " + text
		}
		if as := waterPoured(p, u); as != "" {
			text += " at " + as
		}
		list = append(list, text)
	}
	return strings.Join(list, " and ")
}

// waterPoured is what the water of a pour was, and what of it nobody measured.
func waterPoured(p stock.Pour, u units.System) string {
	const measured, recorded = " measured", " by the record"
	salinity, temp := "", ""
	switch {
	case p.SalinityRecorded && p.TempRecorded:
		temp = recorded // said once, of both
	case p.SalinityRecorded:
		salinity, temp = recorded, measured
	case p.TempRecorded:
		salinity, temp = measured, recorded
	}
	var as []string
	if p.Salinity != nil {
		as = append(as, "salinity "+units.Fixed(*p.Salinity, 1)+salinity)
	}
	if p.TemperatureC != nil {
		as = append(as, u.Temperature(*p.TemperatureC)+temp)
	}
	return strings.Join(as, ", ")
}

// resultsText are the results of an entry, each with its substance.
func resultsText(results []incident.Measured) []string {
	var list []string
	for _, m := range results {
		list = append(list, substance(m.Contaminant)+" "+measuredText(m))
	}
	return list
}

// valuesText are the readings of instruments, each with its unit.
func valuesText(v incident.Values, u units.System) []string {
	var list []string
	if v.TempC != nil {
		list = append(list, u.Temperature(*v.TempC))
	}
	if v.Salinity != nil {
		list = append(list, "salinity "+units.Fixed(*v.Salinity, 1))
	}
	if v.PH != nil {
		list = append(list, "pH "+units.Fixed(*v.PH, 2))
	}
	if v.AlkalinityDKH != nil {
		list = append(list, "alkalinity "+units.Fixed(*v.AlkalinityDKH, 1)+" dKH")
	}
	if v.OxygenMgL != nil {
		list = append(list, "oxygen "+units.Fixed(*v.OxygenMgL, 1)+" mg/L")
	}
	return list
}

// substance is a contaminant's id as people write it.
func substance(id string) string {
	if id == "" {
		return "whatever is in it"
	}
	return strings.ReplaceAll(id, "_", " ")
}

// measuredText is a result: 12.2 ± 1.5 µg/L, <2 µg/L.
func measuredText(m incident.Measured) string {
	if m.Below {
		return "<" + levelText(m.Contaminant, m.UgL, 0)
	}
	return spreadText(m.Contaminant, m.UgL, m.U, 0)
}

// aboutJournal is what a keeper should know about the journal itself.
func aboutJournal(ls loaded) []string {
	var out []string
	for _, n := range ls.Site.Warnings {
		if n.Code == site.NoteJournal {
			out = append(out, n.String())
		}
	}
	return out
}
