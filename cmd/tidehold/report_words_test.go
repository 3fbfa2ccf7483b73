package main

import (
	"strings"
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"tidehold/response/incident"
	"tidehold/response/plan"
	"tidehold/response/readiness"
	"tidehold/volumes/site"
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

// What the animals went through: how high, for how long, in what water, and what was read besides.
func TestWhatTheVeterinarianReads(t *testing.T) {
	x := func(v float64) *float64 { return &v }
	at := time.Date(2026, 11, 25, 3, 20, 0, 0, time.UTC)
	r := reporting{night: *nightOf(nil)}
	r.night.System = &site.System{ID: "reef", NetVolume: 400, Livestock: site.Livestock{Sensitivity: site.Coral}}
	r.Coldest, r.Warmest, r.LeastSalt, r.MostSalt = 24.2, 25.5, 34.62, 35.04
	r.Exposure = []incident.Exposure{{Contaminant: "copper", Highest: 28}, {Contaminant: "copper", Target: 3.1, AboveH: 30, Highest: 28}, {Contaminant: "zinc", Target: 81, Highest: 40}}
	r.night.Log.Items = []incident.Item{{Kind: stock.Reading, At: at, Values: &incident.Values{TempC: x(24.7), PH: x(8.05)}}, {Kind: stock.Reading, At: at, Values: &incident.Values{Salinity: x(35)}}, {Kind: stock.Result, At: at}}
	const water = "The water was between 24.2 °C and 25.5 °C, salinity 34.6 to 35.0, as read and as computed from what was poured."
	const want = "reef, 400 L of water; the most delicate group kept there: coral.\ncopper: the highest result was 28.0 µg/L.\n" +
		"copper: the highest result was 28.0 µg/L; above the goal of 3.10 µg/L for about 1 d 6 h by the course fitted to the results.\n" +
		"zinc: the highest result was 40.0 µg/L; never above the goal of 81.0 µg/L by the course fitted to the results.\n" + water + "\nAlso read: Wed 25 Nov 03:20 pH 8.05.\nAnimals affected"
	if got := said(r.forVeterinarian()); !strings.HasPrefix(got, want) {
		t.Errorf("%q", got)
	}
	r.night.System.Livestock.FishMassKg, r.night.Log.Items = 1.2, r.night.Log.Items[1:]
	got := said(r.forVeterinarian())
	if !strings.Contains(got, "coral; fish, 1.20 kg in all.") || strings.Contains(got, "Also read") {
		t.Errorf("%q", got)
	}
}

// What can be proved: how much was written late, what of the journal holds, and what the salt costs.
func TestWhatTheInsurerReads(t *testing.T) {
	at := time.Date(2026, 11, 25, 3, 0, 0, 0, time.UTC)
	cost := 12.6
	r := reporting{night: *nightOf(nil)}
	r.night.Log.Items = []incident.Item{{At: at}, {At: at, Written: at.Add(time.Hour)}, {At: at, Written: at.Add(61 * time.Minute)}}
	got := said(r.forInsurer())
	if !strings.HasPrefix(got, "This report is made from 3 entries of the journal, 1 of them written more than an hour after what they record. ") || !strings.Contains(got, "All of them hold.") || strings.Contains(got, "Salt to replace") {
		t.Errorf("%q", got)
	}
	r.Journal.Problems = []stock.Problem{{Lost: true}, {}, {}}
	r.restock, r.Site.Currency = &readiness.Restock{Cost: &cost}, "EUR"
	if got := said(r.forInsurer()); !strings.Contains(got, "3 lines of it cannot be relied on, and 1 could not be read.") || !strings.Contains(got, "Salt to replace: 12.60 EUR by the price") {
		t.Errorf("%q", got)
	}
}
