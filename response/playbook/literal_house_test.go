package playbook

import (
	"slices"
	"strings"
	"testing"

	"tidehold/volumes/site"
)

// Two tanks, 25 °C and 14 °C: the card of the first was printed, and nothing on the page of a
// telephone said so.
func TestACardSaysForWhichTank(t *testing.T) {
	s := siteOf(t, school)
	for _, name := range everyName() {
		house := slices.Contains(forTheHouse, name)
		c := printedFor(t, s, name)
		page, err := HTML(c.Title, Printed, c)
		if err != nil {
			t.Fatal(err)
		}
		for form, text := range map[string]string{"text": Text(c), "html": page, "markdown": inMarkdown.Card(c)} {
			head, _, _ := strings.Cut(text, "[ ]")
			if form == "html" {
				_, head, _ = strings.Cut(text, "<h1")
				head, _, _ = strings.Cut(head, "<section")
			}
			if said := strings.Contains(strings.Join(strings.Fields(head), " "), "For tank "+c.System+" only."); said == house {
				t.Errorf("%s as %s: %v", name, form, said)
			}
		}
		if one := printedFor(t, siteOf(t, lane), name); strings.Contains(Text(one), "tank tank only") {
			t.Errorf("%s: a house of one tank has no other", name)
		}
	}
}

// A plan that was made at 17:22 lets a row wait for the morning; who starts at 3 waits ten hours
// for nothing.
func TestRowsThatWaitForTheMorningSaySo(t *testing.T) {
	s := siteOf(t, school)
	says := rowsTitle(t, s)
	if !strings.Contains(says, "07:30") || !strings.Contains(says, "3 h after the last") {
		t.Errorf("%q", says)
	}
	if says := rowsTitle(t, siteOf(t, lane)); strings.Contains(says, "Planned for a start at") {
		t.Errorf("%q where somebody is always up", says)
	}
	// In a binder the rows stand on other cards too.
	for _, c := range binderOf(t, s, "shore", site.DemoDate()) {
		for _, ln := range linesOf(c) {
			if ln.Table != nil && ln.Table.Name == "changes" && len(ln.Table.Rows) > 1 && !strings.Contains(ln.Table.Title, "Planned for a start at") {
				t.Errorf("%s: rows without the start they were planned for", c.Name)
			}
		}
	}
}

// rowsTitle stands above the rows of the site's first plan.
func rowsTitle(t *testing.T, s *site.Site) string {
	t.Helper()
	for _, ln := range linesOf(printedFor(t, s, "change-water")) {
		if ln.Table != nil && ln.Table.Name == "changes" {
			return ln.Table.Title
		}
	}
	return ""
}

// Water poor in oxygen was sent to card Power cut, which unplugs the skimmer that stirs air in; a
// low pH was one of two cards, of which one empties the house.
func TestTheFiveReadingsNameOneCard(t *testing.T) {
	for _, text := range []string{school, lane, point} {
		says := lineNote(t, siteOf(t, text), "unknown", "Its card")
		if strings.Contains(says, "Power cut") || !strings.Contains(says, "pH low") || !strings.Contains(says, "jug") {
			t.Errorf("%q", says)
		}
	}
}

// A house without a pH test stood before "Read the jug with a pH test".
func TestATestThatIsNotHereIsPassed(t *testing.T) {
	for _, text := range []string{school, lane, point} {
		if page := Text(printedFor(t, siteOf(t, text), "unknown")); !strings.Contains(page, "not here? Next line") {
			t.Errorf("five tests are asked for, whatever is here:\n%s", page)
		}
	}
}

// The card that a reading names is not printed with this one.
func TestACardThatIsNotHereIsPassed(t *testing.T) {
	if says := lineOf(t, siteOf(t, school), "unknown", "other"); !strings.Contains(says, "if it is here") {
		t.Errorf("%q", says)
	}
}

// A tank with a chiller and no heater is too warm: the first look went to heaters that are not
// there, and at the end one of them was to be plugged in.
func TestAColdTankHasNoHeaterToPointAt(t *testing.T) {
	for _, c := range []struct{ text, system string }{{school, "shore"}, {point, "kelp"}, {lab, "cold-table"}} {
		s := siteOf(t, c.text)
		if says := lineFor(t, s, c.system, "too-hot", "heaters"); !strings.Contains(says, "chiller") || strings.Contains(says, "heater") {
			t.Errorf("%s: the front says %q", c.system, says)
		}
		for _, id := range []string{"tag", "good"} {
			if says := lineFor(t, s, c.system, "too-hot", id); strings.Contains(says, "heater") {
				t.Errorf("%s: %q", c.system, says)
			}
		}
	}
	for _, text := range []string{school, lane, "systems: [{id: tank, net_volume: 400 L}]\nstores: [{id: vat, holds: saltwater, volume: 150 L}]\n"} {
		if says := lineOf(t, siteOf(t, text), "too-hot", "heaters"); !strings.Contains(says, "each heater") {
			t.Errorf("%q: a heater that nobody listed may be stuck", says)
		}
	}
}

// A card without a site prints both ways: where the two are steps of their own, and not one step
// with "None here?", both are done. The batch's water went into the vat twice.
func TestNoStepStandsTwice(t *testing.T) {
	for _, name := range everyName() {
		c := bareCard(name)
		seen := map[string]int{}
		for _, ln := range linesOf(c) {
			first, _, _ := strings.Cut(ln.Text, ". ")
			first = strings.TrimSuffix(first, ".")
			// Steps that are done again on the way, or that send to a card, stand more than once on purpose.
			if !ln.Ticked() || ln.Card != "" || len(strings.Fields(first)) < 6 || strings.HasPrefix(first, "Put the power back on") {
				continue
			}
			if at, again := seen[first]; again && ln.Number == at+1 {
				t.Errorf("%s: steps %d and %d are both %q", name, at, ln.Number, first)
			}
			seen[first] = ln.Number
		}
	}
}
