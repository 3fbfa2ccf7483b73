package site_test

import (
	"encoding/json"
	"flag"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"gopkg.in/yaml.v3"

	"tidehold/refs/outside"
	"tidehold/refs/yamlwalk"
	"tidehold/volumes/site"
)

var update = flag.Bool("update", false, "rewrite testdata/bad/want.txt; read the difference before committing")

func badFiles(t *testing.T) []string {
	t.Helper()
	files, err := filepath.Glob("../../testdata/bad/*.yaml")
	if err != nil || len(files) < 100 {
		t.Fatalf("%d bad sites, %v", len(files), err)
	}
	return files
}

// Each file of testdata/bad has one fault and is named after it. want.txt holds
// what Load must say, word for word.
func TestEveryBadSiteGivesItsMessage(t *testing.T) {
	var got strings.Builder
	for _, path := range badFiles(t) {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		s, faults := site.Load(filepath.Base(path), data)
		if s != nil || len(faults) != 1 {
			t.Errorf("%s: %d faults, want one: %v", path, len(faults), yamlwalk.Faults(faults))
		}
		for _, f := range faults {
			if f.Line < 1 || f.Column < 1 || f.Found == "" {
				t.Errorf("%s: no place or no words: %+v", path, f)
			}
			got.WriteString(f.Error() + "\n")
		}
	}
	const golden = "../../testdata/bad/want.txt"
	if *update {
		if err := os.WriteFile(golden, []byte(got.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	gotLines, wantLines := strings.Split(got.String(), "\n"), strings.Split(string(want), "\n")
	for i := range max(len(gotLines), len(wantLines)) {
		g, w := at(gotLines, i), at(wantLines, i)
		if g != w {
			t.Errorf("got  %s\nwant %s", g, w)
		}
	}
}

func at(lines []string, i int) string {
	if i < len(lines) {
		return lines[i]
	}
	return ""
}

// loaderOnly are the bad sites that a JSON Schema cannot refuse: what is no longer
// in the tree an editor sees, names that must exist, sums, what is compared across lists.
var loaderOnly = strings.Fields(`
	anchor battery-feeds-another-tank battery-feeds-nothing-known complex-key count-leading-zero duplicate-key
	equipment-id-twice event-playbook-slip event-system-unknown event-target-above-start id-twice media-system-unknown mixing-in-no-store mixing-in-purified
	part-rock-fills-all routine-system-unknown routine-too-large second-document strapping-goes-down tag-binary
	time-zone-unknown together-unknown
`)

func TestSchemaRefusesWhatASchemaCan(t *testing.T) {
	rules := schema(t)
	var passed []string
	refused := 0
	for _, path := range badFiles(t) {
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		doc := yamlwalk.Parse(path, data)
		name := strings.TrimSuffix(filepath.Base(path), ".yaml")
		tree := any(nil) // of an empty file
		switch {
		case doc.Root != nil:
			tree = asEditor(doc.Root)
		case name != "empty" && name != "comment-only":
			continue // not YAML of one mapping: an editor says so without a schema
		}
		if rules.Validate(tree) == nil && rules.Validate(byAnother(data)) == nil {
			passed = append(passed, name)
		} else {
			refused++
		}
	}
	if refused < 120 {
		t.Errorf("only %d are refused by the schema alone", refused)
	}
	t.Logf("%d of %d are refused by the schema alone", refused, len(badFiles(t)))
	want := slices.Sorted(slices.Values(loaderOnly))
	if !slices.Equal(passed, want) {
		t.Errorf("the schema lets pass\n%s\nwant\n%s", strings.Join(passed, "\n"), strings.Join(want, "\n"))
	}
}

// byAnother is the tree that another reader of YAML makes of a file, with keys that ours
// leaves out; nothing where that reader refuses it, which is none of the schema's doing.
func byAnother(data []byte) any {
	var tree map[string]any
	if err := yaml.Unmarshal(data, &tree); err != nil {
		return map[string]any{"format": 1.0, "systems": []any{map[string]any{"id": "x", "net_volume": "1 L"}}}
	}
	text, err := json.Marshal(tree)
	if err != nil {
		return tree
	}
	var out any
	_ = json.Unmarshal(text, &out)
	return out
}

// A file of nothing but faults is given up after a thousand of them, before any
// default is filled in.
func TestAFileOfFaultsIsGivenUpEarly(t *testing.T) {
	outside.Alone(t)
	for name, text := range map[string]string{
		"empty systems":     "format: 1\nsystems: [" + strings.Repeat("{},", 1<<17) + "{}]\n",
		"unknown systems":   "format: 1\nsystems: [{id: tank, net_volume: 400 L}]\nroutine:\n" + strings.Repeat("- {system: tnk, volume: 1 L, every: 7 d}\n", 5000),
		"ids given twice":   "format: 1\nsystems:\n" + strings.Repeat("- {id: tank, net_volume: 400 L}\n", 5000),
		"unlike substances": "format: 1\nsystems: [{id: tank, net_volume: 400 L}]\nstores: [{id: v, holds: saltwater, background: {" + strings.Repeat("copper: 1 ug/L, ", 5000) + "}}]\n",
	} {
		s, faults := site.Load("x.yaml", []byte(text))
		if s != nil || len(faults) != 1000 {
			t.Errorf("%s: %d faults", name, len(faults))
		}
	}
}
