package incident

import (
	"testing"
	"time"
)

// A change is asked about where more goes out at once than may be (45 % of 400 L), and where it begins too soon after the one
// before for another one; not where it goes on with that, nor for an entry that is none.
func TestAChangeThatIsRushed(t *testing.T) {
	s := house(t)
	sys := s.SystemByID("tank")
	b := opened(t)
	first := b.put(at(1).Change(pour("vat-a", 100, 35, 24.5)))
	soon := b.put(at(2.5).Change(pour("vat-a", 100, 35, 24.5)))
	much := b.put(at(9.8).Change(pour("vat-a", 300, 35, 24.5)))
	read := b.put(at(10).Reading(Values{TempC: x(24)}, nil))
	l := b.log()
	if l.WasRead(at(9.9).At) || !l.WasRead(at(10).At) {
		t.Error("the water is read at ten hours")
	}
	for _, c := range []struct {
		entry   int
		tooMuch bool
		after   time.Duration
	}{{first, false, 0}, {soon, false, 90 * time.Minute}, {much, true, 0}, {read, false, 0}, {99, false, 0}} {
		if tooMuch, after := l.Rushed(sys, c.entry); tooMuch != c.tooMuch || after != c.after {
			t.Errorf("entry %d: too much %v, after %v; want %+v", c.entry, tooMuch, after, c)
		}
	}
	// The next incident of the same tank goes on from there.
	b.put(at(11).Close("done"))
	again := at(11.2)
	again.Incident = 0
	b.put(again.Open(copperOpening))
	logs, _ := Logs(b.entries)
	if l := logs[1]; !l.WasRead(at(11.3).At) {
		t.Error("what was read before counts on")
	}
	next := at(11.3)
	next.Incident = logs[1].ID
	id := b.put(next.Change(pour("vat-a", 10, 35, 24.5)))
	logs, _ = Logs(b.entries)
	if _, after := logs[1].Rushed(sys, id); after != 90*time.Minute {
		t.Errorf("after %v", after)
	}
}
