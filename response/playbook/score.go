package playbook

import (
	"fmt"
	"strings"
)

// Criterion is one demand on an emergency checklist, and how a card meets it.
type Criterion struct {
	// ID is the criterion's number in the published set, Text what it asks.
	ID   string `json:"id"`
	Text string `json:"text"`
	// Weight: 3 a list that fails it should not ship, 2 important, 1 polish.
	Weight int `json:"weight"`
	// Judged is false where only a person can judge, or the criterion does not
	// apply to this sheet; Pass is then false and does not count.
	Judged bool `json:"judged"`
	Pass   bool `json:"pass"`
	// Found says what was found where it fails, or why it was not judged.
	Found string `json:"found"`
}

// Report is the score of one card.
type Report struct {
	Name string `json:"name"`
	// Score is the weight of the criteria met over the weight of those judged, 0 to 1.
	Score float64 `json:"score"`
	// Ship says that every judged criterion of weight 3 is met and Score is at
	// least ShipAt.
	Ship     bool        `json:"ship"`
	Criteria []Criterion `json:"criteria"`
}

// ShipAt is the score below which a card is not to be relied on.
const ShipAt = 0.9

// Failed lists the judged criteria not met, of at least this weight.
func (r Report) Failed(weight int) []Criterion {
	var out []Criterion
	for _, c := range r.Criteria {
		if c.Judged && !c.Pass && c.Weight >= weight {
			out = append(out, c)
		}
	}
	return out
}

// subject is what the tests of a criterion look at.
type subject struct {
	card   Card
	layout Layout
	// all are the card and the shared cards it sends people to: the whole playbook.
	all   []Card
	lib   *Library
	text  string
	pages []Page
}

// criterion is a demand with its test: nil where a person must judge. The test
// returns "" when it is met, else what was found; skip starts a reason why it does
// not apply.
type criterion struct {
	id     string
	weight int
	text   string
	test   func(*subject) string
}

// skip marks a reason for not judging.
const skip = "not applicable: "

// Score measures a card in its printed layout against the criteria for
// emergency checklists, as part of the library that prints it.
//
// Sources: the criteria and their weights are this project's own set, drawn from
// civil aviation, nuclear, medical and plain-language guidance; each criterion's
// text names what it rests on.
func (l *Library) Score(s Card, layout Layout) Report {
	sub := &subject{card: s, layout: layout, all: []Card{s}, lib: l, text: Text(s), pages: layout.Pages(s)}
	for _, name := range s.Sends {
		sub.all = append(sub.all, l.Fill(l.Find(name), &Facts{Printed: s.Printed}))
	}
	r := Report{Name: s.Name}
	met, of := 0, 0
	ship := true
	for _, c := range criteria() {
		out := Criterion{ID: c.id, Text: c.text, Weight: c.weight}
		if c.test == nil {
			out.Found = "a person has to judge this"
			r.Criteria = append(r.Criteria, out)
			continue
		}
		found := c.test(sub)
		if reason, skipped := strings.CutPrefix(found, skip); skipped {
			out.Found = reason
			r.Criteria = append(r.Criteria, out)
			continue
		}
		out.Judged, out.Pass, out.Found = true, found == "", found
		of += c.weight
		if out.Pass {
			met += c.weight
		}
		ship = ship && (out.Pass || c.weight < 3)
		r.Criteria = append(r.Criteria, out)
	}
	r.Score = float64(met) / float64(of)
	r.Ship = ship && r.Score >= ShipAt
	return r
}

// criteria are all demands, in the order of the set.
func criteria() []criterion {
	var out []criterion
	for _, part := range [][]criterion{findCriteria, boxCriteria, stepCriteria, warningCriteria, decisionCriteria, endCriteria, pageCriteria, keepingCriteria} {
		out = append(out, part...)
	}
	return out
}

// eachLine visits the lines of the card until one returns a finding.
func (s *subject) eachLine(visit func(g *Group, ln *Line) string) string {
	for g := range s.card.Groups {
		for i := range s.card.Groups[g].Lines {
			if found := visit(&s.card.Groups[g], &s.card.Groups[g].Lines[i]); found != "" {
				return found
			}
		}
	}
	return ""
}

// eachStep visits the instructions.
func (s *subject) eachStep(visit func(ln *Line) string) string {
	return s.eachLine(func(_ *Group, ln *Line) string {
		if ln.Kind != StepLine {
			return ""
		}
		if found := visit(ln); found != "" {
			return fmt.Sprintf("step %d: %s", ln.Number, found)
		}
		return ""
	})
}

// eachText visits every sentence a reader reads on the card.
func (s *subject) eachText(visit func(text string) string) string {
	for _, t := range []string{s.card.Title, s.card.UseWhen, s.card.NotWhen, s.card.Goal} {
		if found := visit(t); found != "" {
			return found
		}
	}
	return s.eachLine(func(g *Group, ln *Line) string {
		texts := []string{g.Heading, ln.Text, ln.Lacking, ln.Until, ln.Wait, ln.Meanwhile, ln.Late}
		if c := ln.Caution; c != nil {
			texts = append(texts, c.Hazard, c.Consequence, c.Avoid)
		}
		for _, t := range texts {
			if found := visit(t); found != "" {
				return found
			}
		}
		return ""
	})
}

// any says that a step or note of the playbook satisfies want: on the card or on
// one that it sends people to.
func (s *subject) any(want func(ln *Line) bool) bool {
	for c := range s.all {
		for g := range s.all[c].Groups {
			for i := range s.all[c].Groups[g].Lines {
				if want(&s.all[c].Groups[g].Lines[i]) {
					return true
				}
			}
		}
	}
	return false
}

// says reports whether a line holds the words, ignoring case.
func (s *subject) says(words string) bool {
	words = strings.ToLower(words)
	return s.any(func(ln *Line) bool { return strings.Contains(strings.ToLower(ln.Text), words) })
}

// otherwise is found when ok is false.
func otherwise(ok bool, format string, args ...any) string {
	if ok {
		return ""
	}
	return fmt.Sprintf(format, args...)
}
