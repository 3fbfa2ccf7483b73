package assess

import (
	"bytes"
	"fmt"
	"math"
	"os/exec"
	"strings"
	"testing"
	"time"

	"tidehold/refs"
	"tidehold/refs/outside"
)

// TestEveryUnit: µg/L of copper (63.546 g/mol) in one of each unit, a row each, worked
// by hand; per kilogram with the density, 1.02334 kg/L.
func TestEveryUnit(t *testing.T) {
	copper, _ := refs.ContaminantByID("copper")
	for unit, want := range map[string]float64{
		"ug/L": 1, "µg/l": 1, "μg/litre": 1, "ug/dm3": 1, "µg L⁻¹": 1, "ug.l-1": 1, "mcg/L": 1, "ppb": 1, "mg/m3": 1, "mg/m³": 1, "ng/mL": 1,
		"ng/L": 1e-3, "mg/L": 1e3, "mg·L⁻¹": 1e3, "ppm": 1e3, "mg/dm³": 1e3, "g/m3": 1e3, "ug/mL": 1e3, "g/L": 1e6, "mg/mL": 1e6,
		"ng/kg": 1e-3 * 1.02334, "ug/kg": 1.02334, "ng/g": 1.02334, "mg/kg": 1e3 * 1.02334, "ug/g": 1e3 * 1.02334, "g/kg": 1e6 * 1.02334, "‰": 1e6 * 1.02334, "Promille": 1e6 * 1.02334,
		"nmol/L": 63.546e-3, "nM": 63.546e-3, "umol/L": 63.546, "µM": 63.546, "mmol/L": 63546, "mM": 63546,
		"nmol/kg": 63.546e-3 * 1.02334, "µmol/kg": 63.546 * 1.02334, "mmol/kg": 63546 * 1.02334,
	} {
		got, as, err := factorOf(unit, copper, 1.02334)
		if err != nil || as != "" || !(math.Abs(got/want-1) < 1e-12) {
			t.Errorf("%s: %v µg/L, %q, %v; want %v", unit, got, as, err, want)
		}
	}
}

// TestEveryBasis: the same milligram as another species, with the molar masses of
// IUPAC: 62.004/14.007 = 4.4266 and so on.
func TestEveryBasis(t *testing.T) {
	for line, want := range map[string]float64{
		"nitrate,1,mg/L": 1000, "NO3-N,1,mg/L": 4426.6, "nitrate,1,mg/L N": 4426.6, "nitrate,1,mg/L as N": 4426.6, "nitrate,1,mg N/L": 4426.6,
		"Nitrate (as N),1,mg/L": 4426.6, "NO3-N,1,mg/L N": 4426.6, "nitrate as NO3,1,mg/L": 1000, "Nitrat-Stickstoff,1,mg/L NO3": 1000,
		"NO3-N,1,umol/L": 62.004, "nitrite,1,mg/L NO2-N": 3284.4, "NO2-N,1,mg/L": 3284.4,
		"phosphate,10,ug/L P": 30.661, "Phosphorus,10,ug/L": 30.661, "Phosphat,10,ug/L PO4-P": 30.661,
		"TAN,0.5,mg/L N": 500, "ammonia,0.5,mg/L": 500, "Ammonium,1.2879,mg/L": 1000, "NH4,1.2879,mg/L": 1000, "ammonia as NH3,1.2159,mg/L": 1000, "ammonium,1,mg/L NH4-N": 1000,
		"NH3,1,mg/L": 1000, "NH3,1,mg/L N": 1215.9, "SiO2,2.1393,mg/L": 1000, "silicate,1,mg/L Si": 1000,
		"sulfide,1.063,mg/L H2S": 1000, "H2S,1,mg/L": 1000, "H2S,1,mg/L S": 1063,
	} {
		x := read(t, "analyte,value,unit\n"+line+"\n")
		if len(x) != 1 || !(math.Abs(x[0].UgL/want-1) < 1e-4) {
			t.Errorf("%s: %+v, want %v µg/L", line, x, want)
		}
	}
}

func TestEveryName(t *testing.T) {
	for id, names := range map[string]string{
		"copper":      "Cu|copper|COPPER|Kupfer|cuivre|Cobre|rame|koper|Cu2+|Copper (Cu)|Cu (copper)|Copper, dissolved|Kupfer gelöst|Cuivre dissous|Copper - total|Kupfer ges.|Total Copper|cobre disuelto|Cu filtered",
		"chromium_vi": "chromium|Cr|Cr(VI)|Chrom|hexavalent chromium", "aluminium": "Aluminum|Al|alluminio", "tin_inorganic": "Sn|Zinn|étain|estaño|stagno",
		"sodium": "Na|Natrium|sodio|Na+", "sulfate": "SO4|Sulfat|sulphate|SO42-", "chloride": "Cl|Chlorid|Cl-", "chlorine": "Cl2|Chlor|free chlorine", "potassium": "K|Kalium|potasio|K+", "ammonia_total": "ammonia|NH4-N|Ammonium-Stickstoff|azote ammoniacal|nitrógeno amoniacal", "phosphate": "PO4|Phosphat|PO43-|orthophosphate",
		"iodine": "Jod|I|iode|Iodine (total)", "lead": "Pb|Blei|plomb|plomo|piombo|lood", "mercury": "Hg|Quecksilber|mercure",
	} {
		for _, name := range strings.Split(names, "|") {
			if a, ok := find(name); !ok || a.contaminant.ID != id {
				t.Errorf("%s is %q, %v; want %s", name, a.contaminant.ID, ok, id)
			}
		}
	}
	for name, want := range map[string]string{"Copper, dissolved": "dissolved", "Kupfer (gelöst)": "dissolved", "Total copper": "total", "Cu": ""} {
		if a, _ := find(name); a.fraction != want {
			t.Errorf("%s: fraction %q, want %q", name, a.fraction, want)
		}
	}
	for name, why := range map[string]string{"pH": NoContaminant, "Salinität": NoContaminant, "O2": NoContaminant, "total phosphorus": NoContaminant, "Rubidium": notInTables, "Ga": notInTables} {
		if a, ok := find(name); !ok || a.why != why {
			t.Errorf("%s: %+v, want %q", name, a, why)
		}
	}
	// Another fraction of anything but an element is another analyte.
	for _, name := range []string{"dissolved phenol", "total nitrate x", "total", "()", ""} {
		if a, ok := find(name); ok {
			t.Errorf("%q is taken for %+v", name, a)
		}
	}
}

func TestFaultsNamePlaceAndFix(t *testing.T) {
	for text, want := range map[string]string{
		"": "the report is empty", "\n\n": "the report is empty", "\x00\x00": "the report is empty",
		"foo,bar\n1,2\n":                                                 `report.csv:1:1: no line has headings that are known; read here: "foo", "bar"; needed are headings`,
		"analyte,value,unit\nCu,1,furlong\n":                             `report.csv:2:6: copper: unknown unit "furlong"`,
		"analyte,value,unit\nCu,1,ug/Lt\n":                               `did you mean "ug/L"`,
		"analyte,value,unit\nCu,1,\n":                                    "report.csv:2:6: copper: no unit",
		"analyte,value\nCu,1\n":                                          "copper: no unit",
		"analyte,value,unit\nCu,1,ppt\n":                                 "parts per thousand or per trillion",
		"analyte,value,unit\nCu,1,ug/L\ncopper,2,ug/L\n":                 "report.csv:3:1: copper is here twice, first on line 2",
		"analyte,value,unit\ncoper,1,ug/L\n":                             `report.csv:2:1: "coper" is not an analyte in the tables; did you mean "copper"?`,
		"analyte,value,unit\n,1,ug/L\n":                                  "report.csv:2:1: no analyte",
		"analyte,value,unit\nCu,.nan,ug/L\n":                             `".nan" is no number`,
		"analyte,value,unit\nCu,0x1p3,ug/L\n":                            "unknown unit",
		"analyte,value,unit\nCu,1..2,ug/L\n":                             "is no number",
		"analyte,value,unit\nCu,-1,ug/L\n":                               "negative",
		"analyte,value,unit,u\nCu,1,ug/L,x\n":                            `report.csv:2:11: copper: the uncertainty "x" is no number`,
		"analyte,value,unit,u\nCu,1,ug/L,1.2.3\n":                        "the uncertainty",
		"analyte,value,unit,u\nCu,1,ug/L,-1\n":                           "the uncertainty \"-1\" is negative",
		"analyte,value,unit,u\nCu,1,ug/L,1e12\n":                         "the uncertainty: 1e12",
		"analyte,value,unit\nCu,1 ± -2,ug/L\n":                           "negative",
		"analyte,value,unit\nCu,5,ug/L,7\n":                              "report.csv:2:11: 4 fields under 3 headings",
		"analyte,value,unit\nCu,1,mg/L as N\n":                           "makes no sense",
		"analyte,value,unit\n\"Cu,1,ug/L\n":                              "report.csv:2:1: the quotation marks",
		"analyte,value,unit\ncopper,1e15,ug/L\n":                         "report.csv:2:8: copper: 1e15 ug/L is more than a kilogram in a litre; at most 1000000 mg/L",
		"analyte;value;unit\ncopper;3.100;ug/L\n":                        `report.csv:2:8: copper: "3.100" is 3.1 or 3100: say which with --decimal point or --decimal comma`,
		"analyte\tvalue\tunit\ncopper\t3,100\tug/L\n":                    `"3,100" is 3.1 or 3100`,
		"analyte;value;unit;u\ncopper;3;ug/L;1.250\n":                    `the uncertainty: "1.250" is 1.25 or 1250`,
		"analyte;value;unit\ncopper;3,5;ug/L\nzinc;4.5;ug/L\n":           `report.csv:3:6: "4.5" has another decimal mark than "3,5" on line 2`,
		"analyte;value;unit\ncopper;1.23.456;ug/L\nzinc;1,5;ug/L\n":      "has a mark where the rest of the file has none",
		"analyte,value,unit\nCu," + strings.Repeat("9", 400) + ",ug/L\n": "a field of 400 characters",
		"id,Cu,Zn,Fe\n,ug/L,ug/L,ug/L\nA,1,2,3\nB,4,5,6\n":               "report.csv:4:1: a second sample; leave in the line of one",
		"id,Cu,Zn,Fe\n,ug/L,ug/L,furlong\nA,1,2,3\n":                     `report.csv:3:7: iron: unknown unit "furlong"`,
		"id,Cu,Zn,Fe\n":                              "no line has headings",
		"id,Cu (ug/L),Zn (ug/L),Fe\nA,1,2,3\n":       "report.csv:2:7: iron: no unit",
		strings.Repeat("analyte,value,unit\n", 2100): "more than 2000 lines",
	} {
		_, faults := Read("report.csv", []byte(text), Options{Density: density})
		if len(faults) == 0 || !strings.Contains(faults[0].Error(), want) {
			t.Errorf("%.60q: %v, want %q", text, faults, want)
			continue
		}
		if len(faults[0].Error()) > 700 {
			t.Errorf("%.60q: the fault has %d characters", text, len(faults[0].Error()))
		}
	}
	if _, faults := Read("big.csv", make([]byte, maxReport+1), Options{}); len(faults) != 1 || !strings.Contains(faults[0].Error(), "at most 1048576") {
		t.Errorf("a megabyte: %v", faults)
	}
	// A file that is not understood shows how one that works looks: the three lines are
	// read as they stand.
	_, faults := Read("report.csv", []byte("foo,bar\n1,2\n"), Options{})
	lines := strings.Split(faults[0].Error(), "\n")
	if r, faults := Read("example", []byte(strings.Join(lines[1:4], "\n")), Options{Density: density}); len(faults) > 0 || len(r.Readings) != 2 {
		t.Errorf("the example in the fault: %v, %v", r, faults)
	}
	// At most twenty, and a count.
	_, faults = Read("many.csv", []byte("analyte,value,unit\n"+strings.Repeat("Cu,x,ug/L\n", 50)), Options{})
	if len(faults) != 21 || faults[20].Error() != "many.csv: and 30 more" {
		t.Errorf("%d faults, the last %v", len(faults), faults[len(faults)-1])
	}
}

// The user's word settles what the file does not.
func TestDecimalMarks(t *testing.T) {
	for _, c := range []struct {
		text, forced string
		want         float64
	}{
		{"analyte;value;unit\ncopper;3.100;ug/L\n", "point", 3.1},
		{"analyte;value;unit\ncopper;3.100;ug/L\n", "comma", 3100},
		{"analyte;value;unit\ncopper;3,100;ug/L\n", "comma", 3.1},
		{"analyte;value;unit\ncopper;3.100;ug/L\nzinc;4,5;ug/L\n", "", 3100}, // the file has decimal commas
		{"analyte;value;unit\ncopper;3.100;ug/L\nzinc;4.5;ug/L\n", "", 3.1},
		{"analyte,value,unit\ncopper,3.100,ug/L\n", "", 3.1}, // commas separate
		{"analyte;value;unit\ncopper;0.100;ug/L\n", "", 0.1}, // nobody groups a zero
		{"analyte;value;unit\ncopper;12 345;ug/L\n", "", 12345},
		{"analyte;value;unit\ncopper;12'345.5;ug/L\n", "", 12345.5},
		{"analyte;value;unit\ncopper;1,234,567;ug/L\n", "", 1234567},
		{"analyte;value;unit\ncopper;1.234.567;ug/L\n", "", 1234567},
		{"analyte;value;unit\ncopper;1.234,5;ug/L\n", "", 1234.5},
		{"analyte;value;unit\ncopper;1,234.5;ug/L\n", "", 1234.5},
		{"analyte;value;unit\ncopper;1.5E+01;ug/L\n", "", 15},
	} {
		r, faults := Read("r", []byte(c.text), Options{Density: density, Decimal: DecimalMark(c.forced)})
		if len(faults) > 0 || r.Readings[0].UgL != c.want {
			t.Errorf("%q, %q: %v %v, want %v", c.text, c.forced, r.Readings, faults, c.want)
		}
	}
}

// What stands where no number stands.
func TestNoResult(t *testing.T) {
	for value, reason := range map[string]string{
		"": "no result", "n/a": "no result", "N.A.": "no result", "-": "no result", "nicht bestimmt": "no result",
		"n.d.": "not detected, and no reporting limit stated", "ND": "not detected, and no reporting limit stated", "<LOQ": "not detected, and no reporting limit stated", "nicht nachweisbar": "not detected, and no reporting limit stated",
	} {
		r, faults := Read("r", []byte("analyte;value;unit\nzinc;1;ug/L\ncopper;"+value+";ug/L\n"), Options{Density: density})
		if len(faults) > 0 || len(r.Readings) != 1 || len(r.Passed) != 1 || r.Passed[0].Reason != reason {
			t.Errorf("%q: %+v %v", value, r, faults)
		}
	}
	for value, want := range map[string]Reading{"<2": {UgL: 2, Below: true}, "≤ 2": {UgL: 2, Below: true}, "< 2,5": {UgL: 2.5, Below: true}, "kleiner 2": {UgL: 2, Below: true}, ">50": {UgL: 50, Over: true}, "nd": {UgL: 7, Below: true}} {
		r, faults := Read("r", []byte("analyte;value;unit;LOQ\ncopper;"+value+";ug/L;<7\n"), Options{Density: density})
		if len(faults) > 0 || len(r.Readings) != 1 || r.Readings[0].UgL != want.UgL || r.Readings[0].Below != want.Below || r.Readings[0].Over != want.Over {
			t.Errorf("%q: %+v %v", value, r.Readings, faults)
		}
	}
}

func TestUncertainties(t *testing.T) {
	for text, want := range map[string]float64{
		"analyte;value;unit;u\ncopper;20;ug/L;10 %\n": 2, "analyte;value;unit;u\ncopper;20;ug/L;±2\n": 2, "analyte;value;unit;u\ncopper;0.02;mg/L;0.002\n": 2,
		"analyte;value;unit;u (%)\ncopper;20;ug/L;10\n": 2, "analyte;value;unit;u (ug/L)\ncopper;0.02;mg/L;2\n": 2, "analyte;value;unit;u (mg/L)\ncopper;20;ug/L;0.002\n": 2, "analyte;value;unit\ncopper;20 ± 2;ug/L\n": 2,
		"analyte;value;unit\ncopper;20+/-10%;ug/L\n": 2, "analyte;value;unit\ncopper;20 ± 2 ug/L;\n": 2, "analyte;value;unit;u\ncopper;20;ug/L;\n": 0, "analyte;value;unit;u\ncopper;20;ug/L;n/a\n": 0,
	} {
		r, faults := Read("r", []byte(text), Options{Density: density})
		if len(faults) > 0 || !(math.Abs(r.Readings[0].U-want) <= 1e-12) || r.Readings[0].UgL != 20 {
			t.Errorf("%q: %+v %v", text, r.Readings, faults)
		}
	}
}

func TestWhenTheSampleWasTaken(t *testing.T) {
	for title, want := range map[string]string{
		"Sampled: 2026-11-20T08:30": "2026-11-20 08:30", "Probenahme;20.11.2026": "2026-11-20 00:00", "Date de prélèvement: 20/11/2026 à 8h30": "2026-11-20 08:30",
		"Sample date;11/20/2026": "2026-11-20 00:00", "Sample date;3/3/2026": "2026-03-03 00:00", "Printed: 2026-11-20": "",
		"Sample date;05/11/2026": "ambiguous", "Sample date;30.02.2026": "ambiguous", "Sample date;soon": "ambiguous", "Sample date;2026-11-20 25:00": "ambiguous",
	} {
		r, faults := Read("r", []byte(title+"\nanalyte;value;unit\ncopper;20;ug/L\n"), Options{Density: density})
		got := ""
		switch {
		case len(r.Notes) > 0 && strings.Contains(r.Notes[0], "say it with --sampled"):
			got = "ambiguous"
		case !r.SampledAt.IsZero():
			got = r.SampledAt.Format("2006-01-02 15:04")
		}
		if len(faults) > 0 || got != want {
			t.Errorf("%s: %q %v %v, want %q", title, got, r.Notes, faults, want)
		}
	}
}

func TestWhatTheReportSaysOfTheWater(t *testing.T) {
	r, faults := Read("r", []byte("analyte;value;unit\npH-Wert;8,1;\nSalinität;33,5;\nTemperatur;24,0;°C\ncopper;20;ug/L\nMystery compound;3;ug/L\n"), Options{Density: density})
	if len(faults) > 0 || *r.PH != 8.1 || *r.Salinity != 33.5 || *r.Temperature != 24 || len(r.Passed) != 4 || r.Passed[3].Reason != notInTables {
		t.Errorf("%+v %v", r, faults)
	}
}

func TestColumnsThatAreNamed(t *testing.T) {
	for text, want := range map[string]string{
		"analyte": "write NAME=COLUMN", "analyte=1": "no value", "analyte=1,value=": "write NAME=COLUMN", "analyte=1,value=2,colour=3": "write NAME=COLUMN",
	} {
		if _, err := ParseColumns(text); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %q", text, err, want)
		}
	}
	c, err := ParseColumns("analyte=1, value=2, u=3")
	if err != nil || c["±"] != "3" {
		t.Errorf("%v %v", c, err)
	}
	for _, columns := range []string{"analyte=1,value=9", "analyte=Stoff,value=Menge"} {
		o := Options{Density: density}
		if o.Columns, err = ParseColumns(columns); err != nil {
			t.Fatal(err)
		}
		if _, faults := Read("r", []byte("copper;20;ug/L\n"), o); len(faults) != 1 || !strings.Contains(faults[0].Error(), "no line has the columns that --columns names") {
			t.Errorf("%s: %v", columns, faults)
		}
	}
}

// TestWindows1252: the letters that reports have, then every assigned character of the
// upper half against Python's codec.
func TestWindows1252(t *testing.T) {
	got, name := decode([]byte("\xb5g/l \x89 \x96 \x80 \xfc\xdf"))
	if got != "µg/l ‰ – € üß" || name != "Windows-1252" {
		t.Errorf("%q as %s", got, name)
	}
	for _, plain := range []string{"Größe µ", ""} {
		if got, name := decode([]byte(plain)); got != plain || name != "" {
			t.Errorf("%q is %q as %s", plain, got, name)
		}
	}
	out, err := exec.Command("python3", "-c", "import sys; sys.stdout.buffer.write(bytes(range(128, 256)).decode('cp1252', 'replace').encode())").Output()
	if err != nil {
		outside.Missing(t, "python3 is not installed: its codec is not compared with")
	}
	upper := []byte{0xff} // two bytes that are no UTF-8 begin the text
	for i := 128; i < 256; i++ {
		upper = append(upper, byte(i))
	}
	if got, _ := decode(upper); got != "ÿ"+string(out) {
		t.Errorf("%q, want %q", got, "ÿ"+string(out))
	}
}

// A megabyte of names that no table has took 15 s of processor time, and a field of a
// megabyte was printed whole.
func TestHostileReportsTakeBoundedTimeAndWords(t *testing.T) {
	outside.Alone(t)
	var unknown bytes.Buffer
	unknown.WriteString("analyte,value,unit\n")
	for i := 0; unknown.Len() < maxReport-100; i++ {
		fmt.Fprintf(&unknown, "unobtainium-%d-%s,1,ug/L\n", i, strings.Repeat("x", i%25))
	}
	fewer := bytes.Join(bytes.SplitAfter(unknown.Bytes(), []byte("\n"))[:1900], nil)
	for name, data := range map[string][]byte{
		"unknown names": unknown.Bytes(), "unknown names within the limit": fewer,
		"one field":        append([]byte("analyte,value,unit\n"), bytes.Repeat([]byte("x"), maxReport-100)...),
		"one quoted field": append([]byte("analyte,value,unit\n\""), bytes.Repeat([]byte("x"), maxReport-100)...),
		"separators":       bytes.Repeat([]byte(";"), maxReport), "no headings": bytes.Repeat([]byte("a;b\n"), maxReport/4),
		"many fields":   bytes.Repeat([]byte("a;"), maxReport/2),
		"many analytes": append(append(bytes.Repeat([]byte("Cu;"), maxReport/4), '\n'), bytes.Repeat([]byte("1;"), maxReport/10)...),
		"blanks":        append([]byte("analyte,value,unit\nCu,"), bytes.Repeat([]byte("1 "), 140)...),
		"zeros":         append(bytes.Repeat([]byte{0}, 1000), bytes.Repeat([]byte("a"), 100)...),
	} {
		start := time.Now()
		r, faults := Read("report.csv", data, Options{Density: density})
		// The short tests also run under the race detector, which takes several times as long.
		if took := time.Since(start); took > 2*time.Second && !testing.Short() {
			t.Errorf("%s: %v", name, took)
		}
		words := 0
		for _, f := range faults {
			words += len(f.Error())
		}
		if words > 5000 {
			t.Errorf("%s: faults of %d characters", name, words)
		}
		for _, p := range r.Passed {
			if len(p.Name) > 60 {
				t.Fatalf("%s: a name of %d characters is repeated", name, len(p.Name))
			}
		}
	}
}

func FuzzRead(f *testing.F) {
	f.Add([]byte("analyte;value;unit;u\nCu;<1,5;ug/L;10 %\n"), "")
	f.Add([]byte("\xff\xfea\x00"), "comma")
	f.Add([]byte("Sampled: 2026-11-20\nParameter\tResult (mg/l)\nNO3-N\t1.234,5 ± 2\n"), "point")
	f.Fuzz(func(t *testing.T, data []byte, decimal string) {
		r, faults := Read("r", data, Options{Density: density, Decimal: DecimalMark(decimal)})
		if len(faults) > 0 {
			for _, e := range faults {
				if strings.ContainsAny(e.Error(), "\x00\x1b") {
					t.Fatalf("a control character in %q", e)
				}
			}
			return
		}
		for _, x := range r.Readings {
			if math.IsNaN(x.UgL) || !(x.UgL >= 0 && x.UgL <= mostUgL) || !(x.U >= 0 && x.U <= mostUgL) || x.Line < 1 {
				t.Fatalf("%q: %+v", data, x)
			}
		}
	})
}

// How a line is cut: quotation marks, doubled ones, blanks, columns in characters.
func TestCutLine(t *testing.T) {
	r := cutLine(3, ` "a ""b"";c" ; dé;"x" y; `, ';')
	var texts []string
	var columns []int
	for _, c := range r.cells {
		texts, columns = append(texts, c.text), append(columns, c.column)
	}
	if got := strings.Join(texts, "|"); got != `a "b";c|dé|x y|` || r.line != 3 || r.broken != 0 {
		t.Errorf("%q, line %d, broken %d", got, r.line, r.broken)
	}
	if fmt.Sprint(columns) != "[1 15 19 25]" {
		t.Errorf("columns %v", columns)
	}
	if r := cutLine(1, `a;"b`, ';'); r.broken != 3 {
		t.Errorf("not closed: column %d", r.broken)
	}
	if r := cutLine(1, `a;"b""`, ';'); r.broken != 3 {
		t.Errorf("two marks are one, and not closed: column %d", r.broken)
	}
	if got := shown(strings.Repeat("x", 40)); got != `"`+strings.Repeat("x", 40)+`"` {
		t.Errorf("forty letters are cut: %s", got)
	}
	if got := shown(strings.Repeat("x", 41)); got != `"`+strings.Repeat("x", 40)+`" …` {
		t.Errorf("forty-one letters: %s", got)
	}
	rows := rowsOf("# no\n;;\n\n a;b\r\n\tc\n", ';')
	if len(rows) != 2 || rows[0].line != 4 || rows[1].line != 5 {
		t.Errorf("%+v", rows)
	}
}

// What is said of how a file was read: its decimal mark where the file shows it, not
// where the user says it.
func TestNotesOnReading(t *testing.T) {
	for text, want := range map[string]string{"copper;3,5;ug/L": "decimal commas (3,5 on line 2)", "copper;3.5;ug/L": "", "copper;3;ug/L": ""} {
		r, faults := Read("r", []byte("analyte;value;unit\n"+text+"\n"), Options{Density: density})
		if len(faults) > 0 || strings.Join(r.Notes, "") != want {
			t.Errorf("%s: %v %v, want %q", text, r.Notes, faults, want)
		}
	}
	if r, _ := Read("r", []byte("analyte;value;unit\ncopper;3,5;ug/L\n"), Options{Density: density, Decimal: "comma"}); len(r.Notes) != 0 {
		t.Errorf("%v", r.Notes)
	}
	// Two results beside each other: nobody guesses which counts.
	text := []byte("Parameter;Result;Unit;Concentration\ncopper;3;ug/L;99\n")
	if _, faults := Read("r", text, Options{Density: density}); len(faults) != 1 || faults[0].Error() != `r:1:11: "Result" and "Concentration" could both be the value; say which with --columns, e.g. --columns analyte=1,value=2` {
		t.Errorf("%v", faults)
	}
	columns, _ := ParseColumns("analyte=1,value=4,unit=3")
	if r, faults := Read("r", text, Options{Density: density, Columns: columns}); len(faults) > 0 || r.Readings[0].UgL != 99 {
		t.Errorf("%+v %v", r, faults)
	}
}

// Every ratio that a result as another species is brought over by is there: without it the
// program would stop at such a report.
func TestEveryBasisHasItsRatio(t *testing.T) {
	for id, species := range bases {
		c, ok := refs.ContaminantByID(id)
		if !ok {
			t.Errorf("%s is not in the tables", id)
		}
		for as := range species {
			if x, err := basis(c, as); err != nil || !(x > 0) {
				t.Errorf("%s as %s: %v, %v", id, as, x, err)
			}
		}
	}
}
