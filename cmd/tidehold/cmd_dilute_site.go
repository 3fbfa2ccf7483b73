package main

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/response/dilution"
	"tidehold/response/figure"
	"tidehold/response/plan"
	"tidehold/response/schedule"
	"tidehold/volumes/site"
)

// diluteSchedule is what a plan from a site's own water has besides.
type diluteSchedule struct {
	System     string   `json:"system"`
	Event      string   `json:"event"`
	WithinH    *float64 `json:"within_h"`
	InTime     bool     `json:"in_time"`
	UsableNowL float64  `json:"usable_now_l"`
	// BoundBy is the limit that holds the plan back most, "" for none; Detail says
	// what one notch of it would save.
	BoundBy string         `json:"bound_by"`
	Detail  string         `json:"detail"`
	Batches []diluteBatch  `json:"batches"`
	Effects []diluteEffect `json:"effects"`
	// Continuous is a slow exchange within the heaters' power, null where it is no
	// alternative.
	Continuous *diluteContinuous `json:"continuous"`
}

type diluteBatch struct {
	N         int     `json:"n"`
	Store     string  `json:"store"`
	StartH    float64 `json:"start_h"`
	UsableH   float64 `json:"usable_h"`
	VolumeL   float64 `json:"volume_l"`
	PurifiedL float64 `json:"purified_l"`
	SaltKg    float64 `json:"salt_kg"`
}

// diluteEffect is what one change does to the system's water.
type diluteEffect struct {
	N             int      `json:"n"`
	DoneH         float64  `json:"done_h"`
	Salinity      float64  `json:"salinity"`
	TempC         float64  `json:"temp_c"`
	AlkalinityDKH *float64 `json:"alkalinity_dkh"`
	CalciumMgL    *float64 `json:"calcium_mg_l"`
	MagnesiumMgL  *float64 `json:"magnesium_mg_l"`
	PH            *float64 `json:"ph"`
	UnionisedUgL  *float64 `json:"unionised_ammonia_ug_l"`
	CappedBy      string   `json:"capped_by"`
}

type diluteContinuous struct {
	FlowLH  float64 `json:"flow_l_h"`
	ForH    float64 `json:"for_h"`
	WaterL  float64 `json:"water_l"`
	HeaterW float64 `json:"heater_w"`
}

// runDiluteSite plans from the site's own water.
func runDiluteSite(a *app, o *diluteOptions, c *cobra.Command) error {
	for _, name := range []string{"change", "drawdown", "every", "continuous", "flow", "water", "media", "media-capacity", "bound", "contaminant", "new", "source-until", "source-half-life", "trials"} {
		if c.Flags().Changed(name) {
			return usagef("--%s needs --volume; a plan from the site's own water takes its limits from the site file: try another with --set, e.g. --set systems.ID.drawdown=30%%", name)
		}
	}
	if o.event == "" && o.system == "" && !a.siteNamed() {
		return usagef("--volume is missing; write for example --volume 640L --start 60ug/L --target 3.1ug/L --drawdown 45%%, or name a site with --site and an --event of it")
	}
	ls, err := a.loadSite()
	if err != nil {
		return err
	}
	demand, err := o.demand(ls.Site, c)
	if err != nil {
		return err
	}
	out, err := schedule.Run(ls.Site, ls.Now, []plan.Demand{demand}, schedule.Options{Explain: true, Confidence: o.confidence.Or(defaultConfidence)})
	if err != nil {
		return usage(err)
	}
	v := siteDilution{loaded: ls, Plan: out.Plans[0], units: a.displayUnits(ls.Site.Units)}
	if err := v.compare(a.seed, o.confidence.Or(defaultConfidence)); err != nil {
		return err
	}
	blocks, err := v.blocks()
	if err != nil {
		return err
	}
	return a.print(answer{
		Command: "dilute", Table: "steps", Title: "Water changes for " + v.name(), Result: v.result(),
		Assumptions: append(ls.Site.Assumptions, out.Assumptions...),
		Warnings:    slices.Concat(site.Texts(ls.Site.Warnings), out.Warnings, o.reportingLimits(), v.warnings(), o.spreads("start")),
		Blocks:      blocks, No: v.late(),
	})
}

// demand is the event asked for, or the one the flags describe.
func (o *diluteOptions) demand(s *site.Site, c *cobra.Command) (plan.Demand, error) {
	var none plan.Demand
	if o.system == "" {
		for _, name := range []string{"start", "target", "remove", "source", "of"} {
			if c.Flags().Changed(name) {
				return none, usagef("--%s needs --volume or --system; systems of this site: %s", name, strings.Join(systemIDs(s), ", "))
			}
		}
		if o.event == "" {
			if len(s.Events) != 1 {
				return none, usagef("--event is missing; events of this site: %s", strings.Join(eventIDs(s), ", "))
			}
			o.event = s.Events[0].ID
		}
		if _, err := findEvent(s, "event", o.event); err != nil {
			return none, err
		}
		list, err := schedule.Demands(s, o.event)
		if err != nil {
			return none, usagef("--event: %w", err)
		}
		return list[0], nil
	}
	if o.event != "" {
		return none, usagef("--event and --system exclude each other; keep one")
	}
	sys, err := findSystem(s, "system", o.system)
	if err != nil {
		return none, err
	}
	if err := o.refuse(c.Flags()); err != nil {
		return none, err
	}
	aim := plan.Aim{Start: 1, Target: 1 - o.remove.Value}
	if !o.remove.Given {
		if o.of == "" {
			return none, usagef("--of is missing; say what is in the water, e.g. --of copper, so that what the stores bring of it is counted")
		}
		// A name of the keeper's own is allowed, unless it looks like a slip.
		known, near, ok := refs.FindContaminant(o.of)
		switch {
		case ok:
			o.of = known.ID
		case near != "":
			return none, usagef("--of: %q is not a known substance%s", o.of, didYouMean(near))
		}
		aim = plan.Aim{Contaminant: o.of, Start: o.start.Value, StartU: o.start.U, Target: o.target.Value, SourceMgH: o.source.Value}
	}
	return plan.Demand{System: sys, Aims: []plan.Aim{aim}, Reheats: true}, nil
}

// siteDilution renders one scheduled plan, beside the same problem with all water
// at hand.
type siteDilution struct {
	loaded
	plan.Plan
	units units.System
	ideal dilution.Problem
	free  dilution.Plan
}

// aim is the plan's only one.
func (v *siteDilution) aim() plan.Aim { return v.Demand.Aims[0] }

// name is the event or the system.
func (v *siteDilution) name() string {
	if id := v.aim().EventID; id != "" {
		return id
	}
	return v.Demand.System.ID
}

// compare plans the same with all the water at hand: floor, levers and the numbers
// of changes in the share of cases come from there.
func (v *siteDilution) compare(seed uint64, confidence float64) error {
	sys := v.Demand.System
	v.ideal = dilution.Problem{
		Volume:  units.Measured{Value: float64(sys.NetVolume), U: float64(sys.NetVolumeU)},
		ChangeL: sys.Drawdown * float64(sys.NetVolume), Trim: true, EveryH: sys.ChangeEveryH,
		Confidence: confidence, Trials: defaultTrials, Seed: seed,
	}
	for i, aim := range v.Demand.Aims {
		v.ideal.Contaminants = append(v.ideal.Contaminants, dilution.Contaminant{
			Name: aim.Contaminant, Start: units.Measured{Value: aim.Start, U: aim.StartU}, Target: aim.Target,
			New: units.Measured{Value: v.Aims[i].Background}, Source: dilution.Source{MgH: aim.SourceMgH},
			BoundRatio: aim.BoundRatio, BoundRatePerH: aim.BoundRatePerH,
		})
	}
	var err error
	v.free, err = v.ideal.Plan()
	return flagFault(err)
}

// late reports whether the plan misses the time its event allows, or its target.
func (v *siteDilution) late() bool {
	for _, a := range v.Aims {
		if !a.InTime {
			return true
		}
	}
	return v.DoneAtH == nil
}

// result is the plan in JSON.
func (v *siteDilution) result() diluteResult {
	r := newDiluteResult(v.ideal, v.free, v.aim().Share())
	r.Changes, r.WaterL = len(v.Steps), v.WaterL
	r.NeededL = v.WaterL
	if v.LackingL != nil {
		r.NeededL += *v.LackingL
	}
	r.Reachable, r.Reached, r.Holds, r.DoneAtH = v.Reachable, v.DoneAtH != nil, v.DoneAtH != nil, v.DoneAtH
	r.LeastWater, r.SameWater = false, []diluteSplit{}
	a := v.Aims[0]
	place(v.aim().Share(), a.Final, &r.FinalUgL, &r.FinalFraction)
	place(v.aim().Share(), a.Floor, &r.FloorUgL, &r.FloorFraction)
	for i, aim := range v.Aims {
		c := &r.Contaminants[i]
		c.Final, c.Floor, c.Reachable, c.Holds, c.Peak = aim.Final, aim.Floor, aim.Reachable, aim.Holds, aim.PeakAfter
		r.Holds = r.Holds && c.Holds
	}
	if name := v.aim().Contaminant; name != "" {
		r.Controlling = &name
	}
	s := &diluteSchedule{
		System: v.Demand.System.ID, Event: v.aim().EventID, InTime: a.InTime, UsableNowL: v.UsableNowL,
		BoundBy: string(v.Binding.Limit), Detail: v.Binding.Detail, Batches: []diluteBatch{}, Effects: []diluteEffect{},
	}
	if h := v.aim().WithinH; h > 0 {
		s.WithinH = &h
	}
	if c := v.Continuous; c != nil {
		s.Continuous = &diluteContinuous{c.FlowLH, c.Hours, c.WaterL, c.HeaterW}
	}
	r.Steps = []diluteStep{}
	for _, st := range v.Steps {
		step := diluteStep{N: st.N, AtH: st.AtH, RemoveL: st.RemoveL, AddL: st.AddL, From: []diluteFrom{}}
		place(v.aim().Share(), st.Levels[0].Before, &step.BeforeUgL, &step.BeforeFraction)
		place(v.aim().Share(), st.Levels[0].After, &step.AfterUgL, &step.AfterFraction)
		for _, d := range st.From {
			from := diluteFrom{Store: drawnFrom(d), VolumeL: d.Litres, TempC: d.Temperature}
			if d.Batch > 0 {
				from.Batch = &d.Batch
			}
			step.From = append(step.From, from)
		}
		r.Steps = append(r.Steps, step)
		w := st.After
		s.Effects = append(s.Effects, diluteEffect{st.N, st.DoneH, w.Salinity, w.Temperature, w.AlkalinityDKH, w.CalciumMgL, w.MagnesiumMgL, w.PH, st.Levels[0].UnionisedAfter, string(st.LimitedBy)})
	}
	for _, b := range v.Batches {
		s.Batches = append(s.Batches, diluteBatch{b.N, b.StoreID, b.StartH, b.MixedH, b.Litres, b.PurifiedL, b.SaltKg})
	}
	r.Schedule = s
	return r
}

// drawnFrom names where water comes from.
func drawnFrom(d plan.Draw) string {
	if d.Delivery > 0 {
		return fmt.Sprintf("delivery %d", d.Delivery)
	}
	return d.StoreID
}

// warnings are what the keeper should do something about.
func (v *siteDilution) warnings() []string {
	if v.DoneAtH == nil {
		return nil
	}
	for i := range v.Aims {
		if !v.Aims[i].Holds {
			return []string{"the target does not hold: something still adds to it; find and stop the source, test daily and be ready for more changes"}
		}
	}
	return nil
}

// fall draws the level over time.
func (v *siteDilution) fall() ([]block, error) {
	if len(v.Steps) == 0 {
		return nil, nil
	}
	aim := v.aim()
	scale, unit := 1.0, "µg/L"
	if aim.Share() {
		scale, unit = 100, "% left"
	}
	c := figure.Fall{Head: figure.Head{ID: "fall", Title: "How it falls: " + v.name(), Description: v.headline()}, Target: aim.Target * scale, Unit: unit}
	for _, s := range v.Steps {
		c.Points = append(c.Points, figure.Level{H: s.AtH, C: s.Levels[0].Before * scale}, figure.Level{H: s.AtH, C: s.Levels[0].After * scale})
		c.ChangesAtH = append(c.ChangesAtH, s.AtH)
	}
	last := c.Points[len(c.Points)-1]
	c.Points = append(c.Points, figure.Level{H: math.Max(last.H, v.Steps[len(v.Steps)-1].DoneH), C: last.C})
	return drawn(c)
}
