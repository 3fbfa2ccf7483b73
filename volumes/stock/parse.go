package stock

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"time"

	"github.com/shopspring/decimal"
)

// maxLine is the longest line read, in bytes.
const maxLine = 64 << 10

// Problem is something about the journal's text that a keeper should know.
type Problem struct {
	// Line counts from 1.
	Line int
	What string
	// Lost is true if the line could not be read and its entry does not count.
	Lost bool
}

// Log is a journal as read.
type Log struct {
	// Entries in the order of the file.
	Entries  []Entry
	Problems []Problem
	// sum is the checksum the next line continues from; lines counts lines begun.
	sum   uint32
	lines int
	// open is true if the last line has no newline; partial if it could not be
	// read either, so that it may be in the middle of being written.
	open, partial bool
}

// LastID is the highest id in the journal, 0 if it is empty.
func (l Log) LastID() int {
	last := 0
	for _, e := range l.Entries {
		last = max(last, e.ID)
	}
	return last
}

// Parse reads a journal. It never fails: lines that cannot be read are reported
// by number and passed over, the more so a last line torn by a crash.
func Parse(data []byte) Log {
	// No entry is shorter than shortest; room for all at once halves the time.
	const shortest = 60
	room := min(bytes.Count(data, []byte("\n"))+1, len(data)/shortest+1)
	l := Log{Entries: make([]Entry, 0, room)}
	seen := idSet{}
	for len(data) > 0 {
		line, rest, ended := bytes.Cut(data, []byte("\n"))
		data = rest
		l.lines++
		l.open = !ended
		line = bytes.TrimSuffix(line, []byte("\r"))
		if len(bytes.TrimSpace(line)) == 0 {
			continue
		}
		e, err := parseLine(line)
		if err != nil {
			l.unreadable(err, ended)
			continue
		}
		l.follow(line)
		if seen.has(e.ID, l.Entries) {
			l.Problems = append(l.Problems, Problem{l.lines, fmt.Sprintf("id %d is on a line above already; only that one counts", e.ID), true})
			continue
		}
		l.Entries = append(l.Entries, e)
	}
	return l
}

// idSet finds an id that comes twice. As long as ids rise, as in every journal
// that no one edited, it keeps none of them.
type idSet struct {
	highest int
	all     map[int]bool
}

// has says whether one of the entries has the id; each id is asked about once,
// before its entry is appended.
func (s *idSet) has(id int, before []Entry) bool {
	if s.all == nil && id > s.highest {
		s.highest = id
		return false
	}
	if s.all == nil {
		s.all = make(map[int]bool, len(before))
		for _, e := range before {
			s.all[e.ID] = true
		}
	}
	twice := s.all[id]
	s.all[id] = true
	return twice
}

// unreadable records a line that is no entry.
func (l *Log) unreadable(err error, ended bool) {
	what := fmt.Sprintf("cannot be read (%v) and is skipped", err)
	if !ended {
		what = "the last line is torn, as after a power cut, and is skipped; if you entered something just then, enter it again"
		l.partial = true
	}
	l.Problems = append(l.Problems, Problem{l.lines, what, true})
}

// follow checks a line's checksum against the line before.
func (l *Log) follow(line []byte) {
	text, sum, ok := split(line)
	switch {
	case !ok:
		l.Problems = append(l.Problems, Problem{l.lines, "has no checksum: it was written by hand; it counts", false})
		l.sum = chain(l.sum, line)
		return
	case chain(l.sum, text) != sum:
		l.Problems = append(l.Problems, Problem{l.lines, "this line or the one before it was changed, added or removed by hand; it counts as it stands", false})
	}
	l.sum = sum
}

// parseLine reads one entry.
func parseLine(line []byte) (Entry, error) {
	if len(line) > maxLine {
		return Entry{}, fmt.Errorf("%d bytes long, at most %d allowed", len(line), maxLine)
	}
	var w wire
	if !scanPlain(line, &w) {
		w = wire{}
		if err := json.Unmarshal(line, &w); err != nil {
			return Entry{}, plainJSON(err)
		}
	}
	e := Entry{ID: w.ID, Kind: w.Kind, Store: w.Store, SaltID: w.Salt, Salinity: w.Salinity, TemperatureC: w.TempC,
		Undoes: w.Undoes, Note: w.Note, Data: w.Data}
	if e.ID < 1 {
		return Entry{}, fmt.Errorf("id is %d; 1 or more is allowed", e.ID)
	}
	var err error
	if e.Time, err = time.Parse(time.RFC3339Nano, w.Time); err != nil {
		return Entry{}, fmt.Errorf("time is %q; RFC 3339 is expected", clip(w.Time))
	}
	for _, f := range []struct {
		name string
		text json.Number
		to   **decimal.Decimal
	}{{"litres", w.Litres, &e.Litres}, {"level_cm", w.LevelCm, &e.LevelCm}, {"kg", w.Kg, &e.Kg}, {"bought_kg", w.BoughtKg, &e.BoughtKg}, {"used_kg", w.UsedKg, &e.UsedKg}} {
		if f.text == "" {
			continue
		}
		d, err := decimal.NewFromString(string(f.text))
		if err != nil || len(f.text) > 40 {
			return Entry{}, fmt.Errorf("%s is %s, not a plain number", f.name, clip(string(f.text)))
		}
		*f.to = &d
	}
	return e, e.check()
}

// plainJSON words the decoder's errors without its type names.
func plainJSON(err error) error {
	var wrong *json.UnmarshalTypeError
	if errors.As(err, &wrong) {
		field := wrong.Field
		if field == "" {
			return fmt.Errorf("a JSON object is expected")
		}
		return fmt.Errorf("%s does not take a %s", field, wrong.Value)
	}
	return errors.New("it is not a whole JSON object")
}

// clip keeps a message short and free of control characters.
func clip(s string) string {
	if len(s) > 40 {
		s = s[:40] + "…"
	}
	return strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f {
			return '?'
		}
		return r
	}, strings.ToValidUTF8(s, "?"))
}
