package assess

import (
	"fmt"
	"strings"

	"tidehold/refs/units"
)

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
	const mostGuesses = 20 // comparing takes time
	if silence(value) == spoken && len(row.cells) > 1 && r.guesses < mostGuesses {
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

// mostUgL is the largest concentration a result may be: a kilogram in a litre.
const mostUgL = 1e9

// tooLarge says so with a unit that a reader knows.
func tooLarge(id, value, unit string) string {
	return fmt.Sprintf("%s: %s %s is more than a kilogram in a litre; at most %s", id, value, unit, units.Dissolved(mostUgL))
}
