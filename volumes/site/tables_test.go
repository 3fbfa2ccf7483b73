package site

import (
	"maps"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"tidehold/refs/yamlwalk"
)

// every calls do for each key of the tables with its path, lists without index.
func every(s *spec, path string, do func(path string, f *field)) {
	for i := range s.fields {
		f := &s.fields[i]
		at := strings.TrimPrefix(path+"."+f.key, ".")
		do(at, f)
		every(&f.spec, at, do)
	}
	if s.item != nil {
		every(s.item, path, do)
	}
}

func TestEveryDefaultBelongsToAKeyAndPassesItsOwnCheck(t *testing.T) {
	left, fish := presets(), fishPresets()
	l := &loader{parsed: map[*preset]*val{}}
	every(siteKeys(), "", func(path string, f *field) {
		if f.preset == nil {
			return
		}
		delete(left, path)
		if v := l.preset(f, f.preset); v.bad {
			t.Errorf("%s: the default %q is refused: %v", path, f.preset.text, v.node)
		}
		if f.fish != nil {
			delete(fish, path)
			if v := l.preset(f, f.fish); v.bad || f.fish.basis == "" {
				t.Errorf("%s: the default for fish %q: %v", path, f.fish.text, v.node)
			}
		}
		if f.preset.basis == "" {
			t.Errorf("%s: no basis", path)
		}
		if strings.Contains(f.preset.basis, "memory") {
			t.Errorf("%s: a value from memory is no default", path)
		}
	})
	maps.Copy(left, fish)
	for path := range left {
		t.Errorf("%s: a default without a key", path)
	}
}

func TestEveryKeyIsDescribedAndUsedInAGoodSite(t *testing.T) {
	used := map[string]bool{}
	files, _ := filepath.Glob("../../testdata/sites/*.yaml")
	for _, path := range files {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		mark(yamlwalk.Parse(path, data).Root, "", used)
	}
	every(siteKeys(), "", func(path string, f *field) {
		if f.about == "" && f.form != list {
			t.Errorf("%s has no description", path)
		}
		if !used[path] {
			t.Errorf("%s stands in no file of testdata/sites", path)
		}
	})
}

func mark(n *yamlwalk.Node, path string, used map[string]bool) {
	for _, e := range n.Entries() {
		at := strings.TrimPrefix(path+"."+e.Key, ".")
		used[at] = true
		mark(e.Value, at, used)
	}
	for _, item := range n.Elements() {
		mark(item, path, used)
	}
}

func TestAskingForAKeyOutsideTheTablesIsAProgrammingError(t *testing.T) {
	v := &val{spec: siteKeys()}
	for name, ask := range map[string]func(){
		"get":  func() { v.get("nowhere") },
		"sub":  func() { scope{spec: siteKeys()}.sub("nowhere") },
		"take": func() { scope{spec: siteKeys(), v: v}.take("systems") },
	} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%s: no panic", name)
				}
			}()
			ask()
		}()
	}
}

func TestManualListsEveryKeyOnce(t *testing.T) {
	listed := map[string]Key{}
	for _, k := range Keys() {
		if _, twice := listed[k.Path]; twice || k.Allowed == "" {
			t.Errorf("%s: listed twice, or nothing allowed", k.Path)
		}
		listed[k.Path] = k
	}
	every(siteKeys(), "", func(path string, f *field) {
		if _, ok := listed[path]; !ok {
			t.Errorf("%s is not in the manual", path)
		}
	})
	want := Key{"systems.drawdown", false, "share in %", "the most of the net volume that may be out at once", "25 %", presets()["systems.drawdown"].basis}
	if got := listed["systems.drawdown"]; got != want {
		t.Errorf("got %+v", got)
	}
}

// What the manual says of a kind is what the loader insists on: without any one of
// its required keys a device is refused, with all of them it is taken.
func TestManualOfDevicesIsWhatTheLoaderInsistsOn(t *testing.T) {
	values := map[string]string{"power": "10 W", "reservoir": "2 L", "flow": "1 L/h", "doses": "alkalinity", "strength": "2 meq/mL",
		"overflow": "1 L/h", "energy": "100 Wh", "feeds": "[x]", "usable": "50 %", "inverter": "85 %", "idle": "10 W", "lasts": "8 h", "fuel": "5 L", "use": "1 L/h"}
	load := func(kind string, keys []string) []yamlwalk.Fault {
		var b strings.Builder
		for _, k := range keys {
			b.WriteString(", " + k + ": " + values[k])
		}
		_, faults := Load("x", []byte("format: 1\nsystems: [{id: tank, net_volume: 400 L, equipment: [{id: x, kind: "+kind+b.String()+"}]}]\n"))
		return faults
	}
	for _, d := range Devices() {
		if faults := load(d.Name, append(append([]string{}, d.Required...), d.Optional...)); len(faults) > 0 {
			t.Errorf("%s with all its keys: %v", d.Name, faults)
		}
		for i, k := range d.Required {
			less := append(append([]string{}, d.Required[:i]...), d.Required[i+1:]...)
			if faults := load(d.Name, less); len(faults) != 1 || !strings.Contains(faults[0].Error(), k+" is missing") {
				t.Errorf("%s without %s: %v", d.Name, k, faults)
			}
		}
	}
}
