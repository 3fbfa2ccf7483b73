package playbook

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/volumes/site"
)

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
		// The rows of the front always stand, from however many vats; in a binder the first two.
		if lines += max(1, len(s.From)); i >= cmp.Or(f.least, onFront) && lines > cmp.Or(f.most, mostRows) {
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
		t.Title = fmt.Sprintf("First %d of %d rows; the keeper has the next. ", n, len(f.Plan.Steps))
	}
	t.Title = strings.TrimSuffix(t.Title+f.awakeSays(), ". ")
	for i, s := range f.changeRows(n) {
		draws, k := s.poured(), 0
		first, from := plan.Draw{}, none
		if len(draws) > 0 {
			k = draws[0]
			first, from = s.From[k], s.vat(k)
		}
		warm, salt := f.band(first)
		t.Rows = append(t.Rows, []string{fmt.Sprint(s.N), s.row.Whole, from, warm, salt, sinceCell(f.Plan.Steps, i), f.takes(s, k), "__:__"})
		t.Entries = append(t.Entries, f.entry(s))
		for _, k := range draws[min(1, len(draws)):] {
			warm, salt := f.band(s.From[k])
			t.Rows = append(t.Rows, []string{andRow, none, s.vat(k), warm, salt, none, f.takes(s, k), none})
			t.Entries = append(t.Entries, "")
		}
	}
	if len(f.Plan.Steps) == 0 {
		t.Rows = append(t.Rows, []string{noRow, "none", "no water here can be poured", none, none, none, none, none})
	}
	return t
}

// noRow stands where no change can be made.
const noRow = "-"

// andRow heads a line that goes on with the row above: it has no box of its own.
const andRow = "and"

// ticked says that a row has a box to tick.
func (t Table) ticked(row int) bool {
	return t.Ticks && t.Rows[row][0] != andRow && t.Rows[row][0] != noRow
}

// sinceCell is when a change begins, for a narrow column.
func sinceCell(steps []plan.Step, i int) string {
	said := strings.TrimSuffix(since(steps, i), " after the last one began")
	if hours, ok := strings.CutSuffix(said, " after the start"); ok {
		return "start +" + hours
	}
	return said
}

// batchTable is the new water the plan counts on.
func (f *Facts) batchTable() Table {
	t := Table{Header: []string{"batch", "begin, from start", "vat", "purified water", "salt", "vat salt", "ready", "clock"}, Ticks: true}
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
		ready := b.MixedH
		if b.WarmH != nil {
			ready = max(ready, *b.WarmH)
		}
		t.Rows = append(t.Rows, []string{fmt.Sprint(b.N), f.orAfterRow1(f.begin(b.StartH, b.StoreID), ready-b.StartH, b.StoreID), b.StoreID, f.pour(b.PurifiedL, units.Up), f.saltCell(b.Salts, b.SaltKg), f.saltOf(b.Salinity), "+" + units.Hours(units.Up.To(b.MixedH-b.StartH, 1.0/12)), "__:__"})
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
	return f.Units.MassToPour(kg, units.Up)
}

// prepareRows are what is done to a vat before a batch or a row: they stand first.
func (f *Facts) prepareRows(t *Table, prepared []plan.Prepare) {
	for _, p := range prepared {
		if aCup(p) {
			continue
		}
		row := []string{f.preparation(p, true), f.orAfterRow1(f.begin(p.AtH, p.StoreID), p.ReadyH-p.AtH, p.StoreID), p.StoreID, none, none, none, none, "__:__"}
		if !p.Pours() {
			row[3], row[4], row[5], row[6] = f.pour(p.AddL, units.Up), f.saltCell(p.Salts, p.SaltKg), f.saltOf(p.Salinity), "+"+units.Hours(units.Up.To(p.ReadyH-p.AtH, 1.0/12))
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
		out = append(out, fmt.Sprintf("pour %s away%s, %s stays", f.pour(p.RemoveL, units.Nearest), f.byBucket(p), f.pour(p.LeavesL(), units.Nearest)))
	}
	switch {
	case short && p.AddL > 0:
		out = append(out, "thin it")
	case short && p.SaltKg > 0:
		out = append(out, "salt it")
	case p.AddL > 0:
		out = append(out, "add "+f.pour(p.AddL, units.Up)+" of purified water")
	case p.SaltKg > 0:
		out = append(out, "stir in "+f.saltCell(p.Salts, p.SaltKg)+" of salt")
	}
	return strings.Join(out, ", then ")
}

// byBucket is how many buckets a preparation carries out of a vat without a pump, and how long that
// takes: "pour 481 L away" is most of an hour, and what comes after waits for it.
func (f *Facts) byBucket(p plan.Prepare) string {
	i := slices.IndexFunc(f.Stores, func(st site.Store) bool { return st.ID == p.StoreID })
	n := int(p.RemoveL/bucketL + 0.5)
	if i < 0 || f.Stores[i].TransferLH != nil || n < 2 {
		return ""
	}
	return fmt.Sprintf(" (%d buckets, %s)", n, units.Hours(float64(n)*refs.MinutesPerBucket/60))
}

// aCup says that a preparation pours away what no hand would miss: a cup above the bottom.
func aCup(p plan.Prepare) bool { return p.Pours() && p.RemoveL < 1 }

// saltOf is the band of a salinity, without a unit.
func (f *Facts) saltOf(s float64) string {
	_, salt := f.around(0, 0, s, saltBand)
	return salt
}

// aMinute is within what a row is said to be at the same time, hours.
const aMinute = 1.0 / 60

// begin is when something is done to a vat: never before the row that still takes the
// water in it. "At once" beside a row that is done at once was read as before it.
func (f *Facts) begin(h float64, vat string) string {
	after, own := "", true
	ended := 0.0
	for _, s := range f.Plan.Steps {
		if s.DoneH <= h+aMinute && drawsOn(s, vat) {
			after, ended = fmt.Sprintf("after row %d", s.N), s.DoneH
		}
	}
	for _, o := range f.Others {
		for _, s := range o.Steps {
			// Whose card that is: a row of another event stands on no table here.
			if s.DoneH > ended && s.DoneH <= h+aMinute && drawsOn(s, vat) {
				after, ended, own = fmt.Sprintf("after row %d of %s", s.N, strings.Join(o.Demand.EventIDs(), " and ")), s.DoneH, false
			}
		}
	}
	switch {
	case (after == "" || !own) && h >= 1 && f.forRow1(h, vat):
		// The steps send people to what is "before row 1": a time alone sends nobody.
		return strings.TrimSuffix(f.moment(h)+", "+after, ", ") + ", before row 1"
	case after == "":
		return f.moment(h)
	case h-ended < 0.25 || h < 1:
		return after
	}
	return f.moment(h) + ", " + after
}

// mixingHands is how long a person has for a batch before it stands by itself (a rule of this tool).
const mixingHands = 1.0

// orAfterRow1 puts behind row 1 what that row does not need and what has the time, so many hours until it is
// ready: salt was weighed for the water of the morning while the tank gasped for what stood ready.
func (f *Facts) orAfterRow1(begin string, readyH float64, vat string) string {
	steps := f.Plan.Steps
	if begin != beforeRow1 || len(steps) == 0 || steps[0].AtH >= 1 || drawsOn(steps[0], vat) || len(f.Others) > 0 {
		return begin
	}
	for _, s := range steps[1:] {
		if drawsOn(s, vat) && s.AtH >= steps[0].DoneH+mixingHands+readyH {
			return "after row 1"
		} else if drawsOn(s, vat) {
			break
		}
	}
	return begin
}

// forRow1 says that the first row, later than h, draws on that vat.
func (f *Facts) forRow1(h float64, vat string) bool {
	return len(f.Plan.Steps) > 0 && h < f.Plan.Steps[0].AtH && drawsOn(f.Plan.Steps[0], vat)
}

// drawsOn says that a change takes water of that vat.
func drawsOn(s plan.Step, vat string) bool {
	return slices.ContainsFunc(s.From, func(d plan.Draw) bool { return d.StoreID == vat })
}

// besideSays names the vats of this card's rows whose water another event's card makes first: who has
// this card alone finds the vat empty, or another water in it.
func (f *Facts) besideSays() string {
	said := ""
	for _, o := range f.Others {
		var vats []string
		for _, s := range f.Plan.Steps {
			for _, d := range s.From {
				if d.Batch == 0 && madeIn(&o, d.StoreID, s.AtH) && !slices.Contains(vats, d.StoreID) {
					vats = append(vats, d.StoreID)
				}
			}
		}
		if len(vats) > 0 {
			who := "It"
			if len(f.Others) > 1 {
				who = strings.Join(o.Demand.EventIDs(), " and ")
			}
			said += " " + who + " mixes " + units.List(vats, "") + " first: see that this is done."
		}
	}
	return said
}

// madeIn says that a plan mixes, thins or salts the water of a vat before that hour.
func madeIn(p *plan.Plan, vat string, h float64) bool {
	return slices.ContainsFunc(p.Batches, func(b plan.Batch) bool { return b.StoreID == vat && b.MixedH <= h+aMinute }) ||
		slices.ContainsFunc(p.Prepared, func(q plan.Prepare) bool { return q.StoreID == vat && !q.Pours() && q.ReadyH <= h+aMinute })
}

// beforeRow1 sends people to card Mix a batch above the rows.
const beforeRow1 = "before row 1"

// moment is a cell for a time of the plan.
func (f *Facts) moment(h float64) string {
	if h < 1 {
		return beforeRow1 // "at once" was read before people and power were safe
	}
	return "+" + units.Hours(units.Up.To(h, 1.0/12))
}
