package playbook

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/volumes/site"
)

var bucketsAndRest = regexp.MustCompile(`(\d+) buckets?(?: \+ ([\d.]+) (gal|L))?`)

// "Each 4 buckets + 0.5 gal" of 2.6 gal are 10.9 gal, and the row says 11.1.
func TestBucketsComeToTheRow(t *testing.T) {
	for _, text := range []string{lane, school, home} {
		s := siteOf(t, text)
		f, err := Gather(s, Request{Playbook: "unknown", System: s.Systems[0].ID, Units: s.Units, Printed: site.DemoDate()})
		if err != nil {
			t.Fatal(err)
		}
		checked := 0
		for _, row := range f.changeTable().Rows {
			m := bucketsAndRest.FindStringSubmatch(row[6])
			if m == nil {
				continue
			}
			n, _ := strconv.ParseFloat(m[1], 64)
			rest, _ := strconv.ParseFloat(m[2], 64)
			want, got := f.printed(row[1]), n*f.printed(f.bucket())+rest*f.Units.LitresPer()
			if checked++; !(math.Abs(want-got) <= 0.06*f.Units.LitresPer()) {
				t.Errorf("%s: %s is %s of %s", s.Systems[0].ID, row[1], row[6], f.bucket())
			}
		}
		if checked == 0 {
			t.Errorf("%s: no row is carried", s.Systems[0].ID)
		}
	}
}

// "Pour 481 L away" is 48 buckets and most of an hour, and the batch waits for it.
func TestWaterPouredByBucketIsCounted(t *testing.T) {
	f := &Facts{Stores: []site.Store{{ID: "tote"}}}
	if got := f.preparation(plan.Prepare{What: plan.Lower, StoreID: "tote", RemoveL: 481, Litres: 319}, true); !strings.Contains(got, "48 buckets, 48 min") {
		t.Errorf("%q", got)
	}
	pump := 900.0
	f.Stores[0].TransferLH = &pump
	if got := f.preparation(plan.Prepare{What: plan.Lower, StoreID: "tote", RemoveL: 481, Litres: 319}, true); strings.Contains(got, "bucket") {
		t.Errorf("%q, there is a pump", got)
	}
}

// A room of 58.0 °F holds vats of 58.0 °F, and 58.1 was the least that a small row took.
func TestTheColdestRoomsWaterIsTaken(t *testing.T) {
	for _, c := range []struct{ card, id string }{{"change-water", "usable"}, {"leak", "read-vat"}} {
		if says := lineOf(t, siteOf(t, lane), c.card, c.id); !strings.Contains(says, "58.0 to ") {
			t.Errorf("%s: %q refuses water as cold as the coldest room", c.card, says)
		}
	}
}

// The front stopped at 0.88 mg/L, card Samples at 500 µg/L, and the rows were planned for
// "ammonia_total". A kit reads mg/L.
func TestAmmoniaHasOneGoal(t *testing.T) {
	s := siteOf(t, school)
	page := ""
	for _, name := range []string{"ammonia", "change-water", "samples"} {
		f, err := Gather(s, Request{Playbook: "ammonia", Units: s.Units, Printed: site.DemoDate()})
		if err != nil {
			t.Fatal(err)
		}
		c := Builtin().Fill(Builtin().Find(name), f)
		if page = Text(c); strings.Contains(page, "ammonia_total") || strings.Contains(page, "µg/L") {
			t.Errorf("%s:\n%s", name, page)
		}
		if name != "change-water" && !strings.Contains(c.Goal, "0.500 mg/L") {
			t.Errorf("%s: the goal is %q", name, c.Goal)
		}
	}
}

// Six vats: the one of 35.5 was tagged for being what it should be, and one of 34.5 that had
// taken purified water in was let through.
func TestEveryVatHasItsOwnBand(t *testing.T) {
	for _, text := range []string{school, point} {
		s := siteOf(t, text)
		says := lineOf(t, s, "vat-overflow", "pure")
		for _, st := range s.Stores {
			if st.Holds == site.Saltwater && !strings.Contains(says, units.Fixed(float64(st.Water.Salinity)-saltBand, 1)+" to "+units.Fixed(float64(st.Water.Salinity)+saltBand, 1)) {
				t.Errorf("%q has no band for %s of %.1f", says, st.ID, st.Water.Salinity)
			}
		}
	}
}

// A goal of "at most 50 % of it" is no result that a laboratory sends, and a dosing pump's
// bottle is not looked for among metals.
func TestResultsCanBeComparedWithTheGoal(t *testing.T) {
	s := siteOf(t, school)
	page := Text(printedFor(t, s, "samples"))
	for _, word := range []string{"% is of bottle A", "alkalinity"} {
		if !strings.Contains(strings.Join(strings.Fields(page), " "), word) {
			t.Errorf("no %q in:\n%s", word, page)
		}
	}
}

// "The same once more, never a third, 100 g/L by the table": the table's figure and the same are
// two doses.
func TestTheSecondDoseIsOne(t *testing.T) {
	f := &Facts{Profile: Corners()[0]}
	c := Builtin().Fill(Builtin().Find("chlorine"), f)
	if says := said(*step(&c, "dose-more")); !strings.Contains(says, "else the same") {
		t.Errorf("%q", says)
	}
}

// A card that no event of the site names was planned from minute zero: people and power come first
// there too, and "done after" was half an hour early.
func TestEveryCardsPlanLeavesTimeForPeople(t *testing.T) {
	s := siteOf(t, school)
	ended := map[string]string{}
	for _, name := range []string{"unknown", "wrong-thing-in", "chlorine"} {
		f, err := Gather(s, Request{Playbook: name, Units: s.Units, Printed: site.DemoDate()})
		if err != nil {
			t.Fatal(err)
		}
		if lead := f.Plan.Demand.System.LeadH; lead != 0.5 || f.Plan.Steps[0].AtH < lead {
			t.Errorf("%s: the first change is at %.2f h, %.1f h are for people and power", name, f.Plan.Steps[0].AtH, lead)
		}
		ended[f.verdict()] = name
	}
	if len(ended) != 1 {
		t.Errorf("half of the reef within a day ends three ways: %v", ended)
	}
}

// 100 mL of a dosing bottle are missing, and the rows are for the whole bottle: ten changes in three
// days, with a test in the house that reads the goal after the first.
func TestRowsEndWhereATestReadsTheGoal(t *testing.T) {
	s := siteOf(t, school)
	for card, goal := range map[string]string{"dosing-overrun": "7.0 to 9.0 dKH", "ammonia": "0.500 mg/L or lower"} {
		if says := lineOf(t, s, card, "change"); !strings.Contains(says, "until") || !strings.Contains(says, goal) {
			t.Errorf("%s: %q does not end at the goal", card, says)
		}
	}
}

// From 32 to 34 a reef of 520 L wants 350 L of vat water, by jug: grams of salt are one bucket.
func TestWatchTellsTheSalt(t *testing.T) {
	says := lineOf(t, siteOf(t, school), "watch", "fresh")
	if !strings.Contains(says, "565 g of salt") || !strings.Contains(says, "2.0 salinity a day") {
		t.Errorf("%q", says)
	}
	none := strings.Replace(school, "on_hand: 12 kg", "on_hand: 0 kg", 1)
	if says := lineOf(t, siteOf(t, none), "watch", "fresh"); !strings.Contains(says, "vat water") {
		t.Errorf("%q in a house without salt", says)
	}
}

// A school's reef with six devices, all by bucket: Change the water had a third page for its last
// line.
func TestChangeTheWaterHasTwoPages(t *testing.T) {
	for _, text := range []string{school, lane, point, rest, shop, home, lab} {
		s := siteOf(t, text)
		f, err := Gather(s, Request{Playbook: "unknown", System: s.Systems[0].ID, Units: s.Units, Printed: site.DemoDate()})
		if err != nil {
			t.Fatal(err)
		}
		if n := len(Printed.Pages(Builtin().Fill(Builtin().Find("change-water"), f))); n > 2 {
			t.Errorf("%s: %d pages", s.Systems[0].ID, n)
		}
	}
}

// A long row of the front kept its clock: "clock" at the end of one line, "__:__" on the next.
func TestAClockStaysWithItsBlank(t *testing.T) {
	for _, text := range []string{school, point} {
		for _, name := range []string{"unknown", "heater-break", "chlorine"} {
			for _, ln := range strings.Split(Text(printedFor(t, siteOf(t, text), name)), "\n") {
				if strings.HasSuffix(strings.TrimSpace(ln), "clock") {
					t.Errorf("%s: %q", name, ln)
				}
			}
		}
	}
}
