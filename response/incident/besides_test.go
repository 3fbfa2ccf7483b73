package incident

import (
	"testing"

	"tidehold/response/plan"
	"tidehold/response/schedule"
	"tidehold/volumes/site"
	"tidehold/volumes/stock"
)

// Two incidents at once share what one vat holds: the plans of both, each asked for on its own, never
// draw or pour away more of it than there is; the one with the earlier deadline is served first, and once
// that one is closed or has come to its goal the other plans alone.
func TestIncidentsShareTheWater(t *testing.T) {
	s, faults := site.Load("site.yaml", []byte(`format: 1
systems:
  - {id: near, net_volume: 400 L, drawdown: 45 %, change_every: 4 h, water: {salinity: 35, temperature: 25 C}}
  - {id: far, net_volume: 300 L, drawdown: 45 %, change_every: 4 h, water: {salinity: 35, temperature: 25 C}}
stores:
  - {id: vat, holds: saltwater, volume: 300 L, capacity: 320 L, salinity: 35, temperature: 25 C, mixed: 2026-11-20, transfer: 1000 L/h}
events:
  - {id: spill, system: near, remove: 50 %, within: 3 d}
  - {id: drop, system: far, remove: 50 %, within: 24 h}
`))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	b := &book{t: t}
	for _, o := range []Opening{
		{Name: "spill", System: "near", Event: true, Reheats: true, Aims: []Aim{{Remove: 0.5, WithinH: 72}}},
		{Name: "drop", System: "far", Event: true, Reheats: true, Aims: []Aim{{Remove: 0.5, WithinH: 24}}},
	} {
		d := at(0)
		d.Incident = 0
		b.put(d.Open(o))
	}
	plans := func(h float64) (out []*plan.Plan, besides [][]Log) {
		logs, _ := Logs(b.entries)
		folded, _ := stock.Fold(s, b.entries, at(h).At)
		for _, l := range logs {
			st, err := l.StateAt(folded, at(h).At, noTarget)
			if err == nil {
				err = st.UnderWay(s, folded, b.entries, schedule.Options{Nodes: 300})
			}
			if err != nil {
				t.Fatal(err)
			}
			out, besides = append(out, planned(t, st, folded)), append(besides, st.Besides)
		}
		return out, besides
	}
	both, besides := plans(0.2)
	drawn := 0.0
	for _, p := range both {
		for _, step := range p.Steps {
			drawn += step.RemoveL
		}
		for _, q := range p.Prepared {
			drawn += q.RemoveL
		}
	}
	if drawn > 300+1e-6 || len(besides[0]) != 1 || besides[0][0].Opening.System != "far" || besides[1][0].Opening.System != "near" {
		t.Errorf("%v L of 300 L, beside %+v", drawn, besides)
	}
	if !both[1].InTime || both[0].InTime {
		t.Errorf("far first: near %v, far %v", both[0].InTime, both[1].InTime)
	}
	b.wouldBeInTimeAlone(s, 0.2)
	closing := at(0.3)
	closing.Incident = 2
	b.put(closing.Close("moved"))
	logs, _ := Logs(b.entries)
	folded, _ := stock.Fold(s, b.entries, at(0.4).At)
	st, _ := logs[0].StateAt(folded, at(0.4).At, noTarget)
	if err := st.UnderWay(s, folded, b.entries, schedule.Options{Nodes: 300}); err != nil || len(st.Besides) != 0 || !planned(t, st, folded).InTime {
		t.Errorf("alone again: %v, %+v", err, st.Besides)
	}
}

// wouldBeInTimeAlone holds the first incident of a book, late beside the second, to be in time by itself; and to be what a plan
// of the second spoils where that works on vats.
func (b *book) wouldBeInTimeAlone(s *site.Site, h float64) {
	t, opt := b.t, schedule.Options{Nodes: 300}
	t.Helper()
	logs, _ := Logs(b.entries)
	folded, _ := stock.Fold(s, b.entries, at(h).At)
	for k, l := range logs {
		st, err := l.StateAt(folded, at(h).At, noTarget)
		if err == nil {
			err = st.UnderWay(s, folded, b.entries, opt)
		}
		if err != nil {
			t.Fatal(err)
		}
		begins, err := st.Begins(folded, opt)
		if err != nil || begins == nil || begins.InTime != (k == 1) {
			t.Fatalf("%s begins with %+v, %v", l.Opening.Name, begins, err)
		}
		alone, err := st.Alone(folded, begins, opt)
		if err != nil || (alone != nil) != (k == 0) {
			t.Errorf("%s alone: %v, %v", l.Opening.Name, alone, err)
		}
		_, out, err := st.run(folded, opt)
		if err != nil {
			t.Fatal(err)
		}
		if none, err := st.Spoils(folded, out.Plans, opt); err != nil || len(none) > 0 {
			t.Errorf("%s works on no vat, and spoils %+v, %v", l.Opening.Name, none, err)
		}
		out.Plans[0].Prepared = []plan.Prepare{{StoreID: "vat", RemoveL: 10}}
		spoiled, err := st.Spoils(folded, out.Plans, opt)
		if err != nil || len(spoiled) != k {
			t.Errorf("%s spoils %+v, %v", l.Opening.Name, spoiled, err)
		}
		if k == 1 && (spoiled[0].Event != "spill" || spoiled[0].System != "near" || !spoiled[0].Ranked || !(spoiled[0].AloneAtH > 0)) {
			t.Errorf("%+v", spoiled[0])
		}
	}
}
