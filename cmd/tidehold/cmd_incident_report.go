package main

import (
	"cmp"
	"fmt"
	"math"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"tidehold/refs/units"
	"tidehold/response/figure"
	"tidehold/response/incident"
	"tidehold/response/plan"
	"tidehold/response/readiness"
	"tidehold/response/schedule"
	"tidehold/volumes/stock"
)

func newIncidentReportCmd(a *app, f *incidentFlags) *cobra.Command {
	return &cobra.Command{
		Use:   "report",
		Short: "the incident for those who were not there: one file to print",
		Long: `Writes what happened, when, with how much water; what was measured beside what was
predicted; where the changes departed from the plan; the state at the end, re-tests
and what has to be stocked again; and a page each for a veterinarian, a committee
and an insurer. All of it comes from the journal and the site file. What nobody
wrote is a blank to fill in by hand.

` + exitHelp,
		Example: "  tidehold incident report --format html > report.html\n  tidehold incident report --incident 12 --format markdown",
		Args:    cobra.NoArgs,
		RunE:    func(*cobra.Command, []string) error { return runIncidentReport(a, f) },
	}
}

// reportNodes bounds the search of each plan that a report looks back at.
const reportNodes = 300

// incidentReport is the report as JSON.
type incidentReport struct {
	Status   incidentStatus     `json:"status"`
	Changes  []reportedChange   `json:"changes_made"`
	Results  []reportedResult   `json:"results"`
	Exposure []reportedExposure `json:"exposure"`
	SaltKg   float64            `json:"salt_used_kg"`
	Restock  *readiness.Restock `json:"restock"`
	Retests  []reportedRetest   `json:"retests"`
	Drawn    []reportedDrawn    `json:"drawn"`
	Range    reportedRange      `json:"water_range"`
}

type reportedChange struct {
	ID        int      `json:"id"`
	At        string   `json:"at"`
	VolumeL   float64  `json:"volume_l"`
	PlannedL  *float64 `json:"planned_l"`
	PlannedAt *string  `json:"planned_at"`
	TempC     float64  `json:"temp_c_after"`
	Salinity  float64  `json:"salinity_after"`
}

type reportedResult struct {
	ID          int      `json:"id"`
	Sampled     string   `json:"sampled"`
	Contaminant string   `json:"contaminant"`
	UgL         float64  `json:"ug_l"`
	U           float64  `json:"u_ug_l"`
	Below       bool     `json:"below"`
	Predicted   *float64 `json:"predicted_ug_l"`
	PredictedU  *float64 `json:"predicted_u_ug_l"`
}

type reportedExposure struct {
	Contaminant string  `json:"contaminant"`
	AboveH      float64 `json:"above_goal_h"`
	HighestUgL  float64 `json:"highest_ug_l"`
}

type reportedRetest struct {
	At   string `json:"at"`
	What string `json:"what"`
}

type reportedDrawn struct {
	Store   string  `json:"store"`
	VolumeL float64 `json:"volume_l"`
}

type reportedRange struct {
	Coldest   float64 `json:"coldest_c"`
	Warmest   float64 `json:"warmest_c"`
	LeastSalt float64 `json:"lowest_salinity"`
	MostSalt  float64 `json:"highest_salinity"`
}

// reporting is a report being written.
type reporting struct {
	night
	incident.Report
	status  incidentStatus
	restock *readiness.Restock
}

func runIncidentReport(a *app, f *incidentFlags) error {
	n, warnings, err := a.oneNight(f)
	if err != nil {
		return err
	}
	r := reporting{night: n}
	if r.Report, err = n.Log.ReportOn(n.Filed, n.Site, n.Journal.Entries, n.State.Now, targetOf(n.Site, n.System), schedule.Options{Nodes: reportNodes}); err != nil {
		return usage(err)
	}
	if r.status, err = n.status(); err != nil {
		return err
	}
	if r.restock, err = readiness.RestockFor(n.Site, n.System, r.DrawnL, r.Salinity); err != nil {
		return usage(err)
	}
	return a.print(answer{Command: "incident report", Title: "Incident report: " + r.night.Log.Opening.Name + ", " + n.Title(), Result: r.result(), Assumptions: n.assumed(), Warnings: warnings, Blocks: r.blocks()})
}

// result is the report as data.
func (r *reporting) result() incidentReport {
	out := incidentReport{Status: r.status, SaltKg: r.SaltKg, Restock: r.restock, Range: reportedRange{r.Coldest, r.Warmest, r.LeastSalt, r.MostSalt},
		Changes: []reportedChange{}, Results: []reportedResult{}, Exposure: []reportedExposure{}, Retests: []reportedRetest{}, Drawn: []reportedDrawn{}}
	for _, m := range r.Steps {
		c := reportedChange{ID: m.Item.ID, At: m.Item.At.UTC().Format(time.RFC3339), VolumeL: m.Item.Litres(), TempC: m.After.Temperature, Salinity: m.After.Salinity}
		if m.Planned != nil {
			litres, at := m.Planned.RemoveL, m.PlannedAt.UTC().Format(time.RFC3339)
			c.PlannedL, c.PlannedAt = &litres, &at
		}
		out.Changes = append(out.Changes, c)
	}
	for _, g := range r.night.Goals {
		if g.Finding == nil {
			continue
		}
		for _, c := range g.Finding.Series.Comparisons() {
			x := reportedResult{ID: c.ID, Sampled: r.sampled(g, c), Contaminant: g.Contaminant, UgL: c.UgL, U: c.U, Below: c.Below}
			if c.Predicted != nil {
				p, u := c.Predicted.Value, c.Predicted.U()
				x.Predicted, x.PredictedU = &p, &u
			}
			out.Results = append(out.Results, x)
		}
	}
	for _, e := range r.Exposure {
		out.Exposure = append(out.Exposure, reportedExposure{e.Contaminant, e.AboveH, e.Highest})
	}
	for _, t := range r.Retests {
		out.Retests = append(out.Retests, reportedRetest{t.At.UTC().Format(time.RFC3339), t.What})
	}
	for _, d := range r.Drawn {
		out.Drawn = append(out.Drawn, reportedDrawn{d.Store, d.Litres})
	}
	return out
}

func (r *reporting) sampled(g incident.Goal, c incident.Comparison) string {
	return g.Finding.Series.T0.Add(hoursSince(c.AtH)).UTC().Format(time.RFC3339)
}

// blocks are the report's sections.
func (r *reporting) blocks() []block {
	out := []block{para("%s", r.headline(r.status)), para("%s", r.outcome())}
	out = append(out, heading("What happened"), r.timeline())
	out = append(out, r.changes()...)
	out = append(out, r.measurements()...)
	out = append(out, r.atTheEnd()...)
	return append(out, r.forOthers()...)
}

// outcome says how it stands with each goal.
func (r *reporting) outcome() string {
	if len(r.night.Goals) == 0 {
		return "No change of water was asked for."
	}
	var parts []string
	for _, g := range r.night.Goals {
		parts = append(parts, goalText(g)+": "+verdictWords(g.Verdict))
	}
	return strings.Join(parts, "; ") + "."
}

// changes are the water moved, beside what was planned.
func (r *reporting) changes() []block {
	if len(r.Steps) == 0 {
		return []block{heading("Water changed"), para("No change is recorded.")}
	}
	g := grid{Header: []string{"when", "amount", "from", "planned then", "leaves"}, Right: []int{1}}
	for _, m := range r.Steps {
		g.Rows = append(g.Rows, []string{clockText(m.Item.At, r.Site.TimeZone), r.units.Volume(m.Item.Litres(), units.Nearest), storesText(m.Item.Pours),
			r.departure(m), r.units.Temperature(m.After.Temperature) + ", salinity " + units.Fixed(m.After.Salinity, 1)})
	}
	var from []string
	for _, d := range r.Drawn {
		name := d.Store
		if name == "" {
			name = elsewhere
		}
		from = append(from, r.units.Volume(d.Litres, units.Nearest)+" from "+name)
	}
	text := "Water used: " + listed(from) + "."
	if r.SaltKg > 0 {
		text += " Dry salt entered as used meanwhile: " + r.units.Mass(r.SaltKg, units.Up) + "."
	}
	return []block{heading("Water changed"), tableBlock(g), para("%s", text)}
}

func storesText(pours []stock.Pour) string {
	var list []string
	for _, p := range pours {
		if p.Store == "" {
			list = append(list, elsewhere)
		} else {
			list = append(list, p.Store)
		}
	}
	return listed(list)
}

// departure sets a change beside the plan just before it.
func (r *reporting) departure(m incident.StepMade) string {
	if m.Planned == nil {
		return "no change"
	}
	text := new(plan.Plan).ChangeLitres(m.Planned, r.units)
	if late := m.PlannedAt.Sub(m.Item.At); late > 10*time.Minute {
		text += " at " + clockText(m.PlannedAt, r.Site.TimeZone)
	}
	if d := m.Item.Litres() - m.Planned.RemoveL; math.Abs(d) > 0.05*m.Planned.RemoveL {
		word := "more"
		if d < 0 {
			word = "less"
		}
		text += fmt.Sprintf(" (%s %s moved)", r.units.Volume(math.Abs(d), units.Nearest), word)
	}
	return text
}

// measurements are results and readings, with the pictures.
func (r *reporting) measurements() []block {
	out := []block{heading("Measured and predicted")}
	g := grid{Header: []string{"sampled", "entry", "substance", "measured", "predicted before", "apart"}, Right: []int{1}}
	for _, goal := range r.night.Goals {
		if goal.Finding == nil {
			continue
		}
		for _, c := range goal.Finding.Series.Comparisons() {
			predicted, apart := "-", "-"
			if c.Predicted != nil {
				predicted, apart = spreadText(goal.Contaminant, c.Predicted.Value, c.Predicted.U(), c.UgL), apartText(c)
			}
			g.Rows = append(g.Rows, []string{clockText(goal.Finding.Series.T0.Add(hoursSince(c.AtH)), r.Site.TimeZone), fmt.Sprint(c.ID), substance(goal.Contaminant),
				measuredText(incident.Measured{Contaminant: goal.Contaminant, UgL: c.UgL, U: c.U, Below: c.Below}), predicted, apart})
		}
	}
	if len(g.Rows) == 0 {
		return append(out, para("No result is recorded."))
	}
	out = append(out, tableBlock(g))
	for _, goal := range r.night.Goals {
		if goal.Finding == nil || len(goal.Finding.Series.Samples) == 0 {
			continue
		}
		text := explanationText(*goal.Finding)
		if k := goal.Finding.Surprise; k != 0 {
			text = surpriseText(k)
		}
		out = append(out, para("%s: %s", substance(goal.Contaminant), text))
		out = append(out, measuredPicture(goal, r.night.State.Now)...)
	}
	return out
}

// apartText says how far a result lies from its prediction.
func apartText(c incident.Comparison) string {
	switch x := math.Abs(c.Off); {
	case x <= 2:
		return "agrees"
	case c.Off > 0:
		return "higher"
	}
	return "lower"
}

// measuredPicture draws predicted against measured.
func measuredPicture(g incident.Goal, now time.Time) []block {
	f := g.Finding
	highest := g.Target
	for _, s := range f.Series.Samples {
		highest = max(highest, s.UgL)
	}
	per, unit := plan.LevelUnit(g.Contaminant, cmp.Or(g.Target, highest)) // as the levels are said
	c := figure.Measured{Head: figure.Head{ID: "measured-" + strings.ReplaceAll(g.Contaminant, "_", "-"), Title: "Predicted and measured: " + substance(g.Contaminant), Description: explanationText(*f)},
		Target: g.Target / per, Unit: unit, ChangesAtH: f.Series.ChangesAtH()}
	for _, b := range f.Course(math.Max(0, now.Sub(f.Series.T0).Hours())) {
		c.Band = append(c.Band, figure.BandLevel{H: b.AtH, Low: b.Low / per, Mid: b.Mid / per, High: b.High / per})
	}
	for _, s := range f.Series.Samples {
		c.Samples = append(c.Samples, figure.Sample{H: s.AtH, C: s.UgL / per, U: s.U / per, Below: s.Below, Odd: s.ID == f.Surprise})
	}
	if len(c.Band)+len(c.Samples) < 2 {
		return nil
	}
	return drawnBy(c.SVG, func() (string, error) { return c.Text(72, 10) })
}

// atTheEnd is the state, what is still to be tested, and what to stock again.
func (r *reporting) atTheEnd() []block {
	title := "The state now"
	if closed := r.night.Log.ClosedAt; closed != nil {
		title = "The state at the close"
		if r.night.Log.Latest().After(*closed) {
			title = "The state after the last result"
		}
	}
	out := []block{heading(title), para("%s", r.stateLine()), para("%s", r.waterText(r.status))}
	out = append(out, heading("Re-tests due"))
	if len(r.Retests) == 0 {
		out = append(out, para("None by the record. Confirm a goal by a second sample a day after the first."))
	}
	for _, t := range r.Retests {
		out = append(out, para("%s: %s", clockText(t.At, r.Site.TimeZone), t.What))
	}
	return append(out, heading("Stock to restore"), para("%s", r.restockText()))
}

// restockText says what has to be stocked again, and by when that can be done.
func (r *reporting) restockText() string {
	if r.restock == nil {
		return "Nothing was drawn from the site's stores."
	}
	s := r.restock
	text := fmt.Sprintf("%s of saltwater: %s of purified water and %s", r.units.Volume(s.SaltwaterL, units.Up), r.units.Volume(s.PurifiedL, units.Up), plan.SaltSentence(s.Salts, r.units))
	if s.SaltKg == 0 {
		text = fmt.Sprintf("%s of saltwater; the site file names no salt to mix it from", r.units.Volume(s.SaltwaterL, units.Up))
	}
	if s.Bags > 0 {
		text += ", " + counted(s.Bags, "bag")
	}
	if s.Cost != nil {
		text += fmt.Sprintf(", %s %s", units.Fixed(*s.Cost, 2), r.Site.Currency)
	}
	text += "."
	if s.ReadyAgainH != nil {
		text += fmt.Sprintf(" If the purifier starts now, the stores can be full and mixed again by %s at the latest.", clockText(r.night.loaded.Now.Add(hoursSince(*s.ReadyAgainH)), r.Site.TimeZone))
	}
	return text + " Whether the site is ready again: tidehold ready"
}
