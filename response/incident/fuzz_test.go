package incident

import (
	"encoding/json"
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"tidehold/response/plan"
	"tidehold/volumes/stock"
)

// whatever draws one entry of any kind, sane or not.
func whatever(r *rapid.T, id int) stock.Entry {
	kind := rapid.SampledFrom([]stock.Kind{stock.Opened, stock.Change, stock.Reading, stock.Result, stock.Remark, stock.Closed, stock.Undo, stock.Dip}).Draw(r, "kind")
	h := rapid.Float64Range(0, 200).Draw(r, "h")
	number := func(name string, low, high float64) float64 {
		return rapid.OneOf(rapid.Float64Range(low, high), rapid.SampledFrom([]float64{0, 1e-300, 1e-9, high})).Draw(r, name)
	}
	d := at(h)
	var e stock.Entry
	var err error
	switch kind {
	case stock.Opened:
		d.Incident = 0
		o := copperOpening
		o.Aims = []Aim{{Contaminant: "copper", Start: number("start", 0, 1e12), Target: number("target", 0, 1e12), WithinH: number("within", 0, 1e6), SourceMgH: number("source", 0, 1e6)}, {Remove: rapid.Float64Range(0, 0.999).Draw(r, "remove")}}
		e, err = d.Open(o)
	case stock.Change:
		e, err = d.Change(pour("vat-a", math.Max(0.001, math.Round(1000*number("litres", 0.01, 1e6))/1000), number("salinity", 0, 42), number("temp", 0, 40)))
	case stock.Reading:
		e, err = d.Reading(Values{TempC: x(number("temp", 0, 40)), Salinity: x(number("salinity", 0, 42))}, nil)
	case stock.Result:
		e, err = d.Result([]Measured{{"copper", number("ug", 0, 1e12), number("u", 0, 1e12), rapid.Bool().Draw(r, "below")}}, "")
	case stock.Remark:
		e, err = d.Remark("x")
	case stock.Closed:
		e, err = d.Close("")
	case stock.Undo:
		e = stock.Entry{Kind: stock.Undo, Undoes: rapid.IntRange(1, 8).Draw(r, "undoes"), Time: d.At}
	default:
		e = stock.Entry{Kind: kind, Store: "vat-a", Time: d.At}
	}
	if err != nil {
		r.Fatal(err)
	}
	e.ID = id
	return e
}

// Whatever stands in a journal, the state has only finite numbers, the band is in order,
// and all of it can be written as JSON.
func TestAnyJournalGivesNumbers(t *testing.T) {
	s := house(t)
	rapid.Check(t, func(r *rapid.T) {
		open := at(0)
		open.Incident = 0
		first, err := open.Open(copperOpening)
		if err != nil {
			r.Fatal(err)
		}
		first.ID = 1
		entries := []stock.Entry{first}
		for i := range rapid.IntRange(0, 9).Draw(r, "n") {
			entries = append(entries, whatever(r, i+2))
		}
		logs, _ := Logs(entries)
		for _, l := range logs {
			st, err := l.StateAt(s, at(rapid.Float64Range(0, 300).Draw(r, "now")).At, noTarget)
			if err != nil {
				continue // water outside the mixing relations
			}
			finite(r, st)
		}
	})
}

// finite refuses a state with a number that is none.
func finite(r *rapid.T, st State) {
	numbers := []float64{st.Water.State.Temperature, st.Water.State.Salinity, st.Water.UsedC, st.Water.UsedSalinity, st.Demand.NotBeforeH}
	for _, g := range st.Goals {
		numbers = append(numbers, g.Target, g.WithinH, g.Left)
		f := g.Finding
		if f == nil {
			continue
		}
		for _, x := range []*Fitted{f.Now, f.PlanFrom, f.Start, f.VolumeL, f.SourceMgH} {
			if x != nil {
				numbers = append(numbers, x.Value, x.SE)
			}
		}
		if f.Decider != nil {
			numbers = append(numbers, f.Decider.AtH, f.Decider.IfOne, f.Decider.IfOther)
		}
		for _, b := range f.Course(f.nowH) {
			numbers = append(numbers, b.Low, b.Mid, b.High)
			if b.Low > b.Mid || b.Mid > b.High || b.Low < 0 {
				r.Fatalf("band %+v", b)
			}
		}
		for _, c := range f.Series.Comparisons() {
			numbers = append(numbers, c.Off)
		}
	}
	for _, a := range st.Demand.Aims {
		numbers = append(numbers, a.Start, a.StartU, a.Target, a.SourceMgH, a.BoundRatio, a.BoundRatePerH)
	}
	for i, x := range numbers {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			r.Fatalf("number %d is %v: %+v", i, x, st.Goals)
		}
	}
	if _, err := json.Marshal([]plan.Demand{{Aims: st.Demand.Aims, Held: st.Demand.Held, Now: st.Demand.Now}}); err != nil {
		r.Fatal(err)
	}
}

// FuzzLogs reads any bytes as what an entry carries.
func FuzzLogs(f *testing.F) {
	f.Add("result", `{"incident":1,"results":[{"contaminant":"copper","ug_l":12.2,"u_ug_l":1.5}]}`, int64(3600))
	f.Add("change", `{"incident":1,"from":[{"store":"vat-a","litres":120,"salinity":34.1}]}`, int64(7200))
	f.Add("opened", `{"opening":{"name":"n","system":"tank","aims":[{"remove":0.5}]}}`, int64(0))
	s := house(f)
	f.Fuzz(func(t *testing.T, kind, text string, seconds int64) {
		open := at(0)
		open.Incident = 0
		first, err := open.Open(copperOpening)
		if err != nil {
			t.Fatal(err)
		}
		first.ID = 1
		e := stock.Entry{ID: 2, Kind: stock.Kind(kind), Time: three.Add(time.Duration(seconds%1e7) * time.Second), Data: json.RawMessage(text)}
		logs, _ := Logs([]stock.Entry{first, e})
		_ = Validate([]stock.Entry{first}, e, three.Add(100*time.Hour))
		for _, l := range logs {
			st, err := l.StateAt(s, three.Add(100*time.Hour), noTarget)
			if err != nil {
				continue
			}
			for _, x := range []float64{st.Water.State.Temperature, st.Water.State.Salinity} {
				if math.IsNaN(x) || math.IsInf(x, 0) {
					t.Fatalf("%v from %s", x, text)
				}
			}
		}
	})
}
