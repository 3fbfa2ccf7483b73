package stock

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"syscall"
	"time"

	"github.com/rogpeppe/go-internal/lockedfile"
)

// FileName is the journal's name, beside the site file.
const FileName = "journal.jsonl"

// maxJournal bounds what is read, in bytes: some million entries.
const maxJournal = 256 << 20

// ErrChanged says that another program wrote the journal while an entry was
// being prepared. Nothing was written.
var ErrChanged = errors.New("the journal was changed by another program (an editor?) meanwhile; nothing was written, so look at it and try again")

// disk is what a journal does to files, so that tests can make any step fail.
type disk struct {
	lock     func(path string) (unlock func(), err error)
	open     func(path string) (*os.File, error)
	write    func(f *os.File, b []byte) (int, error)
	sync     func(f *os.File) error
	truncate func(f *os.File, size int64) error
	stat     func(path string) (fs.FileInfo, error)
	syncDir  func(path string) error
}

// Journal is a journal file. The zero value is not usable; see At.
type Journal struct {
	path string
	disk disk
}

// At gives the journal at a path, which need not exist yet. A lock file stands
// beside it, named after it with ".lock".
func At(path string) *Journal {
	return &Journal{path, disk{
		lock: func(path string) (func(), error) { return lockedfile.MutexAt(path).Lock() },
		open: func(path string) (*os.File, error) {
			return os.OpenFile(path, os.O_RDWR|os.O_CREATE|os.O_APPEND, 0o644)
		},
		write:    func(f *os.File, b []byte) (int, error) { return f.Write(b) },
		sync:     func(f *os.File) error { return f.Sync() },
		truncate: func(f *os.File, size int64) error { return f.Truncate(size) },
		stat:     os.Stat,
		syncDir:  syncDir,
	}}
}

// Path is where the journal is.
func (j *Journal) Path() string { return j.path }

// Read reads the journal; a file that does not exist is an empty one. It takes
// the lock only if the last line looks half written, to tell a writer at work
// from a torn line.
func (j *Journal) Read() (Log, error) {
	l, err := j.readFile()
	if err != nil || !l.partial {
		return l, err
	}
	unlock, err := j.disk.lock(j.path + ".lock")
	if err != nil {
		// A journal on a read-only disk has no writer either.
		return l, nil
	}
	defer unlock()
	return j.readFile()
}

func (j *Journal) readFile() (Log, error) {
	f, err := os.Open(j.path)
	if errors.Is(err, fs.ErrNotExist) {
		return Log{}, nil
	}
	if err != nil {
		return Log{}, fmt.Errorf("reading journal: %w", err)
	}
	defer f.Close() // only read
	l, _, err := readAll(f)
	return l, err
}

// readAll reads an open journal and says in which state the file was.
func readAll(f *os.File) (Log, fs.FileInfo, error) {
	info, err := f.Stat()
	if err != nil {
		return Log{}, nil, fmt.Errorf("reading journal: %w", err)
	}
	data, err := io.ReadAll(io.LimitReader(f, maxJournal+1))
	if err != nil {
		return Log{}, nil, fmt.Errorf("reading journal: %w", err)
	}
	if len(data) > maxJournal {
		return Log{}, nil, fmt.Errorf("journal %s is larger than %d MiB", f.Name(), maxJournal>>20)
	}
	return Parse(data), info, nil
}

// Append writes one entry at the end and returns it with its id. The whole is
// done under the lock, so that of two processes one waits: the journal is read,
// accept is asked whether the entry may follow what it holds, and the line is
// written and synced. An entry without a time gets now's, taken under the lock,
// so that entries stay in order. On any error the old content stands.
func (j *Journal) Append(e Entry, now func() time.Time, accept func(Log, Entry) error) (Entry, error) {
	unlock, err := j.disk.lock(j.path + ".lock")
	if err != nil {
		return Entry{}, fmt.Errorf("locking journal: %w", err)
	}
	defer unlock()
	_, err = j.disk.stat(j.path)
	created := errors.Is(err, fs.ErrNotExist)
	f, err := j.disk.open(j.path)
	if err != nil {
		return Entry{}, fmt.Errorf("opening journal: %w", err)
	}
	defer f.Close() // what counts has been synced
	l, before, err := readAll(f)
	if err != nil {
		return Entry{}, err
	}
	if e.Time.IsZero() {
		e.Time = now()
	}
	e.ID = l.LastID() + 1
	if err := accept(l, e); err != nil {
		return Entry{}, err
	}
	line, _, err := encode(e, l.sum)
	if err != nil {
		return Entry{}, err
	}
	if l.open {
		// What a crash left of a line gets a line of its own.
		line = append([]byte{'\n'}, line...)
	}
	if err := j.unchanged(before); err != nil {
		return Entry{}, err
	}
	if err := j.commit(f, line, before.Size(), created); err != nil {
		return Entry{}, err
	}
	return e, nil
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
// off again; if that fails too, reading passes over the torn line.
func (j *Journal) commit(f *os.File, line []byte, size int64, created bool) error {
	_, err := j.disk.write(f, line)
	if err == nil {
		err = j.disk.sync(f)
	}
	if err == nil && created {
		err = j.disk.syncDir(filepath.Dir(j.path))
	}
	if err == nil {
		return nil
	}
	if undo := j.disk.truncate(f, size); undo != nil {
		return fmt.Errorf("writing journal: %w; the entry may or may not be in it (%w): look before you enter it again", err, undo)
	}
	return fmt.Errorf("writing journal: %w; nothing was written", err)
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
	if err := d.Sync(); err != nil && !errors.Is(err, errors.ErrUnsupported) && !errors.Is(err, syscall.EINVAL) {
		return err
	}
	return nil
}
