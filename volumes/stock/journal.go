package stock

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"
	"time"

	"github.com/rogpeppe/go-internal/lockedfile"
)

const (
	// FileName is the journal's name, beside the site file.
	FileName = "journal.jsonl"
	// lockSuffix is behind the name of the lock file.
	lockSuffix = ".lock"
	// maxJournal bounds what is read, in bytes: some million entries.
	maxJournal = 256 << 20
	// patience is how long an entry waits for another program to finish.
	patience = 5 * time.Second
	// glances and glance: how often and how far apart a reader looks again at a line
	// that another program may be writing.
	glances, glance = 3, 10 * time.Millisecond
)

// Outcome says what is in the journal after an entry failed.
type Outcome int

// The outcomes. Of an entry that did not fail nothing need be said.
const (
	// NotWritten: the journal is as it was.
	NotWritten Outcome = iota
	// Unsure: the entry may be in the journal.
	Unsure
)

// WriteError says that an entry could not be written, and what is in the journal now.
type WriteError struct {
	Err     error
	Outcome Outcome
	// ID is the number the entry has if it was written after all.
	ID int
}

func (e *WriteError) Unwrap() error { return e.Err }

// Error ends in what the keeper must know: nothing was written, or look first.
func (e *WriteError) Error() string { return e.Err.Error() + "; " + e.Ending() }

// Ending is the last part of Error.
func (e *WriteError) Ending() string {
	if e.Outcome == Unsure {
		return fmt.Sprintf("look first: number %d may be written and count; see tidehold stock log before you enter it again", e.ID)
	}
	return "nothing was written"
}

// ErrChanged says that another program wrote the journal while an entry was
// being prepared.
var ErrChanged = errors.New("the journal was changed by another program (an editor?) meanwhile: look at it and try again")

// BusyError says that the lock could not be had in time.
type BusyError struct{ Path, Holder string }

func (e *BusyError) Error() string {
	return fmt.Sprintf("%s has been locked by another program for %v: %s. Wait for it or end it; on a file server, an old lock may have to be removed there",
		e.Path, patience, cmp.Or(e.Holder, "another tidehold, here or on another machine"))
}

// ForeignError says that the journal belongs to another site file of the folder.
type ForeignError struct{ Journal, Owner, Site string }

func (e *ForeignError) Error() string {
	return fmt.Sprintf("%s is the record of %s, which stands beside %s: give each site file a folder of its own", e.Journal, e.Owner, e.Site)
}

// NotJournalError says that what stands in the journal's place is none.
type NotJournalError struct {
	Path string
	// Is says what it is instead: "is a directory".
	Is string
}

func (e *NotJournalError) Error() string {
	return fmt.Sprintf("%s %s, where the journal should be; move it away, then measure and enter what each store holds (tidehold stock dip)", e.Path, e.Is)
}

// disk is what a journal does to files, so that tests can make any step fail.
type disk struct {
	lock     func(path string) (*lockedfile.File, error)
	open     func(path string) (*os.File, error)
	write    func(f *os.File, b []byte, at int64) (int, error)
	sync     func(f *os.File) error
	truncate func(f *os.File, size int64) error
	stat     func(path string) (fs.FileInfo, error)
	syncDir  func(path string) error
	setMark  func(f *lockedfile.File, text []byte) error
}

// Journal is a journal file. The zero value is not usable; see At.
type Journal struct {
	path string
	// site is the name of the site file it belongs to, "" if that is not to be checked.
	site             string
	patience, glance time.Duration
	disk             disk
}

// At gives the journal at a path, which need not exist yet. A lock file stands
// beside it, named after it with ".lock".
func At(path string) *Journal {
	return &Journal{path: path, patience: patience, glance: glance, disk: disk{
		lock: func(path string) (*lockedfile.File, error) {
			return lockedfile.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o666)
		},
		// Not opened for appending only: such a file cannot be cut on Windows.
		open:     func(path string) (*os.File, error) { return os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o644) },
		write:    func(f *os.File, b []byte, at int64) (int, error) { return f.WriteAt(b, at) },
		sync:     func(f *os.File) error { return tolerate(f.Sync()) },
		truncate: func(f *os.File, size int64) error { return f.Truncate(size) },
		stat:     os.Stat,
		syncDir:  syncDir,
		setMark:  setMark,
	}}
}

// Of gives the journal of a site file: the one beside it. A journal that is known to belong
// to another site file of the folder is refused when it is read or written.
func Of(sitePath string) *Journal {
	j := At(filepath.Join(filepath.Dir(sitePath), FileName))
	j.site = filepath.Base(sitePath)
	return j
}

// Path is where the journal is.
func (j *Journal) Path() string { return j.path }

// Read reads the journal; a file that does not exist is an empty one. It never waits
// for a lock: a last line that looks half written is looked at a few times more, and
// then counts as torn.
func (j *Journal) Read() (Log, error) {
	var l Log
	for i := range glances {
		// The mark first: what it names is in the journal by then.
		m := readMarkFile(j.path + lockSuffix)
		if err := j.own(m); err != nil {
			return Log{}, err
		}
		var err error
		if l, err = j.readFile(m); err != nil || !l.partial {
			return l, err
		}
		if i < glances-1 {
			time.Sleep(j.glance)
		}
	}
	return l, nil
}

// own refuses a journal that belongs to another site file which still stands there.
func (j *Journal) own(m mark) error {
	if j.site == "" || m.Site == "" || m.Site == j.site || filepath.Base(m.Site) != m.Site {
		return nil
	}
	if _, err := os.Stat(filepath.Join(filepath.Dir(j.path), m.Site)); err != nil {
		return nil // renamed
	}
	return &ForeignError{Journal: filepath.Base(j.path), Owner: m.Site, Site: j.site}
}

func (j *Journal) readFile(m mark) (Log, error) {
	if err := regular(j.path); err != nil {
		return Log{}, err
	}
	f, err := os.Open(j.path)
	if errors.Is(err, fs.ErrNotExist) {
		return parse(strings.NewReader(""), 0, m)
	}
	if err != nil {
		return Log{}, fmt.Errorf("reading journal: %w", err)
	}
	defer f.Close() // only read
	l, _, err := readAll(f, m)
	return l, err
}

// regular refuses what is no file before it is opened: a pipe or a device could wait for ever.
func regular(path string) error {
	info, err := os.Stat(path)
	switch {
	case err != nil || info.Mode().IsRegular():
		return nil // opening says what is wrong
	case info.IsDir():
		return &NotJournalError{path, "is a directory"}
	}
	return &NotJournalError{path, "is no file but a pipe or a device"}
}

// readAll reads an open journal and says in which state the file was.
func readAll(f *os.File, m mark) (Log, fs.FileInfo, error) {
	info, err := f.Stat()
	if err != nil {
		return Log{}, nil, fmt.Errorf("reading journal: %w", err)
	}
	if info.Size() > maxJournal {
		return Log{}, nil, &NotJournalError{f.Name(), fmt.Sprintf("is larger than %d MiB", maxJournal>>20)}
	}
	l, err := parse(io.LimitReader(f, info.Size()), info.Size(), m)
	if err != nil {
		return Log{}, nil, fmt.Errorf("reading journal: %w", err)
	}
	return l, info, nil
}

// Append writes one entry at the end and returns it with its id. The whole is
// done under the lock, so that of two processes one waits, though not for ever: the journal
// is read, accept is asked whether the entry may follow what it holds and may complete it, and
// the line is written and synced. An entry without a time gets now's, taken under the lock.
// Every error but accept's own is a *WriteError, which says what the journal holds
// then; after an error of accept it is as it was.
func (j *Journal) Append(e Entry, now func() time.Time, accept func(Log, *Entry) error) (Entry, error) {
	lock, err := j.lock()
	if err != nil {
		return Entry{}, &WriteError{Err: err}
	}
	defer func() { _ = lock.Close() }() // gives the lock back; nothing can be done if that fails
	m := readMark(lock)
	if err := j.own(m); err != nil {
		return Entry{}, &WriteError{Err: err}
	}
	m.Site, m.Holder = cmp.Or(j.site, m.Site), holder()
	// Whoever waits can then say for whom; that it cannot be written hurts nobody.
	_ = j.disk.setMark(lock, m.text())
	e, sum, err := j.append(m, e, now, accept)
	if err != nil {
		return Entry{}, err
	}
	m.ID, m.Sum = e.ID, sum
	// Without the mark a cut would not be noticed; the entry counts all the same.
	_ = j.disk.setMark(lock, m.text())
	return e, nil
}

// append is Append under the lock.
func (j *Journal) append(m mark, e Entry, now func() time.Time, accept func(Log, *Entry) error) (Entry, uint32, error) {
	fail := func(err error) (Entry, uint32, error) { return Entry{}, 0, &WriteError{Err: err} }
	_, err := j.disk.stat(j.path)
	created := errors.Is(err, fs.ErrNotExist)
	if err := regular(j.path); err != nil {
		return fail(err)
	}
	f, err := j.disk.open(j.path)
	if err != nil {
		return fail(fmt.Errorf("opening journal: %w", err))
	}
	defer f.Close() // what counts has been synced
	l, before, err := readAll(f, m)
	if err != nil {
		return fail(err)
	}
	if l.givenUp {
		return fail(&NotJournalError{j.path, fmt.Sprintf("has more than %d lines that are no entries", maxRubbish)})
	}
	if e.Time.IsZero() {
		e.Time = now()
	}
	e.ID = l.LastID() + 1
	if err := accept(l, &e); err != nil {
		return Entry{}, 0, err
	}
	line, sum, err := encode(e, l.sum)
	if err != nil {
		return fail(err)
	}
	if l.open {
		// What a crash left of a line gets a line of its own.
		line = append([]byte{'\n'}, line...)
	}
	if err := j.unchanged(before); err != nil {
		return fail(err)
	}
	if err := j.commit(f, line, before.Size(), created); err != nil {
		err.ID = e.ID
		return Entry{}, 0, err
	}
	return e, sum, nil
}

// lock waits for the lock as long as patience lasts.
func (j *Journal) lock() (*lockedfile.File, error) {
	type got struct {
		f   *lockedfile.File
		err error
	}
	path := j.path + lockSuffix
	done := make(chan got, 1)
	go func() {
		f, err := j.disk.lock(path)
		done <- got{f, err}
	}()
	timer := time.NewTimer(j.patience)
	defer timer.Stop()
	select {
	case g := <-done:
		if g.err != nil {
			return nil, fmt.Errorf("locking journal: %w", g.err)
		}
		return g.f, nil
	case <-timer.C:
		// If the lock comes after all, it is given back at once.
		go func() {
			if g := <-done; g.err == nil {
				_ = g.f.Close()
			}
		}()
		return nil, &BusyError{Path: path, Holder: readMarkFile(path).Holder}
	}
}

// holder names this program to others that wait for it.
func holder() string {
	host, err := os.Hostname()
	if err != nil {
		host = "this machine"
	}
	return fmt.Sprintf("process %d on %s", os.Getpid(), host)
}

// setMark replaces the content of the lock file.
func setMark(f *lockedfile.File, text []byte) error {
	if err := f.Truncate(0); err != nil {
		return err
	}
	_, err := f.WriteAt(text, 0)
	return err
}

// unchanged insists that the file is the one that was read, as it was read.
func (j *Journal) unchanged(before fs.FileInfo) error {
	now, err := j.disk.stat(j.path)
	if err != nil {
		return fmt.Errorf("checking journal: %w", err)
	}
	if !os.SameFile(before, now) || before.Size() != now.Size() || !before.ModTime().Equal(now.ModTime()) {
		return ErrChanged
	}
	return nil
}

// commit writes and syncs a line. If either fails, what was written of it is cut
// off again; if that fails too, the entry may count.
func (j *Journal) commit(f *os.File, line []byte, size int64, created bool) *WriteError {
	_, err := j.disk.write(f, line, size)
	if err == nil {
		err = j.disk.sync(f)
	}
	if err == nil && created {
		err = j.disk.syncDir(filepath.Dir(j.path))
	}
	if err == nil {
		return nil
	}
	err = fmt.Errorf("writing journal: %w", err)
	if undo := j.disk.truncate(f, size); undo != nil {
		return &WriteError{Err: fmt.Errorf("%w (and it could not be taken back: %w)", err, undo), Outcome: Unsure}
	}
	return &WriteError{Err: err}
}

// tolerate passes over a file system that cannot sync: some network file systems
// refuse every time, and what is written is there all the same.
func tolerate(err error) error {
	if errors.Is(err, errors.ErrUnsupported) || errors.Is(err, syscall.EINVAL) {
		return nil
	}
	return err
}

// syncDir makes a new file's name durable. Windows has no way to, and some file
// systems refuse.
func syncDir(path string) error {
	if runtime.GOOS == "windows" {
		return nil
	}
	d, err := os.Open(path)
	if err != nil {
		return err
	}
	defer d.Close()
	return tolerate(d.Sync())
}
