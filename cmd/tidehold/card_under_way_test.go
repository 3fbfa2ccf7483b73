package main

import (
	"strings"
	"testing"
)

// TestACardPrintedInTheNightDoesNotBeginAnew: with two changes made, the card that an answer names had rows from the start, the first
// "when the steps say so": another change at once, beside the one that the incident had planned for four hours later.
func TestACardPrintedInTheNightDoesNotBeginAnew(t *testing.T) {
	siteFile := oneWaterAt(t, "incident open glass --at 2026-11-25T02:40:00Z")
	const said = `1 change made on reef. Pour by "tidehold incident status", not by these rows; none before Wed 25 Nov 07:20.`
	says := func(card string) int {
		t.Helper()
		code, out, errs := onSite(siteFile, "playbook "+card+" --at 2026-11-25T03:40:00Z")
		if code != exitDone {
			t.Fatalf("%s: exit %d: %s", card, code, errs)
		}
		return strings.Count(strings.ReplaceAll(flat(out), "!! ", ""), said)
	}
	if n := says("--event glass"); n != 0 {
		t.Errorf("before any change it is said %d times", n)
	}
	onSite(siteFile, "incident change 130L --from salty --at 2026-11-25T03:20:00Z")
	for card, want := range map[string]int{"--event glass": 2, "--event glass --card": 1, "too-cold --system reef --card": 1, "too-cold --system tub": 0} {
		if n := says(card); n != want {
			t.Errorf("%s: said %d times, not %d", card, n, want)
		}
	}
	onSite(siteFile, "incident close --at 2026-11-25T03:30:00Z")
	if n := says("--event glass"); n != 0 {
		t.Errorf("once it is closed it is said %d times", n)
	}
}
