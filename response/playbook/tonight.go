package playbook

// Tonight is the first rows of the plan as the front prints them.
type Tonight struct {
	// Rows are at most three: litres, store, and when.
	Rows []TonightRow `json:"rows"`
	// More is how many rows follow on the card Change the water.
	More int `json:"more"`
	// Verdict says "enough", or what is lacking.
	Verdict string `json:"verdict"`
	// at is where every row stands.
	at string
}

// Here says on every page, not in text alone, that a card has all its rows: in a binder
// Change the water has those of other cards.
func (t *Tonight) Here() string {
	if t.at != onThisCard {
		return ""
	}
	return " (" + t.at + ")"
}

// TonightRow is one change: how much, out of what, when, and a blank for the clock.
type TonightRow struct {
	N      int    `json:"n"`
	Litres string `json:"volume"`
	Store  string `json:"store"`
	When   string `json:"when"`
	Clock  string `json:"clock"`
}

// notYet is when a row of the front begins: "at once" above the steps was read as an
// order before the power was off.
func notYet(when string) string {
	if when == "at once" {
		return "when the steps say so"
	}
	return when
}

// onFront is how many rows the front has room for.
const onFront = 3

// tonight is the water of the first hours; blanks where nothing is known.
func (f *Facts) tonight() *Tonight {
	t := &Tonight{Rows: []TonightRow{}, at: f.rowsAt()}
	if f.Plan == nil {
		t.Verdict = "Enough? Write it before the day: " + f.blankIn("____ L") + " ready, " + f.blankIn("____ L") + " lacking."
		for n := range onFront {
			t.Rows = append(t.Rows, TonightRow{n + 1, usualRow, "a vat", notYet(usualSince(n)), "__:__"})
		}
		return t
	}
	steps := f.Plan.Steps
	for i, s := range f.changeRows(onFront) {
		// The clock is written by hand: a card printed for another hour must not tell this one.
		t.Rows = append(t.Rows, TonightRow{i + 1, s.row.Whole, s.from(), notYet(since(steps, i)), "__:__"})
	}
	t.More = len(steps) - len(t.Rows)
	front := *f
	front.dated = true
	t.Verdict = front.verdict()
	return t
}
