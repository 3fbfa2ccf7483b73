package stock

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/shopspring/decimal"
	"pgregory.net/rapid"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/salinity/mixing"
	"tidehold/volumes"
	"tidehold/volumes/site"
)

func dec(s string) *decimal.Decimal {
	d := decimal.RequireFromString(s)
	return &d
}

func num(x float64) *float64 { return &x }

// start is the moment the tests begin at.
var start = time.Date(2026, 11, 25, 3, 0, 0, 0, time.UTC)

// anytime is a clock well after every entry of the tests, with their times stated.
var anytime = Clock{Now: start.AddDate(20, 0, 0), Stated: true}

// slipway is a site with a round vat, a vat of known capacity and a bin of
// purified water.
func slipway(t testing.TB) *site.Site {
	t.Helper()
	round, err := volumes.New("upright_cylinder", map[string]float64{"diameter": 75, "height": 100}, nil)
	if err != nil {
		t.Fatal(err)
	}
	mixed := start.Add(-10 * 24 * time.Hour)
	return &site.Site{
		Stores: []site.Store{
			{ID: "vat-a", Holds: site.Saltwater, Shape: round, Capacity: round.Full(), Volume: *dec("310"), Heel: 12,
				Water: site.Chemistry{Salinity: 35.2, Temperature: 21}, Mixed: &mixed, MaxAgeH: 30 * 24},
			{ID: "vat-b", Holds: site.Saltwater, Capacity: 200, Volume: *dec("150"), Water: site.Chemistry{Salinity: 35, Temperature: 20}},
			{ID: "pure-a", Holds: site.Purified, Capacity: 300, Volume: *dec("120"), Heel: 5, Water: site.Chemistry{Temperature: 18}},
		},
		Salts:   []site.Salt{{ID: "house", OnHand: *dec("42"), DoseGL: 38.4, DosePer: mixing.Finished, DoseSalinity: 35, DoseTemperature: 25}},
		Mixing:  site.Mixing{In: []string{"vat-a"}},
		Reserve: site.Reserve{Saltwater: 60, Purified: 40},
	}
}

// numbered gives entries ids and times a minute apart.
func numbered(entries ...Entry) []Entry {
	for i := range entries {
		entries[i].ID = i + 1
		if entries[i].Time.IsZero() {
			entries[i].Time = start.Add(time.Duration(i) * time.Minute)
		}
	}
	return entries
}

func TestEntriesChangeWhatIsOnHand(t *testing.T) {
	s := slipway(t)
	entries := numbered(
		Entry{Kind: Dip, Store: "vat-a", LevelCm: dec("78")},
		Entry{Kind: Draw, Store: "vat-a", Litres: dec("40.1")},
		Entry{Kind: Draw, Store: "vat-a", Litres: dec("0.2")},
		Entry{Kind: Dip, Store: "vat-b", Litres: dec("180")},
		Entry{Kind: Draw, Store: "pure-a", Litres: dec("100")},
		Entry{Kind: Undo, Undoes: 5},
		Entry{Kind: Mixed, Store: "vat-b", Litres: dec("190"), Salinity: num(34.8), TemperatureC: num(24), SaltID: "house", UsedKg: dec("7.3")},
		Entry{Kind: Salt, SaltID: "house", BoughtKg: dec("20")},
		Entry{Kind: Tested, Store: "vat-a", Salinity: num(35.4)},
		Entry{Kind: Opened, Data: []byte(`{"system":"hall-reef"}`)},
	)
	now, warnings := Fold(s, entries, start.Add(time.Hour))
	if len(warnings) != 0 {
		t.Errorf("warnings %v", warnings)
	}
	// π/4 · 75² · 78 / 1000 = 344.593 L to the millilitre; less 40.3 exactly.
	if got := now.StoreByID("vat-a").Volume; !got.Equal(*dec("304.293444")) {
		t.Errorf("vat-a holds %s L, want 304.293444", got)
	}
	if got := now.StoreByID("vat-a"); got.Water.Salinity != 35.4 || got.Tested == nil || !got.Tested.Equal(start.Add(8*time.Minute)) {
		t.Errorf("vat-a after its test: %+v", got)
	}
	b := now.StoreByID("vat-b")
	if !b.Volume.Equal(*dec("190")) || b.Water.Salinity != 34.8 || b.Water.Temperature != 24 || b.Mixed == nil || !b.Mixed.Equal(start.Add(6*time.Minute)) {
		t.Errorf("vat-b after mixing: %+v", b)
	}
	if got := now.StoreByID("pure-a").Volume; !got.Equal(*dec("120")) {
		t.Errorf("pure-a holds %s L after the undo, want 120", got)
	}
	if got := now.Salts[0].OnHand; !got.Equal(*dec("54.7")) {
		t.Errorf("%s kg of salt, want 54.7", got)
	}
	if !s.Stores[0].Volume.Equal(*dec("310")) || !s.Salts[0].OnHand.Equal(*dec("42")) || s.Stores[1].Mixed != nil {
		t.Error("Fold changed the site it was given")
	}
}

func TestAddedWaterBlendsByMass(t *testing.T) {
	s := slipway(t)
	now, warnings := Fold(s, numbered(Entry{Kind: Add, Store: "vat-b", Litres: dec("50"), Salinity: num(0), TemperatureC: num(10)}), start)
	if len(warnings) != 0 {
		t.Fatal(warnings)
	}
	b := now.StoreByID("vat-b")
	// Densities by TEOS-10 (python gsw 3.6.16): 1024.76 kg/m³ at S 35, 20 °C and
	// 999.70 at S 0, 10 °C; 35 · 150·1024.76/(150·1024.76 + 50·999.70) = 26.411.
	if !b.Volume.Equal(*dec("200")) || !(math.Abs(float64(b.Water.Salinity)-26.411) <= 0.001) {
		t.Errorf("after adding: %s L, salinity %v, want 200 and 26.411", b.Volume, b.Water.Salinity)
	}
	if !(b.Water.Temperature > 17.3 && b.Water.Temperature < 17.6) {
		t.Errorf("temperature %v, want about 17.45", b.Water.Temperature)
	}
	if same, _ := Fold(s, numbered(Entry{Kind: Add, Store: "vat-b", Litres: dec("20")}), start); !(math.Abs(float64(same.StoreByID("vat-b").Water.Salinity)-35) <= 1e-9) {
		t.Errorf("adding the same water changed the salinity to %v", same.StoreByID("vat-b").Water.Salinity)
	}
	if empty, _ := Fold(s, numbered(Entry{Kind: Draw, Store: "vat-b", Litres: dec("150")}, Entry{Kind: Add, Store: "vat-b", Litres: dec("20"), Salinity: num(33)}), start); !(math.Abs(float64(empty.StoreByID("vat-b").Water.Salinity)-33) <= 1e-9) {
		t.Errorf("water added to an empty store has salinity %v, want 33", empty.StoreByID("vat-b").Water.Salinity)
	}
}

func TestWhatTheRecordSettlesIsNoLongerAssumed(t *testing.T) {
	s := slipway(t)
	at := func(list, id, key string) refs.Place { return refs.Place{List: list, ID: id, Key: key} }
	s.Assumptions = []refs.Assumption{{Place: at("stores", "vat-b", "volume")}, {Place: at("stores", "vat-b", "salinity")}, {Place: at("stores", "vat-a", "volume")}, {Place: at("salts", "house", "on_hand")}, {Place: at("kit", "gloves", "have")}}
	s.Kit = []site.KitItem{{Item: "gloves", Need: 2}}
	s.Warnings = []site.Note{{Place: at("stores", "vat-b", ""), Code: site.NoteUndated}, {Place: at("stores", "vat-b", ""), Code: site.NoteEmpty},
		{Place: at("stores", "vat-a", ""), Code: site.NoteUndated}, {Text: "other"}}
	now, _ := Fold(s, numbered(
		Entry{Kind: Dip, Store: "vat-b", Litres: dec("100")},
		Entry{Kind: Tested, Store: "vat-b", Salinity: num(35), TemperatureC: num(20)},
		Entry{Kind: Salt, SaltID: "house", Kg: dec("40")},
		Entry{Kind: Dip, Store: "vat-a", Litres: dec("100")},
		Entry{Kind: Undo, Undoes: 4},
		Entry{Kind: Kit, Data: JSONOf(KitCount{Item: "gloves", Have: 2})},
	), start)
	if len(now.Assumptions) != 1 || now.Assumptions[0].Place != at("stores", "vat-a", "volume") {
		t.Errorf("assumptions left: %v", now.Assumptions)
	}
	if len(now.Warnings) != 2 || now.Warnings[0].Place.ID != "vat-a" || now.Warnings[1].Text != "other" {
		t.Errorf("warnings left: %v", now.Warnings)
	}
	if len(s.Assumptions) != 5 || len(s.Warnings) != 4 {
		t.Error("Fold changed the site it was given")
	}
}

func TestLastIsTheEntryOneWouldUndo(t *testing.T) {
	entries := numbered(
		Entry{Kind: Draw, Store: "vat-a", Litres: dec("1")},
		Entry{Kind: Draw, Store: "vat-a", Litres: dec("2")},
		Entry{Kind: Undo, Undoes: 2},
		Entry{Kind: Opened},
	)
	if e, ok := Last(entries); !ok || e.ID != 1 {
		t.Errorf("last is %+v, %v", e, ok)
	}
	if e, ok := Last(entries[2:]); ok {
		t.Errorf("last of nothing is %+v", e)
	}
}

func TestImpossibleEntriesAreRefusedWithTheNumbers(t *testing.T) {
	past := numbered(
		Entry{Kind: Draw, Store: "vat-a", Litres: dec("40")},
		Entry{Kind: Undo, Undoes: 1},
		Entry{Kind: Add, Store: "vat-b", Litres: dec("45")},
		Entry{Kind: Draw, Store: "vat-b", Litres: dec("170")},
	)
	for _, c := range []struct {
		name string
		e    Entry
		want string
	}{
		{"dip above the brim", Entry{Kind: Dip, Store: "vat-a", LevelCm: dec("104")}, "a dip of 104 cm in vat-a is above the brim at 100 cm (441.78 L)"},
		{"volume above the brim", Entry{Kind: Dip, Store: "vat-b", Litres: dec("200.5")}, "200.5 L in vat-b is above its brim, 200 L"},
		{"dip without shape", Entry{Kind: Dip, Store: "vat-b", LevelCm: dec("10")}, "vat-b has no shape"},
		{"draw of more than there is", Entry{Kind: Draw, Store: "vat-b", Litres: dec("25.001")}, "a draw of 25.0010 L is more than the 25 L in vat-b"},
		{"add above the brim", Entry{Kind: Add, Store: "vat-b", Litres: dec("176")}, "adding 176 L to the 25 L there: 201 L in vat-b is above its brim, 200 L"},
		{"unknown store", Entry{Kind: Draw, Store: "vat-c", Litres: dec("1")}, `store "vat-c" is not in the site file, which has vat-a, vat-b, pure-a; did you mean "vat-a"?`},
		{"unknown salt", Entry{Kind: Salt, SaltID: "reef", Kg: dec("1")}, `salt "reef" is not in the site file, which has house`},
		{"mixed in purified", Entry{Kind: Mixed, Store: "pure-a"}, "pure-a holds purified water; mixed is for saltwater"},
		{"mixed above the brim", Entry{Kind: Mixed, Store: "vat-b", Litres: dec("201")}, "above its brim"},
		{"mixed with too much salt", Entry{Kind: Mixed, Store: "vat-b", SaltID: "house", UsedKg: dec("42.5")}, "using 42.5 kg of house is more than the 42 kg on hand"},
		{"mixed with unknown salt", Entry{Kind: Mixed, Store: "vat-b", SaltID: "x", UsedKg: dec("1")}, "not in the site file"},
		{"undo of nothing", Entry{Kind: Undo, Undoes: 9}, "there is no entry 9 to take back"},
		{"undo of an undo", Entry{Kind: Undo, Undoes: 2}, "entry 2 is itself an undo"},
		{"undo twice", Entry{Kind: Undo, Undoes: 1}, "entry 1 is undone already"},
		{"undo below what was drawn later", Entry{Kind: Undo, Undoes: 3}, "a draw of 170 L is more than the 150 L in vat-b"},
		{"of a kind that is not known", Entry{Kind: "Draw", Store: "vat-a", Litres: dec("1")}, `kind "Draw" is not known; did you mean "draw"?`},
		{"incomplete", Entry{Kind: Draw, Store: "vat-a"}, "draw needs litres above 0"},
	} {
		t.Run(c.name, func(t *testing.T) {
			c.e.ID = 5
			if c.e.Time.IsZero() {
				c.e.Time = start.Add(time.Hour)
			}
			err := Validate(slipway(t), past, c.e, anytime)
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v\nwant …%s…", err, c.want)
			}
		})
	}
	if err := Validate(&site.Site{}, nil, Entry{Kind: Draw, Time: start, Store: "x", Litres: dec("1")}, anytime); err == nil || !strings.Contains(err.Error(), "which has none") {
		t.Errorf("a site without stores: %v", err)
	}
	us := slipway(t)
	us.Units = units.US
	for _, e := range []Entry{{Kind: Draw, Store: "vat-b", Litres: dec("500")}, {Kind: Dip, Store: "vat-a", LevelCm: dec("254")}, {Kind: Salt, SaltID: "house", UsedKg: dec("50")}} {
		e.Time = start
		if err := Validate(us, nil, e, anytime); err == nil || strings.Contains(err.Error(), " L ") || strings.Contains(err.Error(), " cm") || strings.Contains(err.Error(), " kg") {
			t.Errorf("in US units: %v", err)
		}
	}
}

func TestWhatTheSiteNoLongerAllowsIsTakenCautiously(t *testing.T) {
	entries := numbered(
		Entry{Kind: Draw, Store: "vat-a", Litres: dec("400")},
		Entry{Kind: Add, Store: "vat-b", Litres: dec("90")},
		Entry{Kind: Salt, SaltID: "house", UsedKg: dec("43")},
		Entry{Kind: Dip, Store: "gone", Litres: dec("3")},
		Entry{Kind: Undo, Undoes: 77},
		Entry{Kind: Draw, Store: "pure-a", Litres: dec("1"), Time: start.Add(48 * time.Hour)},
	)
	now, warnings := Fold(slipway(t), entries, start.Add(time.Hour))
	if len(warnings) != 6 {
		t.Errorf("%d warnings, want 6: %v", len(warnings), warnings)
	}
	if a, b, salt := now.Stores[0].Volume, now.Stores[1].Volume, now.Salts[0].OnHand; !a.IsZero() || !b.Equal(*dec("200")) || !salt.IsZero() {
		t.Errorf("vat-a %s, vat-b %s, salt %s; want 0, 200, 0", a, b, salt)
	}
	if got := now.Stores[2].Volume; !got.Equal(*dec("119")) {
		t.Errorf("an entry dated after now does not count: pure-a %s, want 119", got)
	}
	// A new entry is judged by the same reading.
	if err := Validate(slipway(t), entries[:1], Entry{ID: 2, Time: start.Add(time.Hour), Kind: Draw, Store: "vat-a", Litres: dec("1")}, anytime); err == nil {
		t.Error("a draw from a store taken to be empty was accepted")
	}
}

func TestAmountsAddUpExactly(t *testing.T) {
	s := slipway(t)
	var entries []Entry
	for range 1000 {
		entries = append(entries, Entry{Kind: Draw, Store: "vat-a", Litres: dec("0.1")}, Entry{Kind: Salt, SaltID: "house", UsedKg: dec("0.037")})
	}
	now, warnings := Fold(s, numbered(entries...), start.AddDate(0, 1, 0))
	if len(warnings) != 0 || !now.Stores[0].Volume.Equal(*dec("210")) || !now.Salts[0].OnHand.Equal(*dec("5")) {
		t.Errorf("%s L and %s kg, want exactly 210 and 5; %v", now.Stores[0].Volume, now.Salts[0].OnHand, warnings)
	}
}

// TestLedgerAgreesWithSummation draws random entries, keeps those accepted, and
// adds up litres and kilograms in integer microunits by another route.
func TestLedgerAgreesWithSummation(t *testing.T) {
	s := slipway(t)
	rapid.Check(t, func(t *rapid.T) {
		litres, kg := int64(150_000_000), int64(42_000_000)
		var log []Entry
		for i := range rapid.IntRange(1, 25).Draw(t, "entries") {
			amount := rapid.Int64Range(1, 60_000_000).Draw(t, "microunits")
			d := decimal.New(amount, -6)
			e := Entry{ID: i + 1, Time: start.Add(time.Duration(i) * time.Second)}
			switch rapid.IntRange(0, 4).Draw(t, "what") {
			case 0:
				e.Kind, e.Store, e.Litres = Draw, "vat-b", &d
			case 1:
				e.Kind, e.Store, e.Litres = Add, "vat-b", &d
			case 2:
				e.Kind, e.SaltID, e.UsedKg = Salt, "house", &d
			case 3:
				e.Kind, e.SaltID, e.BoughtKg = Salt, "house", &d
			case 4:
				e.Kind, e.Undoes = Undo, rapid.IntRange(1, 25).Draw(t, "undoes")
			}
			if Validate(s, log, e, anytime) == nil {
				log = append(log, e)
			}
		}
		gone := map[int]bool{}
		for _, e := range log {
			if e.Kind == Undo {
				gone[e.Undoes] = true
			}
		}
		for _, e := range log {
			switch {
			case gone[e.ID]:
			case e.Kind == Draw:
				litres -= e.Litres.Shift(6).IntPart()
			case e.Kind == Add:
				litres += e.Litres.Shift(6).IntPart()
			case e.Kind == Salt && e.UsedKg != nil:
				kg -= e.UsedKg.Shift(6).IntPart()
			case e.Kind == Salt:
				kg += e.BoughtKg.Shift(6).IntPart()
			}
		}
		now, warnings := Fold(s, log, start.AddDate(1, 0, 0))
		if len(warnings) != 0 {
			t.Fatalf("accepted entries give warnings: %v", warnings)
		}
		if got := now.Stores[1].Volume; !got.Equal(decimal.New(litres, -6)) || litres < 0 || litres > 200_000_000 {
			t.Fatalf("%s L, want %d µL", got, litres)
		}
		if got := now.Salts[0].OnHand; !got.Equal(decimal.New(kg, -6)) || kg < 0 {
			t.Fatalf("%s kg, want %d mg", got, kg)
		}
	})
}

func TestStatusSaysWhatCounts(t *testing.T) {
	s := slipway(t)
	today := start.Truncate(24 * time.Hour)
	yesterday := today.AddDate(0, 0, -1)
	s.Kit = []site.KitItem{{Item: "pump", Need: 1, Have: 1}, {Item: "test", Need: 1, Have: 1, Expires: &yesterday},
		{Item: "hose", Need: 2, Have: 1, Expires: &today}, {Item: "carbon", Need: 1, Have: 1, Expires: &today}}
	st := StatusOf(s, start)
	if got := fmt.Sprintln(st.Stores[0].State, st.Stores[1].State, st.Stores[2].State); got != "ready undated ready\n" {
		t.Errorf("states %s", got)
	}
	if a := st.Stores[0]; !a.Usable.Equal(*dec("298")) || a.AgeH == nil || *a.AgeH != 240 {
		t.Errorf("vat-a: %+v", a)
	}
	if sw, pure := st.Totals[0], st.Totals[1]; !sw.Litres.Equal(*dec("460")) || !sw.Usable.Equal(*dec("388")) || !pure.Usable.Equal(*dec("75")) {
		t.Errorf("totals %+v %+v", sw, pure)
	}
	if k := st.Kit; !k[0].OK || k[1].OK || k[2].OK || !k[3].OK {
		t.Errorf("kit %+v", k)
	}
	// 42 kg at 38.4 g per finished litre.
	if got := st.Salts[0]; !(math.Abs(float64(got.Makes)-1093.75) <= 1e-6) || got.BatchStore != "vat-a" || !(math.Abs(got.Batches-1093.75/441.786) <= 1e-4) {
		t.Errorf("salt %+v", got)
	}
	late := StatusOf(s, start.Add(21*24*time.Hour))
	if late.Stores[0].State != OverAge || !late.Totals[0].Usable.Equal(*dec("90")) {
		t.Errorf("after 31 days: %+v, %+v", late.Stores[0], late.Totals[0])
	}
	tested := start.Add(20 * 24 * time.Hour)
	s.Stores[0].Tested = &tested
	s.Stores[1].Volume = *dec("0")
	s.Salts[0].OnHand = *dec("0")
	again := StatusOf(s, start.Add(21*24*time.Hour))
	if again.Stores[0].State != Ready || *again.Stores[0].AgeH != 24 || again.Stores[1].State != AtHeel || again.Salts[0].Makes != 0 {
		t.Errorf("after a test: %+v", again)
	}
	// Purified water has an age once it is tested, and counts all the same.
	s.Stores[2].Tested, s.Stores[2].MaxAgeH = &tested, 24
	if old := StatusOf(s, start.AddDate(1, 0, 0)); old.Stores[2].State != Ready || old.Stores[2].AgeH == nil || !old.Totals[1].Usable.Equal(*dec("75")) {
		t.Errorf("purified water after a year: %+v", old)
	}
}
