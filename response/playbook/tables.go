package playbook

import (
	"fmt"
	"slices"
	"strings"

	"tidehold/refs/units"
	"tidehold/volumes/site"
)

// blankRows is how many empty rows a table without data has to write in.
const blankRows = 4

// tableKinds are the tables a card can ask for.
var tableKinds = []struct {
	name string
	fill func(*Facts) Table
}{
	{"contacts", (*Facts).contactTable},
	{"changes", (*Facts).changeTable},
	{"batches", (*Facts).batchTable},
	{"ladder-a", (*Facts).ladderATable},
	{"ladder", (*Facts).ladderTable},
	{"handover", (*Facts).handoverTable},
	{"sign-off", (*Facts).signTable},
	{"dechlorinator", (*Facts).doseTable},
	{"retests", (*Facts).retests},
	{"mend", (*Facts).mendTable},
	{"vat-ph", (*Facts).vatPHTable},
}

func tableNames() []string {
	out := make([]string, len(tableKinds))
	for i, k := range tableKinds {
		out[i] = k.name
	}
	return out
}

// table fills the table of that name; an unknown name gives an empty one.
func (f *Facts) table(name string) Table {
	for _, k := range tableKinds {
		if k.name == name {
			t := k.fill(f)
			t.Name, t.Title = name, f.volumeWord(t.Title)
			for i, h := range t.Header {
				t.Header[i] = f.volumeWord(h)
			}
			return t
		}
	}
	return Table{Name: name}
}

// vatPHStep is how far a vat's pH may be above the tank's for a change at once.
// Source: the card's basis: a fifth to a half of the tank changed, alkalinity and carbon conserved.
const vatPHStep = 0.3

// vatPHTable is the highest pH of a vat beside each of the tank's: a difference of two colours is a sum.
func (f *Facts) vatPHTable() Table {
	t := Table{Title: "Vat's pH for rows now (tank between two: the lower)", Header: []string{"tank's pH"}, Rows: [][]string{{"vat, at most"}}}
	for _, ph := range []float64{7.4, 7.6, 7.8, 8.0, 8.2} {
		t.Header = append(t.Header, units.Fixed(ph, 1))
		t.Rows[0] = append(t.Rows[0], units.Fixed(ph+vatPHStep, 1))
	}
	return t
}

// line is where a word is written by hand.
const line = "____________"

// Phone is one number of the front, a blank where it is not known.
type Phone struct {
	Role   string `json:"role"`
	Name   string `json:"name,omitempty"`
	Number string `json:"number,omitempty"`
}

// roleWords are what a site's own contact may call a role.
var roleWords = map[string][]string{
	"emergency": {"emergency", "ambulance", "fire"}, "poison control": {"poison"}, "power company": {"power", "utility", "electricity"},
	"electrician": {"electrician"}, "veterinarian": {"veterinar", "vet"}, "keeper": {"keeper", "owner", "manager", "curator"},
	"second person": {"second", "neighbour", "neighbor", "colleague"}, "laboratory": {"laborator", "lab"}, "supplier": {"supplier", "shop", "another keeper"},
	"sewer authority": {"sewer", "waste"}, "floor below": {"below", "landlord"}, "gas supplier": {"gas"},
}

// phone finds the number of a role; without one it is a blank.
func (f *Facts) phone(role string) Phone {
	name := role
	if role == "emergency" {
		name = "emergency number"
	}
	for _, c := range f.Contacts {
		for _, w := range roleWords[role] {
			if strings.Contains(strings.ToLower(c.Role), w) {
				return Phone{Role: name, Name: c.Name, Number: c.Phone}
			}
		}
	}
	if role == "emergency" {
		return Phone{Role: name, Name: usualEmergency}
	}
	return Phone{Role: name}
}

// usualEmergency is what to dial where nobody has written the number: a stranger with
// the card must not look for it. 112 also works from mobile telephones in most countries.
// Source: ITU-T E.161.1 names 112 and 911 (from memory); 999 in the United Kingdom.
const usualEmergency = "(112, 911 or 999)"

// contactTable lists every role a card may phone, the emergency number first, then
// the site's other contacts.
func (f *Facts) contactTable() Table {
	t := Table{Header: []string{"who", "name", "phone"}}
	used := map[site.Contact]bool{}
	for _, role := range callees {
		p := f.phone(role)
		for _, c := range f.Contacts {
			if c.Name == p.Name && c.Phone == p.Number && p.Name+p.Number != "" {
				used[c] = true
			}
		}
		t.Rows = append(t.Rows, []string{p.Role, orLine(p.Name), orLine(p.Number)})
	}
	for _, c := range f.Contacts {
		named := slices.ContainsFunc(callees, func(role string) bool {
			return slices.ContainsFunc(roleWords[role], func(w string) bool { return strings.Contains(strings.ToLower(c.Role), w) })
		})
		if !used[c] && !named {
			t.Rows = append(t.Rows, []string{c.Role, orLine(c.Name), orLine(c.Phone)})
		}
	}
	return t
}

func orLine(s string) string {
	if s == "" {
		return line
	}
	return s
}

// ladderATable turns the result of bottle A into rows of the plan.
func (f *Facts) ladderATable() Table {
	t := Table{Title: "Bottle A, its ± added: how far the rows must go", Header: []string{"result up to", "rows"}}
	for _, r := range f.LadderA {
		rows := "none"
		if r.Changes > 0 {
			rows = fmt.Sprintf("1 to %d", r.Changes)
		}
		t.Rows = append(t.Rows, []string{f.dissolved(r.UpToUgL), rows})
	}
	if n := len(t.Rows); n > rungs+1 {
		t.Rows = slices.Concat(t.Rows[:1], t.Rows[n-rungs:])
	}
	if len(t.Rows) > 1 {
		t.Rows = append(t.Rows, []string{"more", "all, then phone"})
	}
	if len(t.Rows) == 0 {
		t.Rows = append(t.Rows, []string{"the target: ____ µg/L", "none"}, []string{"____ µg/L", "1 to ____"}, []string{"____ µg/L", "1 to ____"})
	}
	return t
}

// ladderTable turns the result of a later bottle into further changes.
func (f *Facts) ladderTable() Table {
	t := Table{Title: "Bottle B or C, its ± added: changes after it was filled", Header: []string{"result up to", "further changes", "of"}}
	for _, r := range f.Ladder {
		volume := "-"
		if r.Changes > 0 {
			volume = f.amount(r.ChangeL, units.Down)
		}
		t.Rows = append(t.Rows, []string{f.dissolved(r.UpToUgL), fmt.Sprint(r.Changes), volume})
	}
	if len(t.Rows) == 0 {
		t.Rows = append(t.Rows, []string{"the target: ____ µg/L", "0", "-"})
		for n := 1; n < blankRows; n++ {
			t.Rows = append(t.Rows, []string{"____ µg/L", fmt.Sprint(n), f.blankIn("____ L")})
		}
	}
	return t
}

// handoverTable is the state of each vat for the next keeper.
func (f *Facts) handoverTable() Table {
	t := Table{Title: "State of each vat, for the next keeper", Header: []string{"vat", "litres left", "salinity", "temperature", "initials"}}
	names := []string{}
	for _, st := range f.Stores {
		names = append(names, st.ID)
	}
	if len(names) == 0 {
		names = []string{line, line}
	}
	if len(names) > 6 {
		names = append(names[:5:5], "others")
	}
	if len(names) > mostUpright {
		return f.handoverAcross(names)
	}
	for _, n := range names {
		t.Rows = append(t.Rows, []string{n, f.blankIn("____ L"), "____", f.blankIn("____ °C"), "____"})
	}
	return t
}

// mostUpright is how many vats have a row each; more of them stand side by side, which takes fewer lines.
const mostUpright = 4

// handoverAcross is the same with a column for each vat.
func (f *Facts) handoverAcross(names []string) Table {
	t := Table{Title: "State of each vat, for the next keeper", Header: append([]string{"vat"}, names...)}
	for _, row := range [][2]string{{f.volumeWord("litres left"), "____"}, {"salinity", "____"}, {"temperature", "____"}, {"initials", "____"}} {
		cells := []string{row[0]}
		for range names {
			cells = append(cells, row[1])
		}
		t.Rows = append(t.Rows, cells)
	}
	return t
}

// signTable closes the record.
func (f *Facts) signTable() Table {
	return Table{Header: []string{"started", "who", "water used", "ended", "saved for analysis"},
		Rows: [][]string{{"__:__", line, f.blankIn("____ L"), "__:__", line}}}
}

// retestTimes are when the tank is read again, after the card Watch began: from the
// second on, two in a row are 4 h or more apart when a third is due.
var retestTimes = []string{"1 h", "4 h", "8 h", "12 h", "24 h"}

// retests has a column for each re-test.
func (f *Facts) retests() Table {
	t := Table{Header: append([]string{"after"}, retestTimes...)}
	for _, row := range []string{"clock", "thermometer", "salinity"} {
		cells := []string{row}
		for range retestTimes {
			cells = append(cells, map[string]string{"clock": "__:__"}[row]+map[string]string{"thermometer": "____", "salinity": "____"}[row])
		}
		t.Rows = append(t.Rows, cells)
	}
	return t
}

// doseTable is dechlorinator by what the diluted jug of a test shows: a column for
// each reading.
func (f *Facts) doseTable() Table {
	t := Table{Title: "Bottle of 100 g/L (1 mL is 0.1 g), by the jug of 1 part in 10", Header: []string{"jug shows"}, Rows: [][]string{{"pour"}}}
	if len(f.Dechlorinator) == 0 {
		t.Rows[0][0] = "pour for each 100 L"
	}
	for i, mgL := range chlorineSteps {
		pour := units.Fixed(units.Up.To(mgL*thiosulfatePerChlorine*100/1000*10, 1), 0) + " mL"
		if i < len(f.Dechlorinator) {
			pour = units.Fixed(units.Up.To(f.Dechlorinator[i].G*10, 1), 0) + " mL"
		}
		t.Header = append(t.Header, units.Fixed(mgL/dilution, 1)+" mg/L")
		t.Rows[0] = append(t.Rows[0], pour)
	}
	return t
}
