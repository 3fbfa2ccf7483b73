package playbook

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
)

// warningCriteria: warnings.
var warningCriteria = []criterion{
	{"D1", 3, "a warning stands before the step it protects, on the same page", func(s *subject) string {
		for _, page := range s.pages {
			for _, g := range page.Groups {
				if found := s.guarded(g); found != "" {
					return found
				}
			}
		}
		return ""
	}},
	{"D2", 3, "a warning holds hazard, consequence and avoidance, and no step", func(s *subject) string {
		return s.eachCaution(func(c *Caution) string {
			switch {
			case c.Hazard == "" || c.Consequence == "" || c.Avoid == "":
				return c.ID + " lacks a part"
			case strings.Contains(c.Avoid, "[ ]") || stepNumber.MatchString(c.Hazard+c.Consequence+c.Avoid):
				return c.ID + " holds a step"
			}
			return ""
		})
	}},
	{"D3", 2, "signal words as in ANSI Z535: harm to people by severity, NOTICE for animals and equipment", func(s *subject) string {
		return s.eachCaution(func(c *Caution) string {
			if !slices.Contains(signals, c.Signal) {
				return fmt.Sprintf("%s: %q is no signal word", c.ID, c.Signal)
			}
			certain := kills.MatchString(c.Consequence)
			return otherwise((c.Signal == Danger) == certain || c.Signal == Notice, "%s: %s, but %q", c.ID, c.Signal, c.Consequence)
		})
	}},
	{"D4", 1, "at most one warning between two steps, none repeated", func(s *subject) string {
		seen := map[string]bool{}
		for _, g := range s.card.Groups {
			row := 0
			for _, ln := range g.Lines {
				switch {
				case ln.Ticked():
					row = 0
				case ln.Kind == CautionLine:
					if row++; row > 1 {
						return g.Heading + ": two warnings in a row"
					}
					if seen[ln.Caution.ID] {
						return ln.Caution.ID + " stands twice"
					}
					seen[ln.Caution.ID] = true
				}
			}
		}
		return ""
	}},
	{"D5", 3, "every caution that applies to the event is present", func(s *subject) string {
		if s.card.playbook == nil {
			return "not a card of the library"
		}
		for _, c := range s.lib.missing(s.card.playbook) {
			return "missing: " + c.ID
		}
		return ""
	}},
}

var (
	stepNumber = regexp.MustCompile(`(?i)\bstep \d`)
	// kills are consequences that a DANGER states as certain.
	kills = regexp.MustCompile(`(?i)\b(can|will) kill|^It kills|kills the people|\bmean death|can burn or kill`)
)

// guarded finds a step whose hazard has no caution before it in the group: the
// card's line of danger stands before all of them. The box has room for that one.
func (s *subject) guarded(g Group) string {
	safe := map[string]bool{}
	if s.card.Danger != nil {
		for _, h := range s.card.Danger.Hazards {
			safe[h] = true
		}
	}
	for _, ln := range g.Lines {
		if ln.Caution != nil {
			for _, h := range ln.Caution.Hazards {
				safe[h] = true
			}
		}
		for _, h := range ln.Hazards {
			if !safe[h] && !g.Boxed {
				return fmt.Sprintf("step %d: no caution for %s before it", ln.Number, h)
			}
		}
	}
	return ""
}

// eachCaution visits the cautions on the sheet.
func (s *subject) eachCaution(visit func(*Caution) string) string {
	return s.eachLine(func(_ *Group, ln *Line) string {
		if ln.Kind != CautionLine {
			return ""
		}
		return visit(ln.Caution)
	})
}

// decisions lists the yes/no questions.
func (s *subject) decisions() []Line {
	var out []Line
	s.eachLine(func(_ *Group, ln *Line) string {
		if ln.Kind == DecisionLine {
			out = append(out, *ln)
		}
		return ""
	})
	return out
}

// decided runs a test over the decisions of a sheet that has any.
func decided(test func(s *subject, ln Line) string) func(*subject) string {
	return func(s *subject) string {
		if s.card.Sitter {
			return skip + "the sitter's card has no choices"
		}
		for _, ln := range s.decisions() {
			if found := test(s, ln); found != "" {
				return fmt.Sprintf("step %d: %s", ln.Number, found)
			}
		}
		return ""
	}
}

var question = regexp.MustCompile(`^(Is|Are|Does|Do|Did|Has|Have|Was|Were|Can) .*\?$`)

// decisionCriteria: decisions.
var decisionCriteria = []criterion{
	{"E1", 3, "every branch is a yes/no question about something observed or measured", decided(func(s *subject, ln Line) string {
		return otherwise(question.MatchString(ln.Text) && slices.Contains(senses, ln.By), "%q", ln.Text)
	})},
	{"E2", 3, "both exits of a decision are shown with step numbers", decided(func(s *subject, ln Line) string {
		for _, to := range []int{ln.Yes, ln.No} {
			if to < 0 || to > s.card.Steps() || to == ln.Number {
				return "an exit leads nowhere"
			}
		}
		return otherwise(ln.Yes != ln.No, "both exits lead to the same place")
	})},
	{"E3", 2, "at most 2 levels of branching", decided(func(s *subject, ln Line) string {
		depth := 1
		for _, outer := range s.decisions() {
			far := max(outer.Yes, outer.No)
			if outer.Number < ln.Number && ln.Number < far && far <= s.groupEnd(outer.Number)+1 {
				depth++
			}
		}
		return otherwise(depth <= 2, "%d levels", depth)
	})},
	{"E4", 2, "AND and OR in conditions are written in capitals and never mixed", func(s *subject) string {
		return s.eachLine(func(_ *Group, ln *Line) string {
			condition := ln.Text
			if ln.Kind == StepLine {
				if !strings.HasPrefix(ln.Text, "If ") {
					return ""
				}
				condition, _, _ = strings.Cut(ln.Text, ",")
			} else if ln.Kind != DecisionLine {
				return ""
			}
			switch {
			case smallJoin.MatchString(condition):
				return fmt.Sprintf("step %d: %q", ln.Number, condition)
			case strings.Contains(condition, " AND ") && strings.Contains(condition, " OR "):
				return fmt.Sprintf("step %d mixes AND and OR", ln.Number)
			}
			return ""
		})
	}},
	{"E5", 3, "\"not enough water\" is a branch, with what to do first", func(s *subject) string {
		if s.card.Sitter {
			return skip + "a sitter changes no water"
		}
		if s.card.Water == nil {
			return skip + "the event asks for no water"
		}
		ok := s.any(func(ln *Line) bool { return ln.Kind == DecisionLine && enough.MatchString(ln.Text) && ln.No > 0 })
		return otherwise(ok, "no decision asks whether the vats hold enough")
	}},
}

var (
	smallJoin = regexp.MustCompile(`\b(and|or)\b`)
	enough    = regexp.MustCompile(`(?i)^Do the vats (still )?hold`)
)

// groupEnd is the last numbered line of the group that holds step n.
func (s *subject) groupEnd(n int) int {
	for _, g := range s.card.Groups {
		last, in := 0, false
		for _, ln := range g.Lines {
			last = max(last, ln.Number)
			in = in || ln.Number == n
		}
		if in {
			return last
		}
	}
	return n
}
