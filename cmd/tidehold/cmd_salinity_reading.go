package main

import (
	"fmt"
	"strings"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/salinity"
)

// readingText is one reading as typed, with what the flags say about it.
type readingText struct {
	text        string
	instrument  string // "" to infer from the unit
	scale       string // "" or one of the sodium chloride scales
	compensated bool
}

// parseReading finds out from the unit what the number stands for. The
// assumptions list what was inferred.
func parseReading(r readingText) (salinity.Reading, []refs.Assumption, error) {
	if r.scale != "" {
		return parseBrine(r)
	}
	out, err := readingByUnit(r.text)
	if err != nil {
		return out, nil, err
	}
	var assumed []refs.Assumption
	if r.instrument == "" {
		out.Instrument = instrumentOf(out.Scale)
		if out.Instrument != salinity.InstrumentNone {
			assumed = append(assumed, refs.Assumption{What: "instrument", Value: string(out.Instrument), Source: "from the unit of " + r.text})
		}
	} else {
		out.Instrument = salinity.Instrument(r.instrument)
	}
	if out.Scale != salinity.ScaleConductivity {
		if r.compensated {
			return out, nil, fmt.Errorf("%q is not a conductivity, so --compensated does not go with it", r.text)
		}
		return out, assumed, nil
	}
	if r.compensated {
		out.Scale = salinity.ScaleConductivity25
	} else {
		assumed = append(assumed, refs.Assumption{What: "conductivity", Value: "the actual one at the water's temperature",
			Source: "definition of practical salinity; a meter that shows values at 25 °C needs --compensated"})
	}
	return out, assumed, nil
}

// Bare numbers between these may be a specific gravity, a refractive index or the
// salinity of nearly fresh water, so they need a unit.
const ambiguousAbove, ambiguousBelow = 0.9, 2

// readingByUnit tries the dimensions in turn. A number without a unit is a
// practical salinity unless it is so small that it may be something else.
func readingByUnit(text string) (salinity.Reading, error) {
	for _, d := range []struct {
		dim   units.Dimension
		scale salinity.Scale
	}{
		{units.Gravity, salinity.ScaleGravity},
		{units.Index, salinity.ScaleIndex},
		{units.Density, salinity.ScaleDensity},
		{units.Conductivity, salinity.ScaleConductivity},
	} {
		q, err := units.Parse(text, d.dim)
		if err != nil || q.Unit == "" && q.Pair == "" {
			continue
		}
		r := salinity.Reading{Scale: d.scale, Value: q.Value, U: q.U}
		if q.Pair != "" {
			if r.Pair, err = salinity.ParsePair(q.Pair); err != nil {
				return r, err
			}
		}
		return r, nil
	}
	q, err := units.Parse(text, units.Salinity)
	if err != nil {
		return salinity.Reading{}, fmt.Errorf("%w; a reading may also be in sg, nD, kg/m3 or mS/cm", err)
	}
	if q.Unit == "" && q.Value > ambiguousAbove && q.Value < ambiguousBelow {
		return salinity.Reading{}, fmt.Errorf("%q may be a specific gravity, a refractive index or a salinity; write %ssg, %snD or %sppt",
			text, strings.TrimSpace(text), strings.TrimSpace(text), strings.TrimSpace(text))
	}
	return salinity.Reading{Scale: salinity.ScaleSalinity, Value: q.Value, U: q.U}, nil
}

// instrumentOf is the instrument a scale usually belongs to. A salinity may come
// from any, so it counts as given.
func instrumentOf(s salinity.Scale) salinity.Instrument {
	switch s {
	case salinity.ScaleGravity:
		return salinity.InstrumentHydrometer
	case salinity.ScaleIndex:
		return salinity.InstrumentRefractometer
	case salinity.ScaleDensity:
		return salinity.InstrumentDensity
	case salinity.ScaleConductivity:
		return salinity.InstrumentConductivity
	}
	return salinity.InstrumentNone
}

// parseBrine reads the mark of a refractometer made for sodium chloride, whose
// numbers look like others but are not.
func parseBrine(r readingText) (salinity.Reading, []refs.Assumption, error) {
	out := salinity.Reading{Instrument: salinity.InstrumentRefractometer, Scale: salinity.Scale(r.scale)}
	if r.instrument != "" && r.instrument != string(salinity.InstrumentRefractometer) {
		return out, nil, fmt.Errorf("--scale %s belongs to a refractometer, not to a %s", r.scale, r.instrument)
	}
	dims := []units.Dimension{units.Salinity, units.Dose} // 36.4, 36.4ppt; 37.3g/L
	if out.Scale == salinity.ScaleBrineGravity {
		dims = []units.Dimension{units.Gravity}
	}
	var err error
	for _, d := range dims {
		var q units.Quantity
		if q, err = units.Parse(r.text, d); err == nil {
			out.Value, out.U = q.Value, q.U
			return out, nil, nil
		}
	}
	return out, nil, err
}
