package playbook

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"

	"tidehold/refs/outside"
)

// demands are words that ask for purified water or for salt; a step that says when to leave it alone, what to
// buy or whom to phone asks for none.
var demands = map[string]*regexp.Regexp{
	"purified": regexp.MustCompile(`(?i)\b(add|use|move|swap|rinse|pour|fill|catch|part)\b[^.:]*\bpurified\b`),
	"salt":     regexp.MustCompile(`(?i)\b(stir in|pour|dissolve|weigh|add)\b[^.:]*\b(of|the|batch's) salt\b`),
}

// In a house without purified water, or without salt, no step and no question of any card that its events send
// people to asks for it: each has its branch, and none of them is tap water.
func TestNoStepAsksForWaterTheHouseHasNot(t *testing.T) {
	l := Builtin()
	sites := few(slices.Concat(shippedSites(t), Corners(), randomSites(40)))
	for need, demand := range demands {
		asked, lines, houses, found := 0, 0, 0, map[string]bool{}
		for _, at := range sites {
			if has, known := at.has(need); has || !known {
				for _, name := range everyName() {
					l.Find(name).each(func(it *Item) {
						if text, _, _ := it.at(at); demand.MatchString(text) {
							asked++
						}
					})
				}
				continue
			}
			houses++
			for _, event := range l.Names() {
				for _, name := range append([]string{event}, l.SentAt(at, event)...) {
					l.Find(name).each(func(it *Item) {
						if !at.shows(it) {
							return
						}
						text, _, _ := it.at(at)
						for _, said := range []string{text, it.Ask, it.Meanwhile, it.Late, it.Until} {
							lines++
							if demand.MatchString(said) && !found[name+said] {
								found[name+said] = true
								t.Errorf("%s, %s: %q in a house without %s", event, name, said, need)
							}
						}
					})
				}
			}
		}
		if asked == 0 || houses < 30 && !outside.UnderRace {
			t.Errorf("%s: asked for %d times where it is, %d houses without: the words are not found any more", need, asked, houses)
		}
		t.Logf("%s: %d houses without it, %d lines", need, houses, lines)
	}
}

// The same in print, digits and tables filled in: a house with vats of saltwater alone.
func TestCardsOfAHouseWithSaltwaterAlone(t *testing.T) {
	s := siteOf(t, `systems: [{id: tank, net_volume: 300 L}]
stores: [{id: vat, holds: saltwater, volume: 100 L}]
`)
	l := Builtin()
	for _, event := range l.Names() {
		f, err := Gather(s, Request{Playbook: event})
		if err != nil {
			t.Fatal(err)
		}
		for _, name := range append([]string{event}, l.SentAt(f.Profile, event)...) {
			if name == "mix-batch" {
				t.Errorf("%s sends people to mix a batch of nothing", event)
			}
			for _, g := range l.Fill(l.Find(name), f).Groups {
				for _, ln := range g.Lines {
					text := ln.Spoken() + " " + strings.Join(ln.small(), " ")
					if ln.Table != nil {
						for _, r := range ln.Table.Rows {
							text += " " + strings.Join(r, " ")
						}
					}
					for need, demand := range demands {
						if ln.Kind != NoteLine && demand.MatchString(text) {
							t.Errorf("%s, %s: %q asks for %s", event, name, text, need)
						}
					}
				}
			}
		}
	}
}

// A store of purified water that is empty, a purifier that makes nothing and a bag without salt are none.
func TestNothingLeftIsNothingThere(t *testing.T) {
	for _, c := range []struct {
		site           string
		purified, salt bool
	}{
		{"stores: [{id: p, holds: purified, volume: 40 L}]\nsalts: [{id: s, on_hand: 2 kg}]", true, true},
		{"stores: [{id: p, holds: purified, volume: 5 L, heel: 5 L}]\nsalts: [{id: s, on_hand: 0 kg}]", false, false},
		{"purifier: {rate: 9 L/h}", true, false},
		{"purifier: {rate: 0 L/h}", false, false},
	} {
		s := siteOf(t, "systems: [{id: tank, net_volume: 300 L}]\n"+c.site+"\n")
		p := ProfileOf(s, &s.Systems[0])
		if p.Has["purified"] != c.purified || p.Has["salt"] != c.salt {
			t.Errorf("%s: purified water %v, salt %v", c.site, p.Has["purified"], p.Has["salt"])
		}
	}
}

// What a vat may read for a small row moves the tank by one step at most, at the litres the card prints; it is
// never warmer than the tank may be.
func TestASmallRowMovesTheTankByOneStep(t *testing.T) {
	for _, room := range []string{"8 C", "17 C", "23 C"} {
		s := siteOf(t, "systems: [{id: tank, net_volume: 300 L, ambient: "+room+"}]\nstores: [{id: vat, holds: saltwater, volume: 100 L}]\n")
		f, err := Gather(s, Request{Playbook: "unknown"})
		if err != nil {
			t.Fatal(err)
		}
		share := *f.SmallChangeL / *f.NetL
		text, ok := f.vatUsable(math.Inf(1))
		var low, high, cold, warm float64
		if n, err := fmt.Sscanf(text, "%g to %g salinity, %g to %g °C", &low, &high, &cold, &warm); !ok || n != 4 {
			t.Fatalf("%q: %d numbers, %v", text, n, err)
		}
		for _, salt := range []float64{low, high} {
			if moved := share * (salt - float64(f.Water.Salinity)); moved > f.Limits.SalinityStep+1e-9 || moved < -f.Limits.SalinityStep-1e-9 {
				t.Errorf("%s: a vat at %g moves the tank by %.2f", room, salt, moved)
			}
		}
		if moved := share * (float64(f.Water.Temperature) - cold); moved > f.Limits.TemperatureStep+1e-9 || warm > float64(f.Limits.TemperatureHigh) {
			t.Errorf("%s: a vat at %g to %g °C moves the tank by %.2f", room, cold, warm, moved)
		}
	}
}

// Watch has a line for each limit that can be passed while nobody acts, both ways, and none of them asks for a
// card that is not printed with it.
func TestWatchSaysWhatToDoAtEachLimit(t *testing.T) {
	l := Builtin()
	for _, c := range []Card{demoCard(t, "watch"), bareCard("watch")} {
		steps := map[string]string{}
		for _, g := range c.Groups {
			for _, ln := range g.Lines {
				steps[ln.ID] = ln.Text
				for _, name := range l.Names() {
					if strings.Contains(ln.Text, "card "+l.Find(name).Title) {
						t.Errorf("step %d sends people to %q, which is not printed with Watch", ln.Number, name)
					}
				}
			}
		}
		for id, words := range map[string]string{
			"cold":  `^If below \d+\.\d °C, (unplug (the|any) chiller, )?wrap the sides only\..* no flame\..*veterinarian\.$`,
			"hot":   `^If above \d+\.\d °C, unplug heaters until cooler(, look that a chiller runs)?\.`,
			"fresh": `^If \d+\.\d salinity OR less, .*(vat water|salt in a bucket of tank water).* \d\.\d salinity a day at most, rows counted\.$`,
			"level": `^If the level sinks, floor dry, add (purified|vat) water`,
		} {
			if !regexp.MustCompile(words).MatchString(steps[id]) {
				t.Errorf("%s: %q", id, steps[id])
			}
		}
	}
}
