//go:build unix

package readiness

import (
	"runtime"
	"syscall"
	"testing"
	"time"

	"tidehold/volumes/site"
)

// judgeMany loads and judges a file of n systems and says how much processor time that took,
// which other work on the machine disturbs less than the clock.
func judgeMany(t testing.TB, n int, opt Options) (Result, time.Duration) {
	data := []byte(manySystems(n))
	begin := processorTime(t)
	s, faults := site.Load("many.yaml", data)
	if s == nil {
		t.Fatal(faults[0])
	}
	r, err := Judge(s, now, opt)
	if err != nil {
		t.Fatal(err)
	}
	return r, processorTime(t) - begin
}

// processorTime is what this process has used so far, user and system.
func processorTime(t testing.TB) time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		t.Fatal(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// TestAThousandSystems holds the processor time and memory of a large file, with room for a slow
// machine (.ci/bench-commands holds the budgets themselves), and that twice the systems take
// about twice as long.
func TestAThousandSystems(t *testing.T) {
	if testing.Short() {
		t.Skip("takes seconds")
	}
	r, whole := judgeMany(t, 1000, Options{Brief: true})
	if len(r.Events) != 3000 {
		t.Fatalf("%d events", len(r.Events))
	}
	count := map[Verdict]int{}
	for _, e := range r.Events {
		count[e.Verdict]++
	}
	var memory runtime.MemStats
	runtime.ReadMemStats(&memory)
	t.Logf("%v, %v, %d MiB from the system", whole.Round(time.Millisecond), count, memory.Sys>>20)
	if whole > 10*time.Second || memory.Sys > 200<<20 {
		t.Errorf("%v of processor time and %d MiB", whole, memory.Sys>>20)
	}
	if count[Covered] == 0 || count[Late] == 0 || count[Short] == 0 {
		t.Errorf("the file is to hold every verdict: %v", count)
	}
	one, two := time.Hour, time.Hour // the least of three tries, or of as many as it takes
	for tries := 0; tries < 3 && (tries == 0 || float64(two) > 3*float64(one)); tries++ {
		_, few := judgeMany(t, 100, Options{Brief: true})
		_, more := judgeMany(t, 200, Options{Brief: true})
		one, two = min(one, few), min(two, more)
	}
	if float64(two) > 3*float64(one) {
		t.Errorf("100 systems take %v, 200 take %v", one, two)
	}
}

// TestRemediesOfALargeFile: of hundreds of failing events the worst get remedies, and the rest
// cost nothing beyond their verdicts.
func TestRemediesOfALargeFile(t *testing.T) {
	if testing.Short() {
		t.Skip("takes a second")
	}
	brief, quick := judgeMany(t, 100, Options{Brief: true})
	r, whole := judgeMany(t, 100, Options{})
	with := 0
	for i, e := range r.Events {
		if e.Verdict != brief.Events[i].Verdict {
			t.Errorf("%s: %s, brief %s", e.ID, e.Verdict, brief.Events[i].Verdict)
		}
		if len(e.Fixes) > 0 {
			with++
		}
	}
	t.Logf("%v, in brief %v", whole, quick)
	if with == 0 || with > MostRemedied || len(r.Shopping) > 0 {
		t.Errorf("%d with remedies, %d things to buy", with, len(r.Shopping))
	}
}

func BenchmarkThousandSystems(b *testing.B) {
	for b.Loop() {
		judgeMany(b, 1000, Options{Brief: true})
	}
}
