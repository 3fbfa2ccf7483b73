package stock

import (
	"os"
	"path/filepath"
	"testing"
	"time"
)

// Only a mark that names another site file of this very folder makes a journal foreign.
func TestWhoOwnsAJournal(t *testing.T) {
	dir := t.TempDir()
	for _, name := range []string{"site.yaml", "other.yaml"} {
		if err := os.WriteFile(filepath.Join(dir, name), nil, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	j := Of(filepath.Join(dir, "site.yaml"))
	for owner, foreign := range map[string]bool{"": false, "site.yaml": false, "other.yaml": true, "gone.yaml": false, "../" + filepath.Base(dir) + "/other.yaml": false} {
		if err := j.own(mark{Site: owner}); (err != nil) != foreign {
			t.Errorf("owner %q: %v", owner, err)
		}
	}
	if err := At(filepath.Join(dir, FileName)).own(mark{Site: "other.yaml"}); err != nil {
		t.Errorf("a journal whose site file is not known: %v", err)
	}
}

// What is undone, is no stock or lies ahead of the clock makes no entry late.
func TestWhatMakesAnEntryLate(t *testing.T) {
	s, now := slipway(t), start.Add(time.Hour)
	draw := func(id int, at time.Time) Entry {
		return Entry{ID: id, Kind: Draw, Store: "vat-a", Litres: dec("1"), Time: at}
	}
	for name, c := range map[string]struct {
		log  []Entry
		late bool
	}{
		"after a later one":       {[]Entry{draw(1, start.Add(2*time.Minute))}, true},
		"after one of its minute": {[]Entry{draw(1, start.Add(time.Minute))}, false},
		"after an earlier one":    {[]Entry{draw(1, start)}, false},
		"a note":                  {[]Entry{{ID: 1, Kind: Remark, Time: now}}, false},
		"an undo":                 {[]Entry{draw(1, start), {ID: 2, Kind: Undo, Undoes: 1, Time: now}}, false},
		"one that is undone":      {[]Entry{draw(1, now), {ID: 2, Kind: Undo, Undoes: 1, Time: start}}, false},
		"one ahead of the clock":  {[]Entry{draw(1, now.Add(Ahead+time.Second))}, false},
	} {
		e := draw(9, start.Add(time.Minute))
		if _, err := Post(s, c.log, &e, Clock{Now: now, Stated: true}); err != nil || e.Late != c.late {
			t.Errorf("%s: late %v, %v", name, e.Late, err)
		}
		e = draw(9, start.Add(time.Minute))
		if _, err := Post(s, c.log, &e, Clock{Now: now}); err != nil || e.Late {
			t.Errorf("%s, by the clock: late %v, %v", name, e.Late, err)
		}
	}
}
