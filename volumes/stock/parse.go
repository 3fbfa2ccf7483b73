package stock

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"
	"time"

	"github.com/shopspring/decimal"

	"tidehold/refs"
	"tidehold/refs/units"
)

const (
	// maxLine is the longest line read, in bytes.
	maxLine = 64 << 10
	// maxProblems is how many problems are listed; nobody mends more at once.
	maxProblems = 20
	// maxRubbish is how many lines that are no entry are read: a file with more is no
	// journal.
	maxRubbish = 200_000
)

// Problem is something about the journal's text that a keeper should know.
type Problem struct {
	// Line counts from 1; 0 is the journal as a whole.
	Line int
	What string
	// Lost is true if the line could not be read and its entry does not count.
	Lost bool
}

// Log is a journal as read.
type Log struct {
	// Entries in the order of the file.
	Entries []Entry
	// Problems are the first of them; Unlisted counts the rest.
	Problems []Problem
	Unlisted int
	// sum is the checksum the next line continues from; lines counts lines begun.
	sum   uint32
	lines int
	// highest is the highest id, of the entries or in the mark.
	highest int
	// open is true if the last line has no newline; partial if it could not be
	// read either, so that it may be in the middle of being written.
	open, partial bool
	// rubbish counts the lines that are no entry; given up says that there were too
	// many to read on.
	rubbish int
	givenUp bool
	// skipped counts the lines that are no entry since the last that is, and skippedSum is the checksum that
	// the last of them still has, nil where that is gone too: what they were is said, and the next line is
	// not blamed for it.
	skipped    int
	skippedSum *uint32
}

// LastID is the highest id in the journal, 0 if it is empty; an id that was given to an entry
// which is no longer there counts too, so that it is not given again.
func (l Log) LastID() int { return l.highest }

func (l *Log) problem(line int, lost bool, format string, args ...any) {
	if len(l.Problems) == maxProblems {
		l.Unlisted++
		return
	}
	l.Problems = append(l.Problems, Problem{line, fmt.Sprintf(format, args...), lost})
}

// bom is what some editors put before a text in UTF-8.
var bom = []byte("\xef\xbb\xbf")

// Parse reads a journal. It never fails: lines that cannot be read are reported
// by number and passed over, the more so a last line torn by a crash.
func Parse(data []byte) Log {
	l, _ := parse(bytes.NewReader(data), int64(len(data)), mark{}) // reading memory cannot fail
	return l
}

// parse reads a journal of about size bytes line by line, so that a long one need not be
// held as text, and looks for the entry that m says was the last one written. The error
// is the reader's.
func parse(r io.Reader, size int64, m mark) (Log, error) {
	in := bufio.NewReaderSize(r, maxLine+2)
	p := parser{found: m.ID == 0, m: m, size: size}
	for {
		line, err := in.ReadSlice('\n')
		long := errors.Is(err, bufio.ErrBufferFull)
		for errors.Is(err, bufio.ErrBufferFull) { // what is cut off of such a line is not missed
			_, err = in.ReadSlice('\n')
		}
		ended := err == nil
		if err != nil && !errors.Is(err, io.EOF) {
			return Log{}, err
		}
		if ended || len(line) > 0 {
			p.line(line, ended, long)
		}
		if p.rubbish > maxRubbish {
			p.givenUp = true
			p.Problems[len(p.Problems)-1] = Problem{p.lines, fmt.Sprintf("what follows is not read: more than %d lines are no entries, so that this is no journal; move it away", maxRubbish), true}
			break
		}
		if !ended {
			break
		}
	}
	p.highest = max(p.highest, m.ID)
	if !p.found {
		p.missing(m)
	}
	return p.Log, nil
}

// parser is a journal being read.
type parser struct {
	Log
	m     mark
	found bool
	seen  idSet
	pool  pool
	size  int64
	read  int64
}

// line takes one line, newline included; long says that only its beginning is there.
func (p *parser) line(line []byte, ended, long bool) {
	p.read += int64(len(line))
	p.lines++
	p.open = !ended
	if p.lines == 1 {
		line = bytes.TrimPrefix(line, bom)
	}
	line = bytes.TrimSuffix(bytes.TrimSuffix(line, []byte("\n")), []byte("\r"))
	if len(bytes.TrimSpace(line)) == 0 {
		return
	}
	if long {
		p.unreadable(nil, fmt.Errorf("more than %d bytes long", maxLine), ended)
		return
	}
	e := p.room()
	before := p.Entries[:len(p.Entries)-1]
	strange, err := parseLine(line, e, &p.pool)
	if err != nil {
		p.Entries = before
		p.unreadable(line, err, ended)
		p.found = p.found || p.skippedSum != nil && *p.skippedSum == p.m.Sum
		return
	}
	sound := p.follow(line)
	p.found = p.found || e.ID == p.m.ID && p.sum == p.m.Sum
	if p.seen.has(e.ID, before) {
		p.problem(p.lines, true, "id %d is on a line above already; only that one counts", e.ID)
		p.Entries = before
		return
	}
	p.judge(*e, before, strange, sound)
	p.highest = max(p.highest, e.ID)
	p.skipped, p.skippedSum = 0, nil
}

// room makes room for one more entry: after the first thousand for as many as the file
// will have by their length, since growing by doubling would take twice the memory.
func (p *parser) room() *Entry {
	const sample = 1000
	if n := len(p.Entries); n == sample && n == cap(p.Entries) && p.size > p.read {
		rest := int(float64(p.size-p.read) / float64(p.read) * float64(p.lines) * 1.03)
		p.Entries = slices.Grow(p.Entries, rest+sample)
	}
	if p.Entries == nil {
		p.Entries = make([]Entry, 0, sample)
	}
	p.Entries = append(p.Entries, Entry{})
	return &p.Entries[len(p.Entries)-1]
}

// judge names what in a readable entry does not count, and numbers that are missing
// before it.
func (l *Log) judge(e Entry, before []Entry, strange []string, sound bool) {
	if text := e.Kind.unknown(); text != "" {
		l.problem(l.lines, true, "%s; the entry does not count", text)
	}
	for _, text := range strange {
		l.problem(l.lines, false, "%s; it does not count, the rest of the entry does", text)
	}
	last := 0
	if len(before) > 0 {
		last = before[len(before)-1].ID
	}
	// Where a line was taken out of the middle the checksum says so already.
	if first := last + 1 + l.skipped; sound && first < e.ID && len(before) > 0 {
		l.problem(l.lines, false, "%s before it: what was written there was cut off and does not count; dip the vats", missingNumbers(first, e.ID-1))
	}
}

func missingNumbers(from, to int) string {
	if from == to {
		return fmt.Sprintf("number %d is missing", from)
	}
	return fmt.Sprintf("numbers %d to %d are missing", from, to)
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
func (l *Log) unreadable(line []byte, err error, ended bool) {
	l.rubbish++
	l.skipped, l.skippedSum = l.skipped+1, nil
	if _, sum, ok := split(line); ok {
		l.skippedSum = &sum
	}
	if !ended {
		l.partial = true
		l.problem(l.lines, true, "the last line is torn, as after a power cut, and is skipped; if you entered something just then, enter it again")
		return
	}
	l.problem(l.lines, true, "cannot be read (%v) and is skipped: what was entered there does not count; enter it again or dip the vats", err)
}

// follow checks a line's checksum against the line before; it is true if they fit.
func (l *Log) follow(line []byte) bool {
	text, sum, ok := split(line)
	if !ok {
		l.problem(l.lines, false, "has no checksum: it was written by hand; what of it is known counts")
		l.sum = chain(l.sum, line)
		return false
	}
	sound := chain(l.sum, text) == sum || l.skipped > 0 && (l.skippedSum == nil || chain(*l.skippedSum, text) == sum)
	if !sound {
		l.problem(l.lines, false, "this line or the one before it was changed, added or removed by hand; it counts unless it is said to be passed over")
	}
	l.sum = sum
	return sound
}

var errNotWhole = errors.New("it is not a whole JSON object")

// parseLine reads one entry into e. strange words the keys that are not known.
func parseLine(line []byte, e *Entry, p *pool) (strange []string, err error) {
	if len(line) > maxLine {
		return nil, fmt.Errorf("%d bytes long, at most %d allowed", len(line), maxLine)
	}
	if !scanPlain(line, e, p) {
		*e = Entry{}
		if strange, err = parseFull(line, e); err != nil {
			return nil, err
		}
	}
	if e.ID < 1 {
		return nil, fmt.Errorf("id is %d; 1 or more is allowed", e.ID)
	}
	return strange, e.check()
}

// parseFull reads any JSON object, by its known keys.
func parseFull(line []byte, e *Entry) ([]string, error) {
	line = bytes.TrimSpace(line)
	if first, last := line[0], line[len(line)-1]; first != '{' && first != '[' || last != '}' && last != ']' {
		return nil, errNotWhole // what most rubbish is, without the cost of a decoder
	}
	var keys map[string]json.RawMessage
	if err := json.Unmarshal(line, &keys); err != nil {
		return nil, plainJSON(err)
	}
	var strange []string
	for _, key := range slices.Sorted(maps.Keys(keys)) {
		if slices.Contains(wireKeys, key) {
			continue
		}
		hint := ""
		if near, ok := refs.Nearest(clip(key), wireKeys); ok {
			hint = "; " + refs.DidYouMean(near)
		}
		if len(strange) < maxProblems {
			strange = append(strange, fmt.Sprintf("key %q is not known%s", clip(key), hint))
		}
		delete(keys, key)
	}
	if len(strange) > 0 {
		// encoding/json would take a known key in other letters.
		line = JSONOf(keys)
	}
	var w wire
	if err := json.Unmarshal(line, &w); err != nil {
		return nil, plainJSON(err)
	}
	return strange, w.entry(e)
}

// entry turns the text of a line into values.
func (w wire) entry(e *Entry) (err error) {
	*e = Entry{ID: w.ID, Kind: w.Kind, Store: w.Store, SaltID: w.Salt, Salinity: w.Salinity, TemperatureC: w.TempC,
		Undoes: w.Undoes, Late: w.Late, Note: w.Note, Data: w.Data}
	if e.ID < 1 {
		return fmt.Errorf("id is %d; 1 or more is allowed", e.ID)
	}
	if e.Time, err = time.Parse(time.RFC3339Nano, w.Time); err != nil {
		return fmt.Errorf("time is %q; RFC 3339 is expected", clip(w.Time))
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
			return fmt.Errorf("%s is %s, not a plain number", f.name, clip(string(f.text)))
		}
		*f.to = &d
	}
	return nil
}

// plainJSON words the decoder's errors without its type names.
func plainJSON(err error) error {
	var wrong *json.UnmarshalTypeError
	if errors.As(err, &wrong) {
		field := wrong.Field
		if field == "" {
			return fmt.Errorf("a JSON object is expected")
		}
		return fmt.Errorf("%s does not take %s", field, units.An(wrong.Value))
	}
	return errNotWhole
}

// clip keeps a message short and free of control characters.
func clip(s string) string {
	if len(s) > 40 {
		s = s[:40] + "…"
	}
	return strings.Map(func(r rune) rune {
		if r < ' ' || r >= 0x7f && r < 0xa0 {
			return '?'
		}
		return r
	}, strings.ToValidUTF8(s, "?"))
}
