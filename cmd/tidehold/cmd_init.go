package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"github.com/shopspring/decimal"
	"github.com/spf13/cobra"

	"tidehold/volumes/site"
	"tidehold/volumes/stock"
)

// siteFileName is what init writes and what every command looks for.
const siteFileName = "site.yaml"

func newInitCmd(a *app) *cobra.Command {
	return &cobra.Command{
		Use:   "init [<directory>]",
		Short: "write a commented site file to begin with",
		Long: `Writes site.yaml into DIR (default: here), a commented file with invented values
to replace by yours. With --demo, writes the demo site and its journal instead.

A site file or journal that is there already is never overwritten.

` + exitHelp,
		Example: "  tidehold init\n  tidehold init hall\n  tidehold init --demo try-out",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			dir := "."
			if len(args) == 1 {
				dir = args[0]
			}
			return runInit(a, dir)
		},
	}
}

func runInit(a *app, dir string) error {
	if a.site != "" {
		return usagef("--site is for reading a site; init writes %s into DIR: leave --site out", siteFileName)
	}
	path, journal := filepath.Join(dir, siteFileName), filepath.Join(dir, journalName)
	for _, p := range []string{path, journal} {
		if err := absent(p); err != nil {
			return err
		}
	}
	if err := os.MkdirAll(dir, 0o755); errors.Is(err, fs.ErrPermission) {
		return fmt.Errorf("%s: not allowed to make it; name a directory that can be written", dir)
	} else if err != nil {
		return usagef("%s: %v; name a directory that can be made", dir, plainFileError(err))
	}
	data := site.Starter()
	if a.demo {
		data = site.Demo()
	}
	if err := writeNew(path, data, nil); err != nil {
		return fmt.Errorf("writing %s: %w", path, plainFileError(err))
	}
	if !a.demo {
		check := "tidehold check"
		if dir != "." {
			check += " --site " + path
		}
		return a.printText(fmt.Sprintf("wrote %s\nnext: put your own volumes into it, then run %q\n", path, check))
	}
	if err := writeDemoJournal(journal); err != nil {
		return fmt.Errorf("writing %s: %w", journal, plainFileError(err))
	}
	at := site.DemoDate().Format(time.RFC3339)
	return a.printText(fmt.Sprintf("wrote %s and %s\nnext: run \"tidehold ready --site %s --at %s\"\n", path, journal, path, at))
}

// absent refuses a path at which something stands.
func absent(path string) error {
	_, err := os.Lstat(path)
	switch {
	case err == nil:
		return usagef("%s is there already and is not overwritten; name another directory, or move it away", path)
	case errors.Is(err, fs.ErrNotExist):
		return nil
	}
	return usagef("%s: %v; name a directory", path, plainFileError(err))
}

// plainFileError leaves out what the caller has said already: operation and path.
func plainFileError(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	return err
}

// writeDemoJournal records the evening before the demo's night: the vats dipped,
// and found as the site file has them.
func writeDemoJournal(path string) error {
	demo, faults := site.Load("demo", site.Demo())
	if len(faults) > 0 {
		return faults[0]
	}
	evening := site.DemoDate().Add(-10 * time.Hour)
	journal := stock.Of(filepath.Join(filepath.Dir(path), siteFileName))
	for i, e := range []stock.Entry{
		{Kind: stock.Dip, Store: "vat-a", LevelCm: cm(78), Note: "evening round"},
		{Kind: stock.Dip, Store: "vat-b", LevelCm: cm(60), Note: "evening round"},
		{Kind: stock.Dip, Store: "pure-a", LevelCm: cm(70), Note: "evening round"},
	} {
		at := evening.Add(time.Duration(i) * 3 * time.Minute)
		if _, err := journal.Append(e, func() time.Time { return at }, func(l stock.Log, e *stock.Entry) error {
			return stock.Validate(demo, l.Entries, *e, stock.Clock{Now: at, Stated: true})
		}); err != nil {
			return err
		}
	}
	return nil
}

func cm(n int64) *decimal.Decimal {
	d := decimal.NewFromInt(n)
	return &d
}
