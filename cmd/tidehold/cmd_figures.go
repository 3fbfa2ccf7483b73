package main

import (
	"cmp"
	"math"
	"slices"

	"tidehold/response/figure"
	"tidehold/response/readiness"
	"tidehold/volumes/site"
)

// Nights of a drawing: when a keeper sleeps whose site does not say when changes may be
// started. They decide nothing; they show which changes would need somebody to get up.
const (
	upFrom, upTo = 6, 22
)

// day is from when to when somebody is up, hours of the day.
func day(a *site.Awake) (from, to float64) {
	if a == nil {
		return upFrom, upTo
	}
	return a.FromH, a.ToH
}

// bars draws every event of a site as time taken on time allowed and water on need, for
// a page: on a screen the table says the same.
func (v readyView) bars() []block {
	d := figure.Events{Head: figure.Head{ID: "events", Title: "Events of " + v.name, Description: v.headline()}, Units: v.units}
	for _, e := range v.sorted()[:min(len(v.Events), mostFigures)] {
		d.Bars = append(d.Bars, figure.EventBar{Name: e.ID, Word: string(e.Verdict), Sign: signOf(e.Verdict),
			TakenH: e.DoneAtH, AllowedH: e.WithinH, HaveL: e.UsableNowL, NeedL: e.DemandL})
	}
	if len(d.Bars) == 0 {
		return nil
	}
	return onlyOnPages(pictured(d))
}

// signOf is the shape that stands beside a verdict.
func signOf(v readiness.Verdict) figure.Sign {
	switch v {
	case readiness.Covered:
		return figure.Good
	case readiness.Late:
		return figure.Late
	case readiness.Unknown:
		return figure.Unclear
	}
	return figure.Bad
}

// lanes draws a plan from a site's own water as a lane for each vat.
func (v *siteView) lanes() []block {
	if len(v.Steps) == 0 || v.at.IsZero() {
		return nil
	}
	hour := float64(v.at.Hour()) + float64(v.at.Minute())/60
	h := figure.Head{ID: "lanes-" + v.name(), Title: "Which water when: " + v.name(), Description: v.headline()}
	from, to := day(v.awake)
	drawn := pictured(figure.Planned(h, v.Plan, hour, from, to))
	if len(drawn) == 0 {
		return nil
	}
	return append([]block{heading(h.Title + ", from " + moment(v.at))}, drawn...)
}

// bars draws each failure as the time it leaves, the soonest first, with its guards.
func (v hazardView) bars() []block {
	d := figure.Limits{Head: figure.Head{ID: "limits", Title: "Time to the limit, if nobody comes", Description: v.verdict()}}
	for _, g := range v.gathered() {
		b := figure.LimitBar{Name: v.sentence(g), Limit: limitName(g.Limit), End: v.end(g.Hazard), Hours: g.HoursToLimit}
		for _, l := range g.Guards {
			b.Guards = append(b.Guards, l.Counts)
		}
		b.Guards = b.Guards[:min(len(b.Guards), 4)]
		d.Bars = append(d.Bars, b)
	}
	if len(d.Bars) == 0 {
		return nil
	}
	slices.SortStableFunc(d.Bars, func(x, y figure.LimitBar) int { return cmp.Compare(sooner(x), sooner(y)) })
	d.Bars = d.Bars[:min(len(d.Bars), mostFigures)]
	return append([]block{heading(d.Title)}, pictured(d)...)
}

// sooner orders bars: what is not known comes last.
func sooner(b figure.LimitBar) float64 {
	if b.Hours == nil {
		return math.MaxFloat64
	}
	return *b.Hours
}

// onlyOnPages takes the characters off drawings that a screen has no need of.
func onlyOnPages(blocks []block) []block {
	for _, b := range blocks {
		if b.Figure != nil {
			b.Figure.Text = ""
		}
	}
	return blocks
}
