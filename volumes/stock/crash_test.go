package stock

import (
	"bufio"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"
)

// childJournal, set in the environment, turns the test binary into a program
// that appends to the journal it names and prints each id and note once it is safe.
const (
	childJournal = "TIDEHOLD_TEST_APPEND_TO"
	childCount   = "TIDEHOLD_TEST_APPEND_COUNT"
	// longRuns asks for the full counts: 2,000 kills, 8 × 500 appends.
	longRuns = "TIDEHOLD_TEST_LONG"
)

func TestMain(m *testing.M) {
	if path := os.Getenv(childJournal); path != "" {
		os.Exit(appendForever(path, os.Getenv(childCount)))
	}
	os.Exit(m.Run())
}

// appendForever appends count entries (0: until killed).
func appendForever(path, count string) int {
	n, err := strconv.Atoi(count)
	if err != nil {
		return 2
	}
	j := At(path)
	for i := 0; n == 0 || i < n; i++ {
		note := fmt.Sprintf("%d of %d%s", i, os.Getpid(), strings.Repeat(" n", i%100)) // no two alike
		e, err := j.Append(Entry{Kind: Draw, Store: "vat-a", Litres: dec("0.001"), Note: note}, time.Now, yes)
		if err != nil {
			fmt.Fprintln(os.Stderr, err)
			return 1
		}
		fmt.Println(e.ID, e.Note)
	}
	return 0
}

func child(t testing.TB, path string, count int) *exec.Cmd {
	t.Helper()
	exe, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	c := exec.Command(exe)
	c.Env = append(os.Environ(), childJournal+"="+path, fmt.Sprintf("%s=%d", childCount, count))
	return c
}

// TestKilledWhileAppendingLosesNoAcknowledgedEntry kills programs at random moments while
// others write to the same journal. What each printed as safe is in the journal afterwards
// with its own number and its own text, nothing is there twice, and the journal stays
// readable and writable. 200 kills take 2 to 3 s on two cores.
func TestKilledWhileAppendingLosesNoAcknowledgedEntry(t *testing.T) {
	const writers, perFile = 4, 50
	kills := 200
	switch {
	case testing.Short():
		kills = 4
	case os.Getenv(longRuns) != "":
		kills = 2000
	}
	promised, unsaid, torn := 0, 0, 0
	for done := 0; done < kills; done += perFile {
		j := temp(t)
		said := killAmong(t, j.Path(), writers, min(perFile, kills-done), uint64(done))
		l := read(t, j)
		have := map[int]string{}
		for _, e := range l.Entries {
			if _, twice := have[e.ID]; twice {
				t.Fatalf("entry %d stands twice", e.ID)
			}
			have[e.ID] = e.Note
		}
		for id, note := range said {
			if have[id] != note {
				t.Fatalf("entry %d was acknowledged as %q and is %q; problems %v", id, note, have[id], l.Problems)
			}
		}
		for _, p := range l.Problems {
			if !p.Lost {
				t.Fatalf("after the kills: %+v", p)
			}
		}
		promised, unsaid, torn = promised+len(said), unsaid+len(have)-len(said), torn+len(l.Problems)
		e := appended(t, j, Entry{Kind: Tested, Store: "vat-a", Time: time.Now()})
		if l := read(t, j); l.LastID() != e.ID {
			t.Fatalf("after the kills, entry %d was appended and %d read", e.ID, l.LastID())
		}
	}
	t.Logf("%d kills among %d writers: %d entries acknowledged and all present; %d more written before the kill but not said, %d lines torn", kills, writers, promised, unsaid, torn)
	if promised == 0 {
		t.Error("no entry was acknowledged, so nothing was tested")
	}
}

// killAmong has several programs write to one journal, kills each at a random moment and
// starts the next in its place until so many are killed. It returns all that they said is
// safe: the numbers of the entries and their notes.
func killAmong(t *testing.T, path string, writers, kills int, seed uint64) map[int]string {
	t.Helper()
	var (
		wg   sync.WaitGroup
		lock sync.Mutex
		said = map[int]string{}
		left = kills
	)
	next := func() bool {
		lock.Lock()
		defer lock.Unlock()
		left--
		return left >= 0
	}
	for w := range writers {
		random := rand.New(rand.NewPCG(seed, uint64(w)))
		wg.Go(func() {
			for next() {
				// One in four is killed at any moment from its start on, the others after they wrote.
				lines, err := runAndKill(child(t, path, 0), random.IntN(4) > 0, time.Duration(random.IntN(25_000))*time.Microsecond)
				if err != nil {
					t.Error(err)
					return
				}
				lock.Lock()
				for id, note := range lines {
					if _, twice := said[id]; twice {
						t.Errorf("number %d was given twice", id)
					}
					said[id] = note
				}
				lock.Unlock()
			}
		})
	}
	wg.Wait()
	return said
}

// runAndKill starts a child and kills it a while after its start, or after its first
// entry. It returns the entries that it printed whole lines of.
func runAndKill(c *exec.Cmd, afterFirst bool, delay time.Duration) (map[int]string, error) {
	out, err := c.StdoutPipe()
	if err != nil {
		return nil, err
	}
	var complaint strings.Builder
	c.Stderr = &complaint
	if err := c.Start(); err != nil {
		return nil, err
	}
	lines := bufio.NewReader(out)
	first := ""
	if afterFirst {
		first, _ = lines.ReadString('\n') // the end of a child that failed is found below
	}
	time.Sleep(delay)
	_ = c.Process.Kill() // one that has ended has said why
	rest, _ := io.ReadAll(lines)
	_ = c.Wait() // killed, so never nil
	if complaint.Len() > 0 {
		return nil, fmt.Errorf("a writer failed: %s", complaint.String())
	}
	said := map[int]string{}
	for s := range strings.SplitAfterSeq(first+string(rest), "\n") {
		text, whole := strings.CutSuffix(s, "\n")
		if !whole {
			continue
		}
		number, note, _ := strings.Cut(text, " ")
		id, err := strconv.Atoi(number)
		if err != nil {
			return nil, fmt.Errorf("a writer printed %q", s)
		}
		said[id] = note
	}
	return said, nil
}

func TestProcessesAppendingAtOnceLoseNothing(t *testing.T) {
	const processes = 8
	each := 10
	if os.Getenv(longRuns) != "" {
		each = 500
	}
	path := filepath.Join(t.TempDir(), FileName)
	var wg sync.WaitGroup
	for range processes {
		c := child(t, path, each)
		wg.Go(func() {
			if out, err := c.CombinedOutput(); err != nil {
				t.Errorf("%v: %s", err, out)
			}
		})
	}
	wg.Wait()
	l := read(t, At(path))
	if len(l.Entries) != processes*each || len(l.Problems) != 0 {
		t.Fatalf("%d entries, want %d; problems %v", len(l.Entries), processes*each, l.Problems)
	}
	for i, e := range l.Entries {
		if e.ID != i+1 {
			t.Fatalf("line %d has id %d", i+1, e.ID)
		}
		if i > 0 && e.Time.Before(l.Entries[i-1].Time) {
			t.Fatalf("entry %d is dated before the one above it", e.ID)
		}
	}
	t.Logf("%d processes × %d appends: %d entries, all readable, in order", processes, each, len(l.Entries))
}
