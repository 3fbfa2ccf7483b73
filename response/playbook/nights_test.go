package playbook

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// trial is one night of the reader's trial, as its file tells it.
type trial struct {
	file, card        string
	has               map[string]bool
	answers           map[string][]string
	critical, harmful []string
	// head is the file down to its log, log what stands below.
	head, log string
}

const logMark = "\nlog:\n"

func readTrial(t *testing.T, file string) trial {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	n := trial{file: file, has: map[string]bool{}, answers: map[string][]string{}}
	n.head, n.log, _ = strings.Cut(string(data), logMark)
	n.head = strings.TrimRight(n.head, "\n")
	for l := range strings.Lines(n.head) {
		key, value, _ := strings.Cut(strings.TrimSpace(l), ": ")
		switch key {
		case "card":
			n.card = value
		case "has":
			for _, h := range strings.Split(value, ", ") {
				n.has[h] = true
			}
		case "answers":
			for _, a := range strings.Fields(value) {
				id, list, _ := strings.Cut(a, "=")
				n.answers[id] = strings.Split(list, ",")
			}
		case "critical":
			n.critical = strings.Split(value, "; ")
		case "harmful":
			n.harmful = strings.Split(value, "; ")
		}
	}
	return n
}

// follow does what the card says, line by line, and answers from the night. It gives
// the log in words and the effects in order.
func (n trial) follow(t *testing.T, l *Library) (log []string, done []string) {
	t.Helper()
	pr := l.compile(l.Find(n.card), Profile{Known: true, Has: n.has})
	times := map[int]int{}
	asked := map[string]int{}
	at := 0
	for len(log) < 400 && at >= 0 {
		x := &pr.nodes[at]
		done = append(done, saidMark+x.text)
		for _, e := range x.effects {
			done = append(done, string(e))
		}
		said := x.card.Name + ": " + x.text
		switch {
		case x.item.Ask != "":
			list := n.answers[x.item.ID]
			if len(list) == 0 {
				t.Fatalf("%s: the night does not say: %s (%s)", n.file, x.text, x.item.ID)
			}
			a := list[min(asked[x.item.ID], len(list)-1)]
			asked[x.item.ID]++
			to := map[string]int{"yes": x.yes, "no": x.no}[a]
			if x.loop >= 0 && to <= at && to >= 0 && pr.nodes[to].card == x.card {
				if times[at]++; times[at] > x.most && x.item.Most != everyRow {
					to = x.then
				}
			}
			log = append(log, said+" "+strings.ToUpper(a))
			at = to
		case hasEffect(x.effects, "stop until") && x.item.Until != "":
			log = append(log, said+" STOP. "+x.item.Until)
			at = x.then
		default:
			log = append(log, said)
			at = x.next
		}
	}
	if at != end {
		t.Errorf("%s: the card does not come to its end", n.file)
	}
	return log, done
}

// saidMark stands before what a step says: an act of a rubric that begins so is met by
// a step with these words in it.
const saidMark = "says "

// met says whether an act was done: alone, or before another.
func met(act string, done []string) bool {
	at := func(act string) int {
		words, spoken := strings.CutPrefix(act, saidMark)
		return slices.IndexFunc(done, func(d string) bool {
			return d == act || spoken && strings.HasPrefix(d, saidMark) && strings.Contains(d, words)
		})
	}
	first, then, ordered := strings.Cut(act, " < ")
	i := at(first)
	if !ordered {
		return i >= 0
	}
	j := at(then)
	return i >= 0 && (j < 0 || i < j)
}

// The nights, each card followed literally: no harmful act, and none of the
// critical ones missed. A comparison is published: 6 % of lifesaving steps missed
// with a crisis checklist, 23 % without (Arriaga and others, New England Journal of
// Medicine 2013;368:246).
func TestNights(t *testing.T) {
	files, err := filepath.Glob("../../testdata/nights/*.txt")
	if err != nil || len(files) < 15 {
		t.Fatalf("%d nights: %v", len(files), err)
	}
	l := Builtin()
	missed, of, harm := 0, 0, 0
	for _, file := range files {
		n := readTrial(t, file)
		log, done := n.follow(t, l)
		var b strings.Builder
		for i, line := range log {
			fmt.Fprintf(&b, "%2d  %s\n", i+1, line)
		}
		for _, act := range n.critical {
			of++
			mark := "done"
			if !met(act, done) {
				mark = "MISSED"
				missed++
				t.Logf("%s: missed: %s", file, act)
			}
			fmt.Fprintf(&b, "critical %s: %s\n", act, mark)
		}
		for _, act := range n.harmful {
			mark := "not done"
			if met(act, done) {
				mark = "DONE"
				harm++
				t.Errorf("%s: harmful: %s", file, act)
			}
			fmt.Fprintf(&b, "harmful %s: %s\n", act, mark)
		}
		if os.Getenv("UPDATE_NIGHTS") != "" {
			if err := os.WriteFile(file, []byte(n.head+"\n"+logMark+b.String()), 0o644); err != nil {
				t.Fatal(err)
			}
			continue
		}
		if n.log != b.String() {
			t.Errorf("%s: the log is not what the card does now: read it, then UPDATE_NIGHTS=1", file)
		}
	}
	t.Logf("%d of %d critical acts missed, %d harmful acts done", missed, of, harm)
	if missed > 0 {
		t.Errorf("%d of %d critical acts missed", missed, of)
	}
}
