package assess

import (
	"strings"
)

// reading reads the result on one line; ok is false when there is none, or a fault.
func (r *reader) reading(row row, a analyte, name, value string, valueAt int) (Reading, bool) {
	reading := Reading{Contaminant: a.contaminant, Fraction: a.fraction, Line: row.line}
	if text, _ := row.at(r.layout.column(fractionColumn)); text != "" && elemental(a.contaminant.ID) {
		if f, _ := cutFraction(text); f != "" {
			reading.Fraction = f
		}
	}
	limit, limitAt := row.at(r.layout.column(limitColumn))
	switch silence(value) {
	case notMeasured:
		r.passedOver(name, "no result")
		return reading, false
	case notDetected:
		if silence(limit) != spoken {
			r.passedOver(name, "not detected, and no reporting limit stated")
			return reading, false
		}
		value, valueAt = "<"+strings.TrimLeft(limit, "< "), limitAt
	default:
	}
	w, err := cutValue(value)
	if err != nil {
		r.fault(row.line, valueAt, "%s: %v", a.contaminant.ID, err)
		return reading, false
	}
	if sign, _ := row.at(r.layout.column(signColumn)); w.sign == "" && (strings.HasPrefix(sign, "<") || strings.HasPrefix(sign, ">")) {
		w.sign = sign[:1]
	}
	factor, ok := r.factor(row, a, w, valueAt)
	if !ok {
		return reading, false
	}
	reading.Below, reading.Over = w.sign == "<", w.sign == ">"
	return r.amounts(row, reading, w, factor, valueAt)
}

// factor is µg/L in one of the line's unit: that behind the number, else the unit
// column's, else the heading's.
func (r *reader) factor(row row, a analyte, w written, valueAt int) (float64, bool) {
	unit, at := w.unit, valueAt
	if unit == "" {
		unit, at = row.at(r.layout.column(unitColumn))
	}
	if unit == "" {
		unit = r.layout.unit
	}
	factor, as, err := factorOf(unit, a.contaminant, r.options.Density)
	if err == nil {
		if as == "" {
			as = a.as
		}
		if as != "" && !strings.Contains(unitKey(unit), "mol/") {
			var ratio float64
			if ratio, err = basis(a.contaminant, as); err == nil {
				return factor * ratio, true
			}
		}
	}
	if err != nil {
		r.fault(row.line, at, "%s: %v", a.contaminant.ID, err)
		return 0, false
	}
	return factor, true
}

// amounts brings the result and its uncertainty to µg/L.
func (r *reader) amounts(row row, reading Reading, w written, factor float64, valueAt int) (Reading, bool) {
	id := reading.Contaminant.ID
	x, err := r.marks.read(w.number)
	if err != nil {
		r.fault(row.line, valueAt, "%s: %v", id, err)
		return reading, false
	}
	reading.UgL = x * factor
	if !(reading.UgL <= mostUgL) {
		unit := w.unit
		if unit == "" {
			unit, _ = row.at(r.layout.column(unitColumn))
		}
		r.fault(row.line, valueAt, "%s", tooLarge(id, w.number, unit))
		return reading, false
	}
	return r.uncertainty(row, reading, w, factor, valueAt)
}

// uncertainty adds the ± of a reading: the one written beside the value, else that of its own
// column; none is fine.
func (r *reader) uncertainty(row row, reading Reading, w written, factor float64, valueAt int) (Reading, bool) {
	id := reading.Contaminant.ID
	text, at := row.at(r.layout.column(spreadColumn))
	if w.spread == "" && silence(text) == spoken {
		if _, err := w.cutSpread(text); err != nil {
			r.fault(row.line, at, "%s: %v", id, err)
			return reading, false
		}
		w.percent = w.percent || r.layout.percent
		valueAt = at
	}
	if w.spread == "" {
		return reading, true
	}
	u, err := r.marks.read(w.spread)
	if err != nil {
		r.fault(row.line, valueAt, "%s: the uncertainty: %v", id, err)
		return reading, false
	}
	switch {
	case w.percent:
		reading.U = reading.UgL * u / 100
	case r.layout.spread != "":
		own, _, _ := factorOf(r.layout.spread, reading.Contaminant, r.options.Density)
		reading.U = u * own
	default:
		reading.U = u * factor
	}
	if !(reading.U <= mostUgL) {
		r.fault(row.line, valueAt, "%s", tooLarge(id+": the uncertainty", w.spread, ""))
		return reading, false
	}
	return reading, true
}
