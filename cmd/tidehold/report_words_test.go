package main

import (
	"strings"
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"tidehold/response/incident"
	"tidehold/response/plan"
	"tidehold/response/readiness"
	"tidehold/volumes/stock"
)

// A change is set beside the one that was planned: where it was made much sooner, and where a twentieth more or less
// was moved.
func TestAChangeIsSetBesideItsPlan(t *testing.T) {
	at := time.Date(2026, 11, 25, 3, 0, 0, 0, time.UTC)
	for _, c := range []struct {
		moved float64
		early time.Duration
		want  string
	}{
		{120, 0, "120 L"}, {120, 10 * time.Minute, "120 L"}, {120, 11 * time.Minute, "120 L at Wed 25 Nov 03:11"}, {120, -time.Hour, "120 L"},
		{126, 0, "120 L"}, {127, 0, "120 L (7.0 L more moved)"}, {114, 0, "120 L"}, {113, 0, "120 L (7.0 L less moved)"},
	} {
		r := reporting{night: *nightOf(nil)}
		m := incident.StepMade{Item: incident.Item{At: at, Pours: []stock.Pour{{Store: "vat", Litres: decimal.NewFromFloat(c.moved)}}},
			Planned: &plan.Step{N: 1, RemoveL: 120, AddL: 120}, PlannedAt: at.Add(c.early)}
		if got := r.departure(m); got != c.want {
			t.Errorf("%+v: %q", c, got)
		}
		if m.Planned = nil; r.departure(m) != "no change" {
			t.Errorf("%q", r.departure(m))
		}
	}
	if got := storesText([]stock.Pour{{Store: "a"}, {}, {Store: "b"}}); got != "a, elsewhere and b" {
		t.Errorf("%q", got)
	}
}

// A result agrees with its prediction within two standard deviations of both.
func TestAResultAgreesWithinTwoDeviations(t *testing.T) {
	for off, want := range map[float64]string{0: "agrees", 2: "agrees", -2: "agrees", 2.1: "higher", -2.1: "lower"} {
		if got := apartText(incident.Comparison{Off: off}); got != want {
			t.Errorf("%g: %q", off, got)
		}
	}
}

// What has to be stocked again names what there is to mix it from, what it costs and by when that can be done.
func TestWhatHasToBeStockedAgain(t *testing.T) {
	cost, again := 12.6, 30.0
	const ends = " Whether the site is ready again: tidehold ready"
	for want, s := range map[string]*readiness.Restock{
		"Nothing was drawn from the site's stores.":                               nil,
		"120 L of saltwater; the site file names no salt to mix it from." + ends:  {SaltwaterL: 120},
		"120 L of saltwater: 118 L of purified water and 4.20 kg of salt." + ends: {SaltwaterL: 120, PurifiedL: 118, SaltKg: 4.2, Salts: []plan.Salt{{ID: "house", Kg: 4.2}}},
		"120 L of saltwater: 118 L of purified water and 4.20 kg of salt, 1 bag, 12.60 EUR. If the purifier starts now, the stores can be full and mixed again by Thu 26 Nov 09:00 at the latest." + ends: {
			SaltwaterL: 120, PurifiedL: 118, SaltKg: 4.2, Salts: []plan.Salt{{ID: "house", Kg: 4.2}}, Bags: 1, Cost: &cost, ReadyAgainH: &again},
	} {
		r := reporting{night: *nightOf(nil), restock: s}
		r.Site.Currency = "EUR"
		r.night.loaded.Now = time.Date(2026, 11, 25, 3, 0, 0, 0, time.UTC)
		if got := r.restockText(); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// What is done first is what the plan begins with; a sample where it asks for no change, or there is none.
func TestWhatIsDoneFirst(t *testing.T) {
	h := 3.0
	const sample = "take a sample, and enter what is found: tidehold incident result copper=VALUE"
	one := plan.Plan{Reachable: true, DoneAtH: &h, WaterL: 120, Aims: []plan.AimResult{{Holds: true}}, Demand: plan.Demand{Aims: []plan.Aim{{Contaminant: "copper", Target: 3.1}}},
		Steps: []plan.Step{{N: 1, AtH: 1, RemoveL: 120, AddL: 120, From: []plan.Draw{{StoreID: "vat", Litres: 120}}, Levels: []plan.Level{{Before: 60, After: 5}}}}}
	for _, c := range []struct {
		p    *plan.Plan
		want string
	}{
		{nil, sample}, {&plan.Plan{DoneAtH: &h}, "no change for now; " + sample},
		{&plan.Plan{}, "no change can be made with what is on hand: the goal lies below what new water can reach"},
		{&one, "change 1: 120 L from vat, Wed 25 Nov 04:00."},
	} {
		if got := nightOf(&incident.Finding{}).first(incidentStatus{Plan: c.p}); !strings.HasPrefix(got, c.want) {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}
