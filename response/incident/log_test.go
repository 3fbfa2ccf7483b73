package incident

import (
	"encoding/json"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"tidehold/volumes/site"
	"tidehold/volumes/stock"
)

var three = time.Date(2026, 11, 25, 3, 0, 0, 0, time.UTC)

// book is a journal being written.
type book struct {
	t       *testing.T
	entries []stock.Entry
}

// put numbers an entry and adds it, as the journal would accept it.
func (b *book) put(e stock.Entry, err error) int {
	b.t.Helper()
	if err != nil {
		b.t.Fatal(err)
	}
	e.ID = len(b.entries) + 1
	if err := Validate(b.entries, e, e.Time.Add(72*time.Hour)); err != nil {
		b.t.Fatal(err)
	}
	b.entries = append(b.entries, e)
	return e.ID
}

func (b *book) refused(e stock.Entry, err error, want string) {
	b.t.Helper()
	if err != nil {
		b.t.Fatal(err)
	}
	e.ID = len(b.entries) + 1
	if err := Validate(b.entries, e, three.Add(72*time.Hour)); err == nil || !strings.Contains(err.Error(), want) {
		b.t.Errorf("%v, want %q", err, want)
	}
}

// at is a draft for incident 1, hours after three.
func at(h float64) Draft {
	return Draft{At: three.Add(time.Duration(h * float64(time.Hour))), Written: three.Add(72 * time.Hour), Incident: 1}
}

func x(v float64) *float64 { return &v }

func pour(store string, litres, salinity, temp float64) []stock.Pour {
	return []stock.Pour{{Store: store, Litres: decimal.NewFromFloat(litres), Salinity: &salinity, TemperatureC: &temp}}
}

var copperOpening = Opening{Name: "heater-gone", System: "tank", Event: true,
	Aims: []Aim{{Contaminant: "copper", Start: 60, StartU: 6, Target: 5, WithinH: 168, SourceMgH: 0.2}}}

func house(t testing.TB) *site.Site {
	t.Helper()
	s, faults := site.Load("site.yaml", []byte(`format: 1
systems:
  - id: tank
    net_volume: 400 L ± 8 %
    drawdown: 45 %
    change_every: 4 h
    water: {salinity: 35, temperature: 25 C, ph: 8.2}
stores:
  - {id: vat-a, holds: saltwater, volume: 300 L, capacity: 320 L, salinity: 35, temperature: 24.5 C, mixed: 2026-11-20, background: {copper: 1 ug/L}}
  - {id: pure, holds: purified, volume: 100 L, capacity: 120 L}
salts: [{id: house, on_hand: 20 kg, dose: 38.4 g/L, background: {copper: 0.5 ug/L}}]
events:
  - {id: heater-gone, system: tank, contaminant: copper, start: 60 ug/L, target: 5 ug/L, within: 7 d, reheats: no}
`))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return s
}

// Entries come late and out of order; the log puts them in order of time, and leaves out
// what was taken back.
func TestLogIsInOrderOfTime(t *testing.T) {
	b := &book{t: t}
	open := at(0)
	open.Incident = 0
	b.put(open.Open(copperOpening))
	b.put(at(5).Change(pour("vat-a", 100, 35, 24)))
	b.put(at(0.2).Result([]Measured{{Contaminant: "copper", UgL: 58, U: 5}}, "lab.csv"))
	b.put(at(1).Change(pour("vat-a", 120, 34, 24)))
	wrong := b.put(at(2).Remark("wrong tank"))
	b.put(at(0.1).Reading(Values{TempC: x(24.5)}, nil))
	b.put(stock.Entry{Kind: stock.Undo, Undoes: wrong, Time: at(6).At}, nil)
	b.put(stock.Entry{Kind: stock.Dip, Store: "vat-a", Litres: func() *decimal.Decimal { d := decimal.New(80, 0); return &d }(), Time: at(7).At}, nil)
	logs, problems := Logs(b.entries)
	if len(problems) > 0 || len(logs) != 1 {
		t.Fatalf("%d logs, %v", len(logs), problems)
	}
	var kinds []string
	for _, it := range logs[0].Items {
		kinds = append(kinds, string(it.Kind))
	}
	if got := strings.Join(kinds, " "); got != "opened reading result change change" {
		t.Errorf("order %q", got)
	}
	if l := logs[0]; l.Items[3].Litres() != 120 || l.Items[2].Report != "lab.csv" || l.Items[3].Written.IsZero() || !l.Latest().Equal(at(5).At) {
		t.Errorf("%+v", l.Items)
	}
	if id := logs[0].LastEntry(); id != 6 {
		t.Errorf("the last written is %d", id)
	}
	if !(Log{OpenedAt: three}).Latest().Equal(three) {
		t.Error("an empty log ends when it opened")
	}
}

func TestWhatMayNotFollow(t *testing.T) {
	b := &book{t: t}
	b.refused(stock.Entry{Kind: stock.Opened, Time: three, Data: json.RawMessage(`{}`)}, nil, "lacks the system")
	e, err := at(1).Remark("x")
	b.refused(e, err, "no incident 1")
	open := at(0)
	open.Incident = 0
	b.put(open.Open(copperOpening))
	e, err = open.Open(copperOpening)
	b.refused(e, err, "open on tank already")
	other := copperOpening
	other.System = "pool"
	b.put(open.Open(other)) // another system
	future := at(100)
	e, err = future.Remark("x")
	b.refused(e, err, "in the future")
	e, err = at(-1).Change(pour("vat-a", 10, 35, 25))
	b.refused(e, err, "before the incident was opened")
	b.put(at(-1).Result([]Measured{{Contaminant: "copper", UgL: 1}}, "")) // a sample from before is welcome
	for text, want := range map[string]string{
		`{"incident":1,"results":[]}`: "lacks the results", `{"incident":1,"results":[{"contaminant":"copper","ug_l":-1}]}`: "0 to 1e12",
		`{"results":[{"contaminant":"copper","ug_l":1}]}`: "lacks the incident", `7`: "does not hold", `{"incident":1,"results":[{"ug_l":1}]}`: "named substance",
	} {
		b.refused(stock.Entry{Kind: stock.Result, Time: at(1).At, Data: json.RawMessage(text)}, nil, want)
	}
	for text, want := range map[string]string{`{"incident":1}`: "lacks the values", `{"incident":1,"values":{"temp_c":99}}`: "temperature is 99", `{"incident":1,"values":{"ph":15}}`: "pH is 15"} {
		b.refused(stock.Entry{Kind: stock.Reading, Time: at(1).At, Data: json.RawMessage(text)}, nil, want)
	}
	for _, text := range []string{`{"opening":{"system":"s","aims":[{"start_ug_l":-1}]}}`, `{"opening":{"system":"s","aims":[{"remove":1}]}}`} {
		b.refused(stock.Entry{Kind: stock.Opened, Time: at(1).At, Data: json.RawMessage(text)}, nil, "an aim")
	}
	b.refused(stock.Entry{Kind: stock.Undo, Undoes: 1, Time: at(2).At}, nil, "entry 1 opened incident 1")
	closing := b.put(at(3).Close("over"))
	e, err = at(4).Close("again")
	b.refused(e, err, "was closed at Wed 25 Nov 2026 06:00")
	e, err = at(4).Change(pour("vat-a", 10, 35, 25))
	b.refused(e, err, "undo the closing (entry 4)")
	b.put(at(2).Change(pour("vat-a", 10, 35, 25)))                        // forgotten, and entered late
	b.put(at(30).Result([]Measured{{Contaminant: "copper", UgL: 1}}, "")) // the laboratory's answer
	b.put(stock.Entry{Kind: stock.Undo, Undoes: closing, Time: at(5).At}, nil)
	if err := Validate(b.entries, stock.Entry{Kind: stock.Dip}, three); err != nil {
		t.Error(err) // not ours to judge
	}
}

func TestFindSaysWhichThereAre(t *testing.T) {
	logs := []Log{{ID: 1, Opening: Opening{Name: "a", System: "tank"}}, {ID: 5, Opening: Opening{Name: "b", System: "pool"}}}
	for _, c := range []struct {
		id     int
		system string
		want   int
		err    string
	}{{5, "", 5, ""}, {0, "tank", 1, ""}, {0, "", 0, "2 incidents are open"}, {9, "", 0, "number 1 on tank (a), number 5 on pool (b)"}, {0, "sump", 0, "no incident is open on sump"}} {
		l, err := Find(logs, c.id, c.system)
		if l.ID != c.want || (err == nil) != (c.err == "") || err != nil && !strings.Contains(err.Error(), c.err) {
			t.Errorf("%d, %q: %d, %v", c.id, c.system, l.ID, err)
		}
	}
	closed := three
	if _, err := Find([]Log{{ID: 1, ClosedAt: &closed}}, 0, ""); err == nil || !strings.Contains(err.Error(), "no incident is open") {
		t.Error(err)
	}
	if l, err := Find(logs[:1], 0, ""); err != nil || l.ID != 1 {
		t.Error(err)
	}
	if _, err := Find(nil, 3, ""); err == nil || !strings.Contains(err.Error(), "there is no incident 3; the journal holds none") {
		t.Error(err)
	}
}

// Whatever stands in a journal, it is read or named, never a panic and never half of it.
func TestDamagedEntriesAreNamed(t *testing.T) {
	entries := []stock.Entry{
		{ID: 1, Kind: stock.Opened, Time: three, Data: json.RawMessage(`{"opening":{"name":"n","system":"tank"}}`)},
		{ID: 2, Kind: stock.Result, Time: three, Data: json.RawMessage(`{"incident":1,"results":"x"}`)},
		{ID: 3, Kind: stock.Change, Time: three, Data: json.RawMessage(`{"incident":1,"from":[]}`)},
		{ID: 4, Kind: stock.Remark, Time: three, Data: json.RawMessage(`{"incident":8,"text":"x"}`)},
		{ID: 5, Kind: stock.Remark, Time: three, Data: json.RawMessage(`{"incident":1,"written":"yesterday","text":"x"}`)},
		{ID: 6, Kind: stock.Dip, Store: "vat"},
	}
	logs, problems := Logs(entries)
	if len(logs) != 1 || len(logs[0].Items) != 2 || len(problems) != 3 {
		t.Errorf("%+v, %q", logs, problems)
	}
	for _, p := range problems {
		if !strings.Contains(p, "passed over") {
			t.Error(p)
		}
	}
	if logs, problems := Logs(entries[5:]); logs != nil || problems != nil {
		t.Error("a dip is an incident")
	}
	if _, err := (Draft{}).entry(stock.Remark, data{From: json.RawMessage("{")}); err == nil {
		t.Error("broken JSON was written")
	}
}

func TestMeasuredKeepsItsDigits(t *testing.T) {
	e, err := at(1).Result([]Measured{{"copper", 12.2, 1.5, false}, {"zinc", 2, 0, true}}, "")
	if err != nil {
		t.Fatal(err)
	}
	d, err := decode(e)
	if err != nil || len(d.Results) != 2 || d.Results[0] != (Measured{"copper", 12.2, 1.5, false}) || !d.Results[1].Below || math.IsNaN(d.Results[0].UgL) {
		t.Errorf("%+v, %v", d, err)
	}
}

// The same thing said again is recognised, whatever number it has and whenever it was
// written; a litre, a minute or a store more is another thing.
func TestHasKnowsWhatIsThere(t *testing.T) {
	b := &book{t: t}
	open := at(0)
	open.Incident = 0
	b.put(open.Open(copperOpening))
	b.put(at(1).Change(pour("vat-a", 100, 35, 24)))
	b.put(at(2).Reading(Values{TempC: x(24.5)}, nil))
	b.put(at(3).Result([]Measured{{"copper", 12, 1, false}}, ""))
	b.put(at(4).Remark("all quiet"))
	recorded := pour("vat-a", 50, 35, 24)
	recorded[0].SalinityRecorded, recorded[0].TempRecorded = true, true
	b.put(at(5).Change(recorded))
	logs, _ := Logs(b.entries)
	l := logs[0]
	again := func(e stock.Entry, err error) bool {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return l.Has(e)
	}
	later := pour("vat-a", 50, 34, 20)
	later[0].SalinityRecorded, later[0].TempRecorded = true, true
	now := at(1)
	now.Written = three
	for name, known := range map[string]bool{
		"change": again(now.Change(pour("vat-a", 100, 35, 24))), "reading": again(at(2).Reading(Values{TempC: x(24.5)}, nil)),
		"result": again(at(3).Result([]Measured{{"copper", 12, 1, false}}, "")), "note": again(at(4).Remark("all quiet")), "record": again(at(5).Change(later)),
	} {
		if !known {
			t.Errorf("the same %s is not recognised", name)
		}
	}
	for name, known := range map[string]bool{
		"litres": again(at(1).Change(pour("vat-a", 101, 35, 24))), "store": again(at(1).Change(pour("vat-b", 100, 35, 24))), "salinity": again(at(1).Change(pour("vat-a", 100, 34, 24))),
		"time": again(at(1.1).Change(pour("vat-a", 100, 35, 24))), "temperature": again(at(2).Reading(Values{TempC: x(24.6)}, nil)), "more read": again(at(2).Reading(Values{TempC: x(24.5), PH: x(8)}, nil)),
		"value": again(at(3).Result([]Measured{{"copper", 12.1, 1, false}}, "")), "note": again(at(4).Remark("all quiet?")), "kind": again(at(4).Close("all quiet")),
	} {
		if known {
			t.Errorf("another %s is taken for the same", name)
		}
	}
	if l.Has(stock.Entry{Kind: stock.Remark, Data: json.RawMessage("{")}) || l.Has(stock.Entry{Kind: stock.Change, Data: json.RawMessage(`{"incident":1,"from":[]}`)}) {
		t.Error("something broken is there")
	}
}
