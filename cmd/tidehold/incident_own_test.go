package main

import (
	"strings"
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// TestAnOwnNameFindsItsCard: "dosing pump ran all day" was sent to the card for any cause, and for "the heater broke" the only
// heater was taken to warm the tank between two changes with cold water.
func TestAnOwnNameFindsItsCard(t *testing.T) {
	s, faults := site.Load("site.yaml", []byte(`format: 1
systems: [{id: reef, net_volume: 520 L, equipment: [{id: h, kind: heater, power: 900 W}]}]
stores: [{id: vat, holds: saltwater, volume: 100 L}]
`))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	for _, c := range []struct {
		name, card string
		reheats    bool
	}{
		{"dosing pump ran all day", "dosing-overrun", true},
		{"the heater broke", "heater-break", false},
		{"heater smashed in tank", "heater-break", false},
		{"white stuff floating", "unknown", true},
		{"smells odd", "unknown", true},
	} {
		o, err := opening(s, c.name, "")
		if err != nil {
			t.Fatal(err)
		}
		if card := cardFor(c.name); card != c.card || o.Reheats != c.reheats {
			t.Errorf("%s: card %s, reheats %v; want %s, %v", c.name, card, o.Reheats, c.card, c.reheats)
		}
	}
}

// TestNoWaterIsPouredForAPowerCut: of every own name the plan was to change half of the water, and for "power cut" it began with 405 L
// poured away, so that the rest of the vat was warm sooner. Its card sends nobody to change water.
func TestNoWaterIsPouredForAPowerCut(t *testing.T) {
	siteFile := oneWaterAt(t)
	for _, c := range []struct {
		args []string
		code int
		want string
	}{
		{[]string{"open", "power cut", "--system", "reef", "--at", "2026-11-24T02:40:00Z"}, exitDone, "Next: do its card, which asks for no change of water, and enter what you read: tidehold incident reading --temp VALUE --salinity VALUE"},
		{[]string{"reading", "--oxygen", "3mg/L", "--at", "2026-11-24T03:40:00Z"}, exitDone, "Next: do its card"},
		{[]string{"reading", "--oxygen", "6mg/L", "--temp", "24C", "--at", "2026-11-24T05:40:00Z"}, exitDone, "Next: go on by the card, which asks for no change of water; when it is over: tidehold incident close"},
		{[]string{"status", "--at", "2026-11-24T05:50:00Z"}, exitDone, "when it is over: tidehold incident close"},
		{[]string{"close", "--at", "2026-11-24T06:50:00Z"}, exitDone, "Next: the report"},
		{[]string{"report", "--incident", "1", "--at", "2026-11-24T06:55:00Z"}, exitDone, "No change of water was asked for."},
	} {
		code, out, errs := onTerminal(append(append([]string{"incident"}, c.args...), "--site", siteFile)...)
		out = flat(strings.ReplaceAll(out, "\\\n", ""))
		if code != c.code || !strings.Contains(out, c.want) || strings.Contains(out, "Next: change") || strings.Contains(out, "not reached") {
			t.Errorf("%v: exit %d, no %q:\n%s%s", c.args, code, c.want, out, errs)
		}
	}
}

// TestASampleComesBeforeTheFirstChange: the state of an incident of which nothing is measured said no word of a sample, and
// what was in the water went down the drain with the first change.
func TestASampleComesBeforeTheFirstChange(t *testing.T) {
	siteFile := oneWaterAt(t, "incident open glass --at 2026-11-25T02:40:00Z")
	status := func(at string) string {
		_, out, _ := onSite(siteFile, "incident status --at "+at)
		return flat(out)
	}
	if out := status("2026-11-25T02:41:00Z"); !strings.Contains(out, sampleFirst) {
		t.Errorf("no sample:\n%s", out)
	}
	onSite(siteFile, "incident change 130L --from salty --at 2026-11-25T03:20:00Z")
	if out := status("2026-11-25T03:30:00Z"); strings.Contains(out, sampleFirst) {
		t.Errorf("a sample from before the first change, after it:\n%s", out)
	}
}

// TestGoodWaterThatIsPouredAwayIsKept: "empty vat: pour 97.7 L away" stood bare, of a batch that was mixed five minutes before.
func TestGoodWaterThatIsPouredAwayIsKept(t *testing.T) {
	n := nightOf(nil)
	n.System = &site.System{ID: "reef"}
	n.Site.Stores = []site.Store{{ID: "vat", Holds: site.Saltwater, Capacity: 200, Volume: decimal.NewFromInt(98), MaxAgeH: 600}}
	pour := plan.Prepare{What: plan.Empty, StoreID: "vat", RemoveL: 97.7}
	for _, c := range []struct {
		what string
		p    plan.Prepare
		kept bool
	}{{"empty", pour, true}, {"cut", plan.Prepare{What: plan.Cut, StoreID: "vat", RemoveL: 54, AddL: 154, Litres: 200}, true}, {"cut without", plan.Prepare{What: plan.Cut, StoreID: "vat", AddL: 4, Litres: 100}, false}} {
		p := plan.Plan{Prepared: []plan.Prepare{c.p}, Steps: []plan.Step{{N: 1, AtH: 4, Levels: []plan.Level{{}}}}, Demand: plan.Demand{System: n.System, Aims: []plan.Aim{{Start: 1, Target: 0.5}}}}
		_, d, _ := n.head(&p)
		list := n.keepPoured(incidentStatus{Plan: &p}, "Next: "+d.what+", now.")
		if kept := len(list) == 1 && strings.Contains(list[0].Text, "keep it in clean bins"); kept != c.kept {
			t.Errorf("%s: %v", c.what, list)
		}
	}
}

// TestWhatWasMixedThisNightIsRead: a batch was entered with the salinity and the temperature that were meant, and the change
// that drew it asked for neither: nobody ever entered what was poured.
func TestWhatWasMixedThisNightIsRead(t *testing.T) {
	n := nightOf(nil)
	n.System = &site.System{ID: "reef", Water: site.Chemistry{Temperature: 25}}
	n.Log.OpenedAt = n.State.Now.Add(-10 * time.Hour)
	before, after, later := n.State.Now.Add(-20*time.Hour), n.State.Now.Add(-5*time.Hour), n.State.Now.Add(-time.Hour)
	warm := site.Chemistry{Temperature: 25}
	n.Site.Stores = []site.Store{{ID: "stored", Mixed: &before, Water: warm}, {ID: "mixed", Mixed: &after, Water: warm}, {ID: "tested", Mixed: &after, Tested: &later, Water: warm},
		{ID: "warming", Mixed: &before, HeaterW: 300, Water: site.Chemistry{Temperature: 20}}, {ID: "undated", Water: warm}}
	for id, want := range map[string]bool{"stored": false, "mixed": true, "tested": false, "warming": true, "undated": false, "none": false} {
		if got := n.unread(id); got != want {
			t.Errorf("%s: %v", id, got)
		}
	}
}
