package playbook

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"tidehold/refs/units"
	"tidehold/response/plan"
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

// mostRows is how many rows of the plan a card prints: two pages hold no more. A binder has
// the first of each plan: it is printed before the day, and the stock of later rows is
// another by then.
const (
	mostRows  = 12
	firstRows = 4
)

// printedRows is how many changes of the plan stand in its table, and whether all do: a row
// from two vats has two lines.
func (f *Facts) printedRows() (n int, all bool) {
	lines := 0
	for i, s := range f.Plan.Steps {
		if lines += max(1, len(s.From)); lines > cmp.Or(f.most, mostRows) {
			return i, false
		}
	}
	return len(f.Plan.Steps), true
}

// printedBatches are the batches and preparations that the printed rows draw on.
func (f *Facts) printedBatches() (batches []plan.Batch, first []plan.Prepare) {
	n, all := f.printedRows()
	if all || n == 0 {
		return f.Plan.Batches, f.Plan.Prepared
	}
	used := 0
	for _, s := range f.Plan.Steps[:n] {
		for _, d := range s.From {
			used = max(used, d.Batch)
		}
	}
	until := f.Plan.Steps[n-1].AtH
	for _, b := range f.Plan.Batches {
		if b.N <= used {
			batches = append(batches, b)
		}
	}
	for _, p := range f.Plan.Prepared {
		if p.ReadyH <= until {
			first = append(first, p)
		}
	}
	return batches, first
}

// changeTable is the plan: one row a change, ticked when done.
func (f *Facts) changeTable() Table {
	t := Table{Header: []string{"row", "litres", "from", "vat " + f.degree(), "vat salt", "after last began", "drain + fill", "began"}, Ticks: true}
	if f.Plan == nil {
		warm, salt := f.usualBand()
		for n := range blankRows {
			t.Rows = append(t.Rows, []string{fmt.Sprint(n + 1), usualRow, "________", warm, salt, strings.TrimSuffix(usualSince(n), " after the last one began"), "____ min", "__:__"})
		}
		return t
	}
	n, all := f.printedRows()
	if !all {
		t.Title = fmt.Sprintf("First %d of %d rows; the keeper has the next", n, len(f.Plan.Steps))
	}
	for i, s := range f.Plan.Steps[:n] {
		first := plan.Draw{}
		if len(s.From) > 0 {
			first = s.From[0]
		}
		warm, salt := f.band(first)
		from := none
		if len(s.From) > 0 {
			from = f.vat(s, 0)
		}
		t.Rows = append(t.Rows, []string{fmt.Sprint(s.N), f.change(s), from, warm, salt, strings.TrimSuffix(since(f.Plan.Steps, i), " after the last one began"), f.takes(s, 0), "__:__"})
		t.Entries = append(t.Entries, f.entry(s))
		for k := 1; k < len(s.From); k++ {
			warm, salt := f.band(s.From[k])
			t.Rows = append(t.Rows, []string{"and", none, f.vat(s, k), warm, salt, none, f.takes(s, k), none})
			t.Entries = append(t.Entries, "")
		}
	}
	if len(f.Plan.Steps) == 0 {
		t.Rows = append(t.Rows, []string{"-", "none", "no water is usable", "", "", "", "", ""})
	}
	return t
}

// batchTable is the new water the plan counts on.
func (f *Facts) batchTable() Table {
	t := Table{Header: []string{"batch", "begin, from the start", "vat", "purified water", "salt", "vat salt", "ready", "clock"}, Ticks: true}
	if f.Plan == nil {
		_, salt := f.usualBand()
		for n := range 2 {
			t.Rows = append(t.Rows, []string{fmt.Sprint(n + 1), "__:__", "________", f.blankIn("____ L"), f.blankIn("____ kg"), salt, "__:__", "__:__"})
		}
		return t
	}
	batches, prepared := f.printedBatches()
	f.prepareRows(&t, prepared)
	for i, b := range batches {
		if i == mostRows {
			break
		}
		t.Rows = append(t.Rows, []string{fmt.Sprint(b.N), f.begin(b.StartH, b.StoreID), b.StoreID, f.amount(b.PurifiedL, units.Up), f.saltCell(b.Salts, b.SaltKg), f.saltOf(b.Salinity), "+" + units.Hours(units.Up.To(b.MixedH-b.StartH, 1.0/12)), "__:__"})
	}
	if len(t.Rows) == 0 {
		t.Rows = append(t.Rows, []string{"none", none, none, none, none, none, none, none})
	}
	return t
}

// saltCell is what to weigh: of a site with several salts, which.
func (f *Facts) saltCell(salts []plan.Salt, kg float64) string {
	if len(salts) > 0 && salts[0].Named {
		return plan.SaltText(salts, f.Units)
	}
	return f.Units.Mass(kg, units.Up)
}

// prepareRows are what is done to a vat before a batch or a row: they stand first.
func (f *Facts) prepareRows(t *Table, prepared []plan.Prepare) {
	for _, p := range prepared {
		if aCup(p) {
			continue
		}
		row := []string{f.preparation(p, true), f.begin(p.AtH, p.StoreID), p.StoreID, none, none, none, none, "__:__"}
		if !p.Pours() {
			row[3], row[4], row[5], row[6] = f.amount(p.AddL, units.Up), f.saltCell(p.Salts, p.SaltKg), f.saltOf(p.Salinity), "+"+units.Hours(units.Up.To(p.ReadyH-p.AtH, 1.0/12))
		}
		t.Rows = append(t.Rows, row)
	}
}

// preparation says what hands do to a vat: litres poured away are counted by the bucket,
// litres that stay are not; whoever reads "empty it" pours all of it away. Short is for a
// table that has the water and the salt in its columns.
func (f *Facts) preparation(p plan.Prepare, short bool) string {
	if p.What == plan.Empty {
		return "empty it"
	}
	var out []string
	if p.RemoveL > 0 {
		out = append(out, fmt.Sprintf("pour %s away, %s stays", f.amount(p.RemoveL, units.Nearest), f.amount(p.LeavesL(), units.Nearest)))
	}
	switch {
	case short && p.AddL > 0:
		out = append(out, "thin it")
	case short && p.SaltKg > 0:
		out = append(out, "salt it")
	case p.AddL > 0:
		out = append(out, "add "+f.amount(p.AddL, units.Up)+" of purified water")
	case p.SaltKg > 0:
		out = append(out, "stir in "+f.saltCell(p.Salts, p.SaltKg)+" of salt")
	}
	return strings.Join(out, ", then ")
}

// aCup says that a preparation pours away what no hand would miss: a cup above the bottom.
func aCup(p plan.Prepare) bool { return p.Pours() && p.RemoveL < 1 }

// saltOf is the band of a salinity, without a unit.
func (f *Facts) saltOf(s float64) string {
	_, salt := f.around(0, 0, s, saltBand)
	return salt
}

// begin is when something is done to a vat: never before the row that still takes the
// water in it. "At once" beside a row that is done at once was read as before it.
func (f *Facts) begin(h float64, vat string) string {
	after := ""
	ended := 0.0
	for _, s := range f.Plan.Steps {
		if s.DoneH <= h+1.0/60 && slices.ContainsFunc(s.From, func(d plan.Draw) bool { return d.StoreID == vat }) {
			after, ended = fmt.Sprintf("after row %d", s.N), s.DoneH
		}
	}
	switch {
	case after == "":
		return f.moment(h)
	case h-ended < 0.25 || h < 1:
		return after
	}
	return f.moment(h) + ", " + after
}

// moment is a cell for a time of the plan.
func (f *Facts) moment(h float64) string {
	if h < 1 {
		return "at once"
	}
	return "+" + units.Hours(units.Up.To(h, 1.0/12))
}

// ladderATable turns the result of bottle A into rows of the plan.
func (f *Facts) ladderATable() Table {
	t := Table{Title: "Bottle A, its ± added: how far the rows must go", Header: []string{"result up to", "rows"}}
	for _, r := range f.LadderA {
		rows := "none"
		if r.Changes > 0 {
			rows = fmt.Sprintf("1 to %d", r.Changes)
		}
		t.Rows = append(t.Rows, []string{units.Dissolved(r.UpToUgL), rows})
	}
	if n := len(t.Rows); n > rungs+1 {
		t.Rows = slices.Concat(t.Rows[:1], t.Rows[n-rungs:])
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
		t.Rows = append(t.Rows, []string{units.Dissolved(r.UpToUgL), fmt.Sprint(r.Changes), volume})
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
	for _, n := range names {
		t.Rows = append(t.Rows, []string{n, f.blankIn("____ L"), "____", f.blankIn("____ °C"), "____"})
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
	t := Table{Title: "Readings, so long after this card began at __:__", Header: append([]string{"after"}, retestTimes...)}
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
