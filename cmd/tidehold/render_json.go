package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"

	"tidehold/refs"
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
	e := envelope{Format: 1, Command: ans.Command, Result: ans.Result, Assumptions: ans.Assumptions, Warnings: ans.allWarnings()}
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
