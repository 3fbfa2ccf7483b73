package site_test

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"testing"

	"github.com/google/jsonschema-go/jsonschema"

	"tidehold/refs/outside"
	"tidehold/refs/yamlwalk"
	"tidehold/volumes/site"
)

var (
	coreInt   = regexp.MustCompile(`^[-+]?[0-9]+$`)
	coreFloat = regexp.MustCompile(`^[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?$`)
)

// asEditor turns a node into what an editor's YAML reader makes of it, by the core
// schema of YAML 1.2.2, section 10.3.2: that is what a JSON Schema is applied to.
func asEditor(n *yamlwalk.Node) any {
	switch n.Kind() {
	case yamlwalk.Null:
		return nil
	case yamlwalk.List:
		out := []any{}
		for _, item := range n.Elements() {
			out = append(out, asEditor(item))
		}
		return out
	case yamlwalk.Mapping:
		out := map[string]any{}
		for _, e := range n.Entries() {
			out[e.Key] = asEditor(e.Value)
		}
		return out
	}
	text := n.Raw()
	if n.Quoted() {
		return text
	}
	switch {
	case text == "true" || text == "True" || text == "TRUE":
		return true
	case text == "false" || text == "False" || text == "FALSE":
		return false
	case text == ".nan":
		return math.NaN()
	case coreInt.MatchString(text), coreFloat.MatchString(text):
		if x, err := strconv.ParseFloat(text, 64); err == nil {
			return x
		}
	}
	if x, err := strconv.ParseInt(text, 0, 64); err == nil && len(text) > 2 && text[0] == '0' {
		return float64(x)
	}
	return text
}

func schema(t *testing.T) *jsonschema.Resolved {
	t.Helper()
	var s jsonschema.Schema
	if err := json.Unmarshal(site.Schema(), &s); err != nil {
		t.Fatal(err)
	}
	r, err := s.Resolve(nil)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestSchemaAcceptsEveryGoodSite(t *testing.T) {
	outside.Alone(t)
	rules := schema(t)
	files, _ := filepath.Glob("../../testdata/sites/*.yaml")
	sites := map[string][]byte{"starter": site.Starter(), "demo": site.Demo()}
	for _, f := range files {
		data, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		sites[filepath.Base(f)] = data
	}
	for name, data := range sites {
		doc := yamlwalk.Parse(name, data)
		if err := rules.Validate(asEditor(doc.Root)); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}
