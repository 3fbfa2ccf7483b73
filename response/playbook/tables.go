package playbook

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/volumes/site"
)

// blankRows is how many empty rows a table without data has to write in.
const blankRows = 4

// tableKinds are the tables a sheet can ask for.
var tableKinds = []struct {
	name string
	fill func(*Facts) Table
}{
	{"contacts", (*Facts).contactTable},
	{"changes", (*Facts).changeTable},
	{"batches", (*Facts).batchTable},
	{"vats", (*Facts).vatTable},
	{"less-stock", (*Facts).lessTable},
	{"ladder", (*Facts).ladderTable},
	{"handover", (*Facts).handoverTable},
	{"sign-off", (*Facts).signTable},
	{"dechlorinator", (*Facts).doseTable},
}

// curveName asks for the curve rather than for a table.
const curveName = "curve"

func tableNames() []string {
	out := make([]string, len(tableKinds), len(tableKinds)+1)
	for i, k := range tableKinds {
		out[i] = k.name
	}
	return append(out, curveName)
}

// table fills the table of that name; an unknown name gives an empty one.
func (f *Facts) table(name string) Table {
	for _, k := range tableKinds {
		if k.name == name {
			t := k.fill(f)
			t.Name = name
			for i, h := range t.Header {
				t.Header[i] = f.volumeWord(h)
			}
			return t
		}
	}
	return Table{Name: name}
}

// phoneRoles are the roles every sheet has a phone number for, the most urgent
// first (common practice).
var phoneRoles = []string{"emergency number", "poison control", "power company", "electrician", "second person", "veterinarian", "floor below or landlord"}

// contactTable lists the site's contacts, two to a row, with a line to write on
// for every role that is missing.
func (f *Facts) contactTable() Table {
	var list [][]string
	for _, c := range f.Contacts {
		list = append(list, []string{c.Role, strings.TrimSpace(c.Name + " " + orLine(c.Phone))})
	}
	for _, role := range phoneRoles {
		known := slices.ContainsFunc(f.Contacts, func(c site.Contact) bool {
			return c.Role != "" && (strings.Contains(role, strings.ToLower(c.Role)) || strings.Contains(strings.ToLower(c.Role), role))
		})
		if !known {
			list = append(list, []string{role, line})
		}
	}
	if len(list)%2 == 1 {
		list = append(list, []string{"another keeper", line})
	}
	t := Table{Header: []string{"who", "name and phone", "who", "name and phone"}}
	for i := 0; i < len(list); i += 2 {
		t.Rows = append(t.Rows, append(list[i], list[i+1]...))
	}
	return t
}

// line is where a word is written by hand.
const line = "____________"

func orLine(s string) string {
	if s == "" {
		return line
	}
	return s
}

// changeTable is the plan: one row a change, ticked when done.
func (f *Facts) changeTable() Table {
	t := Table{Title: "Changes", Header: []string{"no.", "start", "drain and fill", "from", "vat reads", "takes", "left", "time, litres, initials"}, Ticks: true}
	if f.Plan == nil {
		for n := range blankRows {
			t.Rows = append(t.Rows, []string{fmt.Sprint(n + 1), "__:__", f.blankIn("____ L"), "________", f.blankIn("____ °C"), "____ min", "____ %", ""})
		}
		return t
	}
	for _, c := range f.Plan.Changes {
		t.Rows = append(t.Rows, f.changeRow(c))
	}
	if len(f.Plan.Changes) == 0 {
		t.Rows = append(t.Rows, []string{"-", "none", "no water is usable now", "", "", "", units.Percent(1, 0), ""})
	}
	return t
}

func (f *Facts) changeRow(c Change) []string {
	takes := units.Hours((c.DrainMinutes + c.FillMinutes) / 60)
	if c.Trips > 0 {
		takes = units.Count(c.Trips, "trip")
	}
	band := f.blankIn("____ °C")
	if c.Temperature != nil {
		band = f.vatBand(*c.Temperature)
	}
	return []string{fmt.Sprint(c.N), f.moment(c.AtH), f.change(c), strings.Join(c.From, " + "), band, takes, units.Percent(c.Left, 0), ""}
}

// batchTable is the new water the plan counts on.
func (f *Facts) batchTable() Table {
	t := Table{Title: "Batches of new water", Header: []string{"batch", "start", "vat", "purified water", "salt", "ready", "initials"}, Ticks: true}
	if f.BatchesIf != "" {
		t.Title += ", when the vats are " + f.BatchesIf
	}
	for _, b := range f.Batches {
		t.Rows = append(t.Rows, []string{fmt.Sprint(b.N), f.moment(b.StartH), b.Vat, f.amount(b.PurifiedL, units.Up), f.Units.Mass(b.SaltKg, units.Up), f.moment(b.ReadyH), ""})
	}
	switch {
	case len(t.Rows) > 0:
	case f.Plan != nil:
		t.Rows = append(t.Rows, []string{"none", "", "", "", "", "", ""})
	default:
		for n := range 2 {
			t.Rows = append(t.Rows, []string{fmt.Sprint(n + 1), "__:__", "________", f.blankIn("____ L"), f.blankIn("____ kg"), "__:__", ""})
		}
	}
	return t
}

// moment is a cell for a time: a clock time, or "+4 h" after the start.
func (f *Facts) moment(h float64) string {
	if f.At != nil {
		return f.clock(h)
	}
	if h < 1.0/60 {
		return "at once"
	}
	return "+" + units.Hours(h)
}

// vatTable is the stock the sheet was printed for.
func (f *Facts) vatTable() Table {
	t := Table{Title: "Vats as printed", Header: []string{"vat", "holds", "litres", "usable", "now"}}
	for _, v := range f.Vats {
		holds := v.Holds
		if v.Salinity != nil {
			holds += " " + units.Fixed(float64(*v.Salinity), 1)
		}
		holds += ", " + f.Units.Temperature(float64(v.Temperature))
		t.Rows = append(t.Rows, []string{v.ID, holds, f.amount(v.VolumeL, units.Down), f.amount(v.UsableL, units.Down), f.blankIn("____ L")})
	}
	for len(t.Rows) < 2 && len(f.Vats) == 0 {
		t.Rows = append(t.Rows, []string{line, "saltwater / purified", f.blankIn("____ L"), f.blankIn("____ L"), f.blankIn("____ L")})
	}
	return t
}

// lessTable is how the plan begins with half and with no stock.
func (f *Facts) lessTable() Table {
	t := Table{Title: "With less in the vats", Header: []string{"vats", "usable", "first change", "changes", "done"}}
	for _, c := range f.Less {
		first, done := "none at once: mix first", "never with this"
		if c.First != nil {
			first = f.change(*c.First) + " " + f.when(c.First.AtH)
		}
		if c.DoneAtH != nil {
			done = f.when(*c.DoneAtH)
		}
		t.Rows = append(t.Rows, []string{c.Name, f.amount(c.UsableL, units.Down), first, fmt.Sprint(c.Changes), done})
	}
	for _, name := range []string{"half full", "empty"} {
		if len(f.Less) == 0 {
			t.Rows = append(t.Rows, []string{name, f.blankIn("____ L"), f.blankIn("____ L"), "____", "__:__"})
		}
	}
	return t
}

// ladderTable turns a laboratory result into further changes.
func (f *Facts) ladderTable() Table {
	t := Table{Title: "Result, its ± added, and what it asks for", Header: []string{"result up to", "further changes", "of"}}
	for _, r := range f.Ladder {
		volume := ""
		if r.Changes > 0 {
			volume = f.amount(r.ChangeL, units.Up)
		}
		t.Rows = append(t.Rows, []string{units.Dissolved(r.UpToUgL), fmt.Sprint(r.Changes), volume})
	}
	if len(t.Rows) == 0 {
		t.Rows = append(t.Rows, []string{"the target: ____ µg/L", "0", ""})
		for n := 1; n < blankRows; n++ {
			t.Rows = append(t.Rows, []string{"____ µg/L", fmt.Sprint(n), f.blankIn("____ L")})
		}
	}
	return t
}

// handoverTable is the state of each vat for the next keeper.
func (f *Facts) handoverTable() Table {
	t := Table{Title: "State of each vat", Header: []string{"vat", "litres left", "salinity", "temperature", "initials"}}
	names := []string{}
	for _, v := range f.Vats {
		names = append(names, v.ID)
	}
	if len(names) == 0 {
		names = []string{line, line}
	}
	for _, n := range names {
		t.Rows = append(t.Rows, []string{n, f.blankIn("____ L"), "____", f.blankIn("____ °C"), "____"})
	}
	return t
}

// signTable closes the record.
func (f *Facts) signTable() Table {
	start := "__:__"
	if f.At != nil {
		start = f.clock(0)
	}
	return Table{Title: "Sign-off", Header: []string{"started", "who", "water used", "ended", "saved for analysis"},
		Rows: [][]string{{start, line, f.blankIn("____ L"), "__:__", line}}}
}

// retests has a column for each re-test, with its clock time when known.
func (f *Facts) retests(times []string) Table {
	t := Table{Name: "retests", Title: "Re-tests after the start", Header: append([]string{"after"}, times...)}
	rows := [][]string{{"due"}, {"reading 1"}, {"reading 2"}, {"initials"}}
	for _, s := range times {
		due := "__:__"
		if f.At != nil {
			due = f.clock(hoursOf(s))
		}
		for i, cell := range []string{due, "____", "____", "____"} {
			rows[i] = append(rows[i], cell)
		}
	}
	t.Rows = rows
	return t
}

// doseTable is thiosulfate by test reading.
func (f *Facts) doseTable() Table {
	t := Table{Title: f.doseTitle(), Header: []string{"total chlorine", "first dose", "never more than"}}
	for _, d := range f.Dechlorinator {
		t.Rows = append(t.Rows, []string{units.Fixed(d.MgL, 1) + " mg/L", grams(d.LowG), grams(d.HighG)})
	}
	if len(t.Rows) == 0 {
		for range blankRows {
			t.Rows = append(t.Rows, []string{"____ mg/L", "____ g", "____ g"})
		}
	}
	return t
}

// doseTitle says how far published doses disagree, and what to do about it.
func (f *Facts) doseTitle() string {
	low, high, field := math.Inf(1), 0.0, 0.0
	for _, r := range refs.Stoichiometry() {
		if strings.HasPrefix(r.ID, "thio5_per_cl2_") || r.ID == "field_sodium_thiosulfate" || r.ID == "sm_3pct" {
			low, high = min(low, r.Value), max(high, r.Value)
		}
		if r.ID == "field_sodium_thiosulfate" {
			field = r.Value
		}
	}
	return fmt.Sprintf("Sodium thiosulfate crystals (pentahydrate). Published figures range from %s to %s mg for 1 mg of chlorine. The first dose is the low field figure, %s mg, whose source does not name the crystals: test again after each dose",
		units.Significant(low, 3), units.Fixed(high, 1), units.Fixed(field, 1))
}

// grams prints what a kitchen or letter scale can weigh.
func grams(g float64) string {
	if g < 10 {
		return units.Fixed(g, 1) + " g"
	}
	return units.Fixed(g, 0) + " g"
}
