package site_test

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"tidehold/refs/units"
	"tidehold/volumes/site"
)

func TestAnswersStandInTheStarter(t *testing.T) {
	a := site.Answers{Volume: 450, RockKg: 29, Ready: 90, Vat: 120, Salinity: 34.5, PurifierLH: 6.25, HeaterW: 300, SaltKg: 12.5, Playbook: "ammonia"}
	text := string(site.StarterFor(a))
	s, faults := site.Load("site.yaml", []byte(text))
	if len(faults) > 0 {
		t.Fatalf("%v\n%s", faults, text)
	}
	if s.Systems[0].NetVolume != 440 || s.Systems[0].Water.Salinity != 34.5 || s.Stores[0].Water.Salinity != 34.5 {
		t.Errorf("system %+v, store %+v", s.Systems[0], s.Stores[0])
	}
	if v := s.Stores[0]; v.Capacity != 120 || v.Volume.String() != "90" {
		t.Errorf("vat %v of %v", v.Volume, v.Capacity)
	}
	if s.Purifier == nil || s.Purifier.RateLH != 6.25 || s.Systems[0].Equipment[0].PowerW != 300 {
		t.Errorf("purifier %+v, equipment %+v", s.Purifier, s.Systems[0].Equipment)
	}
	if s.Salts[0].OnHand.String() != "12.5" || len(s.Stores) != 1 || s.Reserve.Saltwater != 0 || len(s.Routine) != 0 {
		t.Errorf("salts %+v, stores %+v: what was not asked must not be there", s.Salts, s.Stores)
	}
	for _, k := range s.Kit {
		if k.Have != 0 {
			t.Errorf("nobody was asked, and %d of %s are there", k.Have, k.Item)
		}
	}
	if e := s.Events[len(s.Events)-1]; e.Playbook != "ammonia" {
		t.Errorf("the last event is %+v", e)
	}
	if n := strings.Count(text, "#"); n < 30 {
		t.Errorf("%d comments are left", n)
	}
}

// Nothing of it is there: no rock, no vat, no purifier, no heater.
func TestAnswersOfNone(t *testing.T) {
	s, faults := site.Load("site.yaml", site.StarterFor(site.Answers{Volume: 60, Salinity: 35}))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	if s.Purifier != nil || len(s.Systems[0].Equipment) != 0 || len(s.Stores) != 0 {
		t.Errorf("purifier %v, equipment %v, stores %v", s.Purifier, s.Systems[0].Equipment, s.Stores)
	}
}

// Whatever is answered within reason, the file passes.
func TestAnyAnswersPass(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		vat := rapid.Float64Range(0, 5000).Draw(r, "vat")
		a := site.Answers{
			Volume: units.Litres(rapid.Float64Range(20, 50000).Draw(r, "volume")), Ready: units.Litres(vat * rapid.Float64Range(0, 1).Draw(r, "ready")), Vat: units.Litres(vat),
			Salinity: units.Practical(rapid.Float64Range(32, 37).Draw(r, "salinity")), PurifierLH: rapid.Float64Range(0, 500).Draw(r, "purifier"),
			HeaterW: rapid.Float64Range(0, 5000).Draw(r, "heater"), Playbook: rapid.SampledFrom([]string{"", "unknown-substance", "heater-break", "ammonia", "chlorine"}).Draw(r, "playbook"),
		}
		a.RockKg = rapid.Float64Range(0, float64(a.Volume)).Draw(r, "rock")
		if a.Vat < 10 {
			a.Vat, a.Ready = 0, 0
		}
		if a.PurifierLH < 0.01 {
			a.PurifierLH = 0
		}
		if a.HeaterW < 0.01 {
			a.HeaterW = 0
		}
		if _, faults := site.Load("site.yaml", site.StarterFor(a)); len(faults) > 0 {
			r.Fatalf("%v\n%s", faults, site.StarterFor(a))
		}
	})
}
