package playbook

import "testing"

// What people type at three in the morning, and the card it must find alone.
func TestEverydayWordsFindTheCard(t *testing.T) {
	l := Builtin()
	for words, want := range map[string]string{
		"broken heater": "heater-break", "heater exploded": "heater-break", "heater stuck on": "too-hot", "water too hot": "too-hot", "hot": "too-hot",
		"cold water": "too-cold", "chiller broken": "too-hot", "power cut": "outage", "no electricity": "outage", "blackout": "outage",
		"tank is leaking": "leak", "water on the floor": "leak", "cracked glass": "leak", "barrel overflow": "vat-overflow", "ro left running": "vat-overflow",
		"skimmer overflow": "skimmer-overflow", "foam everywhere": "skimmer-overflow", "auto top off ran": "top-off-overrun", "salinity dropped": "top-off-overrun",
		"alkalinity overdose": "dosing-overrun", "doser stuck": "dosing-overrun", "co2 leak": "gas-reactor", "ph crash": "gas-reactor",
		"ammonia spike": "ammonia", "dead fish": "ammonia", "bleach": "chlorine", "tap water": "chlorine", "insecticide": "wrong-thing-in", "soap in the tank": "wrong-thing-in",
		"fish gasping": "unknown", "everything dying": "unknown", "smoke": "fire-or-smoke", "burning smell": "fire-or-smoke", "rcd tripped": "breaker-tripped",
		"keeper away": "sitter", "neighbour": "sitter", "heater-break": "heater-break", "unknown-substance": "unknown",
	} {
		if best := Best(l.Search(words)); len(best) != 1 || best[0].Name != want {
			t.Errorf("%q finds %v, want %s", words, best, want)
		}
	}
	for words, least := range map[string]int{"heater": 2, "overflow": 2} {
		if best := Best(l.Search(words)); len(best) < least || len(best) > 4 {
			t.Errorf("%q gives %v to choose from", words, best)
		}
	}
	if hits := Best(l.Search("xylophone")); len(hits) != 0 {
		t.Errorf("xylophone finds %v", hits)
	}
	if hits := l.Search("the"); len(hits) != 0 {
		t.Errorf("the finds %v", hits)
	}
}
