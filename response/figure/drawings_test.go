package figure

import (
	"encoding/xml"
	"errors"
	"flag"
	"io"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"

	"tidehold/refs/units"
	"tidehold/response/plan"
)

var update = flag.Bool("update", false, "rewrite the golden files")

func ptr(x float64) *float64 { return &x }

func sampleEvents() Events {
	return Events{Head: Head{"events", "Events", "One of three is covered."}, Bars: []EventBar{
		{Name: "broken-heater", Word: "short", Sign: Bad, AllowedH: 240, HaveL: 142, NeedL: ptr(1370)},
		{Name: "halve-anything", Word: "late", Sign: Late, TakenH: ptr(16.1), AllowedH: 6, HaveL: 142, NeedL: ptr(373)},
		{Name: "pool-spill", Word: "covered", Sign: Good, TakenH: ptr(1.0 / 6), AllowedH: 12, HaveL: 142, NeedL: ptr(132)},
		{Name: "whatever", Word: "unknown", Sign: Unclear},
	}}
}

func sampleTimeline() Timeline {
	return Timeline{Head: Head{"lanes", "A plan", "Two changes in 9 h."}, WithinH: 12, Nights: [][2]float64{{0, 3.5}, {19, 27}},
		Changes: []Change{{1, 0.5, 1}, {2, 8, 9}},
		Lanes: []Lane{
			{"vat-a", []Span{{0, 1, Ready}, {0.7, 1, Drawn}, {1.2, 3.2, Mixing}, {3.2, 7, Warming}, {7, 9, Ready}, {8.5, 9, Drawn}}},
			{"a-vat-of-a-long-name", []Span{{0, 9, Ready}}},
		}}
}

func sampleVats() Vats {
	return Vats{Head: Head{"vats", "Vats", "Three vats."}, List: []Vat{
		{Name: "vat-a", CapacityL: 441, NowL: 344, BottomL: 12, HeightCm: 100, NowCm: 78, BottomCm: 2.8, BrimCm: 100, Marks: []VatMark{{"water in 120 L", 120, 27}}},
		{Name: "vat-b", CapacityL: 178, NowL: 141, BottomL: 4, HeightCm: 70, NowCm: 60, BottomCm: 9, BrimCm: 70},
		{Name: "drum", CapacityL: 60, NowL: 0},
		{Name: "another", CapacityL: 200, NowL: 200},
	}}
}

func sampleLimits() Limits {
	return Limits{Head: Head{"limits", "Time to the limit", "Four failures."}, Bars: []LimitBar{
		{Name: "alk runs empty", Limit: "alkalinity +24 dKH", Hours: ptr(4.0 / 60)},
		{Name: "heater-1 stuck on", Limit: "temperature 29 °C", Hours: ptr(7.2), Guards: []bool{true, false}},
		{Name: "heater-1 broken open", Limit: "metals", Hours: ptr(0)},
		{Name: "top-off overruns", Limit: "salinity 32", Hours: ptr(5000), Guards: []bool{true}},
		{Name: "something", Limit: "unknown"},
	}}
}

func sampleResults() Results {
	return Results{Head: Head{"results", "Results", "Two are too high."}, List: []Result{
		{Name: "copper", Word: "too high", Sign: Bad, Value: 21, U: 3, Natural: ptr(0.12), Criterion: ptr(3.1)},
		{Name: "tin", Word: "watch", Sign: Unclear, Value: 12, Natural: ptr(0.0005)},
		{Name: "zinc", Word: "fine", Sign: Good, Value: 2, Below: true, Natural: ptr(0.4), Criterion: ptr(81)},
		{Name: "lead", Word: "undecided", Sign: Late, Value: 8, U: 20, Criterion: ptr(8.1)},
		{Name: "nothing", Word: "fine", Sign: Good},
	}}
}

// drawing is any of the drawings; written is one that has a text form too.
type (
	drawing interface{ SVG() (string, error) }
	written interface {
		Text(columns int) (string, error)
	}
)

func TestGoldenDrawings(t *testing.T) {
	for name, d := range map[string]drawing{"events": sampleEvents(), "timeline": sampleTimeline(), "vats": sampleVats(), "limits": sampleLimits(), "results": sampleResults()} {
		svg, err := d.SVG()
		if err != nil {
			t.Fatal(err)
		}
		golden(t, "figure-"+name+".svg", svg)
		wellFormed(t, svg)
		inText, both := d.(written)
		if !both {
			continue
		}
		text, err := inText.Text(78)
		if err != nil {
			t.Fatal(err)
		}
		golden(t, "figure-"+name+".txt", text)
		for _, l := range strings.Split(text, "\n") {
			if utf8.RuneCountInString(l) > 80 {
				t.Errorf("%s: %d characters: %s", name, utf8.RuneCountInString(l), l)
			}
		}
		if _, err := inText.Text(10); err == nil {
			t.Errorf("%s was drawn in 10 characters", name)
		}
	}
}

func golden(t *testing.T, name, got string) {
	t.Helper()
	path := filepath.Join("..", "..", "testdata", "golden", name)
	if *update {
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		t.Errorf("%s differs; got:\n%s\nwant:\n%s", name, got, want)
	}
}

// wellFormed holds a drawing to XML, to a title and a description that its root refers
// to (W3C SVG 2, section 5.8; WAI-ARIA labelling), to the colour of the text around it,
// and to letters no smaller than the shell's.
func wellFormed(t *testing.T, svg string) {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(svg))
	ids, labels := map[string]bool{}, ""
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		e, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		for _, a := range e.Attr {
			switch a.Name.Local {
			case "id":
				if ids[a.Value] {
					t.Errorf("id %q stands twice", a.Value)
				}
				ids[a.Value] = true
			case "aria-labelledby":
				labels = a.Value
			case "fill", "stroke":
				if a.Value != "none" && a.Value != "currentColor" && !strings.HasPrefix(a.Value, "url(#") {
					t.Errorf("%s=%q: a dark page needs the colour of its own text", a.Name.Local, a.Value)
				}
			case "x", "x1", "x2", "width":
				if v, err := strconv.ParseFloat(a.Value, 64); err == nil && (v < 0 || v > width+0.05) && e.Name.Local != "svg" && e.Name.Local != "pattern" {
					t.Errorf("<%s %s=%q> lies outside the drawing", e.Name.Local, a.Name.Local, a.Value)
				}
			}
			if strings.Contains(a.Value, "NaN") || strings.Contains(a.Value, "Inf") {
				t.Errorf("<%s %s=%q>", e.Name.Local, a.Name.Local, a.Value)
			}
		}
	}
	for _, id := range strings.Fields(labels) {
		if !ids[id] {
			t.Errorf("aria-labelledby names %q, which is not there", id)
		}
	}
	if len(strings.Fields(labels)) != 2 {
		t.Errorf("aria-labelledby = %q; a title and a description are wanted", labels)
	}
}

func TestDrawingsThatCannotBeDrawnAreRefused(t *testing.T) {
	nan := math.NaN()
	for name, d := range map[string]drawing{
		"time":      Events{Bars: []EventBar{{TakenH: &nan}}},
		"water":     Events{Bars: []EventBar{{HaveL: -1}}},
		"span":      Timeline{Lanes: []Lane{{Spans: []Span{{3, 2, Mixing}}}}},
		"change":    Timeline{Changes: []Change{{1, math.Inf(1), math.Inf(1)}}},
		"deadline":  Timeline{WithinH: nan},
		"no room":   Vats{List: []Vat{{CapacityL: 0}}},
		"level":     Vats{List: []Vat{{CapacityL: 1, NowL: nan}}},
		"hours":     Limits{Bars: []LimitBar{{Hours: &nan}}},
		"value":     Results{List: []Result{{Value: nan}}},
		"criterion": Results{List: []Result{{Value: 1, Criterion: &nan}}},
	} {
		if _, err := d.SVG(); err == nil {
			t.Errorf("%s: drawn as SVG", name)
		}
		if d, both := d.(written); both {
			if _, err := d.Text(78); err == nil {
				t.Errorf("%s: drawn as text", name)
			}
		}
	}
}

func TestMarksOfAnAxisArePlainNumbers(t *testing.T) {
	for x, want := range map[float64]string{8e6: "8000000", 2e-5: "0.00002", 0.1 + 0.2: "0.3", 0: "0", 150: "150"} {
		if got := number(x); got != want {
			t.Errorf("%v is marked %q, want %q", x, got, want)
		}
	}
}

// A strip is to scale: two marks 10 cm apart stand 100 mm apart, and nothing leaves a
// page of A4 or Letter within margins of 15 mm.
func TestStripIsToScale(t *testing.T) {
	s := Strip{Head: Head{"strip", "Dip strip", "Volumes at levels."}, Name: "vat-a", TopCm: 104,
		Marks: []StripMark{{5, "22 L", false}, {15, "66 L", true}, {103, "brim", true}}}
	pages, err := s.Pages()
	if err != nil {
		t.Fatal(err)
	}
	if len(pages) != 2 {
		t.Fatalf("%d pages for 104 cm, want 2", len(pages))
	}
	y := map[string]float64{}
	var last float64
	d := xml.NewDecoder(strings.NewReader(pages[0]))
	for {
		token, err := d.Token()
		if err != nil {
			break
		}
		switch e := token.(type) {
		case xml.StartElement:
			for _, a := range e.Attr {
				if e.Name.Local == "svg" && (a.Name.Local == "width" || a.Name.Local == "height") {
					mm, err := strconv.ParseFloat(strings.TrimSuffix(a.Value, "mm"), 64)
					if most := map[string]float64{"width": 210 - 30, "height": 279 - 30 - 12}[a.Name.Local]; err != nil || mm > most {
						t.Errorf("%s of %s; at most %g mm", a.Name.Local, a.Value, most)
					}
				}
				if e.Name.Local == "text" && a.Name.Local == "y" {
					last, _ = strconv.ParseFloat(a.Value, 64)
				}
			}
		case xml.CharData:
			y[string(e)] = last
		}
	}
	if got := y["22 L"] - y["66 L"]; !(math.Abs(got-100) <= 0.02) {
		t.Errorf("10 cm are %g mm", got)
	}
	for name, bad := range map[string]Strip{"no length": {}, "endless": {TopCm: math.Inf(1)}, "a mark above": {TopCm: 10, Marks: []StripMark{{Cm: 11}}}} {
		if _, err := bad.Pages(); err == nil {
			t.Errorf("%s was drawn", name)
		}
	}
}

func TestPlannedLanes(t *testing.T) {
	p := plan.Plan{
		Demand: plan.Demand{Aims: []plan.Aim{{WithinH: 12}}},
		Steps: []plan.Step{
			{N: 1, AtH: 0.5, DoneH: 1.5, FillMinutes: 30, From: []plan.Draw{{StoreID: "vat"}}},
			{N: 2, AtH: 8, DoneH: 9, FillMinutes: 30, From: []plan.Draw{{StoreID: "vat", Batch: 1}, {Delivery: 2}}},
		},
		Batches:  []plan.Batch{{N: 1, StoreID: "vat", StartH: 2, MixedH: 4, WarmH: ptr(6)}},
		Prepared: []plan.Prepare{{What: plan.Cut, StoreID: "other", AtH: 1, ReadyH: 1.25}, {What: plan.Empty, StoreID: "none"}},
	}
	got := Planned(Head{ID: "p"}, p, 3, 6.5, 23)
	if got.WithinH != 12 || len(got.Changes) != 2 || len(got.Lanes) != 3 {
		t.Fatalf("%+v", got)
	}
	want := []Span{{1, 1.5, Drawn}, {0, 1.5, Ready}, {8.5, 9, Drawn}, {6, 9, Ready}, {2, 4, Mixing}, {4, 6, Warming}}
	for i, s := range want {
		if got.Lanes[0].Spans[i] != s {
			t.Errorf("span %d of the vat: %+v, want %+v", i, got.Lanes[0].Spans[i], s)
		}
	}
	if got.Lanes[1].Name != "delivery 2" || got.Lanes[2].Name != "other" {
		t.Errorf("lanes %q and %q", got.Lanes[1].Name, got.Lanes[2].Name)
	}
	// It begins at 03:00: people are up from 06:30, asleep again from 23:00.
	if len(got.Nights) != 1 || got.Nights[0] != [2]float64{0, 3.5} {
		t.Errorf("nights %v", got.Nights)
	}
	if n := nights(20, 40, 6, 22); len(n) != 2 || n[0] != [2]float64{2, 10} || n[1] != [2]float64{26, 34} {
		t.Errorf("nights after 20:00: %v", n)
	}
	if n := nights(3, 40, 0, 0); n != nil {
		t.Errorf("nobody sleeps: %v", n)
	}
}

// Whatever is drawn, the drawing is well formed and nothing of it lies outside.
func TestAnyDrawingIsWellFormed(t *testing.T) {
	amount := rapid.OneOf(rapid.Just(0.0), rapid.Float64Range(1e-6, 1e6))
	maybe := rapid.Custom(func(r *rapid.T) *float64 {
		if rapid.Bool().Draw(r, "there") {
			return ptr(amount.Draw(r, "amount"))
		}
		return nil
	})
	name := rapid.StringMatching(`[a-z<&]{0,40}`)
	rapid.Check(t, func(r *rapid.T) {
		n := rapid.IntRange(0, 5).Draw(r, "n")
		e, l, x := Events{Head: Head{ID: "e"}}, Limits{Head: Head{ID: "l"}}, Results{Head: Head{ID: "x"}}
		v, tl := Vats{Head: Head{ID: "v"}, Units: units.US}, Timeline{Head: Head{ID: "t"}, WithinH: amount.Draw(r, "within"), Nights: [][2]float64{{1, 9}}}
		for range n {
			e.Bars = append(e.Bars, EventBar{Name: name.Draw(r, "name"), Word: "late", Sign: Sign(rapid.IntRange(0, 3).Draw(r, "sign")), TakenH: maybe.Draw(r, "taken"), AllowedH: amount.Draw(r, "allowed"), HaveL: amount.Draw(r, "have"), NeedL: maybe.Draw(r, "need")})
			l.Bars = append(l.Bars, LimitBar{Name: name.Draw(r, "name"), Limit: name.Draw(r, "limit"), Hours: maybe.Draw(r, "hours"), Guards: rapid.SliceOfN(rapid.Bool(), 0, 4).Draw(r, "guards")})
			x.List = append(x.List, Result{Name: name.Draw(r, "name"), Word: "high", Value: amount.Draw(r, "value"), U: amount.Draw(r, "u"), Below: rapid.Bool().Draw(r, "below"), Natural: maybe.Draw(r, "natural"), Criterion: maybe.Draw(r, "criterion")})
			full := rapid.Float64Range(1, 1e4).Draw(r, "full")
			v.List = append(v.List, Vat{Name: name.Draw(r, "name"), CapacityL: full, NowL: full * rapid.Float64Range(0, 1).Draw(r, "share"), BottomL: full * rapid.Float64Range(0, 1).Draw(r, "bottom")})
			at := amount.Draw(r, "at")
			tl.Changes = append(tl.Changes, Change{len(tl.Changes) + 1, at, at + 1})
			tl.Lanes = append(tl.Lanes, Lane{name.Draw(r, "name"), []Span{{at, at + amount.Draw(r, "long"), SpanKind(rapid.IntRange(0, 3).Draw(r, "kind"))}}})
		}
		for _, d := range []drawing{e, l, x, v, tl} {
			svg, err := d.SVG()
			if err != nil {
				r.Fatal(err)
			}
			wellFormed(t, svg)
			if d, both := d.(written); both {
				if _, err := d.Text(80); err != nil {
					r.Fatal(err)
				}
			}
		}
	})
}
