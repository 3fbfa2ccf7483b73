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
// that appends to the journal it names and prints each id once it is safe.
const (
	childJournal = "TIDEHOLD_TEST_APPEND_TO"
	childCount   = "TIDEHOLD_TEST_APPEND_COUNT"
	// longRuns asks for the full counts: 1,000 kills, 8 × 500 appends.
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
		e, err := j.Append(Entry{Kind: Draw, Store: "vat-a", Litres: dec("0.001"), Note: strings.Repeat("n", i%200)}, time.Now, yes)
		if err != nil {
			fmt.Fprintln(os.Stderr, err)
			return 1
		}
		fmt.Println(e.ID)
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

// TestKilledWhileAppending kills a child at random moments. No id it printed may
// be missing, and the journal must stay readable and writable.
func TestKilledWhileAppendingLosesNoAcknowledgedEntry(t *testing.T) {
	kills, perFile := 12, 12
	if os.Getenv(longRuns) != "" {
		kills, perFile = 1000, 50
	} else if testing.Short() {
		kills = 3
	}
	random := rand.New(rand.NewPCG(1, 2))
	acknowledged, torn := 0, 0
	for k := 0; k < kills; k += perFile {
		j := temp(t)
		promised := map[int]bool{}
		for range min(perFile, kills-k) {
			for _, id := range runAndKill(t, j.Path(), time.Duration(random.IntN(25_000))*time.Microsecond) {
				if promised[id] {
					t.Fatalf("id %d was given twice", id)
				}
				promised[id] = true
			}
			l := read(t, j)
			have := map[int]bool{}
			for _, e := range l.Entries {
				have[e.ID] = true
			}
			for id := range promised {
				if !have[id] {
					t.Fatalf("entry %d was acknowledged and is gone; problems %v", id, l.Problems)
				}
			}
			for _, p := range l.Problems {
				if !p.Lost {
					t.Fatalf("after a kill: %+v", p)
				}
			}
			torn = max(torn, len(l.Problems))
		}
		acknowledged += len(promised)
		e := appended(t, j, Entry{Kind: Tested, Store: "vat-a", Time: time.Now()})
		if l := read(t, j); l.LastID() != e.ID {
			t.Fatalf("after the kills, entry %d was appended and %d read", e.ID, l.LastID())
		}
	}
	t.Logf("%d kills, %d entries acknowledged and all present, at most %d torn lines in a file", kills, acknowledged, torn)
	if acknowledged == 0 {
		t.Error("no entry was acknowledged, so nothing was tested")
	}
}

// runAndKill starts a child, waits for its first id and kills it after the delay.
// It returns every id printed.
func runAndKill(t *testing.T, path string, delay time.Duration) []int {
	t.Helper()
	c := child(t, path, 0)
	out, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	lines := bufio.NewReader(out)
	first, err := lines.ReadString('\n')
	if err != nil {
		t.Fatalf("the child printed nothing: %v", err)
	}
	time.Sleep(delay)
	if err := c.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	rest, _ := io.ReadAll(lines)
	_ = c.Wait() // killed, so never nil
	var ids []int
	for _, s := range strings.SplitAfter(first+string(rest), "\n") {
		text, whole := strings.CutSuffix(s, "\n")
		if !whole {
			continue
		}
		id, err := strconv.Atoi(text)
		if err != nil {
			t.Fatalf("the child printed %q", s)
		}
		ids = append(ids, id)
	}
	return ids
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
