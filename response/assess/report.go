package assess

import (
	"fmt"
	"strings"
	"time"

	"tidehold/refs"
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
	// Decimal is the decimal mark.
	Decimal DecimalMark
}

// DecimalMark is what stands before the decimals of a file; "" where the file shows it.
type DecimalMark string

// The decimal marks.
const (
	DecimalPoint DecimalMark = "point"
	DecimalComma DecimalMark = "comma"
)

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
	s, err := laidOut(name, text, o.Columns)
	if err != nil {
		return Report{}, []error{err}
	}
	r := reader{name: name, layout: s.layout, options: o, seen: map[string]int{}}
	r.titles(s.rows[:max(0, s.body-1)])
	r.body(s.rows[s.body:], s.separator)
	if encoding != "" {
		r.report.Notes = append(r.report.Notes, "read as "+encoding)
	}
	if len(r.faults) > maxFaults {
		more := len(r.faults) - maxFaults
		r.faults = append(r.faults[:maxFaults:maxFaults], fmt.Errorf("%s: and %d more", name, more))
	}
	return r.report, r.faults
}

// laidOut finds out which column holds what: as --columns says, by the headings, or by
// analytes that stand beside each other. The error says why it cannot be told.
func laidOut(name, text string, columns map[string]string) (s sheet, err error) {
	ok, second := false, 0
	if len(columns) > 0 {
		s, ok = namedLayout(text, columns)
	} else if s, ok = findLayout(text); !ok {
		s, second, ok = across(text)
	}
	switch {
	case second > 0:
		return s, Fault{name, second, 1, "a second sample; leave in the line of one, below the headings"}
	case !ok:
		return s, notUnderstood(name, text, columns)
	}
	if err := tooMany(name, s.rows); err != nil {
		return s, err
	}
	if s.rival != "" {
		first, at := s.rows[s.body-1].at(s.at[valueColumn])
		return s, Fault{name, s.rows[s.body-1].line, at, fmt.Sprintf("%s and %s could both be the value; say which with --columns, e.g. --columns analyte=%d,value=%d",
			shown(first), shown(s.rival), s.at[analyteColumn]+1, s.at[valueColumn]+1)}
	}
	return s, nil
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
	for _, r := range top(rows) {
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
	for _, r := range top(rows) {
		n = max(n, len(r.cells))
	}
	return n
}
