package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"time"

	"tidehold/refs"
	"tidehold/refs/yamlwalk"
	"tidehold/volumes/site"
	"tidehold/volumes/stock"
)

// journalName is the journal's name beside the site file.
const journalName = stock.FileName

// maxSiteFile is one byte more than the loader takes, so that it can say so.
const maxSiteFile = 8<<20 + 1

// loaded is a site as it stands now: the site file with the journal folded in.
type loaded struct {
	Site *site.Site
	// Filed is the site as the file alone says.
	Filed *site.Site
	// Name is what faults call the file, Dir where it stands ("" for the demo).
	Name, Dir string
	Now       time.Time
	Journal   stock.Log
}

// Title is the site's name, else the file's.
func (l loaded) Title() string {
	if l.Site.Name != "" {
		return l.Site.Name
	}
	return l.Name
}

// demoTime is the demo site's own fixed date, so that its answers never change.
func demoTime() time.Time { return site.DemoDate() }

// sitePath is --site, else $TIDEHOLD_SITE, else ./site.yaml.
func (a *app) sitePath() string {
	if a.site != "" {
		return a.site
	}
	if p := a.Getenv("TIDEHOLD_SITE"); p != "" {
		return p
	}
	return "site.yaml"
}

// siteNamed reports whether the user pointed at a site, or one stands here: a
// command that can do without asks first.
func (a *app) siteNamed() bool {
	if a.demo || a.site != "" || a.Getenv("TIDEHOLD_SITE") != "" {
		return true
	}
	_, err := os.Stat("site.yaml")
	return err == nil
}

// loadSite reads the site file (or the demo) and its journal.
func (a *app) loadSite() (loaded, error) {
	if a.demo {
		if a.site != "" {
			return loaded{}, usagef("--demo and --site exclude each other; keep one")
		}
		return a.fold("demo", "", site.Demo())
	}
	if a.site == standardInput {
		data, err := io.ReadAll(io.LimitReader(a.In, maxSiteFile))
		if err != nil {
			return loaded{}, fmt.Errorf("reading the site from standard input: %w", err)
		}
		a.In = bytes.NewReader(data) // a command may load its site twice
		return a.fold("standard input", "", data)
	}
	return a.loadSiteAt(a.sitePath())
}

// standardInput is the name of a file that stands for standard input or output.
const standardInput = "-"

// loadSiteAt is loadSite for one named file.
func (a *app) loadSiteAt(path string) (loaded, error) {
	data, err := readSite(path)
	if err != nil {
		return loaded{}, err
	}
	return a.fold(path, filepath.Dir(path), data)
}

// fold loads the bytes and folds the journal beside them in.
func (a *app) fold(name, dir string, data []byte) (loaded, error) {
	sets := slices.Clone(a.sets)
	if a.units.Value != "" {
		sets = append(sets, "units="+a.units.Value) // so that the loader's own words are in them too
	}
	s, faults := site.LoadWith(name, data, sets)
	if len(faults) > 0 {
		return loaded{}, &usageError{err: yamlwalk.Faults(faults), located: true}
	}
	a.inZone(s)
	now, err := a.nowIn(s.TimeZone)
	if err != nil {
		return loaded{}, err
	}
	s, _ = site.WithoutFutureDates(s, now)
	l := loaded{Site: s, Filed: s, Name: name, Dir: dir, Now: now.In(s.TimeZone)}
	if dir == "" || a.filedOnly {
		return l, nil
	}
	return l, l.readJournal()
}

// inZone puts a site in the zone of the machine where its file names none: by UTC, 20:10 on the keeper's own clock was a
// time that had not come yet, and a change was due at half past four that was wanted now.
func (a *app) inZone(s *site.Site) {
	k := slices.IndexFunc(s.Assumptions, func(x refs.Assumption) bool { return x.Place.List == "time_zone" })
	name := a.zone()
	zone, err := time.LoadLocation(name)
	if k < 0 || err != nil || name == "" || name == s.TimeZone.String() {
		return
	}
	s.TimeZone = zone
	s.Assumptions[k].Value, s.Assumptions[k].Source = name, "the zone of this machine; write it into the site file"
}

// zone is the name of the machine's time zone; "" where nobody knows.
func (a *app) zone() string {
	if a.Zone == nil {
		return ""
	}
	return a.Zone()
}

// readSite reads a site file, at most as much as the loader needs to refuse it.
func readSite(path string) ([]byte, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, fileError(path, err, `write one with "tidehold init", or name it with --site`)
	}
	if info.IsDir() {
		return nil, usagef("%s is a directory; name the site file in it", path)
	}
	if err := readable(path, info); err != nil {
		return nil, err
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, fileError(path, err, "check its permissions")
	}
	defer f.Close() // only read
	data, err := io.ReadAll(io.LimitReader(f, maxSiteFile))
	if err != nil {
		return nil, fileError(path, err, "check the disk")
	}
	return data, nil
}

// readable refuses a pipe or a device before it is opened: both can wait for ever.
func readable(path string, info fs.FileInfo) error {
	if info.Mode().IsRegular() {
		return nil
	}
	return usagef("%s is no file but a pipe or a device; save its content to a file and name that", path)
}

// fileError says what is wrong with a file in our words, and what to do.
func fileError(path string, err error, hint string) error {
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return usagef("%s: no such file; %s", path, hint)
	case errors.Is(err, fs.ErrPermission):
		return usagef("%s: not allowed to read it; %s", path, hint)
	}
	var p *fs.PathError
	if errors.As(err, &p) {
		err = p.Err
	}
	return usagef("%s: %v; %s", path, err, hint)
}
