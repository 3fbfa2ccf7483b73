package site

import (
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
	left := presets()
	l := &loader{parsed: map[*preset]*val{}}
	every(siteKeys(), "", func(path string, f *field) {
		if f.preset == nil {
			return
		}
		delete(left, path)
		if v := l.preset(f); v.bad {
			t.Errorf("%s: the default %q is refused: %v", path, f.preset.text, v.node)
		}
		if f.preset.basis == "" {
			t.Errorf("%s: no basis", path)
		}
		if strings.Contains(f.preset.basis, "memory") {
			t.Errorf("%s: a value from memory is no default", path)
		}
	})
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
