package main

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"os/exec"
	"runtime/debug"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"golang.org/x/term"
)

// streams is everything a command may touch outside itself. Tests build one from
// buffers and a fixed clock; nothing else in this package uses os.
type streams struct {
	In       io.Reader
	Out, Err io.Writer
	// OutTerminal says Out is a terminal; InTerminal that somebody can be asked.
	OutTerminal, InTerminal bool
	// Width is the width of a line: the terminal's or COLUMNS, 80 otherwise. Fixed
	// says that one of the two gave it. Height is the terminal's, 0 without one.
	Width, Height int
	Fixed         bool
	Now           func() time.Time
	Getenv        func(string) string
	// Zone finds the name of the machine's time zone, "" where it names none; nil: nobody knows.
	Zone func() string
	// Page shows a long text page by page; nil where there is no pager.
	Page func(text string) error
}

// The widths a line may have: narrower or wider ones are hard to read.
const (
	leastWidth, mostWidth = 20, 120
)

// systemStreams are the process's own.
func systemStreams() streams {
	s := streams{In: os.Stdin, Out: os.Stdout, Err: os.Stderr, Width: 80, Now: time.Now, Getenv: os.Getenv, Zone: func() string { return machineZone(os.Getenv, os.Readlink) }}
	s.InTerminal = term.IsTerminal(int(os.Stdin.Fd()))
	if fd := int(os.Stdout.Fd()); term.IsTerminal(fd) {
		s.OutTerminal, s.Fixed = true, true
		s.Page = pager(s.Getenv)
		if w, h, err := term.GetSize(fd); err == nil && w > 0 {
			s.Width, s.Height = w, h
		}
	}
	if w, err := strconv.Atoi(s.Getenv("COLUMNS")); err == nil && w > 0 {
		s.Width, s.Fixed = w, true
	}
	s.Width = min(max(s.Width, leastWidth), mostWidth)
	return s
}

// machineZone is the name of the zone that the machine keeps: $TZ, else where
// /etc/localtime leads to; "" where neither names one.
func machineZone(getenv func(string) string, readlink func(string) (string, error)) string {
	name := strings.TrimPrefix(getenv("TZ"), ":")
	if name == "" {
		link, err := readlink("/etc/localtime")
		if err != nil {
			return ""
		}
		_, name, _ = strings.Cut(link, "zoneinfo/")
	}
	if zone, err := time.LoadLocation(name); err != nil || zone == time.Local || name == "" {
		return ""
	}
	return name
}

// pager is $PAGER, else less where there is one; nil for none.
func pager(getenv func(string) string) func(string) error {
	command := strings.TrimSpace(getenv("PAGER"))
	if command == "" {
		if _, err := exec.LookPath("less"); err != nil {
			return nil
		}
		command = "less"
	}
	words := strings.Fields(command)
	return func(text string) error {
		c := exec.Command(words[0], words[1:]...)
		c.Stdin, c.Stdout, c.Stderr = strings.NewReader(text), os.Stdout, os.Stderr
		c.Env = os.Environ()
		if getenv("LESS") == "" {
			c.Env = append(c.Env, "LESS=FRX") // end at once if it fits, keep bold type, leave the text on the screen
		}
		return c.Run()
	}
}

// colour decides once for the whole run: on a terminal or where FORCE_COLOR asks for
// it, never with --no-color, a non-empty NO_COLOR or TERM=dumb.
func (s streams) colour(off bool) bool {
	if off || s.Getenv("NO_COLOR") != "" {
		return false
	}
	if force := s.Getenv("FORCE_COLOR"); force != "" && force != "0" {
		return true
	}
	return s.OutTerminal && s.Getenv("TERM") != "dumb"
}

// tableWidth is the room for a table, 0 for a pipe: there a row is one line.
func (s streams) tableWidth() int {
	if s.Fixed {
		return s.Width
	}
	return 0
}

// run is the whole program: arguments and streams in, exit code out. A panic is
// our fault, never the user's: it is reported and exits 1, because Go's own exit
// code for a panic (2) means bad input here.
func run(args []string, s streams) (code int) {
	defer func() {
		if r := recover(); r != nil {
			_, _ = fmt.Fprintf(s.Err, "tidehold: internal fault, please report it with the command you ran: %v\n%s", r, debug.Stack())
			code = exitFailed
		}
	}()
	// Output is held back until the command has succeeded, so that a failing
	// command never leaves half an answer on standard output.
	var held bytes.Buffer
	a := &app{streams: s}
	a.Out = &held
	root := newRoot(a)
	if completes(args) {
		a.completeFlags(root)
	}
	root.SetArgs(args)
	root.SetIn(s.In)
	root.SetOut(&held)
	root.SetErr(s.Err)
	c, err := root.ExecuteC()
	err = a.afterEntry(err)
	if err == nil || isNo(err) {
		if failed := a.deliver(s, held.Bytes()); failed != nil {
			return report(s.Err, a.afterEntry(failed))
		}
	} else if a.format.Value == "json" || asksForJSON(args) {
		// A standard output that cannot be written leaves standard error, below.
		_ = encodeJSON(s.Out, refusal{1, commandWords(c), problemOf(err)})
	}
	return report(s.Err, err)
}

// asksForJSON finds the wish among arguments that were refused before it was read.
func asksForJSON(args []string) bool {
	for i, word := range args {
		if word == "--json" || word == "--format=json" || word == "--format" && i+1 < len(args) && args[i+1] == "json" {
			return true
		}
	}
	return false
}

// commandWords are a command's words without the program's name.
func commandWords(c *cobra.Command) string {
	return strings.TrimPrefix(strings.TrimPrefix(c.CommandPath(), c.Root().Name()), " ")
}

// afterEntry adds to a failure that an entry had been written before it.
func (a *app) afterEntry(err error) error {
	if err == nil || isNo(err) || a.written == 0 {
		return err
	}
	return fmt.Errorf("%w; number %d is written and counts", err, a.written)
}
