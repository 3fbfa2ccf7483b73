package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/shopspring/decimal"
	"github.com/spf13/cobra"

	"tidehold/refs"
	"tidehold/volumes/site"
	"tidehold/volumes/stock"
)

// siteFileName is what init writes and what every command looks for.
const siteFileName = "site.yaml"

func newInitCmd(a *app) *cobra.Command {
	var ask bool
	c := &cobra.Command{
		Use:   "init [<directory>]",
		Short: "write a commented site file to begin with",
		Long: `Writes site.yaml into a directory (default: here), a commented file with invented
values to replace by yours. --ask asks eight questions first, explains each after
"?", and writes your answers into the same file; what it did not ask is commented
out. With --demo, writes the demo site and its journal instead.

Beside it goes site.schema.json, by which an editor checks what you write.

A site file or journal that is there already is never overwritten.

` + exitHelp,
		Example: "  tidehold init\n  tidehold init --ask\n  tidehold init hall\n  tidehold init --demo try-out",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			dir := "."
			if len(args) == 1 {
				dir = args[0]
			}
			return runInit(a, dir, ask)
		},
	}
	c.Flags().BoolVar(&ask, "ask", false, "ask eight questions on the terminal first")
	return c
}

func runInit(a *app, dir string, ask bool) error {
	if ask && a.demo {
		return usagef("--ask and --demo exclude each other; keep one")
	}
	if a.site != "" {
		return usagef("--site is for reading a site; init writes %s into a directory: leave --site out", siteFileName)
	}
	path, journal := filepath.Join(dir, siteFileName), filepath.Join(dir, journalName)
	for _, p := range []string{path, journal} {
		if err := absent(p); err != nil {
			return err
		}
	}
	data, taken, err := a.firstSite(ask)
	if err != nil {
		return err
	}
	if err := writeFirst(dir, path, data); err != nil {
		return err
	}
	if !a.demo {
		check := "tidehold check"
		if dir != "." {
			check += " --site " + path
		}
		if ask {
			return a.printText(askedText(path, check, taken, data))
		}
		return a.printText(fmt.Sprintf("wrote %s\nnext: put your own volumes into it, then run %q\n", path, check))
	}
	if err := writeDemoJournal(journal); err != nil {
		return fmt.Errorf("writing %s: %w", journal, plainFileError(err))
	}
	at := site.DemoDate().Format(time.RFC3339)
	return a.printText(fmt.Sprintf("wrote %s and %s\nnext: run \"tidehold ready --site %s --at %s\"\n", path, journal, path, at))
}

// firstSite is the text of the site file to write, and what was taken where a question was
// left open.
func (a *app) firstSite(ask bool) (data []byte, taken []refs.Assumption, err error) {
	switch {
	case a.demo:
		return site.Demo(), nil, nil
	case !ask:
		return site.InZone(site.Starter(), a.zone()), nil, nil
	}
	answers, taken, err := a.ask()
	if err != nil {
		return nil, nil, err
	}
	data = site.InZone(site.StarterFor(answers), a.zone())
	// The answers are checked one by one; together they must make a site too.
	if _, faults := site.Load(siteFileName, data); len(faults) > 0 {
		return nil, nil, fmt.Errorf("the answers do not make a site: %w; nothing was written", faults[0])
	}
	return data, taken, nil
}

// writeFirst writes the site file at path, and its schema beside it in dir.
func writeFirst(dir, path string, data []byte) error {
	if err := os.MkdirAll(dir, 0o755); errors.Is(err, fs.ErrPermission) {
		return fmt.Errorf("%s: not allowed to make it; name a directory that can be written", dir)
	} else if err != nil {
		return usagef("%s: %v; name a directory that can be made", dir, plainFileError(err))
	}
	if err := writeNew(path, append([]byte(editorLine), data...), nil); err != nil {
		return fmt.Errorf("writing %s: %w", path, plainFileError(err))
	}
	if err := writeSchema(filepath.Join(dir, schemaFileName)); err != nil {
		return fmt.Errorf("%s is written, but %s is not: %w", path, schemaFileName, plainFileError(err))
	}
	return nil
}

// schemaFileName is what an editor checks the site file by, editorLine the first line of a
// site file, which tells it so. Both stay in the folder: nothing is fetched.
const (
	schemaFileName = "site.schema.json"
	editorLine     = "# yaml-language-server: $schema=" + schemaFileName + "\n"
)

// writeSchema puts the schema beside the site file; one that is there stays.
func writeSchema(path string) error {
	if _, err := os.Lstat(path); err == nil {
		return nil
	}
	return writeNew(path, site.Schema(), nil)
}

// askedText says what was written, every value that was taken for an answer that was
// not given, and how many more the file leaves to defaults.
func askedText(path, check string, taken []refs.Assumption, data []byte) string {
	var b strings.Builder
	fmt.Fprintf(&b, "wrote %s\n", path)
	for _, t := range taken {
		fmt.Fprintf(&b, "taken: %s %s\n", t.What, t.Value)
	}
	if s, faults := site.Load(path, data); len(faults) == 0 {
		fmt.Fprintf(&b, "%s the file does not say; %q lists each with its basis\n", counted(len(s.Assumptions), "more value"), check)
	}
	b.WriteString("next: run \"tidehold ready\"; count your kit and put it in (have: 0 stands there now)\n")
	return b.String()
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
