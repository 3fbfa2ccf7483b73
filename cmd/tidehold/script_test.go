package main

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"strconv"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"

	"tidehold/refs/outside"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"tidehold": func() { os.Exit(run(os.Args[1:], scriptStreams())) },
	})
}

// scriptStreams are those of the process, with the clock that the script sets: what is
// dated ahead of the clock is not believed, so that stories need one.
func scriptStreams() streams {
	s := systemStreams()
	if now, err := time.Parse(time.RFC3339, os.Getenv("TEST_NOW")); err == nil {
		s.Now = func() time.Time { return now }
	}
	return s
}

// TestScripts runs every user story in testdata/script. "exits N tidehold …"
// asserts a specific exit code and keeps the output for the lines after it.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:                 "../../testdata/script",
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		UpdateScripts:       os.Getenv("UPDATE_SCRIPTS") != "",
		Setup: func(e *testscript.Env) error {
			e.Setenv("TZ", "UTC")
			e.Setenv("NO_COLOR", "1")
			e.Setenv("ESC", "\x1b")
			e.Setenv("COLUMNS", "80") // as on a screen; a pipe has none
			e.Setenv("TEST_NOW", "2027-01-15T12:00:00Z")
			// Built with the race detector, each run would wait a second before it ends.
			e.Setenv("GORACE", "atexit_sleep_ms=20")
			return nil
		},
		Cmds: map[string]func(ts *testscript.TestScript, neg bool, args []string){"exits": exits},
		// [race] skips long stories under the race detector, in which nothing runs beside anything
		// that other stories do not run too.
		Condition: func(cond string) (bool, error) {
			if cond != "race" {
				return false, fmt.Errorf("no condition %q", cond)
			}
			return outside.UnderRace, nil
		},
	})
}

func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits <code> <command> [<argument>...]")
	}
	want, err := strconv.Atoi(args[0])
	if err != nil {
		ts.Fatalf("exits: %q is not an exit code", args[0])
	}
	got := 0
	if err := ts.Exec(args[1], args[2:]...); err != nil {
		var exit *exec.ExitError
		if !errors.As(err, &exit) {
			ts.Fatalf("exits: %v", err)
		}
		got = exit.ExitCode()
	}
	if got != want {
		ts.Fatalf("exit code %d, want %d", got, want)
	}
}
