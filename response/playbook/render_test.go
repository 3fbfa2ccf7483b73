package playbook

import (
	"encoding/xml"
	"errors"
	"flag"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"tidehold/response/figure"
	"time"

	"tidehold/refs/units"
	"tidehold/volumes/site"
)

// What the site file says is shown as text, never taken for markup, and no
// rendering asks for anything outside itself.
func TestNamesAreNeverMarkup(t *testing.T) {
	s := *demoSite(t)
	s.Name = `Reef <script>alert(1)</script> & "Sons" | _x_`
	s.Contacts = []site.Contact{{Role: "electrician", Name: "<b>Volt</b>", Phone: "+351 000"}, {Role: "second person", Phone: "javascript:0"}}
	f := gather(t, &s, Request{Playbook: "leak"})
	sheet := Builtin().Fill(Builtin().Find("leak"), f)
	page := mustHTML(t, sheet)
	for _, bad := range []string{"<script>alert", "<b>Volt", "http://", "https://", "src=", "@import", "url("} {
		if strings.Contains(strings.ReplaceAll(page, "http://www.w3.org/2000/svg", ""), bad) {
			t.Errorf("the page holds %q", bad)
		}
	}
	if !strings.Contains(page, "&lt;b&gt;Volt") {
		t.Error("the electrician's name is not on the page")
	}
	if md := Markdown(sheet); strings.Contains(md, "<script>") || strings.Contains(md, " | _x_") {
		t.Error("the site's name is taken for markup")
	}
}

func TestEveryIDOnThePageIsOfOneElement(t *testing.T) {
	page := mustHTML(t, variants(t)["demo"]...)
	seen := map[string]bool{}
	for _, part := range strings.Split(page, ` id="`)[1:] {
		id, _, _ := strings.Cut(part, `"`)
		if seen[id] {
			t.Errorf("two elements are called %s", id)
		}
		seen[id] = true
	}
	if len(seen) < 1000 {
		t.Errorf("only %d names on the binder", len(seen))
	}
}

// The page is closed: every opened element of the body ends.
func TestCurveIsWellFormed(t *testing.T) {
	for _, points := range [][]figure.Level{
		{{H: 0, C: 1}, {H: 0, C: 1}, {H: 0.5, C: 0.5}}, {{H: 0, C: 1}, {H: 0, C: 0.2}}, {{H: 0, C: 1}, {H: 3000, C: 0.9}, {H: 9000, C: 0.1}},
	} {
		svg, err := Sheet{Name: "x", Curve: points, Aim: 0.1}.CurveSVG()
		if err != nil {
			t.Fatal(err)
		}
		d := xml.NewDecoder(strings.NewReader(svg))
		for {
			if _, err := d.Token(); errors.Is(err, io.EOF) {
				break
			} else if err != nil {
				t.Fatalf("%v: %v", points, err)
			}
		}
	}
	for _, points := range [][]figure.Level{nil, {{H: 0, C: 1}}} {
		if svg, err := (Sheet{Curve: points}).CurveSVG(); svg != "" || err != nil {
			t.Error("a curve of fewer than two points was drawn")
		}
	}
	if _, err := (Sheet{Curve: []figure.Level{{H: 2, C: 1}, {H: 1, C: 1}}}).CurveSVG(); err == nil {
		t.Error("a curve that goes back in time was drawn")
	}
}

func TestLongWordsAreBrokenInTables(t *testing.T) {
	long := strings.Repeat("verylongvatname", 8)
	f := &Facts{System: strings.Repeat("system", 20), Printed: time.Date(2028, 1, 1, 0, 0, 0, 0, time.UTC),
		Vats: []Vat{{ID: "short " + long, Holds: "saltwater", VolumeL: 10}}}
	s := Builtin().Fill(Builtin().Find("ammonia"), f)
	for line := range strings.Lines(strings.ReplaceAll(Text(s), f.System, "")) {
		if n := len([]rune(strings.TrimRight(line, "\n"))); n > TextWidth && !strings.Contains(line, long) {
			t.Errorf("%d columns: %s", n, line)
		}
	}
	if !strings.Contains(strings.Join(s.Notices, " "), "last reviewed on 2026-11-25") {
		t.Errorf("an old review is not mentioned: %q", s.Notices)
	}
}

func TestPlanInWords(t *testing.T) {
	remove, done := 0.5, 3.0
	p := &Plan{Remove: &remove, AimLeft: 0.5, WithinH: 2, WaterL: 100, MissingL: 40, Changes: []Change{{}}}
	f := &Facts{Plan: p}
	for _, c := range []struct {
		done   *float64
		inTime bool
		want   string
	}{
		{nil, false, "That is NOT enough: about 40 L more is needed."},
		{&done, false, "Done 3 h after the start, which is LATE."},
		{&done, true, "Done 3 h after the start."},
	} {
		p.DoneAtH, p.InTime = c.done, c.inTime
		if got, _ := f.planSays(p); !strings.HasSuffix(got, c.want) || !strings.Contains(got, "Plan: 1 change, 100 L in all.") {
			t.Errorf("got %q, want it to end %q", got, c.want)
		}
	}
	if got := (&Facts{Plan: &Plan{}}).changeTable(); got.Rows[0][1] != "none" {
		t.Errorf("a plan without changes shows %v", got.Rows)
	}
}

func TestDevicesByName(t *testing.T) {
	f := &Facts{SwitchOff: []string{"heater-1", "return"}}
	if f.devices() != "heater-1, return" || !strings.HasSuffix(f.devicesBack(), "but no failed heater") {
		t.Errorf("off %q, on %q", f.devices(), f.devicesBack())
	}
	if got := (&Facts{Assumptions: nil}).devices(); !strings.HasPrefix(got, "heaters, pumps") {
		t.Errorf("got %q", got)
	}
	if valuesAre(1) != "1 value is" {
		t.Error(valuesAre(1))
	}
}

// A block too high for one page is broken between lines, never behind a caution.
func TestHighBlocksAreBrokenBetweenLines(t *testing.T) {
	s := demoSheet(t, "heater-break")
	g := *group(&s, "change")
	lines := g.Lines
	for range 5 {
		g.Lines = append(g.Lines, lines...)
	}
	_, high := Printed.room()
	parts := Printed.split(g, high-reserved)
	if len(parts) < 3 {
		t.Fatalf("%d parts", len(parts))
	}
	n := 0
	for i, p := range parts {
		n += len(p.Lines)
		if Printed.groupHeight(p) > high-reserved {
			t.Errorf("part %d is %.0f pt high", i, Printed.groupHeight(p))
		}
		if p.Lines[len(p.Lines)-1].Kind == CautionLine {
			t.Errorf("part %d ends with a caution", i)
		}
	}
	if n != len(g.Lines) {
		t.Errorf("%d lines of %d", n, len(g.Lines))
	}
}

func TestNumbersNeedUnits(t *testing.T) {
	for text, want := range map[string]string{
		"Drain 288 L.":                          "",
		"Drain 288.":                            "288",
		"Wait 30 to 40 min.":                    "",
		"Read 24.5 to 26.5 °C.":                 "",
		"At 03:00 drain 5 %.":                   "",
		"Read it on 2026-11-25.":                "",
		"Drain 5 x.":                            "5",
		"Change 34.0 (practical salinity) now.": "",
		"Use vat-2 now.":                        "",
		"Fill 3 buckets.":                       "",
		"Fill 3,":                               "3",
	} {
		if got := unitless(text); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}

func TestMarkdownHasEveryStep(t *testing.T) {
	s := demoSheet(t, "outage")
	md := Markdown(s)
	if got := strings.Count(md, "- [ ] **"); got != s.Steps() {
		t.Errorf("%d task boxes, want %d", got, s.Steps())
	}
	if !strings.HasSuffix(md, "- [ ] "+s.Complete+"\n") {
		t.Error("the completion line is not the last")
	}
}

func TestUSUnitsReachEveryNumber(t *testing.T) {
	for _, s := range variants(t)["demo in gallons"] {
		for line := range strings.Lines(Text(s)) {
			for _, metric := range []string{" L ", " L.", " L,", "litres", "°C", " kg", " cm"} {
				if strings.Contains(line, metric) && !strings.Contains(line, "mg/L") && !strings.Contains(line, "µg/L") {
					t.Errorf("%s: %s", s.Name, line)
				}
			}
		}
	}
	if units.US.String() != "us" {
		t.Fatal("no US units")
	}
}

var update = flag.Bool("update", false, "rewrite testdata/golden")

// The demo's broken heater, word for word: read the difference before an update.
func TestGoldenSheet(t *testing.T) {
	for name, got := range map[string]string{
		"playbook-heater-break.txt": Text(demoSheet(t, "heater-break")),
		"playbook-sitter.txt":       Text(bareSheet(t, "sitter")),
		"playbook-outage.md":        Markdown(bareSheet(t, "outage")),
	} {
		path := filepath.Join("..", "..", "testdata", "golden", name)
		if *update {
			if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if got != string(want) {
			t.Errorf("%s differs; run with -update and read the difference", name)
		}
	}
}
