package assess

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

const density = 1.02334 // kg/L at S 35, 25 °C

// shapes are the invented reports of testdata/reports: one water, written down in as
// many ways as laboratories have. Which of them state an uncertainty, a date, a time of
// day; what has to be said besides; and what is said of how they were read.
var shapes = map[string]struct {
	noU, dated, clock bool
	columns, note     string
}{
	"01-english-comma.csv":            {},
	"02-german-windows-1252.csv":      {dated: true, clock: true, note: "Windows-1252"},
	"03-french-tab-utf16.txt":         {dated: true, clock: true, note: "UTF-16"},
	"04-spanish-bom.csv":              {dated: true, note: "decimal commas"},
	"05-italian-quoted-commas.csv":    {note: "decimal commas"},
	"06-dutch-footer.csv":             {dated: true},
	"07-unit-in-heading.csv":          {},
	"08-unit-behind-the-number.csv":   {},
	"09-sign-column.tsv":              {},
	"10-not-detected.csv":             {},
	"11-per-kilogram.csv":             {},
	"12-moles.csv":                    {},
	"13-as-nitrogen-utf16be.csv":      {note: "UTF-16"},
	"14-quoted-crlf.csv":              {},
	"15-two-pages.csv":                {noU: true, dated: true},
	"16-grouped-thousands.csv":        {note: "decimal commas"},
	"17-columns-by-number.csv":        {noU: true, columns: "analyte=2,value=4,unit=5"},
	"18-columns-by-heading.csv":       {noU: true, columns: "analyte=Was,value=Wieviel,unit=Wovon"},
	"19-exponents.csv":                {},
	"20-old-line-ends.csv":            {},
	"22-across.csv":                   {dated: true, clock: true},
	"23-across-units-in-brackets.csv": {noU: true, note: "decimal commas"},
	"21-fraction-column.csv":          {},
}

func TestEveryShapeOfReportIsRead(t *testing.T) {
	files, err := filepath.Glob("../../testdata/reports/*")
	if err != nil || len(files) < 20 || len(files) != len(shapes) {
		t.Fatalf("%d files for %d shapes, %v", len(files), len(shapes), err)
	}
	want := map[string]float64{"copper": 12.4, "zinc": 5, "magnesium": 1310500, "nitrate": 5000}
	for _, file := range files {
		name := filepath.Base(file)
		shape, known := shapes[name]
		if !known {
			t.Errorf("%s: nothing is said of it", name)
		}
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		o := Options{Density: density}
		if shape.columns != "" {
			if o.Columns, err = ParseColumns(shape.columns); err != nil {
				t.Fatal(err)
			}
		}
		r, faults := Read(name, data, o)
		if len(faults) > 0 {
			t.Errorf("%s: %v", name, faults)
			continue
		}
		seen := map[string]Reading{}
		for _, x := range r.Readings {
			seen[x.Contaminant.ID] = x
		}
		if len(r.Readings) != 4 {
			t.Errorf("%s: %d results: %+v", name, len(r.Readings), r.Readings)
		}
		for id, ugL := range want {
			if got := seen[id].UgL; !(math.Abs(got/ugL-1) < 1e-6) {
				t.Errorf("%s: %s %v µg/L, want %v", name, id, got, ugL)
			}
		}
		if !seen["zinc"].Below || seen["copper"].Below {
			t.Errorf("%s: zinc below %v, copper below %v", name, seen["zinc"].Below, seen["copper"].Below)
		}
		if u := seen["copper"].U; shape.noU != (u == 0) || !shape.noU && !(math.Abs(u/1.24-1) <= 1e-6) {
			t.Errorf("%s: copper ± %v", name, u)
		}
		if date := r.SampledAt.Format("2006-01-02 15:04"); shape.dated != strings.HasPrefix(date, "2026-11-20") || shape.clock != strings.HasSuffix(date, "08:30") || shape.clock != r.HasClock {
			t.Errorf("%s: sampled %s, %v", name, date, r.HasClock)
		}
		if notes := strings.Join(r.Notes, "; "); shape.note != "" && !strings.Contains(notes, shape.note) {
			t.Errorf("%s: %q does not tell of %s", name, notes, shape.note)
		}
		if len(r.Passed) != 1 {
			t.Errorf("%s: passed over %v; iron or lead has no result", name, r.Passed)
		}
	}
}
