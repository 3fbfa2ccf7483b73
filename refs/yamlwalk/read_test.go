package yamlwalk

import (
	"errors"
	"strings"
	"testing"

	"tidehold/refs/units"
)

func TestReadersReportWhatTheyCannotRead(t *testing.T) {
	for _, c := range []struct {
		text string
		read func(n *Node)
		want string
	}{
		{"title: x", func(n *Node) { n.Fields([]string{"title"}, []string{"note"}) }, ""},
		{"titel: x", func(n *Node) { n.Fields([]string{"title"}, []string{"note"}) },
			"x.yaml:1:1: unknown key \"titel\"; allowed: title, note; did you mean \"title\"?\nx.yaml:1:1: title is missing; needed: title"},
		{"a: {b: c}", func(n *Node) { n.Child("a").Fields(nil, []string{"bb"}) }, "x.yaml:1:5: a: unknown key \"b\"; allowed: bb; did you mean \"bb\"?"},
		{"a: x", func(n *Node) { n.Child("a").Fields([]string{"b"}, nil) }, "x.yaml:1:4: a: \"x\" is a single value; a mapping with b"},
		{"a: x", func(n *Node) { n.Child("a").Items("a list of steps") }, "x.yaml:1:4: a: \"x\" is a single value; a list of steps"},
		{"a: {b: c}", func(n *Node) { n.Child("a").Items("a list of steps") }, "x.yaml:1:4: a: this is a mapping; a list of steps"},
		{"a:", func(n *Node) { n.Child("a").Items("a list of steps") }, "x.yaml:1:3: a: no value; a list of steps"},
		{"a: x", func(n *Node) { n.Child("a").Text("a title") }, ""},
		{"a: ' '", func(n *Node) { n.Child("a").Text("a title") }, "x.yaml:1:4: a: an empty text; a title"},
		{"a: [x]", func(n *Node) { n.Child("a").Text("a title") }, "x.yaml:1:4: a: this is a list; a title"},
		{"a: \"x\\ty\"", func(n *Node) { n.Child("a").Text("a title") }, "x.yaml:1:4: a: \"x\\ty\" has a line break or a character that cannot be printed; one line of printable text"},
		{"a: " + strings.Repeat("x", 201), func(n *Node) { n.Child("a").Text("a title") }, "x.yaml:1:4: a: a text of 201 characters; at most 200"},
		{"a: blue", func(n *Node) { n.Child("a").Choice("blue", "green") }, ""},
		{"a: gren", func(n *Node) { n.Child("a").Choice("blue", "green") }, "x.yaml:1:4: a: \"gren\" is not known here; allowed: blue, green; did you mean \"green\"?"},
		{"a: yes", func(n *Node) { n.Child("a").YesNo() }, ""},
		{"a: false", func(n *Node) { n.Child("a").YesNo() }, ""},
		{"a: on", func(n *Node) { n.Child("a").YesNo() }, "x.yaml:1:4: a: \"on\" is neither yes nor no; yes or no"},
		{"a: []", func(n *Node) { n.Child("a").YesNo() }, "x.yaml:1:4: a: this is a list; yes or no"},
		{"a: 7", func(n *Node) { n.Child("a").Count(0, 9) }, ""},
		{"a: 10", func(n *Node) { n.Child("a").Count(0, 9) }, "x.yaml:1:4: a: \"10\" is out of range; a whole number from 0 to 9"},
		{"a: 2", func(n *Node) { n.Child("a").Count(1, 1) }, "x.yaml:1:4: a: \"2\" is out of range; only 1"},
		{"a: 007", func(n *Node) { n.Child("a").Count(0, 9) }, "x.yaml:1:4: a: \"007\" has a leading zero; a whole number from 0 to 9; write 7"},
		{"a: 00", func(n *Node) { n.Child("a").Count(0, 9) }, "x.yaml:1:4: a: \"00\" has a leading zero; a whole number from 0 to 9; write 0"},
		{"a: -1", func(n *Node) { n.Child("a").Count(0, 9) }, "x.yaml:1:4: a: \"-1\" is not a whole number in plain digits; a whole number from 0 to 9"},
		{"a: 99999999999999999999", func(n *Node) { n.Child("a").Count(0, 9) }, "x.yaml:1:4: a: \"99999999999999999999\" is not a whole number in plain digits; a whole number from 0 to 9"},
		{"a: {}", func(n *Node) { n.Child("a").Count(0, 9) }, "x.yaml:1:4: a: this is a mapping; a whole number from 0 to 9"},
		{"a: 2026-03-01", func(n *Node) { n.Child("a").Date() }, ""},
		{"a: 2026-3-1", func(n *Node) { n.Child("a").Date() }, "x.yaml:1:4: a: \"2026-3-1\" is not a date of the calendar; a date as year-month-day, like 2026-03-01; write 2026-03-01"},
		{"a: 0026-03-01", func(n *Node) { n.Child("a").Date() }, "x.yaml:1:4: a: \"0026-03-01\" is out of range; a year from 1970 to 2199"},
		{"a: []", func(n *Node) { n.Child("a").Date() }, "x.yaml:1:4: a: this is a list; a date as year-month-day, like 2026-03-01"},
		{"a: 12 L", func(n *Node) { n.Child("a").Quantity(units.Volume) }, ""},
		{"a: [12 L]", func(n *Node) { n.Child("a").Quantity(units.Volume) }, "x.yaml:1:4: a: this is a list; a volume"},
		{"a: 12 h", func(n *Node) { n.Child("a").Quantity(units.Volume) }, "x.yaml:1:4: a: \"12 h\" is a duration; a volume in L, mL, m3, gal, impgal, qt, floz, ft3, in3"},
		{"a:", func(n *Node) { n.Child("a").Quantity(units.Temperature) }, "x.yaml:1:3: a: empty value; a temperature in C, F"},
		{"a: " + strings.Repeat("1", 200) + " L", func(n *Node) { n.Child("a").Quantity(units.Volume) }, "x.yaml:1:4: a: \"" + strings.Repeat("1", 60) + "\"… is too long; a volume"},
		{"a: x", func(n *Node) { n.Child("a").Mismatch(errors.New("too blue; green")) }, "x.yaml:1:4: a: too blue; green"},
		{"a: x", func(n *Node) { n.Child("a").FaultAtKey("bad key", "", "") }, "x.yaml:1:1: a: bad key"},
		{"[a]: b", func(n *Node) { n.Fields([]string{"c"}, nil) }, "x.yaml:1:1: a key that is no single word; a name before the colon"},
	} {
		if got := faultsOf(c.text, c.read); got != c.want {
			t.Errorf("%q\ngot  %s\nwant %s", c.text, got, c.want)
		}
	}
}

func TestReadersGiveValues(t *testing.T) {
	root := Parse("x.yaml", []byte("t: Title\nc: blue\ny: yes\nn: 7\nd: 2026-03-01\nq: 1 gal\nl: [a, b]\n")).Root
	f := root.Fields([]string{"t", "c", "y", "n", "d", "q", "l"}, nil)
	if got := f.Get("t").Text("a title"); got != "Title" {
		t.Error(got)
	}
	if got := f.Get("c").Choice("blue"); got != "blue" {
		t.Error(got)
	}
	if v, ok := f.Get("y").YesNo(); !v || !ok {
		t.Error("yes is not yes")
	}
	if v, ok := f.Get("n").Count(0, 9); v != 7 || !ok {
		t.Error(v)
	}
	if v, ok := f.Get("d").Date(); v.Format("2006-01-02") != "2026-03-01" || !ok {
		t.Error(v)
	}
	if v, ok := f.Get("q").Quantity(units.Volume); v.Value != 3.785411784 || !ok { // NIST Handbook 44, appendix C: exact
		t.Error(v)
	}
	if v := f.Get("l").Items("a list"); len(v) != 2 || v[1].Raw() != "b" {
		t.Error(v)
	}
}

// What is missing was reported where it was required: reading on adds nothing.
func TestReadersOfNothingAreSilent(t *testing.T) {
	var n *Node
	n.Fields([]string{"a"}, nil)
	_, quantity := n.Quantity(units.Volume)
	_, count := n.Count(0, 1)
	_, day := n.Date()
	_, yes := n.YesNo()
	if quantity || count || day || yes || n.Text("x") != "" || n.Choice("x") != "" || n.Items("x") != nil ||
		n.Raw() != "" || n.Quoted() || n.Kind() != Null || n.Child("a") != nil || n.Entries() != nil || n.Elements() != nil {
		t.Error("a missing node has a value")
	}
}

func TestValuesFromAFlagNameIt(t *testing.T) {
	doc := Parse("x.yaml", []byte("a: 1\nb: {c: 2}\nd: 3\n"))
	root := doc.Root
	root.Put("a", doc.Value("--set a", " 9 "))
	root.Put("e", doc.Value("--set e", "[x, {y: z}]"))
	root.Put("f", doc.Empty("--set f.g"))
	root.Child("f").Put("g", doc.Value("--set f.g", "null"))
	root.Remove("b")
	root.Remove("nowhere")
	if root.Child("a").Raw() != "9" || root.Child("b") != nil || root.Child("d").Raw() != "3" || root.Child("e").Elements()[1].Child("y").Raw() != "z" || root.Child("f").Child("g").Kind() != Null {
		t.Error("the tree is not as set")
	}
	if root.Child("e").Path() != "e" {
		t.Errorf("path %q", root.Child("e").Path())
	}
	root.Child("e").Elements()[0].Fault("bad", "good", "")
	root.Child("a").FaultAtKey("odd", "", "")
	root.Fields(nil, []string{"a", "d"})
	doc.Value("--set h", "[x")
	doc.Refuse("--set i", "no", "yes", "")
	want := "--set e: bad; good\n--set a: odd\n--set e: unknown key \"e\"; allowed: a, d\n--set f.g: unknown key \"f\"; allowed: a, d\n" +
		"--set h: \"[x\" is not well formed; one value, [a, b] or {key: value}\n--set i: no; yes"
	if got := doc.Faults().Error(); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

// TestAKeyOfTheWholeFileIsSentThere: "routine" written under a system was an unknown key among fourteen others.
func TestAKeyOfTheWholeFileIsSentThere(t *testing.T) {
	doc := Parse("x.yaml", []byte("systems: {id: a, routine: 3, strange: 4}\n"))
	doc.Root.Fields(nil, []string{"systems", "routine"})
	doc.Root.Child("systems").Fields(nil, []string{"id"})
	want := "x.yaml:1:18: systems: unknown key \"routine\"; allowed: id; it is a key of the whole file: write it at the left margin\n" +
		"x.yaml:1:30: systems: unknown key \"strange\"; allowed: id"
	if got := doc.Faults().Error(); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

func TestPutIntoAListIsAProgrammingError(t *testing.T) {
	defer func() {
		if recover() == nil {
			t.Error("no panic")
		}
	}()
	doc := Parse("x.yaml", []byte("a: []\n"))
	doc.Root.Child("a").Put("b", doc.Value("x", "1"))
}
