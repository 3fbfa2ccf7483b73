package main

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"tidehold/volumes/site"
)

// TestANightIsKilledAndGoesOn is a whole night, from discovery to close, in which a wrong
// change is taken back and the program is killed (SIGKILL) while it enters the record of a
// phone. What was written by then stands, once; the same record entered again adds the
// rest and draws no litre twice; the incident is closed and reported.
func TestANightIsKilledAndGoesOn(t *testing.T) {
	siteFile := nightAt(t, append(brokenHeater[:4:4],
		"incident change 60L --from vat-a --at 2026-11-25T03:41:00Z",
		"incident undo --at 2026-11-25T03:45:00Z")...)
	const notes = 150
	record := filepath.Join(t.TempDir(), "phone.txt")
	var text strings.Builder
	text.WriteString("2026-11-25T07:45:00Z change 110L from vat-a\n")
	for i := range notes {
		fmt.Fprintf(&text, "2026-11-25T08:%02d:%02dZ note step %d done\n", i/60, i%60, i)
	}
	text.WriteString("2026-11-25T12:00:00Z change 40L from vat-b\n")
	if err := os.WriteFile(record, []byte(text.String()), 0o600); err != nil {
		t.Fatal(err)
	}
	before := lines(t, siteFile)
	killWhileImporting(t, siteFile, record, before+3)
	entered := lines(t, siteFile) - before
	if entered < 3 || entered >= notes+2 {
		t.Fatalf("killed after %d of %d lines: not in the middle", entered, notes+2)
	}
	if stock := litresOf(t, siteFile); !(math.Abs(stock["vat-a"]-(vatBefore(t)-120-110)) <= 1e-3) {
		t.Errorf("after the kill vat-a holds %v L: the 60 L taken back, or the 110 L written, count wrongly", stock["vat-a"])
	}

	// The same record once more: what stands is passed over.
	code, out, errs := onSite(siteFile, "incident import "+record)
	if code != exitDone {
		t.Fatalf("exit %d: %s", code, errs)
	}
	counts := regexp.MustCompile(`Entered (\d+) lines, .*; (\d+) lines in the record already`).FindStringSubmatch(strings.ReplaceAll(out, "\n", " "))
	if counts == nil {
		t.Fatal(out)
	}
	fresh, _ := strconv.Atoi(counts[1])
	again, _ := strconv.Atoi(counts[2])
	if fresh+again != notes+2 || again > entered || again < entered-1 { // the last line may be torn
		t.Errorf("%d fresh and %d there already, of %d; %d lines were in the journal", fresh, again, notes+2, entered)
	}
	if stock := litresOf(t, siteFile); !(math.Abs(stock["vat-a"]-(vatBefore(t)-120-110)) <= 1e-3) {
		t.Errorf("after the second import vat-a holds %v L", stock["vat-a"])
	}

	for _, c := range []string{
		"incident result copper=2.1±0.3ug/L --at 2026-11-27T09:00:00Z",
		"incident result copper=1.9±0.3ug/L --at 2026-11-28T09:00:00Z",
		"incident close --note done --at 2026-11-28T10:00:00Z",
	} {
		if code, _, errs := onSite(siteFile, c); code != exitDone {
			t.Fatalf("%s: exit %d: %s", c, code, errs)
		}
	}
	_, report, _ := onSite(siteFile, "incident report --incident 1 --at 2026-11-29T09:00:00Z --format markdown")
	if strings.Contains(report, "changed 60 L") {
		t.Error("the report tells of the change that was taken back")
	}
	for _, want := range []string{"changed 120 L", "changed 110 L", "changed 40 L", "step 0 done", fmt.Sprintf("step %d done", notes-1), "230 L from vat-a and 40 L from vat-b"} {
		if !strings.Contains(report, want) {
			t.Errorf("the report lacks %q", want)
		}
	}
	_, happened, _ := strings.Cut(report, "## What happened")
	happened, _, _ = strings.Cut(happened, "\n## ")
	for i := range notes {
		if n := len(regexp.MustCompile(fmt.Sprintf(`step %d done`, i)).FindAllString(happened, -1)); n != 1 {
			t.Errorf("step %d stands %d times among what happened", i, n)
		}
	}
}

// killWhileImporting runs the program as a process of its own and kills it as soon as the
// journal has so many lines.
func killWhileImporting(t *testing.T, siteFile, record string, at int) {
	t.Helper()
	c, said := program(t, "incident", "import", record, "--site", siteFile)
	c.Env = append(c.Env, "TEST_NOW=2026-12-01T12:00:00Z")
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	for deadline := time.Now().Add(30 * time.Second); lines(t, siteFile) < at && time.Now().Before(deadline); {
		time.Sleep(time.Millisecond)
	}
	_ = c.Process.Kill() // one that has ended says below what it did
	_ = c.Wait()
	if w, ok := c.ProcessState.Sys().(syscall.WaitStatus); !ok || !w.Signaled() || w.Signal() != syscall.SIGKILL {
		t.Fatalf("not killed but ended: %v: %s", c.ProcessState, said.String())
	}
}

// lines counts what the journal beside a site holds.
func lines(t *testing.T, siteFile string) int {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(filepath.Dir(siteFile), journalName))
	if err != nil {
		t.Fatal(err)
	}
	return bytes.Count(data, []byte("\n"))
}

// litresOf is what each store holds, as stock prints it for programs.
func litresOf(t *testing.T, siteFile string) map[string]float64 {
	t.Helper()
	_, out, errs := onSite(siteFile, "stock --format csv")
	got := map[string]float64{}
	rows := strings.Split(strings.TrimSpace(out), "\n")
	at := -1
	for i, h := range strings.Split(rows[0], ",") {
		if h == "volume_l" {
			at = i
		}
	}
	for _, r := range rows[1:] {
		cells := strings.Split(r, ",")
		x, err := strconv.ParseFloat(cells[at], 64)
		if at < 0 || err != nil {
			t.Fatalf("%v: %s%s", err, out, errs)
		}
		got[cells[0]] = x
	}
	return got
}

// vatBefore is what the demo's vat-a holds before the night, litres.
func vatBefore(t *testing.T) float64 {
	t.Helper()
	s, faults := site.Load("demo", site.Demo())
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return s.StoreByID("vat-a").Volume.InexactFloat64()
}
