package yamlwalk

import (
	"math"
	"strings"
	"testing"
)

// TestTimesOfDay: hours and minutes with a colon, nothing else, and the nearest spelling.
func TestTimesOfDay(t *testing.T) {
	for text, want := range map[string]float64{"06:30": 6.5, "00:00": 0, "23:59": 23 + 59.0/60} {
		doc := Parse("x.yaml", []byte("at: "+text+"\n"))
		got, ok := doc.Root.Entries()[0].Value.Clock()
		if !ok || !(math.Abs(got-want) <= 1e-12) {
			t.Errorf("%s: %v %v %v", text, got, ok, doc.Faults())
		}
	}
	for text, hint := range map[string]string{"6.30": "write 06:30", "6pm": "write 18:00", "24:00": "", "soon": "", "6:30": "write 06:30", "[6, 30]": ""} {
		doc := Parse("x.yaml", []byte("at: "+text+"\n"))
		if _, ok := doc.Root.Entries()[0].Value.Clock(); ok {
			t.Errorf("%s was taken", text)
			continue
		}
		f := doc.Faults()[0]
		if f.Line != 1 || f.Hint != hint || !strings.Contains(f.Allowed, "06:30") {
			t.Errorf("%s: %+v", text, f)
		}
	}
}

// TestADecimalCommaInBracesIsPutTogether: YAML cuts {volume: 1,5 L} in two.
func TestADecimalCommaInBracesIsPutTogether(t *testing.T) {
	doc := Parse("x.yaml", []byte("{volume: 1,5 L, level: 3 cm}\n"))
	e := doc.Root.Entries()
	if len(e) != 2 || e[0].Key != "volume" || e[0].Value.Raw() != "1,5 L" || e[1].Key != "level" {
		t.Errorf("%+v", e)
	}
	if digitAt("5 L", -1) || digitAt("5 L", 1) || !digitAt("5 L", 0) || digitAt("", 0) {
		t.Error("digitAt")
	}
}
