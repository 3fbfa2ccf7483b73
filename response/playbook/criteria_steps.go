package playbook

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
)

var digit = regexp.MustCompile(`\d`)

// findCriteria: finding the right list.
var findCriteria = []criterion{
	{"A1", 3, "the title is what the keeper sees or hears, not a cause", nil},
	{"A2", 3, "a line under the title says when to use it", func(s *subject) string {
		return otherwise(strings.HasPrefix(s.card.UseWhen, "Use when "), "the line begins %.20q, not \"Use when\"", s.card.UseWhen)
	}},
	{"A3", 3, "a one-line goal with a measurable end", func(s *subject) string {
		return otherwise(digit.MatchString(s.card.Goal), "the goal has no number")
	}},
	{"A4", 2, "the index has the same words as the titles", func(s *subject) string {
		p := s.lib.Find(s.card.Name)
		if p == nil {
			return "the card is not in the library's index"
		}
		return otherwise((&filler{facts: &Facts{}, seen: map[string]bool{}}).text(p.Title) == s.card.Title, "the index has another title")
	}},
	{"A5", 3, "a list for an unknown cause exists and the index points to it", func(s *subject) string {
		return otherwise(slices.ContainsFunc(s.lib.Names(), func(n string) bool { return s.lib.Find(n).Unknown }), "no card for an unknown cause")
	}},
	{"A6", 3, "no list needs another list for its first actions", func(s *subject) string {
		for _, ln := range s.box().Lines {
			if t := strings.ToLower(ln.Text); strings.Contains(t, "go to") || strings.Contains(t, "take card") || strings.Contains(t, "do card") || ln.Kind == DecisionLine {
				return fmt.Sprintf("the box sends the reader on: %q", ln.Text)
			}
		}
		return ""
	}},
}

// box is the first block.
func (s *subject) box() Group {
	if len(s.card.Groups) == 0 {
		return Group{}
	}
	return s.card.Groups[0]
}

// boxSteps are the numbered lines of the box.
func (s *subject) boxSteps() []Line {
	return slices.DeleteFunc(slices.Clone(s.box().Lines), func(ln Line) bool { return !ln.Ticked() })
}

// boxCriteria: immediate actions.
var boxCriteria = []criterion{
	{"B1", 3, "the block of immediate actions is first and boxed", func(s *subject) string {
		for i, g := range s.card.Groups {
			if g.Boxed != (i == 0) {
				return fmt.Sprintf("block %d, %s, is boxed: %v", i+1, g.Heading, g.Boxed)
			}
		}
		return otherwise(len(s.boxSteps()) > 0, "the box has no step")
	}},
	{"B2", 3, "at most 4 items in the box", func(s *subject) string {
		n := len(s.boxSteps())
		return otherwise(n <= 4, "%d items", n)
	}},
	{"B3", 3, "inside the box: people, power, source, oxygen", func(s *subject) string {
		last := -1
		for _, ln := range s.boxSteps() {
			at := slices.Index(categories[:4], ln.Category)
			switch {
			case at < 0:
				return fmt.Sprintf("step %d is %q", ln.Number, ln.Category)
			case at < last:
				return fmt.Sprintf("step %d, %s, comes after %s", ln.Number, ln.Category, categories[last])
			}
			last = at
		}
		return otherwise(last < 0 || s.boxSteps()[0].Category == People, "the box does not begin with people")
	}},
	{"B4", 3, "each immediate action takes less than a minute, without measuring or arithmetic", nil},
	{"B5", 2, "the box is read again from paper after it is done", func(s *subject) string {
		return otherwise(strings.Contains(s.box().Heading, "read it again"), "no line says so")
	}},
	{"B7", 3, "the box is read aloud within 30 s at 130 words a minute", func(s *subject) string {
		sec := aloud(s.box())
		return otherwise(sec <= boxSeconds, "%.0f s", sec)
	}},
	{"B6", 1, "the box is white or pale yellow, with black text", func(s *subject) string {
		return otherwise(contrast(s.layout.Ink, s.layout.Box) >= 7, "contrast %.1f", contrast(s.layout.Ink, s.layout.Box))
	}},
}

// stepCriteria: the steps.
var stepCriteria = []criterion{
	{"C1", 3, "one action a line", func(s *subject) string {
		return s.eachStep(func(ln *Line) string {
			if joined.MatchString(ln.Text) {
				return fmt.Sprintf("%q joins two actions", ln.Text)
			}
			return secondVerb(ln.Text)
		})
	}},
	{"C2", 3, "a step begins with a command verb, a condition stands before it", func(s *subject) string {
		return s.eachStep(func(ln *Line) string {
			return otherwise(commandFirst(ln.Text), "%q does not begin with a command", ln.Text)
		})
	}},
	{"C3", 2, "at most 20 words a step", func(s *subject) string {
		return s.eachStep(func(ln *Line) string {
			n := wordCount(ln.Text)
			return otherwise(n <= 20, "%d words", n)
		})
	}},
	{"C4", 3, "a step names the value or state to reach", func(s *subject) string {
		return s.eachStep(func(ln *Line) string {
			w := banned.FindString(ln.Text)
			return otherwise(w == "", "the word %q", w)
		})
	}},
	{"C5", 3, "numbers carry units; a reading names its band and its instrument", func(s *subject) string {
		return s.eachStep(func(ln *Line) string {
			if w := unitless(ln.Text); w != "" {
				return fmt.Sprintf("%s has no unit", w)
			}
			if ln.Category != Measure {
				return ""
			}
			switch {
			case !instruments.MatchString(ln.Text):
				return "a reading without an instrument"
			case !digit.MatchString(ln.Text) && !strings.Contains(ln.Text, "__"):
				return "a reading without a band"
			}
			return ""
		})
	}},
	{"C6", 3, "numbers are the site's own and computed; the reader does no sums", func(s *subject) string {
		return s.eachStep(func(ln *Line) string {
			w := sums.FindString(ln.Text)
			return otherwise(w == "", "%q asks for a sum", w)
		})
	}},
	{"C7", 2, "one word for one thing", func(s *subject) string {
		return s.eachText(func(t string) string {
			for _, w := range strings.FieldsFunc(strings.ToLower(quoted.ReplaceAllString(t, "")), func(r rune) bool { return (r < 'a' || r > 'z') && r != '-' }) {
				if use, ok := glossary[w]; ok {
					return fmt.Sprintf("%q, write %s", w, use)
				}
			}
			return ""
		})
	}},
	{"C8", 2, "steps are numbered, with a tick box at the left", func(s *subject) string {
		want := 0
		return s.eachLine(func(_ *Group, ln *Line) string {
			if !ln.Ticked() {
				return ""
			}
			want++
			if ln.Number != want {
				return fmt.Sprintf("step %d stands where %d is due", ln.Number, want)
			}
			return otherwise(strings.Contains(s.text, fmt.Sprintf("[ ] %2d  ", want)), "no box for step %d", want)
		})
	}},
	{"C9", 3, "the most critical steps stand near the top", func(s *subject) string {
		last := 0
		for _, g := range s.card.Groups {
			at := slices.Index(stages, g.Stage)
			if at < last {
				return fmt.Sprintf("%s (%s) comes after a block of stage %s", g.Heading, g.Stage, stages[last])
			}
			last = at
		}
		return ""
	}},
	{"C16", 3, "at most 25 steps on the card of an event", func(s *subject) string {
		return otherwise(s.card.Shared || s.card.Steps() <= mostSteps, "%d steps", s.card.Steps())
	}},
	{"C10", 2, "groups of at most 7 lines under short headings", func(s *subject) string {
		for _, g := range s.card.Groups {
			n := 0
			for _, ln := range g.Lines {
				if ln.Ticked() {
					n++
				}
			}
			if n > 7 || wordCount(g.Heading) > 8 {
				return fmt.Sprintf("%s: %d steps", g.Heading, n)
			}
		}
		return ""
	}},
	{"C11", 1, "steps follow the walk through the room", nil},
	{"C12", 1, "the reader touches or points to the device of a power step", func(s *subject) string {
		for _, ln := range s.boxSteps() {
			if ln.Category == Power && strings.HasPrefix(ln.Text, "Switch") && !pointing.MatchString(ln.Text) {
				return fmt.Sprintf("step %d: no \"point at\" or \"touch\"", ln.Number)
			}
		}
		return ""
	}},
	{"C13", 2, "the box stands beside its line, not far right", func(s *subject) string {
		return s.eachLine(func(_ *Group, ln *Line) string {
			return otherwise(!ln.Ticked() || strings.HasPrefix(strings.TrimPrefix(lineWith(s.text, ln.Number), "| "), "[ ]"), "step %d", ln.Number)
		})
	}},
	{"C14", 2, "no vague words", func(s *subject) string {
		return s.eachStep(func(ln *Line) string {
			w := vague.FindString(ln.Text)
			return otherwise(w == "", "the word %q", w)
		})
	}},
	{"C15", 2, "\"do not\" is rare, in capitals for the word only, and says the danger", func(s *subject) string {
		n := 0
		found := s.eachStep(func(ln *Line) string {
			low := strings.ToLower(ln.Text)
			if !strings.Contains(low, "do not") && !strings.Contains(low, "don't") {
				return ""
			}
			n++
			return otherwise(strings.Contains(ln.Text, "Do NOT") && strings.Contains(ln.Text, ": "), "%q", ln.Text)
		})
		if found == "" && n > 3 {
			return fmt.Sprintf("%d of them", n)
		}
		return found
	}},
}

var pointing = regexp.MustCompile(`(?i)\b(point|touch)\b`)

// secondVerb finds a second command joined by "and" in one sentence. Words that
// are nouns as well as verbs are let pass.
func secondVerb(text string) string {
	for _, m := range andWord.FindAllStringSubmatch(strings.ToLower(text), -1) {
		if verbs[m[1]] && !alsoNoun[m[1]] {
			return fmt.Sprintf("\"and %s\" is a second action", m[1])
		}
	}
	return ""
}

var (
	andWord  = regexp.MustCompile(`\band ([a-z]+)\b`)
	alsoNoun = set("drain fill net pump test water bag label count stand scale light plug start end time")
)

// lineWith is the line of the text form that holds a step's number.
func lineWith(text string, n int) string {
	mark := fmt.Sprintf("[ ] %2d  ", n)
	for line := range strings.Lines(text) {
		if strings.Contains(line, mark) {
			return line
		}
	}
	return ""
}
