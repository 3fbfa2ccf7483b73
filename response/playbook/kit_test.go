package playbook

import (
	"fmt"
	"go/format"
	"os"
	"slices"
	"strings"
	"testing"

	"tidehold/volumes/site"
)

// kitFrom is what the cards themselves say.
func kitFrom(l *Library, name string) []string {
	var out []string
	for _, n := range append([]string{name, "person-hurt"}, l.Sent(name)...) {
		for _, item := range l.Find(n).uses(Profile{}) {
			if !slices.Contains(out, item) {
				out = append(out, item)
			}
		}
	}
	return out
}

// The tables that spare ready and check the reading of every card say what the cards
// say. UPDATE_KIT=1 writes them.
func TestKitTablesAreThoseOfTheCards(t *testing.T) {
	l := Builtin()
	if os.Getenv("UPDATE_KIT") != "" {
		var b strings.Builder
		b.WriteString("package playbook\n\n// kitTable is what each event's card, and those it sends people to, use; a test holds\n// it to the cards.\nvar kitTable = map[string][]string{\n")
		for _, n := range order {
			fmt.Fprintf(&b, "\t%q: %s,\n", n, bareList(kitFrom(l, n)))
		}
		b.WriteString("}\n\n// phoneTable are the numbers of each front.\nvar phoneTable = map[string][]string{\n")
		for _, n := range order {
			fmt.Fprintf(&b, "\t%q: %s,\n", n, bareList(l.Find(n).Phones))
		}
		b.WriteString("}\n")
		source, err := format.Source([]byte(b.String()))
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile("kit_table.go", source, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	for _, n := range order {
		if want := kitFrom(l, n); !slices.Equal(kitTable[n], want) {
			t.Errorf("%s: the table has %v, the cards %v: run with UPDATE_KIT=1", n, kitTable[n], want)
		}
		if want := l.Find(n).Phones; !slices.Equal(phoneTable[n], want) {
			t.Errorf("%s: the table has %v, the card %v", n, phoneTable[n], want)
		}
	}
}

func TestKitOfASite(t *testing.T) {
	s, faults := site.Load("x", []byte(`format: 1
systems: [{id: tank, net_volume: 400 L}]
stores: [{id: vat, holds: saltwater, volume: 150 L}]
kit: [{item: big torch, need: 1, have: 1}, {item: sodium thiosulfate, need: 1, have: 1}, {item: bin 60 L, need: 1, have: 0}]
contacts: [{role: fire and ambulance, name: Desk, phone: "112"}]
`))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	got := map[string]bool{}
	for _, k := range KitOf(s, "chlorine", "chilled", "no-such-card") {
		got[k.Item] = k.OK
	}
	for item, ok := range map[string]bool{"torch": true, "dechlorinator": true, "bin": false, "total-chlorine test": false, "spare heater": false} {
		if have, listed := got[item]; !listed || have != ok {
			t.Errorf("%s: listed %v, there %v, want %v", item, listed, have, ok)
		}
	}
	if got := BlankPhones(s, "chlorine", "chlorine"); !slices.Equal(got, []string{"poison control", "veterinarian"}) {
		t.Errorf("blank numbers %v", got)
	}
}

func TestEveryThingOfTheKitCanBeNamedInASiteFile(t *testing.T) {
	for n, list := range kitTable {
		for _, item := range list {
			if !slices.Contains(kitWords, item) {
				t.Errorf("%s asks for %q, which no line of a kit is matched against", n, item)
			}
			if !matchesKit(item, item) {
				t.Errorf("%q does not match itself", item)
			}
		}
	}
}

// bareList writes a list of strings as gofmt -s leaves it inside a map of lists.
func bareList(words []string) string {
	return strings.TrimPrefix(fmt.Sprintf("%#v", words), "[]string")
}
