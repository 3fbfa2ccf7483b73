package yamlwalk

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"tidehold/refs/outside"
)

// The YAML library alone takes 30 s and more for a few thousand duplicate keys
// when it is asked to build maps from them; the walker never asks.
func TestHostileTextsTakeBoundedTimeAndOutput(t *testing.T) {
	outside.Alone(t)
	const size = 1 << 18
	full := func(s string) string { return strings.Repeat(s, size/len(s)) }
	for name, text := range map[string]string{
		"8000 empty keys":         strings.Repeat("\"\": x\n", 8000),
		"8000 empty complex keys": strings.Repeat("? \n", 8000),
		"one key many times":      full("a: b\n"),
		"many keys unknown":       full("k: {a: b}\n"),
		"long list":               "a: [" + full("a,") + "]",
		"open list":               full("["),
		"nested lists":            full("- "),
		"nested mappings":         full("? "),
		"comments":                full("# c\n"),
		"comments between":        full("# c\n- a # c\n"),
		"open quote":              "a: \"" + full("x"),
		"long word":               "a: " + full("x"),
		"long key":                full("x") + ": a",
		"documents":               full("---\n"),
		"anchors":                 full("- &a b\n"),
		"aliases":                 "a: &a b\nc:\n" + full("- *a\n"),
		"tags":                    full("- !!binary b\n"),
		"directives":              full("%TAG !a! b\n"),
	} {
		start := time.Now()
		doc := Parse("x.yaml", []byte(text))
		report := doc.Faults().Error()
		if took := time.Since(start); took > 10*time.Second && !testing.Short() {
			t.Errorf("%s: took %v", name, took)
		}
		if len(report) > 8000 {
			t.Errorf("%s: the report has %d bytes", name, len(report))
		}
	}
}

func TestNineMegabytesAreRefusedUnread(t *testing.T) {
	doc := Parse("x.yaml", bytes.Repeat([]byte("a: b\n"), 9<<20/5))
	want := "x.yaml:1:1: the file is larger than 8 MiB; at most 8388608 bytes"
	if got := doc.Faults().Error(); got != want || doc.Root != nil {
		t.Errorf("got %q, want %q", got, want)
	}
}
