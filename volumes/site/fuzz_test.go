package site_test

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode"

	"tidehold/refs/yamlwalk"
	"tidehold/volumes/site"
)

// FuzzLoad: whatever the text, Load does not panic; each fault has a place and
// readable words of bounded length; a site without fault has no value that is not
// a number, and no store holds more than it can.
func FuzzLoad(f *testing.F) {
	for _, dir := range []string{"sites", "bad"} {
		files, err := filepath.Glob("../../testdata/" + dir + "/*.yaml")
		if err != nil || len(files) == 0 {
			f.Fatal("no seeds", err)
		}
		for _, path := range files {
			data, err := os.ReadFile(path)
			if err != nil {
				f.Fatal(err)
			}
			f.Add(data, "")
		}
	}
	f.Add(site.Demo(), "stores.vat-a.volume=200L")
	f.Add(site.Starter(), "mixing.in=[vat, {a: b}]")
	f.Fuzz(func(t *testing.T, data []byte, set string) {
		if s, faults := site.Load("x.yaml", data); s == nil {
			judgeFaults(t, faults, 1)
		} else {
			judgeSite(t, s)
		}
		if set == "" {
			return
		}
		if s, faults := site.LoadWith("x.yaml", data, []string{set}); s == nil {
			judgeFaults(t, faults, 0)
		} else {
			judgeSite(t, s)
		}
	})
}

func judgeFaults(t *testing.T, faults []yamlwalk.Fault, firstLine int) {
	t.Helper()
	if len(faults) == 0 {
		t.Fatal("neither a site nor a fault")
	}
	for _, f := range faults {
		if f.Line < firstLine || f.Line > 0 && f.Column < 1 || f.Found == "" {
			t.Fatalf("no place or no words: %+v", f)
		}
		text := f.Error()
		if len(text) > 4000 || strings.ContainsFunc(text, unicode.IsControl) || strings.Contains(text, "yaml: ") {
			t.Fatalf("unreadable: %q", text)
		}
	}
	if report := yamlwalk.Faults(faults).Error(); len(report) > 100_000 {
		t.Fatalf("the report has %d bytes", len(report))
	}
}

func judgeSite(t *testing.T, s *site.Site) {
	t.Helper()
	if _, err := json.Marshal(s); err != nil { // refuses what is not a number
		t.Fatal(err)
	}
	if len(s.Systems) == 0 || s.TimeZone == nil {
		t.Fatal("no system or no time zone")
	}
	for _, sys := range s.Systems {
		if !(sys.NetVolume > 0) || !(sys.Drawdown > 0 && sys.Drawdown < 1) || !(sys.ChangeEveryH > 0) {
			t.Fatalf("system %+v", sys)
		}
	}
	for _, st := range s.Stores {
		if v := st.Volume.InexactFloat64(); v < 0 || v > float64(st.Capacity)*(1+1e-6)+1e-6 {
			t.Fatalf("store %s holds %v of %v", st.ID, v, st.Capacity)
		}
	}
	for _, e := range s.Events {
		if s.SystemByID(e.System) == nil || !(e.WithinH > 0) || e.Remove == nil && e.Contaminant == "" {
			t.Fatalf("event %+v", e)
		}
	}
}
