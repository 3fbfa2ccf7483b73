package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
)

// deliver puts a finished answer where it belongs: into the file of --out, on the
// screen, page by page where it is longer than that, or down the pipe.
func (a *app) deliver(s streams, answer []byte) error {
	if a.out != "" && a.out != standardInput {
		return a.writeOut(answer)
	}
	if s.OutTerminal && s.Page != nil && !a.noPager && s.Height > 0 && bytes.Count(answer, []byte("\n")) >= s.Height {
		// A pager that cannot be run must not cost the answer.
		if s.Page(string(answer)) == nil {
			return nil
		}
	}
	if _, err := s.Out.Write(answer); err != nil {
		return fmt.Errorf("writing the answer: %w", err)
	}
	return nil
}

// writeOut writes the file of --out whole or not at all. What the tool reads is never
// written over.
func (a *app) writeOut(answer []byte) error {
	out, err := os.Stat(a.out)
	if err == nil && out.IsDir() {
		return usagef("--out: %s is a directory; name a file in it", a.out)
	}
	site := a.sitePath()
	for _, kept := range []string{site, filepath.Join(filepath.Dir(site), journalName)} {
		if own, statErr := os.Stat(kept); err == nil && statErr == nil && os.SameFile(out, own) {
			return usagef("--out: %s is read by this tool and never written over; name another file", a.out)
		}
	}
	write := func() error { return writeNew(a.out, answer, nil) }
	if err == nil && !out.Mode().IsRegular() {
		write = func() error { return writeInto(a.out, answer) }
	}
	if err := write(); err != nil {
		return fmt.Errorf("--out: %s: %w", a.out, plainFileError(err))
	}
	return nil
}
