package main

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"runtime/debug"
	"time"

	"golang.org/x/term"
)

// streams is everything a command may touch outside itself. Tests build one from
// buffers and a fixed clock; nothing else in this package uses os.
type streams struct {
	In       io.Reader
	Out, Err io.Writer
	// OutTerminal says Out is a terminal; Width is its width, 80 otherwise.
	OutTerminal bool
	Width       int
	Now         func() time.Time
	Getenv      func(string) string
}

// systemStreams are the process's own.
func systemStreams() streams {
	s := streams{In: os.Stdin, Out: os.Stdout, Err: os.Stderr, Width: 80, Now: time.Now, Getenv: os.Getenv}
	if fd := int(os.Stdout.Fd()); term.IsTerminal(fd) {
		s.OutTerminal = true
		if w, _, err := term.GetSize(fd); err == nil && w >= 40 {
			s.Width = min(w, 120)
		}
	}
	return s
}

// colour decides once for the whole run: only on a terminal, never with
// --no-color, a non-empty NO_COLOR or TERM=dumb.
func (s streams) colour(off bool) bool {
	return s.OutTerminal && !off && s.Getenv("NO_COLOR") == "" && s.Getenv("TERM") != "dumb"
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
	out := s.Out
	s.Out = &held
	root := newRoot(&app{streams: s})
	root.SetArgs(args)
	root.SetIn(s.In)
	root.SetOut(&held)
	root.SetErr(s.Err)
	err := root.Execute()
	code = report(s.Err, err)
	if code == exitDone || code == exitNo {
		if _, werr := out.Write(held.Bytes()); werr != nil {
			_, _ = fmt.Fprintf(s.Err, "tidehold: writing the answer: %v\n", werr)
			return exitFailed
		}
	}
	return code
}
