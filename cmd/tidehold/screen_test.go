package main

import (
	"bytes"
	"fmt"
	"strings"
	"testing"
)

// A screen has 24 lines of 80 columns: where the answer leaves less room than its warnings take, they are set close,
// then fewer are shown and the others counted.
func TestAScreenShowsTheWarningsItHasRoomFor(t *testing.T) {
	if linesOf(strings.Repeat("x", 80)) != 1 || linesOf(strings.Repeat("x", 81)) != 2 {
		t.Error("a screen is not 80 columns wide")
	}
	a := &app{streams: streams{Width: 80, Fixed: true, Getenv: func(string) string { return "" }}, format: &choice{Value: "table"}}
	for _, c := range []struct {
		rows, warnings, shown, lines int
		counted                      string
	}{
		{4, 0, 0, 5, ""}, {4, 3, 3, 9, ""}, {4, 5, 3, 10, "2 more warnings: --all"}, {19, 3, 3, 24, ""}, {20, 3, 3, 24, ""}, // a blank line less
		{21, 3, 1, 24, "2 more warnings: --all"}, {22, 2, 0, 24, "2 warnings: --all"}, {23, 2, 2, 27, ""}, // longer than a screen without any
	} {
		ans := answer{Blocks: []block{para("verdict")}}
		for k := range c.rows {
			ans.Blocks = append(ans.Blocks, line("row %d", k))
		}
		for k := range c.warnings {
			ans.Warnings = append(ans.Warnings, fmt.Sprintf("warning %d", k))
		}
		var b bytes.Buffer
		if err := a.renderScreen(&b, ans); err != nil {
			t.Fatal(err)
		}
		out := b.String()
		lines, shown := strings.Count(out, "\n"), strings.Count(out, "! warning ")
		if lines != c.lines || shown != c.shown || strings.Contains(out, "--all") != (c.counted != "") || !strings.Contains(out, c.counted) {
			t.Errorf("%+v: %d lines, %d shown\n%s", c, lines, shown, out)
		}
	}
}

// An argument of a command that is named is written as a shell takes it.
func TestAnArgumentIsWrittenAsAShellTakesIt(t *testing.T) {
	for arg, want := range map[string]string{
		"site.yaml": "site.yaml", "/home/Ana/Ägir_2:a=b,c+d@e-f": "/home/Ana/Ägir_2:a=b,c+d@e-f", "": "''", "my site.yaml": "'my site.yaml'", "it's": `'it'\''s'`, "a;b": "'a;b'", "$HOME": "'$HOME'", "*.yaml": "'*.yaml'",
	} {
		if got := asTyped(arg); got != want {
			t.Errorf("%q: %s, want %s", arg, got, want)
		}
	}
}
