package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestWaterThatIsBroughtCanBeEntered: "no change can be made with what is on hand: 5.3 L more saltwater is needed" was the end
// of the way: nothing said how what a neighbour brings is entered, and no plan went on from there.
func TestWaterThatIsBroughtCanBeEntered(t *testing.T) {
	siteFile := filepath.Join(t.TempDir(), "site.yaml")
	if err := os.WriteFile(siteFile, []byte(`format: 1
systems: [{id: nano, net_volume: 40 L, water: {salinity: 35, temperature: 25 C}}]
stores: [{id: can, holds: saltwater, capacity: 25 L, volume: 0 L, salinity: 35, temperature: 25 C}]
`), 0o600); err != nil {
		t.Fatal(err)
	}
	onSite(siteFile, "incident open cloudy --at 2026-11-25T02:40:00Z")
	_, out, errs := onSite(siteFile, "incident status --at 2026-11-25T02:41:00Z")
	if out = flat(strings.ReplaceAll(out, "\\\n", "")); !strings.Contains(out, "When it is in can, enter: tidehold stock add can VOLUME --salinity VALUE --temp VALUE") {
		t.Errorf("%s%s", out, errs)
	}
	if code, _, errs := onSite(siteFile, "stock add can 20L --salinity 35 --temp 25C --at 2026-11-25T03:00:00Z"); code != exitDone {
		t.Errorf("exit %d: %s", code, errs)
	}
	if _, out, _ := onSite(siteFile, "incident status --at 2026-11-25T03:10:00Z"); !strings.Contains(flat(out), "Next: change 1") {
		t.Errorf("the plan does not go on:\n%s", out)
	}
}

// TestTheCommandUnderNextIsPasted: "tidehold incident close" was wrapped like words, and a shell took the first line alone,
// on another site.
func TestTheCommandUnderNextIsPasted(t *testing.T) {
	siteFile := oneWaterAt(t, "incident open glass --at 2026-11-25T02:40:00Z")
	_, out, errs := onTerminal("incident", "close", "--site", siteFile, "--at", "2026-11-25T02:50:00Z")
	_, next, _ := strings.Cut(out, "Next: ")
	next, _, _ = strings.Cut(next, "\n\n")
	lines := strings.Split(strings.TrimSpace(next), "\n")
	if len(lines) < 2 || !strings.HasPrefix(lines[1], "tidehold incident report") {
		t.Fatalf("the command has no line of its own:\n%s%s", out, errs)
	}
	for _, l := range lines[1 : len(lines)-1] {
		if !strings.HasSuffix(l, " \\") {
			t.Errorf("%q goes on in the next line without a sign\n%s", l, out)
		}
	}
}
