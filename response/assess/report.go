package assess

import (
	"fmt"
	"strings"
	"time"

	"tidehold/refs"
	"tidehold/refs/units"
)

// Reading is one line of a laboratory report, brought to µg/L.
type Reading struct {
	Contaminant refs.Contaminant
	// Fraction is "dissolved", "total" or "" where the report does not say.
	Fraction string
	// UgL is the result in µg/L, U its expanded uncertainty at about 95 %, 0 when not
	// stated. Below says the result is "<UgL", Over that it is ">UgL".
	UgL, U      float64
	Below, Over bool
	// Line of the report, from 1.
	Line int
}

// Report is a laboratory's file as it was understood.
type Report struct {
	Readings []Reading
	// Passed are the lines that are not judged: no contaminant of the tables, or no
	// result, with why.
	Passed []Passed
	// SampledAt is when the sample was taken, in the report's own words turned to a
	// date; zero when it does not say, or says it ambiguously (Notes).
	SampledAt time.Time
	// HasClock says that SampledAt has a time of day.
	HasClock bool
	// PH, Salinity and Temperature are what the report says of the water, nil when it
	// does not.
	PH, Salinity, Temperature *float64
	// Notes say how the file was read, a line each: its encoding, its decimal mark.
	Notes []string
}

// Passed is a line that is not judged.
type Passed struct {
	Name   string `json:"name"`
	Reason string `json:"reason"`
}

// Options are what a keeper says about the file; the zero value asks the file.
type Options struct {
	// Density in kg/L turns results per kilogram into results per litre.
	Density float64
	// Columns names the columns, by number from 1 or by heading: ParseColumns.
	Columns map[string]string
	// Decimal is "point", "comma" or "".
	Decimal string
}

// Read reads a laboratory's own report: fields separated by commas, semicolons or
// tabs, title lines above the headings, headings in six languages, decimal commas
// where the file is consistent, results such as "<0,5", "n.d." or "12 ± 2 µg/L", units
// by mass or moles per litre or kilogram. It returns every fault found, at most
// twenty; the report is only meaningful when there is none. A file whose headings are
// not understood is one fault that says what was read, what is needed and how a
// report that works looks.
//
// The time it takes grows with the size of the file, of which it reads a megabyte.
func Read(name string, data []byte, o Options) (Report, []error) {
	if err := tooMuch(name, len(data)); err != nil {
		return Report{}, []error{err}
	}
	text, encoding := decode(data)
	if strings.TrimSpace(strings.Trim(text, "\x00")) == "" {
		return Report{}, []error{fmt.Errorf("%s: the report is empty; %s", name, needed)}
	}
	find := findLayout
	if len(o.Columns) > 0 {
		find = func(text string) ([]row, layout, rune, bool) { return namedLayout(text, o.Columns) }
	}
	rows, l, separator, ok := find(text)
	if !ok && len(o.Columns) == 0 {
		var two int
		if rows, l, separator, two, ok = across(text); two > 0 {
			return Report{}, []error{Fault{name, two, 1, "a second sample; leave in the line of one, below the headings"}}
		}
	}
	if !ok {
		return Report{}, []error{notUnderstood(name, text, o.Columns)}
	}
	if err := tooMany(name, rows); err != nil {
		return Report{}, []error{err}
	}
	if l.rival != "" {
		first, at := rows[l.body-1].at(l.at[valueColumn])
		return Report{}, []error{Fault{name, rows[l.body-1].line, at, fmt.Sprintf("%s and %s could both be the value; say which with --columns, e.g. --columns analyte=%d,value=%d",
			shown(first), shown(l.rival), l.at[analyteColumn]+1, l.at[valueColumn]+1)}}
	}
	r := reader{name: name, layout: l, options: o, seen: map[string]int{}}
	r.titles(rows[:max(0, l.body-1)])
	r.body(rows[l.body:], separator)
	if encoding != "" {
		r.report.Notes = append(r.report.Notes, "read as "+encoding)
	}
	if len(r.faults) > maxFaults {
		more := len(r.faults) - maxFaults
		r.faults = append(r.faults[:maxFaults:maxFaults], fmt.Errorf("%s: and %d more", name, more))
	}
	return r.report, r.faults
}

// maxFaults are told at most; the rest is counted.
const maxFaults = 20

// needed says what a report must have, with the shortest that works.
const needed = `needed are headings for the analyte, the value and the unit, as in:
analyte;value;unit
copper;12.4;ug/L
zinc;<5;ug/L
or say which column is which, e.g. --columns analyte=1,value=3,unit=4`

// notUnderstood is the fault of a file without headings that are known: the first line
// that looks like them, cut as it was read.
func notUnderstood(name, text string, columns map[string]string) error {
	rows := rowsOf(text, ';')
	for _, c := range separators {
		if candidate := rowsOf(text, c); widest(candidate) > widest(rows) {
			rows = candidate
		}
	}
	best := row{line: 1}
	for _, r := range rows[:min(60, len(rows))] {
		if len(r.cells) > len(best.cells) {
			best = r
		}
	}
	var fields []string
	for _, c := range best.cells[:min(8, len(best.cells))] {
		fields = append(fields, shown(c.text))
	}
	what := "no line has headings that are known"
	if len(columns) > 0 {
		what = "no line has the columns that --columns names"
	}
	return Fault{name, best.line, 1, fmt.Sprintf("%s; read here: %s; %s", what, strings.Join(fields, ", "), needed)}
}

func widest(rows []row) int {
	n := 0
	for _, r := range rows[:min(60, len(rows))] {
		n = max(n, len(r.cells))
	}
	return n
}

// reader is a report under way.
type reader struct {
	name    string
	layout  layout
	options Options
	marks   convention
	seen    map[string]int // line by id and fraction
	// guesses are how many unknown names were still compared with those known.
	guesses int
	report  Report
	faults  []error
}

func (r *reader) fault(line, column int, format string, args ...any) {
	r.faults = append(r.faults, Fault{r.name, line, column, fmt.Sprintf(format, args...)})
}

// passedOver lists a line that is not judged.
func (r *reader) passedOver(name, reason string) {
	r.report.Passed = append(r.report.Passed, Passed{strings.Trim(shown(name), `"`), reason})
}

// body reads the results: first their numbers together, for the decimal mark.
func (r *reader) body(rows []row, separator rune) {
	clash := r.decide(rows, separator)
	if clash != nil {
		r.fault(clash.line, clash.column, "%q has another decimal mark than %q on line %d; say which is right with --decimal point or --decimal comma", clash.text, r.marks.text, r.marks.line)
		return
	}
	if r.marks.comma && r.marks.line > 0 {
		r.report.Notes = append(r.report.Notes, fmt.Sprintf("decimal commas (%s on line %d)", r.marks.text, r.marks.line))
	}
	for _, row := range rows {
		r.line(row)
	}
}

// decide settles the decimal mark from every number in the columns that hold some.
func (r *reader) decide(rows []row, separator rune) *placed {
	var numbers []placed
	for _, row := range rows {
		for _, which := range []role{valueColumn, spreadColumn, limitColumn} {
			text, column := row.at(r.layout.column(which))
			if silence(text) != spoken {
				continue
			}
			w, err := cutValue(strings.TrimLeft(text, "±+-/ "))
			if err != nil {
				continue
			}
			for _, n := range []string{w.number, w.spread} {
				if n != "" {
					numbers = append(numbers, placed{n, row.line, column})
				}
			}
		}
	}
	var clash *placed
	r.marks, clash = settle(numbers, separator, r.options.Decimal)
	return clash
}

// line reads one line.
func (r *reader) line(row row) {
	if row.broken > 0 {
		r.fault(row.line, row.broken, "the quotation marks on this line do not match; quote a whole field or none of it")
		return
	}
	if r.layout.width > 0 && len(row.cells) > r.layout.width && strings.TrimSpace(row.cells[r.layout.width].text) != "" {
		r.fault(row.line, row.cells[r.layout.width].column, "%d fields under %d headings; a decimal comma needs quotation marks where commas separate, and every column a name", len(row.cells), r.layout.width)
		return
	}
	name, column := row.at(r.layout.column(analyteColumn))
	value, valueAt := row.at(r.layout.column(valueColumn))
	if name == "" {
		if silence(value) == spoken {
			r.fault(row.line, column, "no analyte on this line")
		}
		return
	}
	if _, again := headingRow(row); again {
		return // the headings once more, on a second page
	}
	if text, _ := row.at(r.layout.column(sampledColumn)); text != "" {
		r.sampled(text, row.line)
	}
	a, known := find(name)
	if !known {
		r.unknown(row, name, column, value)
		return
	}
	if a.why != "" {
		r.aboutTheWater(name, value)
		r.passedOver(name, a.why)
		return
	}
	if reading, ok := r.reading(row, a, name, value, valueAt); ok {
		r.keep(reading, column)
	}
}

// unknown lists a name that no table has; one that looks like a slip of the keys is a
// fault, for a copper that is not read would be a false all-clear.
func (r *reader) unknown(row row, name string, column int, value string) {
	const most = 20
	if silence(value) == spoken && len(row.cells) > 1 && r.guesses < most {
		r.guesses++
		if near, ok := nearest(name); ok {
			r.fault(row.line, column, "%s is not an analyte in the tables; did you mean %q? See tidehold refs contaminants, or leave the line out", shown(name), near)
			return
		}
	}
	if len(row.cells) > 1 && value != "" {
		r.passedOver(name, notInTables)
	}
}

// aboutTheWater keeps what the report says of pH, salinity and temperature.
func (r *reader) aboutTheWater(name, value string) {
	w, err := cutValue(value)
	if err != nil {
		return
	}
	x, err := r.marks.read(w.number)
	if err != nil {
		return
	}
	key := fold(name)
	switch {
	case key == "ph" || strings.HasPrefix(key, "phwert") || strings.HasPrefix(key, "ph("):
		r.report.PH = &x
	case strings.HasPrefix(key, "salin") && x <= 42:
		r.report.Salinity = &x
	case strings.HasPrefix(key, "temp") && x <= 40:
		r.report.Temperature = &x
	}
}

// keep takes a reading, once for each analyte and fraction.
func (r *reader) keep(reading Reading, column int) {
	key := reading.Contaminant.ID + "/" + reading.Fraction
	if first := r.seen[key]; first != 0 {
		r.fault(reading.Line, column, "%s is here twice, first on line %d; keep one result", reading.Contaminant.ID, first)
		return
	}
	r.seen[key] = reading.Line
	r.report.Readings = append(r.report.Readings, reading)
}

// most is the largest concentration a result may be, µg/L: a kilogram in a litre.
const most = 1e9

// tooLarge says so with a unit that a reader knows.
func tooLarge(id, value, unit string) string {
	return fmt.Sprintf("%s: %s %s is more than a kilogram in a litre; at most %s", id, value, unit, units.Dissolved(most))
}
