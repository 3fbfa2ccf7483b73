package playbook

import (
	"slices"
	"strings"
	"sync"
	"testing"
	"unicode"

	"tidehold/refs/units"
	"tidehold/volumes/site"
)

// the smallest site file that works.
const threeLines = "format: 1\nsystems: [{id: tank, net_volume: 400 L}]\nstores: [{id: vat, holds: saltwater, volume: 150 L}]\n"

// sheetsOf fills every shipped sheet for a site and a request.
func sheetsOf(t testing.TB, s *site.Site, r Request) []Sheet {
	t.Helper()
	l := Builtin()
	var out []Sheet
	for i := range l.Playbooks {
		r.Playbook = l.Playbooks[i].Name
		f, err := Gather(s, r)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, l.Sheet(&l.Playbooks[i], f, Printed))
	}
	return out
}

// variants are the shipped sheets as they may be printed.
func variants(t *testing.T) map[string][]Sheet {
	t.Helper()
	variantsOnce.Do(func() { variantSheets = newVariants(t) })
	return variantSheets
}

var (
	variantsOnce  sync.Once
	variantSheets map[string][]Sheet
)

func newVariants(t *testing.T) map[string][]Sheet {
	at := site.DemoDate()
	small, faults := site.Load("small.yaml", []byte(threeLines))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	bare := []Sheet{}
	for _, n := range Builtin().Names() {
		bare = append(bare, bareSheet(t, n))
	}
	return map[string][]Sheet{
		"without a site":        bare,
		"demo":                  sheetsOf(t, demoSite(t), Request{Printed: at}),
		"demo at a clock time":  sheetsOf(t, demoSite(t), Request{Printed: at, At: &at}),
		"demo in gallons":       sheetsOf(t, demoSite(t), Request{Printed: at, At: &at, Units: units.US}),
		"demo, second system":   sheetsOf(t, demoSite(t), Request{Printed: at, System: "touch-pool"}),
		"three-line site":       sheetsOf(t, small, Request{Printed: at}),
		"site without any vats": sheetsOf(t, withoutStores(t), Request{Printed: at}),
	}
}

// withoutStores is the demo with nothing stored.
func withoutStores(t *testing.T) *site.Site {
	s := *demoSite(t)
	s.Stores, s.Contacts, s.Mixing.In, s.Purifier = nil, nil, nil, nil
	return &s
}

// Every shipped sheet, however it is printed, meets every criterion of weight 3
// that a program can judge, and scores at least 0.9.
func TestShippedSheetsAreFitToUse(t *testing.T) {
	for name, sheets := range variants(t) {
		if len(sheets) != 13 {
			t.Errorf("%s: %d sheets, want twelve and the sitter's", name, len(sheets))
		}
		for _, s := range sheets {
			r := Builtin().Score(s, Printed)
			for _, c := range r.Failed(3) {
				t.Errorf("%s, %s: %s %s: %s", name, s.Name, c.ID, c.Text, c.Found)
			}
			if r.Score < 0.9 || !r.Ship {
				t.Errorf("%s, %s: score %.3f, %v", name, s.Name, r.Score, r.Failed(1))
			}
			if judged := len(r.Criteria) - len(slices.DeleteFunc(slices.Clone(r.Criteria), func(c Criterion) bool { return c.Judged })); judged < 50 {
				t.Errorf("%s, %s: only %d criteria were judged", name, s.Name, judged)
			}
		}
	}
}

// No sheet is printed with a field that was not filled, with characters that a
// printer stumbles over, or with blanks it does not mention at the top.
func TestNoHolesWithoutNotice(t *testing.T) {
	for name, sheets := range variants(t) {
		for _, s := range sheets {
			for form, text := range map[string]string{"text": Text(s), "markdown": Markdown(s), "html": mustHTML(t, s)} {
				if strings.Contains(text, "{{") || strings.Contains(text, "NaN") || strings.Contains(text, "%!") || strings.Contains(text, "<no value>") {
					t.Errorf("%s, %s as %s: an unfilled field", name, s.Name, form)
				}
				if i := strings.IndexFunc(text, func(r rune) bool { return unicode.IsControl(r) && r != '\n' }); i >= 0 {
					t.Errorf("%s, %s as %s: control character %q", name, s.Name, form, text[i])
				}
			}
			if len(s.Blanks) > 0 && !strings.Contains(strings.Join(s.Notices, " "), "to fill in before the day") {
				t.Errorf("%s, %s: %d blanks and no notice", name, s.Name, len(s.Blanks))
			}
			for _, b := range s.Blanks {
				if b.Measure == "" {
					t.Errorf("%s, %s: the blank %s does not say what to measure", name, s.Name, b.Field)
				}
			}
		}
	}
}

// The order that never changes: people, power, source, oxygen, then the rest; and
// a sample is saved before any water is changed.
func TestOrderThatNeverChanges(t *testing.T) {
	for name, sheets := range variants(t) {
		for _, s := range sheets {
			saved, drained := 0, 0
			for _, g := range s.Groups {
				for _, ln := range g.Lines {
					if ln.ID == "save-tank" {
						saved = ln.Number
					}
					if drained == 0 && (ln.ID == "drain" || ln.ID == "fill") {
						drained = ln.Number
					}
				}
			}
			if drained > 0 && (saved == 0 || saved > drained) {
				t.Errorf("%s, %s: water is changed in step %d, saved in step %d", name, s.Name, drained, saved)
			}
			first := s.Groups[0].Lines
			i := slices.IndexFunc(first, Line.Ticked)
			if first[i].Category != People {
				t.Errorf("%s, %s: the first step is %q", name, s.Name, first[i].Text)
			}
			if strings.Contains(strings.ToLower(first[i].Text), "siphon") {
				t.Errorf("%s, %s opens with a siphon", name, s.Name)
			}
		}
	}
}

// Electrical heaters and pumps are off before each change and on again after.
func TestDevicesAreOffBeforeAChangeAndOnAfter(t *testing.T) {
	for _, s := range variants(t)["demo"] {
		_, drain := s.find("drain")
		if drain == nil {
			continue
		}
		_, off := s.find("off-before")
		_, on := s.find("on-after")
		if off == nil || on == nil || off.Number > drain.Number || on.Number < drain.Number {
			t.Errorf("%s: off %v, drain %v, on %v", s.Name, off, drain, on)
		}
	}
}

// Which cautions the notes on safety ask for on which sheet, by their "where"
// column: a sheet that lost one fails.
func TestCautionsByEvent(t *testing.T) {
	want := map[string][]string{
		"heater-break":      {"live-water", "dry-switch", "shocked-person", "ground-fault", "damaged-heater", "broken-glass", "metal-waste", "waste-water", "lifting", "slips", "palytoxin", "palytoxin-signs", "dry-gear", "hose-end", "carbon-dust", "carbon-vessel", "used-carbon", "mercury", "cuts"},
		"leak":              {"wet-room", "live-water", "dry-switch", "ceiling", "vacuum", "wet-gear", "panel", "slips", "lifting", "palytoxin"},
		"vat-overflow":      {"wet-room", "live-water", "dry-switch", "ceiling", "vacuum", "wet-gear", "hose-end"},
		"skimmer-overflow":  {"wet-room", "live-water", "dry-switch", "ceiling", "wet-gear"},
		"top-off-overrun":   {"wet-room", "live-water", "salinity-swing"},
		"outage":            {"generator-exhaust", "back-feed", "monoxide-signs", "indoor-flame", "hot-fuel", "ground-fault", "carcass"},
		"chilled":           {"indoor-flame", "monoxide-signs", "fast-swing", "live-water"},
		"heater-stuck-on":   {"live-water", "dry-switch", "damaged-heater", "die-off", "fast-swing"},
		"chlorine":          {"bleach-mix", "gas-signs", "pool-chlorine", "chloramine", "dechlorinator", "carbon-oxidiser", "die-off"},
		"dosing-overrun":    {"splash", "chemical-into-water", "no-cancel", "dry-switch"},
		"ammonia":           {"ammonia-ph", "bleach-mix", "carcass"},
		"unknown-substance": {"live-water", "dry-switch", "stray-current", "closed-room", "gas-signs", "mercury", "die-off", "palytoxin"},
		"sitter":            {"live-water", "wet-room", "shocked-person"},
	}
	for name, cautions := range want {
		p := Builtin().Find(name)
		has := map[string]bool{}
		p.each(func(it *Item) { has[it.Caution] = true })
		for _, c := range cautions {
			if !has[c] {
				t.Errorf("%s lacks the caution %s", name, c)
			}
		}
	}
}

// Every sheet says what it does not replace, and the index names every sheet.
func TestEverySheetDefersToLawElectricianAndVeterinarian(t *testing.T) {
	all := variants(t)["demo"]
	for _, s := range all {
		for _, text := range []string{Text(s), Markdown(s), mustHTML(t, s)} {
			flat := strings.Join(strings.Fields(text), " ")
			for _, want := range []string{"does not replace local law and codes", "licensed electrician", "veterinarian"} {
				if !strings.Contains(flat, want) {
					t.Errorf("%s: no %q", s.Name, want)
				}
			}
		}
	}
	page := mustHTML(t, all...)
	for _, s := range all {
		if !strings.Contains(page, `<a href="#`+s.Name+`">`) {
			t.Errorf("the index has no %s", s.Name)
		}
	}
}

func TestSitterHasNoChoices(t *testing.T) {
	for _, g := range bareSheet(t, "sitter").Groups {
		for _, ln := range g.Lines {
			if ln.Kind == DecisionLine {
				t.Errorf("step %d is a choice: %s", ln.Number, ln.Text)
			}
		}
	}
}
