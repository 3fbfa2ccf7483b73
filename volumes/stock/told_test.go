package stock

import (
	"fmt"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/volumes/site"
)

// TestAJournalOfOtherEntriesIsNoticed: as many entries, of the same numbers, that somebody else wrote.
func TestAJournalOfOtherEntriesIsNoticed(t *testing.T) {
	mine, other := temp(t), temp(t)
	for range 3 {
		appended(t, mine, draw)
		appended(t, other, Entry{Kind: Draw, Store: "vat-a", Litres: dec("7")})
	}
	if l := read(t, mine); len(l.Problems) != 0 {
		t.Fatalf("%+v", l.Problems)
	}
	if err := os.WriteFile(mine.path, []byte(content(t, other)), 0o644); err != nil {
		t.Fatal(err)
	}
	if l := read(t, mine); len(l.Problems) != 1 || l.Problems[0].Line != 0 || !strings.Contains(l.Problems[0].What, "3") {
		t.Errorf("%+v", l.Problems)
	}
}

// TestAReaderLooksAgain at a line that is being written, and finds the whole of it.
func TestAReaderLooksAgain(t *testing.T) {
	j := temp(t)
	appended(t, j, draw)
	appended(t, j, draw)
	text := content(t, j)
	cut := len(text) - 20
	if err := os.WriteFile(j.path, []byte(text[:cut]), 0o644); err != nil {
		t.Fatal(err)
	}
	j.glance = 250 * time.Millisecond
	written := make(chan error, 1)
	go func() {
		time.Sleep(40 * time.Millisecond)
		f, err := os.OpenFile(j.path, os.O_WRONLY|os.O_APPEND, 0)
		if err == nil {
			_, err = f.WriteString(text[cut:])
			f.Close()
		}
		written <- err
	}()
	if l := read(t, j); len(l.Entries) != 2 || len(l.Problems) != 0 {
		t.Errorf("%d entries, %+v", len(l.Entries), l.Problems)
	}
	if err := <-written; err != nil {
		t.Fatal(err)
	}
	// An entry waits five seconds for another program, no longer (DESIGN, the journal).
	if p := At("x").patience; p != 5*time.Second {
		t.Errorf("patience %v", p)
	}
}

// TestNumbersThatJSONDoesNotKnow are refused on every line, the second time as the first.
func TestNumbersThatJSONDoesNotKnow(t *testing.T) {
	for number, ok := range map[string]bool{
		"1": true, "-0": true, "0.5": true, "-0.0": true, "10": true,
		"1.": false, "-": false, "-.5": false, ".5": false, "01": false, "-01": false, "00": false, "1.5.2": false, "+1": false, "1e": false, "0x1": false, "--1": false, "- 1": false,
		strings.Repeat("9", 400): false, "-" + strings.Repeat("9", 400) + ".5": false,
	} {
		var b strings.Builder
		for id := range 3 {
			fmt.Fprintf(&b, `{"id":%d,"time":"2026-11-25T03:00:00Z","kind":"tested","store":"vat-a","temp_c":%s}`+"\n", id+1, number)
		}
		l := Parse([]byte(b.String()))
		want := map[bool]int{true: 3}[ok]
		unread := 0
		for _, p := range l.Problems {
			if p.Line > 0 && p.Lost {
				unread++
			}
		}
		if len(l.Entries) != want || unread != 3-want {
			t.Errorf("%.20s: %d entries, %+v", number, len(l.Entries), l.Problems)
		}
	}
}

// TestRubbishOfTwoHundredThousandLines is read through, a line more is given up.
func TestRubbishOfTwoHundredThousandLines(t *testing.T) {
	line, _, err := encode(Entry{ID: 1, Time: start, Kind: Remark, Note: "x"}, 0)
	if err != nil {
		t.Fatal(err)
	}
	for n, read := range map[int]int{200_000: 1, 200_001: 0} {
		if l := Parse([]byte(strings.Repeat("x\n", n) + string(line))); len(l.Entries) != read || l.givenUp != (read == 0) {
			t.Errorf("%d lines of rubbish: %d entries, given up %v", n, len(l.Entries), l.givenUp)
		}
	}
}

// TestTheLongestEntryIsAsLongAsTheMessageSays: what is refused names a length that is taken.
func TestTheLongestEntryIsAsLongAsTheMessageSays(t *testing.T) {
	length := func(n int) (int, string) {
		line, _, err := encode(Entry{ID: 1, Time: start, Kind: Remark, Data: []byte(`"` + strings.Repeat("d", n) + `"`)}, 0)
		if err != nil {
			return 0, err.Error()
		}
		return len(line), ""
	}
	short, _ := length(0)
	_, text := length(maxLine)
	var found, allowed int
	if _, err := fmt.Sscanf(text, "the entry is %d bytes long; at most %d is allowed", &found, &allowed); err != nil {
		t.Fatalf("%q: %v", text, err)
	}
	rest := maxLine - short // how much data fits into a whole line
	if whole, text := length(rest); whole != maxLine || text != "" {
		t.Fatalf("%d bytes, %s", whole, text)
	}
	over := found - maxLine + rest - allowed // from the longest to what was tried
	if over != 0 {
		t.Errorf("%d bytes were tried, %d would fit, %d are said to", found, found-maxLine+rest, allowed)
	}
}

// TestSaltIsToldToAHundredth: what an entry would make of purified water.
func TestSaltIsToldToAHundredth(t *testing.T) {
	s := slipway(t)
	e := Entry{ID: 1, Time: start, Kind: Tested, Store: "pure-a", Salinity: num(12.3456)}
	if err := Validate(s, nil, e, anytime); err == nil || !strings.Contains(err.Error(), "it would have salinity 12.35; at most") {
		t.Error(err)
	}
}

// TestAMeasuredTemperatureIsNoLongerAssumed, nor a salinity; what was not measured is.
func TestAMeasuredTemperatureIsNoLongerAssumed(t *testing.T) {
	at := func(key string) refs.Place { return refs.Place{List: "stores", ID: "vat-b", Key: key} }
	for _, c := range []struct {
		e    Entry
		left string
	}{{Entry{Salinity: num(35)}, "temperature"}, {Entry{TemperatureC: num(20)}, "salinity"}, {Entry{Salinity: num(35), TemperatureC: num(20)}, ""}} {
		s := slipway(t)
		s.Assumptions = []refs.Assumption{{Place: at("salinity")}, {Place: at("temperature")}}
		c.e.Kind, c.e.Store = Tested, "vat-b"
		now, _ := Fold(s, numbered(c.e), start)
		var left []string
		for _, a := range now.Assumptions {
			left = append(left, a.Place.Key)
		}
		if strings.Join(left, " ") != c.left {
			t.Errorf("%+v leaves %v, want %q", c.e, left, c.left)
		}
		if c.e.TemperatureC != nil && now.Stores[1].Water.Temperature != units.Celsius(20) {
			t.Errorf("%+v", now.Stores[1].Water)
		}
	}
}

// TestAWhatIfOfAnotherFieldLeavesADrill: of the same drill or the same field of another.
func TestAWhatIfOfAnotherFieldLeavesADrill(t *testing.T) {
	for place, back := range map[refs.Place]bool{
		{List: "drills", ID: "drill", Key: "done"}: true, {List: "drills"}: true, {List: "drills", ID: "drill", Key: "every"}: false,
		{List: "drills", ID: "other", Key: "done"}: false, {List: "kit", ID: "drill", Key: "done"}: false, {List: "kit"}: false,
	} {
		s := slipway(t)
		day := start.AddDate(0, 0, -3)
		s.Drills = []site.Drill{{What: "drill", Done: &day}}
		s.Replaced = []refs.Place{place}
		got, _ := Fold(s, numbered(Entry{Kind: Did, Data: JSONOf(Deed{Drill: "drill"})}), start.Add(time.Hour))
		if (got.Drills[0].Done.Equal(day)) != back {
			t.Errorf("%+v: done %v", place, got.Drills[0].Done)
		}
	}
}

// TestTheLongestNamesAndTheLargestNumber: 2,000 bytes each, and 2^53, the last whole number that every reader of
// JSON takes exactly.
func TestTheLongestNamesAndTheLargestNumber(t *testing.T) {
	for n, ok := range map[int]bool{2000: true, 2001: false} {
		text := strings.Repeat("x", n)
		for field, e := range map[string]Entry{
			"store": {Kind: Draw, Store: text, Litres: dec("1")}, "salt": {Kind: Salt, SaltID: text, Kg: dec("1")}, "note": {Kind: Remark, Note: text},
		} {
			e.ID, e.Time = 1, start
			if err := e.check(); (err == nil) != ok {
				t.Errorf("%s of %d bytes: %v", field, n, err)
			}
		}
	}
	if strconv.IntSize < 64 {
		t.Skip("numbers end earlier here")
	}
	for number, ok := range map[int64]bool{1 << 53: true, 1<<53 + 1: false, 1: true} {
		id := int(number)
		if err := (Entry{ID: id, Time: start, Kind: Remark, Note: "x"}).check(); (err == nil) != ok {
			t.Errorf("number %d: %v", id, err)
		}
	}
}

// TestWhoHoldsAJournalIsNamed by process and machine.
func TestWhoHoldsAJournalIsNamed(t *testing.T) {
	host, err := os.Hostname()
	if err != nil {
		t.Skip(err)
	}
	if got, want := holder(), fmt.Sprintf("process %d on %s", os.Getpid(), host); got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

// TestKindsAreInOrder whenever they are listed.
func TestKindsAreInOrder(t *testing.T) {
	for range 20 {
		if names := kindNames(); !slices.IsSorted(names) || len(names) != len(kinds) {
			t.Fatalf("%q", names)
		}
	}
}

// TestHowOftenASaltFillsAVat: the largest that batches are made in, the first of two that are as large, be it of
// half a litre.
func TestHowOftenASaltFillsAVat(t *testing.T) {
	s := slipway(t)
	s.Mixing.In = []string{"vat-a", "vat-b"}
	for _, c := range []struct {
		a, b units.Litres
		in   string
	}{{440, 440, "vat-a"}, {200, 440, "vat-b"}, {0.5, 0.25, "vat-a"}} {
		s.Stores[0].Capacity, s.Stores[1].Capacity = c.a, c.b
		got := StatusOf(s, start).Salts[0]
		if want := float64(got.Makes / max(c.a, c.b)); got.BatchStore != c.in || got.Batches != want || !(want > 1) {
			t.Errorf("%+v: %v batches in %s, want %v", c, got.Batches, got.BatchStore, want)
		}
	}
	s.Mixing.In = nil
	if got := StatusOf(s, start).Salts[0]; got.Batches != 0 || got.BatchStore != "" {
		t.Errorf("nowhere to mix: %+v", got)
	}
}

// TestWhatIsMissingBeginsAfterWhatIsThere: of four entries the first is left.
func TestWhatIsMissingBeginsAfterWhatIsThere(t *testing.T) {
	j := temp(t)
	for range 4 {
		appended(t, j, draw)
	}
	lines := strings.SplitAfter(content(t, j), "\n")
	for left, want := range map[string]string{lines[0]: "numbers 2 to 4 are missing", lines[0] + lines[1]: "numbers 3 to 4 are missing", "": "numbers 1 to 4 are missing"} {
		if err := os.WriteFile(j.path, []byte(left), 0o644); err != nil {
			t.Fatal(err)
		}
		if l := read(t, j); len(l.Problems) != 1 || !strings.HasPrefix(l.Problems[0].What, want) {
			t.Errorf("%+v, want %s", l.Problems, want)
		}
	}
}

// TestTwentyStrangeKeysAreNamed of thirty: nobody mends more at once.
func TestTwentyStrangeKeysAreNamed(t *testing.T) {
	var b strings.Builder
	for i := range 30 {
		fmt.Fprintf(&b, `,"strange%02d":1`, i)
	}
	var e Entry
	strange, err := parseLine([]byte(`{"id":1,"time":"2026-11-25T03:00:00Z","kind":"note","note":"x"`+b.String()+`}`), &e, &pool{})
	if err != nil || len(strange) != 20 || !strings.Contains(strange[19], "strange19") {
		t.Errorf("%d: %q, %v", len(strange), strange, err)
	}
}

// TestALateEntryIsNotBlamedForOldTrouble: what was impossible before it does not make it impossible; what it makes
// impossible does.
func TestALateEntryIsNotBlamedForOldTrouble(t *testing.T) {
	s := slipway(t)
	at := func(h int) time.Time { return start.Add(time.Duration(h) * time.Hour) }
	record := []Entry{
		{ID: 1, Time: at(1), Kind: Draw, Store: "vat-b", Litres: dec("100000")}, // more than there is
		{ID: 2, Time: at(4), Kind: Draw, Store: "vat-a", Litres: dec("200")},
	}
	clock := Clock{Now: at(5), Stated: true}
	for litres, want := range map[string]string{"10": "", "150": "with it, a later one would be impossible", "100000": "more than"} {
		e := Entry{ID: 3, Time: at(2), Kind: Draw, Store: "vat-a", Litres: dec(litres), Late: true}
		err := Validate(s, record, e, clock)
		if (err == nil) != (want == "") || err != nil && !strings.Contains(err.Error(), want) {
			t.Errorf("%s L late: %v, want %q", litres, err, want)
		}
	}
}
