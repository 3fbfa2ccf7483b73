package assess

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"

	"tidehold/refs"
	"tidehold/refs/units"
)

// Reading is one line of a laboratory report, brought to µg/L.
type Reading struct {
	Contaminant refs.Contaminant
	// UgL is the result in µg/L, U its expanded uncertainty (k = 2), 0 when not
	// stated. Below says the result is "<UgL".
	UgL, U float64
	Below  bool
	// Line of the report, from 1.
	Line int
}

// Fault is one thing wrong with a report, with its place.
type Fault struct {
	File         string
	Line, Column int
	Message      string
}

func (f Fault) Error() string {
	return fmt.Sprintf("%s:%d:%d: %s", f.File, f.Line, f.Column, f.Message)
}

// maxReport is the largest report read, in bytes: a laboratory report is a few
// kilobytes.
const maxReport = 1 << 20

// columns of a report by their usual headings.
var columns = map[string]string{
	"analyte": "analyte", "parameter": "analyte", "element": "analyte", "name": "analyte", "test": "analyte",
	"value": "value", "result": "value", "measured": "value",
	"unit": "unit", "units": "unit",
	"±": "u", "+-": "u", "+/-": "u", "u": "u", "uncertainty": "u", "expanded uncertainty": "u",
}

// notContaminants are lines a water report often has that are judged elsewhere.
var notContaminants = map[string]bool{
	"salinity": true, "ph": true, "temperature": true, "alkalinity": true, "kh": true, "dkh": true,
	"conductivity": true, "sodium": true, "na": true, "chloride": true, "cl": true, "sulfate": true, "sulphate": true, "so4": true, "sulfur": true, "sulphur": true, "s": true,
}

// Read reads a laboratory report: CSV with a heading line that names analyte,
// value, unit and optionally ±, separated by commas, semicolons or tabs. Density
// in kg/L turns results per kilogram into results per litre. It returns every
// reading, the names of lines passed over because they are no contaminants, and
// every fault found; readings are only meaningful when there is no fault.
func Read(name string, data []byte, density float64) (readings []Reading, passed []string, faults []error) {
	if len(data) > maxReport {
		return nil, nil, []error{fmt.Errorf("%s: %d bytes; a report has at most %d", name, len(data), maxReport)}
	}
	text := strings.TrimPrefix(string(data), "\ufeff")
	if strings.TrimSpace(text) == "" {
		return nil, nil, []error{fmt.Errorf("%s: the report is empty; its first line names the columns: analyte,value,unit,±", name)}
	}
	r := csv.NewReader(strings.NewReader(text))
	r.Comma = separator(text)
	r.FieldsPerRecord = -1
	r.TrimLeadingSpace = true
	r.Comment = '#'
	header, err := r.Read()
	if err != nil {
		return nil, nil, []error{csvFault(name, err)}
	}
	at, err := headings(name, header)
	if err != nil {
		return nil, nil, []error{err}
	}
	seen := map[string]int{}
	for {
		row, err := r.Read()
		if errors.Is(err, io.EOF) {
			return readings, passed, faults
		}
		if err != nil {
			return readings, passed, append(faults, csvFault(name, err))
		}
		if len(row) > len(header) {
			n, column := r.FieldPos(len(header))
			faults = append(faults, Fault{name, n, column, fmt.Sprintf("%d fields under %d headings; name every column in the first line, the uncertainty as ±", len(row), len(header))})
			continue
		}
		reading, skipped, fault := line(name, r, row, at, density)
		switch {
		case fault != nil:
			faults = append(faults, fault)
		case skipped != "":
			passed = append(passed, skipped)
		case seen[reading.Contaminant.ID] != 0:
			_, column := r.FieldPos(at["analyte"])
			faults = append(faults, Fault{name, reading.Line, column, fmt.Sprintf("%s is here twice, first on line %d; keep one result", reading.Contaminant.ID, seen[reading.Contaminant.ID])})
		default:
			seen[reading.Contaminant.ID] = reading.Line
			readings = append(readings, reading)
		}
	}
}

// separator guesses the separator from the heading line.
func separator(text string) rune {
	first, _, _ := strings.Cut(text, "\n")
	best := ','
	for _, c := range []rune{';', '\t'} {
		if strings.Count(first, string(c)) > strings.Count(first, string(best)) {
			best = c
		}
	}
	return best
}

// csvFault keeps the line and column of a broken CSV line, in our words.
func csvFault(name string, err error) error {
	var p *csv.ParseError
	if errors.As(err, &p) {
		return Fault{name, p.Line, p.Column, "the quotation marks on this line do not match; quote a whole field or none of it"}
	}
	return fmt.Errorf("%s: %w", name, err)
}

// headings finds the columns; analyte, value and unit must be there.
func headings(name string, header []string) (map[string]int, error) {
	at := map[string]int{}
	for i, h := range header {
		if c, ok := columns[strings.ToLower(strings.TrimSpace(h))]; ok {
			if _, twice := at[c]; twice {
				return nil, Fault{name, 1, 1, fmt.Sprintf("two columns could be the %s; keep one", c)}
			}
			at[c] = i
		}
	}
	for _, c := range []string{"analyte", "value", "unit"} {
		if _, ok := at[c]; !ok {
			return nil, Fault{name, 1, 1, fmt.Sprintf("no column named %s; the first line names the columns: analyte,value,unit,±", c)}
		}
	}
	return at, nil
}

// line reads one line; skipped names an analyte that is no contaminant.
func line(name string, r *csv.Reader, row []string, at map[string]int, density float64) (reading Reading, skipped string, err error) {
	field := func(c string) (string, Fault) {
		i, ok := at[c]
		if !ok || i >= len(row) {
			n, _ := r.FieldPos(0)
			return "", Fault{File: name, Line: n, Column: 1}
		}
		n, col := r.FieldPos(i)
		return strings.TrimSpace(row[i]), Fault{File: name, Line: n, Column: col}
	}
	fail := func(f Fault, format string, args ...any) (Reading, string, error) {
		f.Message = fmt.Sprintf(format, args...)
		return Reading{}, "", f
	}
	analyte, place := field("analyte")
	if analyte == "" {
		return fail(place, "no analyte on this line")
	}
	if notContaminants[strings.ToLower(analyte)] {
		return Reading{}, analyte, nil
	}
	c, form, near, ok := find(analyte)
	if !ok {
		hint := ""
		if near != "" {
			hint = fmt.Sprintf("; did you mean %q?", near)
		}
		return fail(place, "%q is not an analyte in the tables%s; see tidehold refs contaminants, or leave the line out", analyte, hint)
	}
	value, at1 := field("value")
	unit, at2 := field("unit")
	factor, err := factorOf(unit, c, density)
	if err != nil {
		return fail(at2, "%s: %v", c.ID, err)
	}
	spread, at3 := field("u")
	q, err := units.Parse(value+" ug/L", units.Concentration)
	if err != nil {
		return fail(at1, "%s: %v", c.ID, reworded(err, unit))
	}
	if spread != "" {
		u, err := units.Parse(bareSpread(spread)+" ug/L", units.Concentration)
		if err != nil {
			return fail(at3, "%s: the uncertainty: %v", c.ID, reworded(err, unit))
		}
		q.U = u.Value
	}
	return Reading{Contaminant: c, UgL: q.Value * factor * form, U: q.U * factor * form, Below: q.Below, Line: place.Line}, "", nil
}

// bareSpread takes the sign off an uncertainty written as ±5, +-5 or +/-5.
func bareSpread(s string) string {
	for _, mark := range []string{"±", "+/-", "+-"} {
		if rest, ok := strings.CutPrefix(s, mark); ok {
			return strings.TrimSpace(rest)
		}
	}
	return s
}

// reworded takes the helper unit out of a parse error: the report has its unit in
// a column of its own.
func reworded(err error, unit string) error {
	var e *units.Error
	if !errors.As(err, &e) {
		return err
	}
	found := strings.Replace(e.Found, " ug/L", "", 1)
	msg := found + "; a plain number of " + unit + ", or <x for a result below the reporting limit"
	if e.Hint != "" {
		msg += "; " + strings.Replace(e.Hint, " ug/L", "", 1)
	}
	return errors.New(msg)
}
