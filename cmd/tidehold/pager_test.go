package main

import (
	"errors"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"
)

// screened runs a command on a terminal of so many lines, and says what was paged and
// what was printed straight.
func screened(t *testing.T, height int, terminal bool, page func(string) error, args ...string) (paged, straight string) {
	t.Helper()
	var out, errs strings.Builder
	s := streams{
		In: strings.NewReader(""), Out: &out, Err: &errs, Width: screenColumns, Height: height, Fixed: true, OutTerminal: terminal,
		Now: func() time.Time { return time.Date(2026, 11, 25, 3, 0, 0, 0, time.UTC) }, Getenv: func(string) string { return "" },
	}
	if page != nil {
		s.Page = func(text string) error { paged += text; return page(text) }
	}
	if code := run(args, s); code != exitDone && code != exitNo {
		t.Fatalf("%v: exit %d: %s", args, code, errs.String())
	}
	return paged, out.String()
}

// A pager is used on a terminal only, where the answer is longer than it, unless --no-pager
// or a file is asked for; one that does not run costs nobody the answer.
func TestPagerOnlyWhereItHelps(t *testing.T) {
	good := func(string) error { return nil }
	broken := func(string) error { return errors.New("not found") }
	file := filepath.Join(t.TempDir(), "out.txt")
	_, all := screened(t, 0, false, nil, "check", "--demo")
	if strings.Count(all, "\n") < 30 {
		t.Fatalf("too short to tell:\n%s", all)
	}
	for name, c := range map[string]struct {
		height   int
		terminal bool
		page     func(string) error
		args     string
		paged    bool
		straight bool
	}{
		"longer than the terminal":  {24, true, good, "check --demo", true, false},
		"shorter than the terminal": {2000, true, good, "check --demo", false, true},
		"a pipe":                    {24, false, good, "check --demo", false, true},
		"no pager wanted":           {24, true, good, "check --demo --no-pager", false, true},
		"no pager there":            {24, true, nil, "check --demo", false, true},
		"into a file":               {24, true, good, "check --demo -o " + file, false, false},
		"a pager that fails":        {24, true, broken, "check --demo", true, true},
	} {
		paged, straight := screened(t, c.height, c.terminal, c.page, strings.Fields(c.args)...)
		if (paged != "") != c.paged || (straight != "") != c.straight {
			t.Errorf("%s: %d bytes paged, %d printed", name, len(paged), len(straight))
		}
		if c.paged && c.straight && straight != paged {
			t.Errorf("%s: what was printed is not what was paged", name)
		}
	}
}

// $PAGER is a command with its words; it gets the whole text. Without one less is looked for.
func TestPagerIsTheOneNamed(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("no shell")
	}
	dir := t.TempDir()
	got := filepath.Join(dir, "got.txt")
	script := filepath.Join(dir, "pager")
	if err := os.WriteFile(script, []byte("#!/bin/sh\ntest \"$1\" = -x || exit 7\ncat > "+got+"\necho \"$LESS\" >> "+got+"\n"), 0o700); err != nil {
		t.Fatal(err)
	}
	named := func(value string) func(string) string {
		return func(key string) string {
			if key == "PAGER" {
				return value
			}
			return ""
		}
	}
	if err := pager(named(script + " -x"))("first\nlast\n"); err != nil {
		t.Fatal(err)
	}
	if text, err := os.ReadFile(got); err != nil || string(text) != "first\nlast\nFRX\n" {
		t.Errorf("%q, %v", text, err)
	}
	if err := pager(named(filepath.Join(dir, "none")))("text"); err == nil {
		t.Error("a pager that is not there runs")
	}
	t.Setenv("PATH", dir)
	for _, nothing := range []string{"", " "} {
		if pager(named(nothing)) != nil {
			t.Errorf("PAGER=%q: less is found where there is none", nothing)
		}
	}
}
