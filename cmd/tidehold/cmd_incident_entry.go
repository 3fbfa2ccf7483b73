package main

import (
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/response/assess"
	"tidehold/response/incident"
	"tidehold/volumes/site"
	"tidehold/volumes/stock"
)

func newIncidentOpenCmd(a *app, f *incidentFlags) *cobra.Command {
	return &cobra.Command{
		Use:   "open <event>",
		Short: "something happened: start its record",
		Long: `Starts the record of an incident: an event of the site file, or a name of your own.
With a name of your own, say the --system if the site has several; the plan is then
to remove half of whatever is in the water within a day, until a result says more.

` + exitHelp,
		Example: "  tidehold incident open broken-heater\n  tidehold incident open 'white film, smells of solvent' --system hall-reef --at 2026-11-25T03:00:00Z",
		Args:    cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			return a.enterIncident(nil, time.Time{}, func(ls loaded, d incident.Draft) (stock.Entry, error) {
				o, err := opening(ls.Site, args[0], f.system)
				if err != nil {
					return stock.Entry{}, err
				}
				return d.Open(o)
			})
		},
	}
}

// What is planned where nobody knows yet what is in the water: the site's own default
// event, half within a day.
const (
	unknownRemove  = 0.5
	unknownWithinH = 24
)

// opening is what is known of an incident by its name.
func opening(s *site.Site, name, system string) (incident.Opening, error) {
	name = strings.TrimSpace(name)
	if e := s.EventByID(name); e != nil {
		if system != "" && system != e.System {
			return incident.Opening{}, usagef("--system: event %s is on %s; leave --system out, or give the incident a name of its own", e.ID, e.System)
		}
		aim := incident.Aim{Contaminant: e.Contaminant, Start: e.StartUgL, StartU: e.StartUUgL, Target: e.TargetUgL, WithinH: e.WithinH, SourceMgH: e.SourceMgH}
		if e.Remove != nil {
			aim = incident.Aim{Remove: *e.Remove, WithinH: e.WithinH}
		}
		return incident.Opening{Name: e.ID, System: e.System, Event: true, Aims: []incident.Aim{aim}, Reheats: e.Reheats}, nil
	}
	if name == "" || len(name) > 200 {
		return incident.Opening{}, usagef("an incident needs a name of 1 to 200 bytes, or an event of the site: %s", strings.Join(eventIDs(s), ", "))
	}
	if !strings.ContainsAny(name, " ") {
		if near, ok := refs.Nearest(name, eventIDs(s)); ok {
			return incident.Opening{}, usagef("%q is not an event of the site; did you mean %q? For a name of your own, write several words", name, near)
		}
	}
	if system == "" {
		if len(s.Systems) != 1 {
			return incident.Opening{}, usagef("%q is not an event of the site; for a name of your own say --system: %s", name, strings.Join(systemIDs(s), ", "))
		}
		system = s.Systems[0].ID
	}
	if s.SystemByID(system) == nil {
		return incident.Opening{}, usagef("--system: %q is not in the site file; allowed: %s%s", system, strings.Join(systemIDs(s), ", "), meant(system, systemIDs(s)))
	}
	return incident.Opening{Name: name, System: system, Aims: []incident.Aim{{Remove: unknownRemove, WithinH: unknownWithinH}}}, nil
}

func newIncidentChangeCmd(a *app, f *incidentFlags) *cobra.Command {
	var from []string
	w := &entryFlags{}
	c := &cobra.Command{
		Use:   "change <volume>",
		Short: "enter a water change as it was really made; it draws the store",
		Long: `Enters a water change: as much out as in. --from names the store, and the entry draws
it; "--from vat-a=80L --from vat-b=40L" where water came from two; "elsewhere"
for water that no store of the site held. --salinity and --temp are what the new
water measured as it was poured; without them the record of the store is taken.

` + exitHelp,
		Example: "  tidehold incident change 120L --from vat-a --salinity 34.1 --temp 22C\n  tidehold incident change 120L --from vat-a=80L --from vat-b=40L --at 2026-11-25T07:10:00Z",
		Args:    cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			return a.enterIncident(f, time.Time{}, func(ls loaded, d incident.Draft) (stock.Entry, error) {
				pours, err := poursOf(ls, d.Incident, args[0], from, w)
				if err != nil {
					return stock.Entry{}, err
				}
				return d.Change(pours)
			})
		},
	}
	c.Flags().StringArrayVar(&from, "from", nil, "the `store` it came from, or store=volume; repeatable; elsewhere: none of the site's")
	w.salinity = quantity(c.Flags(), "salinity", units.Salinity, 0, 42, "measured salinity of the new water")
	w.temperature = quantity(c.Flags(), "temp", units.Temperature, 0, 40, "measured temperature of the new water")
	return c
}

// elsewhere is where water came from that no store of the site held.
const elsewhere = "elsewhere"

// poursOf reads what a change drew from where.
func poursOf(ls loaded, id int, volume string, from []string, w *entryFlags) ([]stock.Pour, error) {
	total, err := exactAmount("volume", volume, units.Volume)
	if err != nil {
		return nil, err
	}
	if !total.IsPositive() {
		return nil, usagef("volume: %q; more than nothing is allowed", volume)
	}
	if len(from) == 0 {
		return nil, usagef("--from is missing; say which store the water came from: %s, or elsewhere", strings.Join(storeIDs(ls.Site), ", "))
	}
	if err := smallerThanSystem(ls, id, total.InexactFloat64()); err != nil {
		return nil, err
	}
	left := *total
	var pours []stock.Pour
	for i, text := range from {
		name, amount, given := strings.Cut(text, "=")
		p := stock.Pour{Litres: left}
		if given {
			litres, err := exactAmount("--from", amount, units.Volume)
			if err != nil {
				return nil, err
			}
			p.Litres = *litres
		} else if i+1 < len(from) {
			return nil, usagef("--from %s: several stores need their volumes, as in --from %s=80L", name, name)
		}
		left = left.Sub(p.Litres)
		if err := pourFrom(ls.Site, &p, name, w); err != nil {
			return nil, err
		}
		pours = append(pours, p)
	}
	if !left.IsZero() {
		return nil, usagef("--from: the volumes do not add up to %s; %s L differ", volume, left.Abs().String())
	}
	return pours, nil
}

// smallerThanSystem refuses a change of more water than there is.
func smallerThanSystem(ls loaded, id int, litres float64) error {
	logs, _ := incident.Logs(ls.Journal.Entries)
	l, err := incident.Find(logs, id, "")
	if err != nil {
		return usage(err)
	}
	sys := ls.Site.SystemByID(l.Opening.System)
	if sys != nil && litres > float64(sys.NetVolume) {
		return usagef("volume: %s is more than the %s of %s; a larger amount is several changes", ls.Site.Units.Volume(litres, units.Nearest), ls.Site.Units.Volume(float64(sys.NetVolume), units.Nearest), sys.ID)
	}
	return nil
}

// pourFrom names a pour's store and says what its water was: as measured, else by the
// record of the store.
func pourFrom(s *site.Site, p *stock.Pour, name string, w *entryFlags) error {
	if w.salinity.Given {
		p.Salinity = &w.salinity.Value
	}
	if w.temperature.Given {
		p.TemperatureC = &w.temperature.Value
	}
	if name == elsewhere {
		if p.Salinity == nil || p.TemperatureC == nil {
			return usagef("--from elsewhere: nothing is recorded of that water; measure it and give --salinity and --temp")
		}
		return nil
	}
	store, err := findStore(s, "from", name)
	if err != nil {
		return err
	}
	if store.Holds != site.Saltwater {
		return usagef("--from: %s holds %s water, which must not be poured into a system as a change; saltwater stores: %s", name, store.Holds, strings.Join(saltwaterIDs(s), ", "))
	}
	p.Store = store.ID
	if p.Salinity == nil {
		x := float64(store.Water.Salinity)
		p.Salinity, p.Recorded = &x, true
	}
	if p.TemperatureC == nil {
		x := float64(store.Water.Temperature)
		p.TemperatureC, p.Recorded = &x, true
	}
	return nil
}

func saltwaterIDs(s *site.Site) []string {
	var ids []string
	for _, st := range s.Stores {
		if st.Holds == site.Saltwater {
			ids = append(ids, st.ID)
		}
	}
	return ids
}

// readingFlags are what instruments show.
type readingFlags struct {
	set                                 *pflag.FlagSet
	temp, sal, ph, alk, oxygen, ammonia *quantityFlag
}

func newReadingFlags(fs *pflag.FlagSet) *readingFlags {
	return &readingFlags{
		set:     fs,
		temp:    quantity(fs, "temp", units.Temperature, 0, 40, "temperature"),
		sal:     quantity(fs, "salinity", units.Salinity, 0, 42, "salinity"),
		ph:      quantity(fs, "ph", units.Number, 0, 14, "pH"),
		alk:     quantity(fs, "alkalinity", units.Alkalinity, 0, 100, "alkalinity"),
		oxygen:  quantity(fs, "oxygen", units.Concentration, 0, 50_000, "dissolved oxygen"),
		ammonia: quantity(fs, "ammonia", units.Concentration, 0, 1e9, "total ammonia, as nitrogen"),
	}
}

// entry is the reading as an entry of the journal.
func (r *readingFlags) entry(d incident.Draft) (stock.Entry, error) {
	var v incident.Values
	given := false
	for _, q := range []struct {
		flag *quantityFlag
		per  float64
		to   **float64
	}{{r.temp, 1, &v.TempC}, {r.sal, 1, &v.Salinity}, {r.ph, 1, &v.PH}, {r.alk, 1, &v.AlkalinityDKH}, {r.oxygen, units.UgPerMg, &v.OxygenMgL}} {
		if q.flag.Given {
			x := q.flag.Value / q.per
			*q.to, given = &x, true
		}
	}
	var list []incident.Measured
	if r.ammonia.Given {
		list, given = []incident.Measured{{Contaminant: "ammonia_total", UgL: r.ammonia.Value, U: r.ammonia.U, Below: r.ammonia.Below}}, true
	}
	if !given {
		return stock.Entry{}, usagef("nothing was read; give at least one of --temp, --salinity, --ph, --alkalinity, --oxygen, --ammonia")
	}
	return d.Reading(v, list)
}

func newIncidentReadingCmd(a *app, f *incidentFlags) *cobra.Command {
	c := &cobra.Command{
		Use:   "reading",
		Short: "enter what the instruments show in the system",
		Long: `Enters what thermometer, refractometer and test kits show in the system. The state
and the plan go on from there. An ammonia reading counts as a result too.

` + exitHelp,
		Example: "  tidehold incident reading --temp 24.7C --salinity 34.9\n  tidehold incident reading --ph 8.1 --ammonia 0.5mg/L",
		Args:    cobra.NoArgs,
	}
	r := newReadingFlags(c.Flags())
	c.RunE = func(*cobra.Command, []string) error {
		return a.enterIncident(f, time.Time{}, func(_ loaded, d incident.Draft) (stock.Entry, error) { return r.entry(d) })
	}
	return c
}

func newIncidentResultCmd(a *app, f *incidentFlags) *cobra.Command {
	var sampled, report string
	c := &cobra.Command{
		Use:   "result <substance>=<value>",
		Short: "enter what was found in a sample, by hand or from a laboratory's file",
		Long: `Enters results: copper=12.2±1.5ug/L, or copper=<2ug/L below the laboratory's limit.
--sampled is when the sample was taken, which is what counts: a result may come days
later. --report reads a laboratory's own file as "assess" does.

` + exitHelp,
		Example: "  tidehold incident result copper=12.2±1.5ug/L --sampled 2026-11-25T09:00:00Z\n  tidehold incident result --report report.csv --sampled '2026-11-25 09:00'",
		Args:    cobra.ArbitraryArgs,
		RunE: func(_ *cobra.Command, args []string) error {
			if (len(args) == 0) == (report == "") {
				return usagef("give results, as in copper=12.2±1.5ug/L, or a laboratory's file with --report, and not both")
			}
			ls, err := a.loadSite()
			if err != nil {
				return err
			}
			var at time.Time
			if sampled != "" {
				if at, err = flagMoment("--sampled", sampled, ls.Now); err != nil {
					return err
				}
			}
			return a.enterIncident(f, at, func(ls loaded, d incident.Draft) (stock.Entry, error) {
				list, name, err := a.results(ls, d.Incident, args, report)
				if err != nil {
					return stock.Entry{}, err
				}
				return d.Result(list, name)
			})
		},
	}
	c.Flags().StringVar(&sampled, "sampled", "", "when the sample was taken, `TIME`: 03:00, 2026-11-25 03:00 or RFC 3339 (default: now)")
	c.Flags().StringVar(&report, "report", "", "a laboratory's `file`, as for assess")
	return c
}

// results reads results from arguments or from a laboratory's file, whose name it gives.
func (a *app) results(ls loaded, id int, args []string, report string) ([]incident.Measured, string, error) {
	if report != "" {
		list, err := a.reported(ls, id, report)
		return list, filepath.Base(report), err
	}
	var list []incident.Measured
	for _, text := range args {
		name, value, ok := strings.Cut(text, "=")
		if !ok {
			return nil, "", usagef("%q has no =; write it as in copper=12.2±1.5ug/L", text)
		}
		c, near, ok := refs.FindContaminant(name)
		if !ok {
			hint := ""
			if near != "" {
				hint = didYouMean(near)
			}
			return nil, "", usagef("%q is not a substance of the tables%s; see tidehold refs contaminants", name, hint)
		}
		q, err := units.Parse(value, units.Concentration)
		if err != nil {
			return nil, "", usagef("%s: %w", name, err)
		}
		if slices.ContainsFunc(list, func(m incident.Measured) bool { return m.Contaminant == c.ID }) {
			return nil, "", usagef("%s is given twice; two samples are two entries, each with its --sampled", c.ID)
		}
		list = append(list, incident.Measured{Contaminant: c.ID, UgL: q.Value, U: q.U, Below: q.Below})
	}
	return list, "", nil
}

// reported reads the results of a laboratory's file.
func (a *app) reported(ls loaded, id int, path string) ([]incident.Measured, error) {
	logs, _ := incident.Logs(ls.Journal.Entries)
	l, err := incident.Find(logs, id, "")
	if err != nil {
		return nil, usage(err)
	}
	w := assess.Water{Salinity: 35, Temperature: 25}
	if sys := ls.Site.SystemByID(l.Opening.System); sys != nil {
		w = assess.WaterOf(sys)
	}
	density, err := w.KgPerL()
	if err != nil {
		return nil, usage(err)
	}
	data, err := readReport(a.In, path)
	if err != nil {
		return nil, err
	}
	report, faults := assess.Read(path, data, assess.Options{Density: density})
	if len(faults) > 0 {
		return nil, &usageError{err: joinFaults(faults), located: true}
	}
	var list []incident.Measured
	for _, r := range report.Readings {
		m := incident.Measured{Contaminant: r.Contaminant.ID, UgL: r.UgL, U: math.Max(0, r.U), Below: r.Below}
		// Two fractions of one metal are one entry: the higher.
		if i := slices.IndexFunc(list, func(x incident.Measured) bool { return x.Contaminant == m.Contaminant }); i >= 0 {
			if m.UgL > list[i].UgL {
				list[i] = m
			}
			continue
		}
		list = append(list, m)
	}
	if len(list) == 0 {
		return nil, usagef("%s: no result in it names a substance of the tables; see tidehold refs contaminants", path)
	}
	return list, nil
}

func newIncidentNoteCmd(a *app, f *incidentFlags) *cobra.Command {
	return &cobra.Command{
		Use:     "note <text>",
		Short:   "enter what was seen, decided or done besides",
		Long:    "Enters a remark: what was seen, what was decided and why, who was called.\n\n" + exitHelp,
		Example: "  tidehold incident note 'heater-1 unplugged and taken out, glass cracked'",
		Args:    cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			text := strings.TrimSpace(args[0])
			if text == "" {
				return usagef("the note is empty; write what was seen, decided or done")
			}
			return a.enterIncident(f, time.Time{}, func(_ loaded, d incident.Draft) (stock.Entry, error) { return d.Remark(text) })
		},
	}
}

func newIncidentCloseCmd(a *app, f *incidentFlags) *cobra.Command {
	var note string
	c := &cobra.Command{
		Use:     "close",
		Short:   "the incident is over: end its record",
		Long:    "Ends the record. Results that come later may still be entered, with --incident.\n\n" + exitHelp,
		Example: "  tidehold incident close --note 'two samples below the target a day apart'",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			return a.enterIncident(f, time.Time{}, func(_ loaded, d incident.Draft) (stock.Entry, error) { return d.Close(note) })
		},
	}
	c.Flags().StringVar(&note, "note", "", "why it is over")
	return c
}

func newIncidentUndoCmd(a *app, f *incidentFlags) *cobra.Command {
	return &cobra.Command{
		Use:   "undo [<number>]",
		Short: "take back an entry of the incident: the last written, or the one with a number",
		Long: `Takes back an entry by another entry; both stay in the journal. A change taken back
puts its water back into the store it came from.

` + exitHelp,
		Example: "  tidehold incident undo\n  tidehold incident undo 12",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			number := 0
			if len(args) == 1 {
				n, err := strconv.Atoi(args[0])
				if err != nil || n < 1 {
					return usagef("%q is not the number of an entry; they count from 1", args[0])
				}
				number = n
			}
			return a.enterIncident(f, time.Time{}, func(ls loaded, d incident.Draft) (stock.Entry, error) {
				logs, _ := incident.Logs(ls.Journal.Entries)
				l, err := incident.Find(logs, d.Incident, "")
				if err != nil {
					return stock.Entry{}, usage(err)
				}
				if number == 0 {
					number, _ = l.LastEntry()
				} else if !slices.ContainsFunc(l.Items, func(it incident.Item) bool { return it.ID == number }) {
					return stock.Entry{}, usagef("entry %d is not one of incident %d; for entries of the stock: tidehold stock undo %d", number, l.ID, number)
				}
				return stock.Entry{Kind: stock.Undo, Undoes: number, Time: d.At}, nil
			})
		},
	}
}
