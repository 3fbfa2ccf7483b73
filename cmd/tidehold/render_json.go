package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/refs/yamlwalk"
)

// envelope is the stable shape of JSON output.
type envelope struct {
	Format      int               `json:"format"`
	Command     string            `json:"command"`
	Result      any               `json:"result"`
	Assumptions []refs.Assumption `json:"assumptions"`
	Warnings    []string          `json:"warnings"`
}

func renderJSON(w io.Writer, ans answer) error {
	e := envelope{Format: 1, Command: ans.Command, Result: ans.Result, Assumptions: ans.Assumptions, Warnings: ans.Warnings}
	if e.Assumptions == nil {
		e.Assumptions = []refs.Assumption{}
	}
	if e.Warnings == nil {
		e.Warnings = []string{}
	}
	return encodeJSON(w, e)
}

func encodeJSON(w io.Writer, v any) error {
	var buf bytes.Buffer
	enc := json.NewEncoder(&buf)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	if err := enc.Encode(v); err != nil {
		return fmt.Errorf("writing JSON: %w", err)
	}
	if _, err := w.Write(jsonSafe(buf.Bytes())); err != nil {
		return fmt.Errorf("writing JSON: %w", err)
	}
	return nil
}

// refusal is the stable shape of JSON output when there is no answer.
type refusal struct {
	Format  int     `json:"format"`
	Command string  `json:"command"`
	Error   problem `json:"error"`
}

// problem is one error, or the first of several, which are all in Faults.
type problem struct {
	// Code is "site" for a fault of a file, "input" for one of a flag or argument,
	// "failed" when something broke.
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

// problemOf takes an error apart.
func problemOf(err error) problem {
	p := problem{Code: "failed", Message: err.Error()}
	var bad *usageError
	if errors.As(err, &bad) {
		p.Code = "input"
	}
	var faults yamlwalk.Faults
	var quantity *units.Error
	var unknown *refs.UnknownError
	switch {
	case errors.As(err, &faults) && len(faults) > 0:
		p.Code = "site"
		for _, f := range faults {
			p.Faults = append(p.Faults, fault{f.Error(), f.File, f.Line, f.Column, f.Path, f.Allowed, f.Hint})
		}
		first := p.Faults[0]
		p.File, p.Line, p.Column, p.Allowed, p.Fix = first.File, first.Line, first.Column, first.Allowed, first.Fix
	case errors.As(err, &quantity):
		p.Allowed, p.Fix = quantity.Allowed, quantity.Hint
	case errors.As(err, &unknown):
		p.Allowed = strings.Join(unknown.Known, ", ")
		p.Fix, _ = unknown.Nearest()
	}
	return p
}
