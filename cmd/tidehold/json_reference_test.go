package main

import (
	"encoding/json"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"tidehold/response/hazards"
	"tidehold/response/readiness"
	"tidehold/salinity/mixing"
)

// jsonResults are the types behind "result", by command.
var jsonResults = []struct {
	command string
	value   any
}{
	{"check", checkResult{}},
	{"stock", stockResult{}},
	{"stock draw, add, dip, mixed, tested, salt, kit, did, undo", entryResult{}},
	{"stock log", logResult{}},
	{"salinity", salinityResult{}},
	{"volume box (and every other shape)", shapeResult{}},
	{"volume system", systemResult{}},
	{"volume chart", chartResult{}},
	{"volume from-exchange, from-dose, from-salt", foundResult{}},
	{"mix new, from", batchResult{}},
	{"mix correct", correctResult{}},
	{"mix blend", blendResult{}},
	{"mix match", matchResult{}},
	{"mix match --system", mixing.ShiftPlan{}},
	{"mix warm", warmResult{}},
	{"dilute", diluteResult{}},
	{"ammonia", ammoniaResult{}},
	{"assess", assessed{}},
	{"hazards", hazards.Result{}},
	{"ready", readiness.Result{}},
	{"ready --site of several files", manyResult{}},
	{"ready --why", readiness.Why{}},
	{"playbook", playbooksResult{}},
	{"playbook NAME and --all", cardsResult{}},
	{"playbook, where more than one fits", candidatesResult{}},
	{"playbook --score", scoreResult{}},
	{"playbook --walk", walkResult{}},
	{"refs", refsList{}},
	{"refs TABLE", refsRows{}},
	{"refs TABLE ID", refsRow{}},
	{"calendar", calendarResult{}},
	{"incident status", incidentStatus{}},
	{"incident open, change, reading, result, note, close", incidentEntry{}},
	{"incident import", importResult{}},
	{"incident report", incidentReport{}},
	{"schema --keys", schemaKeys{}},
}

// TestJSONReferenceIsCurrent makes the reference from the types and their comments and
// holds the embedded text to it. UPDATE_SCRIPTS=1 go test ./cmd/tidehold writes it anew.
func TestJSONReferenceIsCurrent(t *testing.T) {
	d := &jsonDoc{comments: map[string]string{}, read: map[string]bool{}}
	for _, r := range jsonResults {
		fmt.Fprintf(&d.b, "%s\n", r.command)
		d.fields(t, reflect.TypeOf(r.value), "  ", nil)
		d.b.WriteString("\n")
	}
	got := strings.TrimRight(d.b.String(), "\n") + "\n"
	const path = "json_reference.txt"
	if os.Getenv("UPDATE_SCRIPTS") != "" {
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if keysOnly(got) != keysOnly(jsonReference) {
		t.Errorf("%s has not the keys of the types; run UPDATE_SCRIPTS=1 go test ./cmd/tidehold and read the difference", path)
	}
	// Each key that a result really has is in the reference.
	for _, key := range []string{"salinity_uncertainty:", "usable_l:", "hours_to_limit:", "done_at_h:", "remove_l:", "value_ug_l:"} {
		if !strings.Contains(got, key) {
			t.Errorf("no %s in the reference", key)
		}
	}
}

// keysOnly leaves the comments out: a better word in one is no change of the contract.
func keysOnly(text string) string {
	lines := strings.Split(text, "\n")
	for i, l := range lines {
		lines[i], _, _ = strings.Cut(l, ". ")
	}
	return strings.Join(lines, "\n")
}

// jsonDoc collects the reference.
type jsonDoc struct {
	b        strings.Builder
	comments map[string]string // of a field, by directory, type and name
	read     map[string]bool   // directories
}

// fields writes the keys of a struct, those of embedded structs in their place.
func (d *jsonDoc) fields(t *testing.T, typ reflect.Type, indent string, above []reflect.Type) {
	for _, a := range above {
		if a == typ {
			return // a plan in a plan: said above
		}
	}
	above = append(above, typ)
	for i := range typ.NumField() {
		f := typ.Field(i)
		key, _, _ := strings.Cut(f.Tag.Get("json"), ",")
		inner, list := f.Type, ""
		for inner.Kind() == reflect.Pointer || inner.Kind() == reflect.Slice || inner.Kind() == reflect.Map {
			switch inner.Kind() {
			case reflect.Slice:
				list += "[]"
			case reflect.Map:
				list += "{}"
			}
			inner = inner.Elem()
		}
		plainType := inner.Kind() != reflect.Struct || inner.Implements(marshaler) || reflect.PointerTo(inner).Implements(marshaler)
		switch {
		case key == "-" || !f.IsExported():
		case f.Anonymous && key == "" && !plainType:
			d.fields(t, inner, indent, above)
		case key == "":
			t.Errorf("%s.%s has no JSON key", typ, f.Name)
		default:
			about := d.comment(t, typ, f.Name)
			if f.Type.Kind() == reflect.Pointer {
				about = strings.TrimSpace("null where there is none. " + about)
			}
			word := ""
			if plainType {
				word = " " + jsonWord(inner)
			}
			fmt.Fprintf(&d.b, "%s\n", strings.TrimRight(fmt.Sprintf("%s%s%s:%s. %s", indent, key, list, word, about), " ."))
			if !plainType {
				d.fields(t, inner, indent+"  ", above)
			}
		}
	}
}

var marshaler = reflect.TypeFor[interface{ MarshalJSON() ([]byte, error) }]()

// jsonWord is what stands for a type in JSON.
func jsonWord(t reflect.Type) string {
	switch t.Kind() {
	case reflect.Bool:
		return "true or false"
	case reflect.String:
		return "text"
	case reflect.Struct:
		if t.String() == "time.Time" {
			return "time (RFC 3339)"
		}
		return "number"
	case reflect.Interface:
		return "any"
	}
	return "number"
}

// comment is the first sentence of a field's comment in the source.
func (d *jsonDoc) comment(t *testing.T, typ reflect.Type, field string) string {
	dir := "."
	if rest, ok := strings.CutPrefix(typ.PkgPath(), "tidehold/"); ok && !strings.HasPrefix(rest, "cmd/") {
		dir = filepath.Join("..", "..", rest)
	}
	if !d.read[dir] {
		d.read[dir] = true
		d.readDir(t, dir)
	}
	text := strings.Join(strings.Fields(d.comments[dir+" "+typ.Name()+" "+field]), " ")
	if i := strings.Index(text, ". "); i > 0 {
		text = text[:i]
	}
	// A comment begins with the field's name, as the language wants it; a reader of JSON
	// knows the key instead.
	text = strings.TrimPrefix(text, field+" is ")
	return strings.TrimSuffix(strings.TrimSpace(text), ".")
}

// readDir keeps the comments of every field of every struct of a package.
func (d *jsonDoc) readDir(t *testing.T, dir string) {
	files, err := filepath.Glob(filepath.Join(dir, "*.go"))
	if err != nil || len(files) == 0 {
		t.Fatalf("%s: %v, %d files", dir, err, len(files))
	}
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		f, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.ParseComments)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(f, func(n ast.Node) bool {
			spec, ok := n.(*ast.TypeSpec)
			if !ok {
				return true
			}
			if s, ok := spec.Type.(*ast.StructType); ok {
				for _, fld := range s.Fields.List {
					text := fld.Doc.Text()
					if text == "" {
						text = fld.Comment.Text()
					}
					for _, id := range fld.Names {
						d.comments[dir+" "+spec.Name.Name+" "+id.Name] = text
					}
				}
			}
			return true
		})
	}
}

// TestAListIsNeverNull: a key that the reference writes with [] is a list, [] where there is nothing of it,
// in whatever a command prints; the hours at which something would be late are null where nobody looked.
func TestAListIsNeverNull(t *testing.T) {
	lists := map[string]bool{}
	for _, m := range regexp.MustCompile(`(?m)^ +(\w+)\[\]:`).FindAllStringSubmatch(jsonReference, -1) {
		lists[m[1]] = m[1] != "late_at_hours" && m[1] != "late_then"
	}
	for _, c := range []string{"ready", "dilute --event broken-heater", "dilute --event broken-heater --event halve-anything", "playbook --all", "playbook change-water",
		"playbook --walk heater-break", "playbook --score heater-break", "hazards", "stock", "stock log", "check", "calendar"} {
		_, out, _ := onlyReads(append(strings.Fields(c), "--demo", "--format", "json")...)
		var answer any
		if err := json.Unmarshal([]byte(out), &answer); err != nil {
			t.Errorf("%s: %v", c, err)
		}
		seen := map[string]bool{}
		nullLists(answer, lists, seen)
		for key := range seen {
			t.Errorf("%s: %s is null", c, key)
		}
	}
}

// nullLists notes the keys of lists that are null.
func nullLists(x any, lists, seen map[string]bool) {
	switch x := x.(type) {
	case map[string]any:
		for key, value := range x {
			if value == nil && lists[key] {
				seen[key] = true
			}
			nullLists(value, lists, seen)
		}
	case []any:
		for _, value := range x {
			nullLists(value, lists, seen)
		}
	}
}
