package main

import (
	"testing"

	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/response/readiness"
)

// What is to be made and bought afterwards names what there is of it, and nothing that there is not.
func TestWhatIsMadeAndBoughtAfterwards(t *testing.T) {
	cost, again, past := 12.6, 30.0, 30.2
	salts := []plan.Salt{{ID: "house", Kg: 4.2}}
	for want, r := range map[string]readiness.Restock{
		"Afterwards the stores want 120 L of saltwater again.": {SaltwaterL: 120},
		"Afterwards mix 120 L of saltwater; purify 130 L of water and buy 4.20 kg of salt, for that and for what the event used (3 bags), 12.60 EUR; as ready as before 1 d 6 h after the event begins, at the latest.": {SaltwaterL: 120, PurifiedL: 130, SaltKg: 4.2, Salts: salts, Bags: 3, Cost: &cost, ReadyAgainH: &again},
		"Afterwards purify 130 L of water and buy 4.20 kg of salt, for that and for what the event used; as ready as before 1 d 7 h after the event begins, at the latest.":                                             {PurifiedL: 130, SaltKg: 4.2, Salts: salts, ReadyAgainH: &past},
		"Afterwards purify 130 L of water and buy 4.20 kg of salt, for that and for what the event used; without a purifier the water has to be brought.":                                                               {PurifiedL: 130, SaltKg: 4.2, Salts: salts},
	} {
		v := readyView{units: units.Metric, currency: "EUR"}
		if got := v.restock(&r); len(got) != 1 || got[0].Text != want {
			t.Errorf("%q\nwant %q", got[0].Text, want)
		}
	}
	if got := (readyView{}).restock(nil); got != nil {
		t.Errorf("nothing is to be made: %v", got)
	}
}
