package stock

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/lockedfile"
)

func yes(Log, *Entry) error { return nil }

func clock() time.Time { return start }

func temp(t testing.TB) *Journal {
	j := At(filepath.Join(t.TempDir(), FileName))
	j.glance = 0
	return j
}

func appended(t testing.TB, j *Journal, e Entry) Entry {
	t.Helper()
	got, err := j.Append(e, clock, yes)
	if err != nil {
		t.Fatal(err)
	}
	return got
}

func read(t testing.TB, j *Journal) Log {
	t.Helper()
	l, err := j.Read()
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func content(t testing.TB, j *Journal) string {
	t.Helper()
	data, err := os.ReadFile(j.Path())
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		t.Fatal(err)
	}
	return string(data)
}

var draw = Entry{Kind: Draw, Store: "vat-a", Litres: dec("1.25"), Note: "für <Becken> 3\n"}

func TestAppendedEntriesAreReadBack(t *testing.T) {
	j := temp(t)
	if l := read(t, j); len(l.Entries) != 0 || len(l.Problems) != 0 {
		t.Errorf("a journal that does not exist: %+v", l)
	}
	for i := range 3 {
		if got := appended(t, j, draw); got.ID != i+1 || !got.Time.Equal(start) {
			t.Errorf("appended %+v", got)
		}
	}
	l := read(t, j)
	if len(l.Entries) != 3 || len(l.Problems) != 0 {
		t.Fatalf("read %d entries, problems %v", len(l.Entries), l.Problems)
	}
	e := l.Entries[2]
	if e.ID != 3 || e.Kind != Draw || e.Store != "vat-a" || !e.Litres.Equal(*dec("1.25")) || e.Note != draw.Note || !e.Time.Equal(start) {
		t.Errorf("read back %+v", e)
	}
	want := `{"id":1,"time":"2026-11-25T03:00:00Z","kind":"draw","store":"vat-a","litres":1.25,"note":"für <Becken> 3\n","sum":"`
	if got := content(t, j); !strings.HasPrefix(got, want) || strings.Count(got, "\n") != 3 {
		t.Errorf("file:\n%s", got)
	}
}

func TestRefusedEntryWritesNothing(t *testing.T) {
	j := temp(t)
	appended(t, j, draw)
	before := content(t, j)
	no := errors.New("no")
	if _, err := j.Append(draw, clock, func(l Log, e *Entry) error {
		if len(l.Entries) != 1 || e.ID != 2 {
			t.Errorf("asked about entry %d after %d entries", e.ID, len(l.Entries))
		}
		return no
	}); !errors.Is(err, no) {
		t.Errorf("got %v", err)
	}
	if _, err := j.Append(Entry{Kind: Draw, Store: "x", Litres: dec("-1")}, clock, yes); err == nil {
		t.Error("a negative draw was written")
	}
	if content(t, j) != before {
		t.Error("a refused entry changed the file")
	}
}

// TestTornLastLine cuts the file at every byte of its last line.
func TestTornLastLineIsReportedAndTheNextEntryStandsAlone(t *testing.T) {
	whole := temp(t)
	appended(t, whole, draw)
	first := len(content(t, whole))
	appended(t, whole, draw)
	text := content(t, whole)
	for cut := first + 1; cut < len(text); cut++ {
		j := temp(t)
		if err := os.WriteFile(j.Path(), []byte(text[:cut]), 0o644); err != nil {
			t.Fatal(err)
		}
		l := read(t, j)
		complete := cut == len(text)-1 // only the newline is missing
		if complete != (len(l.Entries) == 2) || complete == (len(l.Problems) == 1) {
			t.Fatalf("cut at %d: %d entries, problems %v", cut, len(l.Entries), l.Problems)
		}
		if !complete && (l.Problems[0].Line != 2 || !l.Problems[0].Lost || !strings.Contains(l.Problems[0].What, "torn")) {
			t.Errorf("cut at %d: %+v", cut, l.Problems[0])
		}
		e := appended(t, j, draw)
		l = read(t, j)
		if last := l.Entries[len(l.Entries)-1]; last.ID != e.ID || len(l.Entries) != e.ID {
			t.Fatalf("cut at %d: after the next entry (%d) the journal reads %+v", cut, e.ID, l.Entries)
		}
		if want := 1; !complete && len(l.Problems) != want {
			t.Errorf("cut at %d: problems %v", cut, l.Problems)
		}
	}
}

func TestChangesByHandAreNoticed(t *testing.T) {
	j := temp(t)
	for _, litres := range []string{"1", "2", "3", "4"} {
		appended(t, j, Entry{Kind: Draw, Store: "vat-a", Litres: dec(litres)})
	}
	lines := strings.SplitAfter(content(t, j), "\n")
	for _, c := range []struct {
		name    string
		text    string
		entries int
		line    int
	}{
		{"amount changed", strings.Replace(strings.Join(lines, ""), `"litres":2`, `"litres":5`, 1), 4, 2},
		{"line removed", lines[0] + lines[2] + lines[3], 3, 2},
		{"lines swapped", lines[0] + lines[2] + lines[1] + lines[3], 4, 2},
		{"line written by hand", lines[0] + `{"id":9,"time":"2026-11-25T03:00:00Z","kind":"tested","store":"vat-a"}` + "\n" + lines[1] + lines[2] + lines[3], 5, 2},
		{"first line removed", lines[1] + lines[2] + lines[3], 3, 1},
		{"id twice", lines[0] + lines[0] + lines[1], 2, 2},
	} {
		l := Parse([]byte(c.text))
		if len(l.Entries) != c.entries || len(l.Problems) == 0 || l.Problems[0].Line != c.line {
			t.Errorf("%s: %d entries, problems %v", c.name, len(l.Entries), l.Problems)
		}
	}
	// Line ends of another system and empty lines are not a change.
	if l := Parse([]byte(strings.ReplaceAll(strings.Join(lines, "\n"), "\n", "\r\n"))); len(l.Entries) != 4 || len(l.Problems) != 0 {
		t.Errorf("with CRLF: %d entries, problems %v", len(l.Entries), l.Problems)
	}
}

// TestOneDamagedNumberIsSaidOnce: a line that is skipped and "this line or the one before it … counts as it
// stands" were said of one entry, and of the last one that "the end of the journal was cut off" too.
func TestOneDamagedNumberIsSaidOnce(t *testing.T) {
	const damaged = `"litres":-`
	for _, c := range []struct {
		name, amount, by string
		line, entries    int
	}{
		{"in the middle", `"litres":2`, damaged + "2", 2, 3},
		{"in the middle, its end too", `"litres":2,"sum"`, `"litres":2x,"su`, 2, 3},
		{"in the last line", `"litres":4`, damaged + "4", 4, 3},
		{"in the last line, its end too", `"litres":4,"sum"`, `"litres":4x,"su`, 4, 3},
		{"in the first line", `"litres":1`, damaged + "1", 1, 3},
	} {
		j := temp(t)
		for _, litres := range []string{"1", "2", "3", "4"} {
			appended(t, j, Entry{Kind: Draw, Store: "vat-a", Litres: dec(litres)})
		}
		if err := os.WriteFile(j.Path(), []byte(strings.Replace(content(t, j), c.amount, c.by, 1)), 0o644); err != nil {
			t.Fatal(err)
		}
		l := read(t, j)
		if len(l.Entries) != c.entries || len(l.Problems) != 1 || l.Problems[0].Line != c.line || !strings.Contains(l.Problems[0].What, "is skipped") {
			t.Errorf("%s: %d entries, problems %v", c.name, len(l.Entries), l.Problems)
		}
		next := appended(t, j, draw)
		if l := read(t, j); next.ID != 5 || len(l.Problems) != 1 || len(l.Entries) != c.entries+1 {
			t.Errorf("%s: after entry %d, problems %v", c.name, next.ID, l.Problems)
		}
	}
	// What is skipped does not hide that a later line was changed, or that more is missing.
	j := temp(t)
	for _, litres := range []string{"1", "2", "3", "4"} {
		appended(t, j, Entry{Kind: Draw, Store: "vat-a", Litres: dec(litres)})
	}
	lines := strings.SplitAfter(content(t, j), "\n")
	lines[1] = strings.Replace(lines[1], `"litres":2`, damaged+"2", 1)
	if l := Parse([]byte(lines[0] + lines[1] + strings.Replace(lines[2], `"litres":3`, `"litres":5`, 1) + lines[3])); len(l.Problems) != 2 || l.Problems[1].Line != 3 {
		t.Errorf("a later line changed: %v", l.Problems)
	}
	if err := os.WriteFile(j.Path(), []byte(lines[0]+lines[1]), 0o644); err != nil {
		t.Fatal(err)
	}
	if l := read(t, j); len(l.Problems) != 2 || !strings.Contains(l.Problems[1].What, "numbers 3 to 4 are missing") {
		t.Errorf("cut off behind it: %v", l.Problems)
	}
}

func TestUnreadableLinesAreNamedAndSkipped(t *testing.T) {
	for _, c := range []struct{ line, want string }{
		{`{"id":1,`, "not a whole JSON object"},
		{`[1]`, "a JSON object is expected"},
		{`{"id":"x"}`, "id does not take a string"},
		{`{"id":0,"time":"2026-11-25T03:00:00Z","kind":"draw"}`, "id is 0"},
		{`{"id":1,"time":"yesterday","kind":"draw"}`, `time is "yesterday"`},
		{`{"id":1,"time":"2026-11-25T03:00:00Z"}`, "kind is missing"},
		{`{"id":1,"time":"1969-12-31T23:00:00Z","kind":"x"}`, "time is in the year 1969; 1970 to 9998 is allowed"},
		{`{"id":1,"time":"2026-11-25T03:00:00Z","kind":"draw"}`, "draw needs a store"},
		{`{"id":1,"time":"2026-11-25T03:00:00Z","kind":"draw","store":"a","litres":1e9999}`, "too long or too large"},
		{`{"id":1,"time":"2026-11-25T03:00:00Z","kind":"draw","store":"a","litres":1e99999}`, "not a plain number"},
		{`{"id":1,"time":"2026-11-25T03:00:00Z","kind":"draw","store":"a","litres":0.0000000001}`, "at most 9 decimals"},
		{`{"id":1,"time":"2026-11-25T03:00:00Z","kind":"draw","store":"a","litres":-1}`, "litres is -1"},
		{`{"id":1,"time":"2026-11-25T03:00:00Z","kind":"draw","store":"a","litres":` + strings.Repeat("1", 50) + `}`, "not a plain number"},
		{`{"id":1,"time":"2026-11-25T03:00:00Z","kind":"dip","store":"a","litres":1,"level_cm":1}`, "either level_cm or litres"},
		{`{"id":1,"time":"2026-11-25T03:00:00Z","kind":"mixed","store":"a","used_kg":1}`, "salt and used_kg together"},
		{`{"id":1,"time":"2026-11-25T03:00:00Z","kind":"salt","salt":"house"}`, "one of kg, bought_kg and used_kg"},
		{`{"id":1,"time":"2026-11-25T03:00:00Z","kind":"undo"}`, "undo needs the id"},
		{`{"id":1,"time":"2026-11-25T03:00:00Z","kind":"tested","store":"a","salinity":43}`, "salinity is 43"},
		{`{"id":1,"time":"2026-11-25T03:00:00Z","kind":"tested","store":"a","temp_c":-1}`, "temp_c is -1"},
		{`{"id":1,"time":"2026-11-25T03:00:00Z","kind":"tested","store":"a","note":"` + strings.Repeat("n", maxText+1) + `"}`, "longer than"},
		{strings.Repeat("x", maxLine+1), "bytes long"},
		{"\x00\x00\x00", "not a whole JSON object"},
	} {
		good := `{"id":7,"time":"2026-11-25T03:00:00Z","kind":"tested","store":"a"}` + "\n"
		l := Parse([]byte(c.line + "\n" + good))
		if len(l.Entries) != 1 || l.Entries[0].ID != 7 {
			t.Errorf("%.60s: entries %+v", c.line, l.Entries)
		}
		if len(l.Problems) == 0 || l.Problems[0].Line != 1 || !strings.Contains(l.Problems[0].What, c.want) {
			t.Errorf("%.60s: %v, want …%s…", c.line, l.Problems, c.want)
		}
	}
}

func TestFileChangedWhileAnEntryIsPrepared(t *testing.T) {
	for name, meddle := range map[string]func(path string, text string) error{
		"overwritten": func(path, text string) error { return os.WriteFile(path, []byte(text+"\n\n"), 0o644) },
		"replaced": func(path, text string) error {
			if err := os.WriteFile(path+"~", []byte(text), 0o644); err != nil {
				return err
			}
			return os.Rename(path+"~", path)
		},
		"removed": func(path, _ string) error { return os.Remove(path) },
	} {
		j := temp(t)
		appended(t, j, draw)
		text := content(t, j)
		var after string
		_, err := j.Append(draw, clock, func(Log, *Entry) error {
			err := meddle(j.Path(), text)
			after = content(t, j)
			return err
		})
		if err == nil || name != "removed" && !errors.Is(err, ErrChanged) {
			t.Errorf("%s: got %v", name, err)
		}
		if got := content(t, j); got != after {
			t.Errorf("%s: the file was written to:\n%s", name, got)
		}
	}
}

// TestEveryStepThatCanFail makes the k-th file operation fail, for every k and
// every kind of failure, until an append succeeds untouched.
func TestEveryStepThatCanFailLeavesTheOldContent(t *testing.T) {
	broken := errors.New("input/output error")
	for _, existing := range []int{0, 2} {
		for _, truncateFails := range []bool{false, true} {
			for _, short := range []int{0, 10, 1 << 20} {
				done := false
				for k := 1; !done; k++ {
					j := temp(t)
					for range existing {
						appended(t, j, draw)
					}
					old := content(t, j)
					failing(j, k, short, truncateFails, broken)
					e, err := j.Append(draw, clock, yes)
					got := content(t, j)
					switch {
					case err == nil:
						done = true
						if e.ID != existing+1 {
							t.Errorf("k %d: id %d", k, e.ID)
						}
					case !errors.Is(err, broken):
						t.Errorf("k %d: %v", k, err)
					case !strings.HasPrefix(got, old):
						t.Errorf("k %d: old content is gone: %q, was %q", k, got, old)
					case !truncateFails && got != old:
						t.Errorf("k %d: %q was left behind", k, got[len(old):])
					}
					healthy := At(j.Path())
					next := appended(t, healthy, draw)
					l := read(t, healthy)
					if len(l.Entries) < existing+1 || l.Entries[len(l.Entries)-1].ID != next.ID {
						t.Errorf("k %d: after repair %+v", k, l)
					}
					if k > 20 {
						t.Fatal("an append takes more than 20 steps")
					}
				}
			}
		}
	}
}

// failing makes the k-th operation of a journal fail; a failing write first
// writes up to short bytes.
func failing(j *Journal, k, short int, truncateFails bool, broken error) {
	count := 0
	next := func() error {
		if count++; count == k {
			return broken
		}
		return nil
	}
	d := j.disk
	j.disk = disk{
		setMark: d.setMark,
		lock: func(path string) (*lockedfile.File, error) {
			if err := next(); err != nil {
				return nil, err
			}
			return d.lock(path)
		},
		open: func(path string) (*os.File, error) {
			if err := next(); err != nil {
				return nil, err
			}
			return d.open(path)
		},
		stat: func(path string) (fs.FileInfo, error) {
			if err := next(); err != nil {
				return nil, err
			}
			return d.stat(path)
		},
		write: func(f *os.File, b []byte, at int64) (int, error) {
			if err := next(); err != nil {
				n, _ := f.WriteAt(b[:min(short, len(b))], at)
				return n, err
			}
			return d.write(f, b, at)
		},
		sync: func(f *os.File) error {
			if err := next(); err != nil {
				return err
			}
			return d.sync(f)
		},
		syncDir: func(path string) error {
			if err := next(); err != nil {
				return err
			}
			return d.syncDir(path)
		},
		truncate: func(f *os.File, size int64) error {
			if truncateFails {
				return errors.New("cannot truncate")
			}
			return d.truncate(f, size)
		},
	}
}

func TestJournalsThatCannotBeOpened(t *testing.T) {
	j := At(t.TempDir())
	if _, err := j.Read(); err == nil {
		t.Error("a folder was read as a journal")
	}
	if _, err := j.Append(draw, clock, yes); err == nil {
		t.Error("an entry was appended to a folder")
	}
	if err := syncDir(filepath.Join(t.TempDir(), "none")); err == nil {
		t.Error("a folder that does not exist was synced")
	}
}

func TestEntriesThatDoNotFit(t *testing.T) {
	j := temp(t)
	e := Entry{Kind: Remark, Data: []byte(fmt.Sprintf("%q", strings.Repeat("d", maxLine)))}
	if _, err := j.Append(e, clock, yes); err == nil || !strings.Contains(err.Error(), "bytes long") {
		t.Errorf("got %v", err)
	}
	e.Data = []byte("{")
	if _, err := j.Append(e, clock, yes); err == nil {
		t.Error("data that is not JSON was written")
	}
	if content(t, j) != "" {
		t.Error("something was written")
	}
}
