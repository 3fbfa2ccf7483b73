package figure

import (
	"math"
	"slices"

	"tidehold/response/plan"
)

// Planned is the timeline of a plan: a lane for each vat it draws from or mixes in, in
// the order it comes to them. startHour is the hour of the day at which the event
// begins, for the nights; awakeFrom and awakeTo are when people are up, hours of the
// day, equal for at any hour.
func Planned(h Head, p plan.Plan, startHour, awakeFrom, awakeTo float64) Timeline {
	t := Timeline{Head: h}
	if len(p.Demand.Aims) > 0 {
		t.WithinH = p.Demand.WithinH()
	}
	lanes := lanesOf{}
	for _, s := range p.Steps {
		t.Changes = append(t.Changes, Change{s.N, s.AtH, s.DoneH})
		fill := s.DoneH - s.FillMinutes/60
		for _, d := range s.From {
			lanes.add(d.From(), Span{fill, s.DoneH, Drawn})
			lanes.ready(d.From(), readyAt(p, d), s.DoneH)
		}
	}
	for _, b := range p.Batches {
		lanes.add(b.StoreID, Span{b.StartH, b.MixedH, Mixing})
		if b.WarmH != nil && *b.WarmH > b.MixedH {
			lanes.add(b.StoreID, Span{b.MixedH, *b.WarmH, Warming})
		}
	}
	for _, q := range p.Prepared {
		if !q.Pours() {
			lanes.add(q.StoreID, Span{q.AtH, q.ReadyH, Mixing})
		}
	}
	t.Lanes = lanes.list
	t.Nights = nights(startHour, t.lastH(), awakeFrom, awakeTo)
	return t
}

// readyAt is when the water of a draw may be used.
func readyAt(p plan.Plan, d plan.Draw) float64 {
	for _, b := range p.Batches {
		if b.N == d.Batch && d.Batch > 0 {
			if b.WarmH != nil {
				return math.Max(b.MixedH, *b.WarmH)
			}
			return b.MixedH
		}
	}
	for _, q := range p.Prepared {
		if q.StoreID == d.StoreID && !q.Pours() && d.Batch == 0 {
			return q.ReadyH
		}
	}
	return 0
}

// lanesOf collects lanes in the order they are first heard of.
type lanesOf struct{ list []Lane }

func (l *lanesOf) lane(name string) *Lane {
	i := slices.IndexFunc(l.list, func(x Lane) bool { return x.Name == name })
	if i < 0 {
		i = len(l.list)
		l.list = append(l.list, Lane{Name: name})
	}
	return &l.list[i]
}

func (l *lanesOf) add(name string, s Span) {
	if s.ToH < s.FromH {
		s.ToH = s.FromH
	}
	lane := l.lane(name)
	lane.Spans = append(lane.Spans, s)
}

// ready says that water stood ready from one hour until it was drawn.
func (l *lanesOf) ready(name string, from, to float64) {
	lane := l.lane(name)
	for i := range lane.Spans {
		if s := &lane.Spans[i]; s.Kind == Ready && s.FromH == from {
			s.ToH = math.Max(s.ToH, to)
			return
		}
	}
	l.add(name, Span{math.Min(from, to), to, Ready})
}

// nights are the hours after the beginning in which nobody is up, until the last.
func nights(startHour, last, from, to float64) [][2]float64 {
	if from == to {
		return nil
	}
	var out [][2]float64
	length := math.Mod(from-to+24, 24)
	// The first night begins at the last `to` before the event.
	for h := math.Mod(to-startHour, 24) - 24; h < last; h += 24 {
		if h+length > 0 {
			out = append(out, [2]float64{math.Max(0, h), h + length})
		}
	}
	return out
}
