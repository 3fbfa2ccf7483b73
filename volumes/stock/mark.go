package stock

import (
	"encoding/json"
	"fmt"
	"io"
	"os"
	"strconv"
)

// mark is what stands in the lock file: the last entry that was written here, and who
// holds or held the lock. It lets a reader notice that the end of the journal was cut off
// or an older copy put in its place, which the journal itself cannot tell.
type mark struct {
	ID  int    `json:"id"`
	Sum uint32 `json:"-"`
	// SumText is Sum as the journal spells it.
	SumText string `json:"sum"`
	// Site is the name of the site file the journal belongs to.
	Site string `json:"site,omitempty"`
	// Holder is the program that locked it last.
	Holder string `json:"holder,omitempty"`
}

// maxMark bounds what is read of a lock file, in bytes.
const maxMark = 4096

// readMark takes what it can: a lock file of an older version is empty, and one that
// another system guards cannot be read. Both give no mark.
func readMark(r io.Reader) mark {
	data, err := io.ReadAll(io.LimitReader(r, maxMark))
	var m mark
	if err != nil || json.Unmarshal(data, &m) != nil {
		return mark{}
	}
	sum, err := strconv.ParseUint(m.SumText, 16, 32)
	if err != nil || m.ID < 1 || m.ID > maxID {
		return mark{Site: m.Site, Holder: m.Holder}
	}
	m.Sum = uint32(sum)
	return m
}

func readMarkFile(path string) mark {
	f, err := os.Open(path)
	if err != nil {
		return mark{}
	}
	defer f.Close() // only read
	return readMark(f)
}

// text is the mark as written.
func (m mark) text() []byte {
	m.SumText = fmt.Sprintf("%08x", m.Sum)
	if m.ID == 0 {
		m.SumText = ""
	}
	return append(JSONOf(m), '\n')
}

// missing says that the entry of the mark is not in the journal.
func (l *Log) missing(m mark) {
	last := 0
	if n := len(l.Entries); n > 0 {
		last = l.Entries[n-1].ID
	}
	switch {
	case last >= m.ID:
		l.problem(0, false, "number %d is not the entry that was written here under that number: the journal was replaced by another one; if that is meant, remove %s", m.ID, FileName+lockSuffix)
	case last+l.skipped >= m.ID: // the lines that cannot be read, of which it is said already
	default:
		l.problem(0, false, "%s: the end of the journal was cut off, or an older copy was put in its place. What was entered there does not count: put the newer journal back, or dip the vats and enter what is missing",
			missingNumbers(last+1+l.skipped, m.ID))
	}
}
