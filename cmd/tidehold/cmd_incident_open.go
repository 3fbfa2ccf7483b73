package main

import (
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"tidehold/refs"
	"tidehold/response/incident"
	"tidehold/response/playbook"
	"tidehold/volumes/site"
	"tidehold/volumes/stock"
)

func newIncidentOpenCmd(a *app, f *incidentFlags) *cobra.Command {
	return &cobra.Command{
		Use:   "open <event>",
		Short: "something happened: start its record",
		Long: `Starts the record of an incident: an event of the site file, or a name of your own.
With a name of your own, say the --system if the site has several; the plan is then
to remove half of whatever is in the water within a day, until a result says more, or
no change where the card for that name asks for none ("power cut");
the system's own heaters are taken to work, unless the name says that one broke.

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
	sys := s.SystemByID(system)
	if sys == nil {
		return incident.Opening{}, usagef("--system: %q is not in the site file; allowed: %s%s", system, strings.Join(systemIDs(s), ", "), meant(system, systemIDs(s)))
	}
	card := cardFor(name)
	reheats, _ := sys.Reheats(card == site.HeaterBreak) // else as for the site's own default event
	o := incident.Opening{Name: name, System: system, Reheats: reheats}
	// Where the card sends nobody to change water (a power cut, a leak), nothing is to be thinned out until a result says so.
	if slices.Contains(playbook.Builtin().Sent(card), changeWater) {
		o.Aims = []incident.Aim{{Remove: unknownRemove, WithinH: unknownWithinH}}
	}
	return o, nil
}

// surelyFits is the share of the words of an incident's name that a card must know to be the one for it: of "white
// stuff floating" the card of the top-off knows one word, the float's. A rule of this tool.
const surelyFits = 0.6

// cardFor is the card that an incident's name means; the one for any cause where none surely does.
func cardFor(name string) string {
	if hits := playbook.Best(playbook.Builtin().Search(name)); len(hits) == 1 && hits[0].Score >= surelyFits {
		return hits[0].Name
	}
	return "unknown"
}
