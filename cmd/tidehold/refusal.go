package main

import (
	"errors"
	"regexp"
	"strconv"
	"strings"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/refs/yamlwalk"
	"tidehold/response/dilution"
	"tidehold/salinity"
	"tidehold/salinity/mixing"
)

// refusal is the stable shape of JSON output when there is no answer.
type refusal struct {
	Format  int     `json:"format"`
	Command string  `json:"command"`
	Error   problem `json:"error"`
}

// problem is one error, or the first of several, which are all in Faults.
type problem struct {
	// Code is "site" for a fault of the site file, "input" for one of a flag, an argument
	// or a report, "failed" when something broke.
	Code string `json:"code"`
	// Message is the text on standard error.
	Message string `json:"message"`
	// File, Line and Column say where; Line is 0 where there is none.
	File   string `json:"file"`
	Line   int    `json:"line"`
	Column int    `json:"column"`
	// Allowed is what may stand there, Fix the nearest mend; "" where none is known.
	Allowed string `json:"allowed"`
	Fix     string `json:"fix"`
	// Faults are all faults of a file, the first of which is this one.
	Faults []fault `json:"faults,omitempty"`
}

type fault struct {
	Message string `json:"message"`
	File    string `json:"file"`
	Line    int    `json:"line"`
	Column  int    `json:"column"`
	Path    string `json:"path"`
	Allowed string `json:"allowed"`
	Fix     string `json:"fix"`
}

// problemOf takes an error apart: what its types say of it, then what its words do.
func problemOf(err error) problem {
	p := problem{Code: "failed", Message: err.Error()}
	var bad *usageError
	if errors.As(err, &bad) {
		p.Code = "input"
	}
	var faults yamlwalk.Faults
	if errors.As(err, &faults) && len(faults) > 0 {
		p.Code = "site"
		for _, f := range faults {
			p.Faults = append(p.Faults, fault{f.Error(), f.File, f.Line, f.Column, f.Path, f.Allowed, f.Hint})
		}
		first := p.Faults[0]
		p.File, p.Line, p.Column, p.Allowed, p.Fix = first.File, first.Line, first.Column, first.Allowed, first.Fix
		return p
	}
	if bad != nil && bad.located {
		p.place()
	}
	if !p.typed(err) && bad != nil {
		p.worded()
	}
	return p
}

// typed takes what is allowed, and the mend, from an error that holds them.
func (p *problem) typed(err error) bool {
	var (
		quantity *units.Error
		unknown  *refs.UnknownError
		outside  *salinity.RangeError
		mixed    *mixing.InputError
		planned  *dilution.InputError
	)
	switch {
	case errors.As(err, &quantity):
		p.Allowed, p.Fix = quantity.Allowed, quantity.Hint
	case errors.As(err, &unknown):
		p.Allowed = strings.Join(unknown.Known, ", ")
		p.Fix, _ = unknown.Nearest()
	case errors.As(err, &outside):
		p.Allowed = outside.Allowed()
	case errors.As(err, &mixed):
		p.Allowed, p.Fix = mixed.Allowed, mixed.Hint
	case errors.As(err, &planned):
		p.Allowed = planned.Allowed
	default:
		return false
	}
	return true
}

// placed is what a message about a line of a file begins with.
var placed = regexp.MustCompile(`^(.+?):([0-9]+):([0-9]+): `)

// place reads where a fault of a file is.
func (p *problem) place() {
	if m := placed.FindStringSubmatch(p.Message); m != nil {
		p.File = m[1]
		p.Line, _ = strconv.Atoi(m[2]) // digits; a number too large for a line stays at the largest
		p.Column, _ = strconv.Atoi(m[3])
	}
}

var (
	nearest = regexp.MustCompile(`^did you mean "(.*)"\?$`)
	among   = regexp.MustCompile(`(?:^| is not )(?:one of |known: |allowed: )(.*)$`)
)

// worded reads the mend from a message, whose clauses, by a rule of the house, are first
// what was found and then what is allowed and the nearest mend.
func (p *problem) worded() {
	line, _, _ := strings.Cut(p.Message, "\n")
	for i, clause := range strings.Split(line, "; ") {
		switch m, c := nearest.FindStringSubmatch(clause), among.FindStringSubmatch(clause); {
		case m != nil:
			p.Fix = m[1]
		case c != nil:
			p.Allowed = c[1]
		case i > 0 && p.Fix == "" && clause != "nothing was written":
			p.Fix = clause
		}
	}
}
