package main

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/response/dilution"
	"tidehold/response/incident"
	"tidehold/response/plan"
	"tidehold/response/schedule"
	"tidehold/volumes/stock"
)

func newIncidentStatusCmd(a *app, f *incidentFlags) *cobra.Command {
	return &cobra.Command{
		Use:   "status",
		Short: "the state now, what the results say, and the plan from here",
		Long: `Shows the open incident: each substance with its ±, the water, what is used of the
day's limits, when the next change may start, what the results say, the plan from
here and what the stores hold.

` + exitHelp + ` No: the goal is not reached.`,
		Example: "  tidehold incident status\n  tidehold incident status --format json",
		Args:    cobra.NoArgs,
		RunE:    func(*cobra.Command, []string) error { return runIncidentStatus(a, f) },
	}
}

// incidentStatus is the state of an incident as JSON shows it. Concentrations are µg/L,
// ± are expanded (k = 2).
type incidentStatus struct {
	Incident     int                   `json:"incident"`
	Event        string                `json:"event"`
	System       string                `json:"system"`
	OpenedAt     string                `json:"opened_at"`
	ClosedAt     *string               `json:"closed_at"`
	At           string                `json:"at"`
	Contaminants []incidentContaminant `json:"contaminants"`
	// ShareLeft is what is left of whatever was there, null where no share is aimed at.
	ShareLeft *float64      `json:"share_left"`
	Water     incidentWater `json:"water"`
	Used      incidentUsed  `json:"used"`
	Limits    incidentUsed  `json:"limits_per_day"`
	// Beyond is what was read last that the animals do not bear.
	Beyond []incident.Breach `json:"beyond"`
	// Changes made: one that was interrupted and gone on with is one.
	Changes      int                  `json:"changes"`
	ChangedL     float64              `json:"changed_l"`
	NextChangeAt string               `json:"next_change_at"`
	Explanation  incident.Explanation `json:"explanation"`
	// MoreIn and LessIn: more, or less, is in the water than the changes explain.
	MoreIn   bool             `json:"more_than_dilution"`
	LessIn   bool             `json:"less_than_dilution"`
	Fitted   *incidentFitted  `json:"fitted"`
	Decider  *incidentDecider `json:"deciding_sample"`
	Surprise *int             `json:"surprising_entry"`
	// Contradictions are results of one water that cannot both be right.
	Contradictions []incident.Contradiction `json:"contradictions"`
	Done           bool                     `json:"done"`
	// Unentered is what was due and is not entered; null: nothing is.
	Unentered *unentered `json:"unentered"`
	Plan      *plan.Plan `json:"plan"`
	// Spoils are other open incidents that this plan makes late by what it does to the vats.
	Spoils []incident.Spoiled `json:"spoils"`
	// AloneAtH is when the plan, which is late beside other open incidents, would be done by itself; null where it is in
	// time, or would be late too.
	AloneAtH *float64      `json:"done_alone_at_h"`
	Stores   []storeResult `json:"stores"`
}

type incidentContaminant struct {
	ID           string               `json:"id"`
	NowUgL       *float64             `json:"now_ug_l"`
	NowU         *float64             `json:"now_u_ug_l"`
	AtMost       bool                 `json:"at_most"`
	PredictedUgL *float64             `json:"predicted_ug_l"`
	TargetUgL    *float64             `json:"target_ug_l"`
	Verdict      string               `json:"verdict"`
	Results      int                  `json:"results"`
	Explanation  incident.Explanation `json:"explanation"`
}

type incidentWater struct {
	TempC         float64        `json:"temp_c"`
	Salinity      float64        `json:"salinity"`
	PH            *float64       `json:"ph"`
	TempBasis     incident.Basis `json:"temp_basis"`
	SalinityBasis incident.Basis `json:"salinity_basis"`
}

type incidentUsed struct {
	TemperatureC float64 `json:"temperature_c"`
	Salinity     float64 `json:"salinity"`
}

type incidentFitted struct {
	VolumeL  float64 `json:"volume_l"`
	VolumeU  float64 `json:"volume_u_l"`
	StartUgL float64 `json:"start_ug_l"`
	StartU   float64 `json:"start_u_ug_l"`
	// SourceMgH is 0 where the fit is at or below none; its ± still says what could be.
	SourceMgH *float64 `json:"source_mg_h"`
	SourceU   *float64 `json:"source_u_mg_h"`
	// Ratio, RatePerH and CleanedLH are null unless that explanation is named.
	Ratio     *float64 `json:"bound_ratio"`
	RatePerH  *float64 `json:"bound_rate_per_h"`
	CleanedLH *float64 `json:"cleaned_l_h"`
	Results   int      `json:"results"`
}

type incidentDecider struct {
	At         string               `json:"at"`
	One        incident.Explanation `json:"one"`
	IfOneUgL   float64              `json:"if_one_ug_l"`
	Other      incident.Explanation `json:"other"`
	IfOtherUgL float64              `json:"if_other_ug_l"`
	Enough     bool                 `json:"enough"`
}

func runIncidentStatus(a *app, f *incidentFlags) error {
	n, warnings, err := a.oneNight(f)
	if err != nil {
		return err
	}
	status, err := n.status()
	if err == nil {
		err = a.askFirst(&n, &status, n.State.Now)
	}
	if err != nil {
		return err
	}
	return a.print(answer{Command: "incident status", Title: "Incident " + n.Log.Opening.Name, Result: status, Assumptions: n.assumed(),
		Warnings: append(append(warnings, n.arrivals()...), n.filling(status.Plan)...), Blocks: n.statusBlocks(status), More: n.detail(status), No: !status.Done && len(n.Goals) > 0, Table: "contaminants"})
}

// arrivals are the deliveries whose time has come: what is left of them counts as here.
func (n *night) arrivals() (list []string) {
	for _, d := range n.Arrived {
		var what, how []string
		add := func(left float64, amount, entry string) {
			if left > 0 {
				what, how = append(what, amount), append(how, entry)
			}
		}
		add(float64(d.Saltwater), n.units.Volume(float64(d.Saltwater), units.Down)+" of saltwater", "incident change --from "+elsewhere+", or stock add")
		add(float64(d.Purified), n.units.Volume(float64(d.Purified), units.Down)+" of purified water", "stock add")
		add(d.SaltKg, n.units.Mass(d.SaltKg, units.Down)+" of salt", "stock salt --bought")
		list = append(list, fmt.Sprintf("delivery %d was due %s, and %s of it counts as here: enter what is used (%s); if it is not here, write its new time into the site file",
			d.N, clockText(d.At, n.Site.TimeZone), listed(what), strings.Join(how, "; ")))
	}
	return list
}

// filling are the stores that a purifier has gone on filling since somebody last looked, where the next batch waits for
// more than they held: the plan counts on it from now on, and the batch is put off with each look.
func (n *night) filling(p *plan.Plan) (list []string) {
	if n.Site.Purifier == nil || p == nil || len(p.Batches) == 0 {
		return nil
	}
	entered := stock.Standing(n.Journal.Entries, n.Log.OpenedAt, n.State.Now)
	for _, st := range n.Site.Stores {
		since := n.Log.OpenedAt
		for _, e := range entered {
			if e.Kind == stock.Dip && e.Store == st.ID {
				since = e.Time
			}
		}
		made := n.Site.Purifier.LowestLH() * n.State.Now.Sub(since).Hours()
		if st.FilledBy != "" && p.Batches[0].PurifiedL > st.Volume.InexactFloat64() && made > noticed*float64(st.Capacity) {
			list = append(list, fmt.Sprintf("%s counts as %s; what the purifier has made since %s is not in it: tidehold stock dip %s VOLUME%s", st.ID, exact{st.Volume}.down(n.units), clockText(since, n.Site.TimeZone), st.ID, n.here))
		}
	}
	return list
}

// noticed is the share of a store that a purifier has made before it is asked for. A rule of this tool.
const noticed = 0.05

// oneNight finds the incident meant and works it out at the moment of the command.
func (a *app) oneNight(f *incidentFlags) (night, []string, error) {
	if a.demo {
		return night{}, nil, usagef(`the demo site has no journal; write it out with "tidehold init --demo" first`)
	}
	ls, err := a.loadSite()
	if err != nil {
		return night{}, nil, err
	}
	logs, problems := incident.Logs(ls.Journal.Entries)
	l, err := incident.Find(logs, f.number, f.system)
	if err != nil {
		for _, p := range problems { // what is not found may be what cannot be read
			err = fmt.Errorf("%w; %s", err, p)
		}
		return night{}, nil, usage(err)
	}
	n, err := a.stateOf(ls, l, ls.Now)
	return n, append(problems, aboutJournal(ls)...), err
}

// status gathers the state and the plan from here.
func (n *night) status() (incidentStatus, error) {
	s := incidentStatus{
		Incident: n.Log.ID, Event: n.Log.Opening.Name, System: n.System.ID, OpenedAt: n.Log.OpenedAt.UTC().Format(time.RFC3339), At: n.State.Now.UTC().Format(time.RFC3339),
		Contaminants: []incidentContaminant{}, Contradictions: []incident.Contradiction{}, Spoils: []incident.Spoiled{}, NextChangeAt: n.NextChange.UTC().Format(time.RFC3339), Explanation: incident.Undecided, Done: n.Done(),
		Water: incidentWater{n.Water.State.Temperature, n.Water.State.Salinity, n.Water.State.PH, n.Water.TempBasis, n.Water.SalinityBasis},
		Used:  incidentUsed{n.Water.UsedC, n.Water.UsedSalinity}, Limits: incidentUsed{n.System.Limits.TemperaturePerDay, n.System.Limits.SalinityPerDay}, Beyond: n.breaches(),
	}
	if n.Log.ClosedAt != nil {
		at := n.Log.ClosedAt.UTC().Format(time.RFC3339)
		s.ClosedAt = &at
	}
	s.Changes = n.Log.Changes(n.System)
	for _, it := range n.Log.Items {
		if it.Kind == stock.Change {
			s.ChangedL += it.Litres()
		}
	}
	for _, g := range n.Goals {
		if g.Finding == nil {
			left := g.Left
			s.ShareLeft = &left
			continue
		}
		s.Contaminants = append(s.Contaminants, contaminantOf(g))
	}
	if g := n.mainFinding(); g != nil {
		n.explain(&s, *g)
	}
	if n.Log.ClosedAt == nil {
		p, made, err := n.Plan(n.Site, schedule.Options{})
		if err != nil {
			return s, usage(err)
		}
		s.Plan, n.planned = p, made.Assumptions
		if s.Spoils, err = n.Spoils(n.Site, made.Plans, schedule.Options{}); err != nil {
			return s, usage(err)
		}
		if s.AloneAtH, err = n.Alone(n.Site, p, schedule.Options{}); err != nil {
			return s, usage(err)
		}
	}
	for _, st := range stock.StatusOf(n.Site, n.loaded.Now).Stores {
		s.Stores = append(s.Stores, storeResult{st.ID, st.Holds, exact{st.Litres}, exact{st.Usable}, float64(st.Salinity), float64(st.TemperatureC), st.AgeH, st.MixedH, st.TestedH, st.MaxAgeH, st.State, st.DatedAhead})
	}
	return s, nil
}

// mainFinding is the finding that answers are about: that of the main goal, else the
// first with a result; nil where there is none.
func (n *night) mainFinding() *incident.Finding {
	if g := n.Main(); g != nil && g.Finding != nil {
		return g.Finding
	}
	for _, g := range n.Goals {
		if g.Finding != nil {
			return g.Finding
		}
	}
	return nil
}

func contaminantOf(g incident.Goal) incidentContaminant {
	f := g.Finding
	c := incidentContaminant{ID: g.Contaminant, AtMost: f.AtMost, PredictedUgL: f.Predicted, Verdict: string(g.Verdict), Results: len(f.Series.Samples), Explanation: f.Explanation}
	if f.Now != nil {
		now := f.Now.Value
		c.NowUgL = &now
		if u := f.Now.U(); u > 0 {
			c.NowU = &u
		}
	}
	if g.Target > 0 {
		target := g.Target
		c.TargetUgL = &target
	}
	return c
}

// explain fills what the results say.
func (n *night) explain(s *incidentStatus, f incident.Finding) {
	s.Explanation, s.MoreIn, s.LessIn = f.Explanation, f.MoreIn, f.LessIn
	s.Contradictions = append(s.Contradictions, f.Contradictions...)
	if f.Surprise != 0 {
		id := f.Surprise
		s.Surprise = &id
	}
	if d := f.Decider; d != nil {
		s.Decider = &incidentDecider{f.Series.T0.Add(hoursSince(d.AtH)).UTC().Format(time.RFC3339), d.One, d.IfOne, d.Other, d.IfOther, d.Enough}
	}
	if f.Start == nil {
		return
	}
	s.Fitted = &incidentFitted{VolumeL: f.VolumeL.Value, VolumeU: f.VolumeL.U(), StartUgL: f.Start.Value, StartU: f.Start.U(), Results: len(f.Series.Samples)}
	if f.SourceMgH != nil {
		// The fit goes below zero where less is found than dilution explains: no source then.
		x, u := math.Max(0, f.SourceMgH.Value), f.SourceMgH.U()
		s.Fitted.SourceMgH, s.Fitted.SourceU = &x, &u
	}
	switch f.Explanation {
	case incident.ComingBack:
		ratio, rate := f.Chosen.Ratio.Value, f.Chosen.RatePerH.Value
		s.Fitted.Ratio, s.Fitted.RatePerH = &ratio, &rate
	case incident.TakenOut:
		x := f.Chosen.CleanedLH.Value
		s.Fitted.CleanedLH = &x
	}
}

// hoursSince is a number of hours as a duration, to the second.
func hoursSince(h float64) time.Duration {
	return time.Duration(math.Round(h*3600)) * time.Second
}

// assumed are the values that the state and the plan from here rest on and nobody stated.
func (n *night) assumed() []refs.Assumption {
	out := append(slices.Clone(n.Site.Assumptions), n.planned...)
	compared := false
	for _, g := range n.Goals {
		if g.Finding == nil {
			continue
		}
		for _, p := range g.Finding.Series.Samples {
			if p.AssumedU && !p.Below {
				out = append(out, refs.Assumption{What: fmt.Sprintf("entry %d, %s: ±", p.ID, substance(g.Contaminant)), Value: units.Percent(incident.AssumedShare, 0), Source: "no ± was entered; common practice for trace metals in seawater"})
			}
		}
		compared = compared || slices.ContainsFunc(g.Finding.Fits, func(f incident.Fit) bool { return f.Explanation == incident.ComingBack })
	}
	if compared {
		out = append(out, refs.Assumption{What: "rate at which rock and sand give back what they took up",
			Value:  fmt.Sprintf("%g per hour, up to %d times less or more", incident.PriorRatePerH, incident.PriorFactor),
			Source: "this tool: where results are few, the rate is looked for around this; no measured rate of a captive system was found"})
	}
	return out
}

// stateLine is the state in one line.
func (n *night) stateLine() string {
	var parts []string
	for _, g := range n.Goals {
		parts = append(parts, goalText(g))
	}
	w := n.Water
	parts = append(parts, n.units.Temperature(w.State.Temperature), "salinity "+units.Fixed(w.State.Salinity, 1))
	return "Now: " + strings.Join(parts, ", ") + "."
}

// goalText is one goal in a few words.
func goalText(g incident.Goal) string {
	if g.Finding == nil {
		return fmt.Sprintf("%s of it left (goal %s)", units.Percent(g.Left, 0), units.Percent(g.Target, 0))
	}
	text := substance(g.Contaminant) + " " + nowText(g)
	if g.Target > 0 {
		text += " (goal " + levelText(g.Contaminant, g.Target, 0) + ")"
	}
	return text
}

// nowText is the level now with how it is known.
func nowText(g incident.Goal) string {
	f := g.Finding
	switch {
	case f.Now == nil:
		return "not known: no result yet"
	case f.AtMost:
		return "at most " + levelText(g.Contaminant, f.Now.Value, g.Target)
	case f.Chosen == nil:
		return "about " + spreadText(g.Contaminant, f.Now.Value, f.Now.U(), g.Target) + ", supposed"
	}
	return spreadText(g.Contaminant, f.Now.Value, f.Now.U(), g.Target)
}

// verdictWords are a goal's verdict on the screen.
func verdictWords(v dilution.Verdict) string {
	switch v {
	case dilution.Above:
		return "above"
	case dilution.Below:
		return "reached"
	case dilution.Undecided:
		return "within ± of it"
	}
	return "no result"
}
