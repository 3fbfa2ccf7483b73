package playbook

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// "Row 1, start +6 h 56 min", and the step under it read the vats and drained at once: only the rows
// after it had a wait. Its batch, "+5 h", was to be mixed "before row 1" and did not say so, into a
// vat that still held another tank's water.
func TestARowThatIsNotDueYetWaits(t *testing.T) {
	at := site.DemoDate()
	f, err := Gather(demoSite(t), Request{Event: "pool-spill", Beside: []string{"halve-anything"}, Printed: at, At: &at})
	if err != nil {
		t.Fatal(err)
	}
	row1 := f.Plan.Steps[0]
	i := slices.IndexFunc(f.Plan.Batches, func(b plan.Batch) bool { return b.N == row1.From[0].Batch })
	if row1.AtH < 1 || i < 0 || f.Plan.Batches[i].StartH < 1 {
		t.Fatalf("row 1 begins at %g h from %v: no row is late any more", row1.AtH, row1.From)
	}
	for _, row := range f.batchTable().Rows {
		if n := f.Plan.Batches[i].N; row[0] == "1" && n == 1 && !strings.Contains(row[1], "before row 1") {
			t.Errorf("the batch of row 1 begins %q: nobody is sent to mix it", row[1])
		}
	}
	c := Builtin().Fill(Builtin().Find("change-water"), f)
	if mix := step(&c, "mix").Text; !strings.Contains(mix, "when due") {
		t.Errorf("%q mixes at once what is to begin in 5 h", mix)
	}
	if read := step(&c, "read-vat").Text; !strings.Contains(read, "When due, ") {
		t.Errorf("%q does a late row at once", read)
	}
}

// A tank that ran dry, and vats too cold to be its own water: "Leave the rest under water".
func TestNobodyIsLeftInADryTank(t *testing.T) {
	for _, at := range everySite(t) {
		steps := stepsAt("move-animals", at)
		warm := slices.IndexFunc(steps, func(ln Line) bool { return ln.ID == "warm" })
		fill := slices.IndexFunc(steps, func(ln Line) bool { return ln.ID == "bin-fill" })
		if warm < 0 || fill < 0 {
			t.Fatalf("step %d asks, step %d fills the bins", warm, fill)
		}
		if ask := steps[warm]; !strings.Contains(strings.ToLower(ask.Text), "tank dry") || ask.Yes != steps[fill].Number {
			t.Fatalf("%q leaves animals dry beside a vat of saltwater", ask.Text)
		}
	}
}

// Power off leaves wet plugs in, the main breaker off over them: "Power on", and then "at dry plugs",
// made them live before anybody looked.
func TestPowerComesBackOnlyWhereAllIsDry(t *testing.T) {
	dry := regexp.MustCompile(`on where all is dry`)
	checked := 0
	for _, at := range everySite(t) {
		for _, name := range order {
			off := false
			for _, ln := range stepsAt(name, at) {
				if off = off || ln.Card == "power-off"; !off || !slices.Contains(ln.Effects, "energise mains") {
					continue
				}
				if checked++; !dry.MatchString(ln.Text) {
					t.Fatalf("%s: %q", name, ln.Text)
				}
			}
		}
	}
	if checked == 0 {
		t.Error("no card switches on again")
	}
}

// Whoever had had a shock was told to phone poison control, on the telephone that the emergency line was on.
func TestNobodyHangsUpOnTheEmergencyLine(t *testing.T) {
	c := bareCard("person-hurt")
	if says := step(&c, "keep-label").Text; !strings.HasPrefix(says, "If ") || !strings.Contains(says, "emergency line") {
		t.Errorf("%q", says)
	}
}

// "13.1 L 4.1 L can-1 + 9.0 L can-2" is 26 L to whoever adds what stands in a line.
func TestTheFrontsRowIsNoSum(t *testing.T) {
	text := Text(printedFor(t, siteOf(t, flat4), "heater-break"))
	if !strings.Contains(text, "4.1 L can-1 + 9.0 L can-2") {
		t.Fatal("the flat has no row from two cans any more")
	}
	if sum := regexp.MustCompile(`\d L +[\d.]+ L`).FindString(text); sum != "" {
		t.Errorf("%q reads as a sum", sum)
	}
}
