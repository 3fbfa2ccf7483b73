package main

import (
	"tidehold/response/figure"
	"tidehold/response/readiness"
)

// Nights of a drawing: when a keeper sleeps who has not said otherwise. They decide
// nothing; they show which changes would need somebody to get up.
const (
	upFrom, upTo = 6, 22
)

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
func (v *diluteView) lanes() []block {
	if len(v.Steps) == 0 || v.at.IsZero() {
		return nil
	}
	hour := float64(v.at.Hour()) + float64(v.at.Minute())/60
	h := figure.Head{ID: "lanes-" + v.name(), Title: "Which water when: " + v.name(), Description: v.headline()}
	drawn := pictured(figure.Planned(h, v.Plan, hour, upFrom, upTo))
	if len(drawn) == 0 {
		return nil
	}
	return append([]block{heading(h.Title + ", from " + moment(v.at))}, drawn...)
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
