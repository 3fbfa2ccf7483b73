package yamlwalk

import (
	"strings"
	"testing"
)

// faultsOf parses a text and lets read go through the tree.
func faultsOf(text string, read func(root *Node)) string {
	doc := Parse("x.yaml", []byte(text))
	if doc.Root != nil && read != nil {
		read(doc.Root)
	}
	return doc.Faults().Error()
}

func TestParseRefusesWhatSurprises(t *testing.T) {
	for text, want := range map[string]string{
		"":                               "x.yaml:1:1: the file is empty; a mapping: key: value, one a line",
		"# comment\n\n":                  "x.yaml:1:1: the file is empty; a mapping: key: value, one a line",
		"---\n":                          "x.yaml:1:1: the file is empty",
		"- a\n":                          "x.yaml:1:1: the file is a list; a mapping: key: value, one a line",
		"a: 1\n---\nb: 2\n":              "x.yaml:2:1: a second document begins here; one document a file; remove the line --- and what follows it",
		"a: 1\n---\nb: [\n":              "x.yaml:4:1: a value is missing, or a bracket opened above is not closed",
		"a: &x 1\nb: *x\n":               "x.yaml:1:4: a: an anchor, \"&x\"; each value written out; remove the anchor\nx.yaml:2:4: b: an alias, \"*x\"; each value written out; copy the value to this place",
		"a: !!binary YQ==\n":             "x.yaml:1:4: a: a tag, \"!!binary\"; plain values without a tag; remove the tag",
		"a: !own b\n":                    "x.yaml:1:4: a: a tag, \"!own\"; plain values without a tag; remove the tag",
		"!!map {a: b}\n":                 "x.yaml:1:1: a tag, \"!!map\"; plain values without a tag; remove the tag",
		"&a k: v\n":                      "x.yaml:1:1: a key with an anchor or a tag; a plain name before the colon",
		"a: {<<: {b: c}}\n":              "x.yaml:1:5: a: a merge key, \"<<\"; each key written out; copy the keys to this place",
		"[a]: b\n":                       "x.yaml:1:1: a key that is no single word; a name before the colon",
		"\"\": b\n":                      "x.yaml:1:1: an empty key; a name before the colon",
		"a: 1\nb: 2\na: 3\n":             "x.yaml:3:1: a is given a second time; each key once, this one stands in line 1; remove one of them",
		"a: {b: 1, \"b\": 2}\n":          "x.yaml:1:11: a: b is given a second time; each key once, this one stands in line 1; remove one of them",
		"a: \xff\n":                      "x.yaml:1:4: the text is not UTF-8; a text file saved as UTF-8; save it again with that encoding",
		"é: 1\nb: é\xff\n":               "x.yaml:2:5: the text is not UTF-8; a text file saved as UTF-8; save it again with that encoding",
		"a: \x01\n":                      "x.yaml:1:4: a control character, U+0001; printable text, blanks and line ends; remove it",
		"a: \"x\n":                       "x.yaml:2:1: a quote or bracket opened here or above is not closed",
		"a: 1\nb\nc: 2\n":                "x.yaml:2:1: a key without its colon",
		"a: {b: 1\nc: 2\n":               "x.yaml:2:1: a mapping opened with { here or just above is not closed",
		"a:\n  b: 1\n  c: 2\n d: 3\n":    "x.yaml:4:1: a line that does not fit the mapping above it",
		"a:\n  - 1\n  - 2\n  b: 3\n":     "x.yaml:4:1: a line that does not fit the list above it",
		"a: *x\n":                        "x.yaml:1:1: an alias to something that is not there",
		"a:\n\t- b\n":                    "x.yaml:2:1: a tab is used to indent; YAML: key: value, lists as - item or [a, b]; indent with blanks",
		"a:\n  b: 1\n \tc: 2\n":          "x.yaml:3:1: a tab is used to indent",
		"a: @b\n":                        "x.yaml:1:1: a value begins with a character that YAML reserves",
		"%YAML 3.0\n---\na: b\n":         "x.yaml:1:1: the text is not well formed here or just above",
		"a: " + strings.Repeat("[", 100): "x.yaml:2:1: a value is missing, or a bracket opened above is not closed",
	} {
		got := faultsOf(text, nil)
		if !strings.HasPrefix(got, want) || got == "" {
			t.Errorf("%q\ngot  %s\nwant %s", text, got, want)
		}
		if strings.Contains(got, "yaml: ") || strings.Contains(got, "did not find") {
			t.Errorf("%q: the library's own words: %s", text, got)
		}
	}
}

func TestDeepNestingIsRefused(t *testing.T) {
	got := faultsOf("a: "+strings.Repeat("[", 70)+strings.Repeat("]", 70), nil)
	if !strings.Contains(got, "nested too deeply; at most 64 levels") {
		t.Error(got)
	}
}

func TestByteOrderMarkIsAccepted(t *testing.T) {
	doc := Parse("x.yaml", []byte("\ufeffa: 1\n"))
	if err := doc.Faults().Err(); err != nil || doc.Root.Child("a").Raw() != "1" {
		t.Error(err)
	}
}

// What the library would turn into another value stays as it is written.
func TestScalarsKeepTheirText(t *testing.T) {
	doc := Parse("x.yaml", []byte("a: [0450, 0x10, 1_000, .nan, 12.50, no, 2026-03-01, ~, \"~\", 'a b', \"c\\td\"]\n"))
	var got []string
	for _, n := range doc.Root.Child("a").Elements() {
		got = append(got, n.Kind().String()+" "+n.Raw())
	}
	want := "a single value 0450|a single value 0x10|a single value 1_000|a single value .nan|a single value 12.50|a single value no|a single value 2026-03-01|nothing ~|a single value ~|a single value a b|a single value c\td"
	if s := strings.Join(got, "|"); s != want {
		t.Errorf("got %s", s)
	}
	if doc.Root.Child("a").Elements()[8].Quoted() != true || doc.Root.Child("a").Elements()[5].Quoted() {
		t.Error("quotes are not told apart")
	}
}

func TestPathsLinesAndColumns(t *testing.T) {
	doc := Parse("x.yaml", []byte("a:\n  - b: {c d: [1, 2]}\n"))
	n := doc.Root.Child("a").Elements()[0].Child("b").Child("c d").Elements()[1]
	if n.Path() != `a[0].b."c d"[1]` || n.Line() != 2 || n.Column() != 18 {
		t.Errorf("%s at %d:%d", n.Path(), n.Line(), n.Column())
	}
	if doc.Root.Path() != "" {
		t.Errorf("root is %q", doc.Root.Path())
	}
}

func TestFaultsAreSortedAndCounted(t *testing.T) {
	doc := Parse("x.yaml", []byte("a: 1\nb: 2\n"))
	doc.Root.Child("b").Fault("late", "", "")
	doc.Root.Child("a").Fault("early", "this", "that")
	if got, want := doc.Faults().Error(), "x.yaml:1:4: a: early; this; that\nx.yaml:2:4: b: late"; got != want {
		t.Errorf("got %s", got)
	}
	for range 30 {
		doc.Root.Fault("again", "", "")
	}
	if got := doc.Faults().Error(); strings.Count(got, "\n") != 20 || !strings.HasSuffix(got, "x.yaml: and 12 more faults") {
		t.Errorf("got %s", got)
	}
	for range 2000 {
		doc.Root.Fault("again", "", "")
	}
	if got := doc.Faults().Error(); len(doc.Faults()) != 1000 || !strings.HasSuffix(got, "x.yaml: and at least 980 more faults") {
		t.Errorf("%d faults: %s", len(doc.Faults()), got[len(got)-60:])
	}
	if (Faults{}).Err() != nil || doc.Faults().Err() == nil {
		t.Error("Err is wrong")
	}
}

func TestQuoteCutsAtACharacter(t *testing.T) {
	long := strings.Repeat("é", 40)
	if got := Quote(long); got != `"`+strings.Repeat("é", 30)+`"…` {
		t.Errorf("got %s", got)
	}
	if got := Quote("a\nb"); got != `"a\nb"` {
		t.Errorf("got %s", got)
	}
}
