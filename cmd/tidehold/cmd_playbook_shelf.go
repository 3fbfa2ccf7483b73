package main

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/refs/yamlwalk"
	"tidehold/response/incident"
	"tidehold/response/playbook"
	"tidehold/volumes/site"
)

// shelf is the library with the keeper's own cards, and the site if there is one.
type shelf struct {
	lib  *playbook.Library
	site *site.Site
	// fault is what keeps the site's numbers off the cards, or the keeper's own cards off the shelf: each card
	// says the first, for it lacks them, and one says the second.
	fault     string
	faultOnce bool
	// open are the incidents that are open, by their systems.
	open map[string]incident.Log
	now  time.Time
	at   *time.Time
	// units of display.
	units units.System
}

// openShelf loads the site, if one is named or stands here, and the cards beside
// it. A fault of either costs the numbers or the keeper's own cards, never the
// built-in ones; it is an error only where the site itself is asked for.
func (a *app) openShelf(f playbookFlags) (*shelf, error) {
	s := &shelf{lib: playbook.Builtin(), units: a.displayUnits(units.Metric)}
	if !a.siteNamed() {
		if f.event != "" || f.system != "" {
			return nil, usagef("--event and --system need a site file; name it with --site, or write one with \"tidehold init\"")
		}
		return s, s.clock(a)
	}
	l, err := a.loadSite()
	if err != nil {
		var bad *usageError
		if !errors.As(err, &bad) || errors.As(err, new(momentError)) || f.walk || f.score || a.demo {
			return nil, err
		}
		if err := s.clock(a); err != nil {
			return nil, err
		}
		s.lost(a, "the site file has a fault, so this card has no numbers of its own", "check", err)
		return s, nil
	}
	s.site, s.now, s.units = l.Site, l.Now, a.displayUnits(l.Site.Units)
	if a.at != "" {
		s.at = &s.now
	}
	s.open = openOn(l.Journal.Entries)
	if l.Dir == "" {
		return s, nil
	}
	if err := s.own(filepath.Join(l.Dir, "playbooks")); err != nil {
		if f.walk || f.score {
			return nil, err
		}
		s.lost(a, "a card of your own has a fault, so none of yours is used", "playbook --walk", err)
		s.faultOnce = true
	}
	return s, nil
}

// clock is the time now where no site says in which zone.
func (s *shelf) clock(a *app) error {
	now, err := a.now()
	if err != nil {
		return err
	}
	s.now = now
	if a.at != "" {
		s.at = &s.now
	}
	return nil
}

// lost says once what is missing: on the cards, in a line, and on standard error, of each file the fault to
// mend first and which command lists all of them. Somebody in a hurry looks for the card.
func (s *shelf) lost(a *app, what, lists string, err error) {
	short := mendFirst(err)
	s.fault = units.UpperFirst(what) + ": " + short[0]
	_, _ = fmt.Fprintf(a.Err, "tidehold: %s:\n%s\n", what, strings.Join(short, "\n"))
	if all := err.Error(); strings.Contains(all, "\n") && all != strings.Join(short, "\n") {
		_, _ = fmt.Fprintf(a.Err, "All of it: tidehold %s%s\n", lists, a.here())
	}
}

// mendFirst is a line of each file whose faults an error holds: the one to mend first.
func mendFirst(err error) []string {
	var list interface{ Unwrap() []error }
	if errors.As(err, &list) {
		var lines []string
		for _, e := range list.Unwrap() {
			lines = append(lines, mendFirst(e)...)
		}
		return lines
	}
	var faults yamlwalk.Faults
	if errors.As(err, &faults) && len(faults) > 0 {
		return []string{faults.Nearest()}
	}
	first, _, _ := strings.Cut(err.Error(), "\n")
	return []string{first}
}

// tellTank says on standard error which tank the cards are for, where nobody chose it and the
// site has others.
func (s *shelf) tellTank(a *app, f playbookFlags, tank string) {
	if tank == "" || f.system != "" || f.event != "" {
		return
	}
	var others []string
	for _, sys := range s.site.Systems {
		if sys.ID != tank && len(others) < 3 {
			others = append(others, "--system "+sys.ID)
		}
	}
	_, _ = fmt.Fprintf(a.Err, "tidehold: printed for tank %s; for another: %s\n", tank, strings.Join(others, " or "))
}

// own adds the keeper's cards in a directory, in the order of their names; every
// fault of every file is reported, and then none of them is used.
func (s *shelf) own(dir string) error {
	entries, err := os.ReadDir(dir)
	if err != nil {
		if os.IsNotExist(err) {
			return nil
		}
		return usagef("%s: %w", dir, err)
	}
	entries = slices.DeleteFunc(entries, func(e fs.DirEntry) bool { return e.IsDir() || !isYAML(e.Name()) })
	var faults []error
	lib := s.lib
	for _, e := range entries {
		path := filepath.Join(dir, e.Name())
		data, err := readSite(path)
		if err != nil {
			return err
		}
		with, err := lib.With(path, data)
		if err != nil {
			faults = append(faults, err)
			continue
		}
		lib = with
	}
	if len(faults) > 0 {
		return &usageError{err: errors.Join(faults...), located: true}
	}
	s.lib = lib
	return nil
}

// list is every card by what the keeper sees.
func (s *shelf) list() answer {
	var result playbooksResult
	g := grid{Header: []string{"name", "what you see or hear"}}
	for _, name := range s.lib.Names() {
		p := s.lib.Find(name)
		c := s.lib.Fill(p, &playbook.Facts{Units: s.units, Printed: s.now})
		result.Playbooks = append(result.Playbooks, playbookEntry{p.Name, c.Title, c.UseWhen, p.Synonyms, p.File})
		g.Rows = append(g.Rows, []string{p.Name, c.Title})
	}
	return answer{Command: "playbook", Table: "playbooks", Title: "Playbooks", Result: result, Blocks: []block{
		tableBlock(g), para("Print one with: tidehold playbook NAME, or in your own words. When no title fits: tidehold playbook unknown."),
	}}
}

// find is the card for a name, an event of the site or everyday words; more than
// one are to choose from. An event of the site is set as the flag's.
func (s *shelf) find(f *playbookFlags, asked string) ([]playbook.Hit, error) {
	if s.site != nil {
		if f.event == "" && s.lib.Find(asked) == nil && s.site.EventByID(asked) != nil {
			f.event, asked = asked, ""
		}
		if f.event != "" && asked == "" {
			e, err := findEvent(s.site, "event", f.event)
			if err != nil {
				return nil, err
			}
			for _, id := range f.beside {
				if _, err := findEvent(s.site, "beside", id); err != nil {
					return nil, err
				}
			}
			if p := s.lib.Find(e.Playbook); p != nil {
				return []playbook.Hit{{Name: p.Name, Title: p.Title, Score: 1}}, nil
			}
			return nil, usagef("event %s asks for the playbook %q, which is neither built in nor in playbooks/ beside the site file%s", e.ID, e.Playbook, meant(e.Playbook, s.lib.Names()))
		}
	}
	if asked == "" {
		// The site that knows the event cannot be read: the card for any cause.
		asked = "unknown"
		if hits := playbook.Best(s.lib.Search(f.event)); len(hits) == 1 {
			asked = hits[0].Name
		}
		f.event = ""
	}
	hits := playbook.Best(s.lib.Search(asked))
	if len(hits) == 0 {
		return nil, usagef("no playbook %q%s; known: %s; \"tidehold playbook unknown\" is for any cause", asked, meant(asked, s.lib.Names()), strings.Join(s.lib.Names(), ", "))
	}
	return hits, nil
}

// choices are the cards that fit the words asked for.
func choices(asked string, hits []playbook.Hit) answer {
	result := candidatesResult{Asked: asked}
	g := grid{Header: []string{"tidehold playbook", "what you see or hear"}}
	for _, h := range hits {
		result.Candidates = append(result.Candidates, candidate{h.Name, h.Title})
		g.Rows = append(g.Rows, []string{h.Name, h.Title})
	}
	return answer{Command: "playbook", Table: "candidates", Title: "Which one?", Result: result, Blocks: []block{
		para("More than one card fits %q. Take the first that says what you see:", asked), tableBlock(g),
	}}
}

// sent lists the shared cards that these send people to: for one event, those its
// steps at this site name; a binder has them all.
func (s *shelf) sent(f playbookFlags, names []string) ([]string, error) {
	if s.site == nil || len(names) != 1 {
		return s.lib.Sent(names...), nil
	}
	at, err := playbook.ProfileFor(s.site, playbook.Request{Playbook: names[0], Event: f.event, System: f.system})
	if err != nil {
		return nil, usage(err)
	}
	return s.lib.SentAt(at, names...), nil
}

// fill makes the cards asked for, with the site's facts or with blanks. The shared cards
// have the facts of the event they are printed with; in a binder, the plan of each of its
// events. A binder is for one system: a shared card with the bands of one tank and the rows
// of another would pour the wrong water.
func (s *shelf) fill(f playbookFlags, names []string) ([]playbook.Card, []refs.Assumption, error) {
	for _, name := range names {
		if s.lib.Find(name) == nil {
			return nil, nil, usagef("no playbook %q%s; known: %s", name, meant(name, s.lib.Names()), strings.Join(s.lib.Names(), ", "))
		}
	}
	var notices []string
	binder := f.all && !f.score && s.site != nil
	if binder {
		f.system, notices = s.binder(f.system)
	}
	events, assumptions, err := s.facts(f, names)
	if err != nil {
		return nil, nil, err
	}
	shared := events[len(events)-1]
	if binder {
		shared = s.lib.Binder(names, events, playbook.Printed)
	} else {
		s.lib.Fit(shared, playbook.Printed)
	}
	var cards []playbook.Card
	for i, name := range names {
		facts := shared
		if i < len(events) {
			facts = events[i]
		}
		c := s.lib.Card(s.lib.Find(name), facts, playbook.Printed)
		if i == 0 || !s.faultOnce {
			c.Fault = s.fault
		}
		if c.Fault == "" && (i < len(events) || name == changeWater) {
			c.Fault = s.underWay(facts.System)
		}
		cards = append(cards, c)
	}
	cards[0].Notices = append(cards[0].Notices, notices...)
	return cards, assumptions, nil
}

// changeWater is the shared card with every row of the plan.
const changeWater = "change-water"

// underWay stands at the top of a card with rows.
func (s *shelf) underWay(system string) string {
	return underWay(s.site, s.open, system, s.now)
}

// facts are those of each event's card, at least of the first card, in the order of the
// names, and what is assumed in them.
func (s *shelf) facts(f playbookFlags, names []string) ([]*playbook.Facts, []refs.Assumption, error) {
	if s.site == nil {
		usual := playbook.Usual(s.units, s.now)
		return []*playbook.Facts{usual}, usual.Assumptions, nil
	}
	var events []*playbook.Facts
	var assumptions []refs.Assumption
	seen := map[refs.Assumption]bool{}
	for i, name := range names {
		if i > 0 && s.lib.Find(name).Shared {
			break
		}
		facts, err := playbook.Gather(s.site, playbook.Request{Playbook: name, Event: f.event, Cards: s.lib, Beside: f.beside, System: f.system, Units: s.units, Printed: s.now, At: s.at})
		if err != nil {
			return nil, nil, usage(err)
		}
		facts.Top = cmp.Or(s.fault, s.underWay(facts.System))
		events = append(events, facts)
		for _, x := range slices.Concat(s.site.Assumptions, facts.Assumptions) {
			if !seen[x] {
				seen[x] = true
				assumptions = append(assumptions, x)
			}
		}
	}
	return events, assumptions, nil
}

// binder is the system a binder is for, the first where none is asked for, and what whoever
// prints it should know about the others.
func (s *shelf) binder(system string) (string, []string) {
	all := s.site.Systems
	if len(all) < 2 {
		return system, nil
	}
	if system == "" {
		system = all[0].ID
	}
	others := slices.DeleteFunc(slices.Clone(all), func(x site.System) bool { return x.ID == system })
	if len(others) == len(all) { // no such system: Gather says so
		return system, nil
	}
	return system, []string{fmt.Sprintf("This binder is for %s alone. Another for %s: --all --system %s.", system, either(others), others[0].ID)}
}

// either names the other systems of a site, a few of them.
func either(list []site.System) string {
	if len(list) == 1 {
		return list[0].ID
	}
	return fmt.Sprintf("each of %d other systems", len(list))
}

// walked takes every way through cards: on the site's systems, and on a site with
// everything and one with nothing.
func (s *shelf) walked(names []string, system string) answer {
	result := walkResult{Violations: []playbook.Violation{}, Cards: names}
	sites := playbook.Corners()
	if s.site != nil {
		for i := range s.site.Systems {
			if system == "" || s.site.Systems[i].ID == system {
				sites = append(sites, playbook.ProfileOf(s.site, &s.site.Systems[i]))
			}
		}
	}
	result.Sites = len(sites)
	for _, name := range names {
		w := s.lib.Walk(s.lib.Find(name), sites...)
		result.Paths += w.Paths
		result.Situations += w.States
		result.Violations = append(result.Violations, w.Violations...)
	}
	n := len(result.Violations)
	ans := answer{Command: "playbook", Table: "violations", Title: "Every way through the cards", Result: result, No: n > 0}
	verdict := "no rule of safety is broken"
	if n > 0 {
		verdict = counted(n, "violation")
	}
	ans.Blocks = []block{para("%s, %s on %s: %s.", counted(len(names), "card"), strconv.Itoa(result.Paths)+" ways", counted(len(sites), "kind")+" of site", verdict)}
	for _, v := range result.Violations {
		ans.Blocks = append(ans.Blocks, heading(fmt.Sprintf("%s, rule %d: %s", v.Card, v.Rule, playbook.Rules[v.Rule-1])),
			para("%s. The way there:", units.UpperFirst(v.Text)))
		for i, step := range v.Path {
			ans.Blocks = append(ans.Blocks, line("%d. %s", i+1, step))
		}
	}
	return ans
}

// scoreBlocks shows every criterion with its weight and what was found.
func scoreBlocks(r playbook.Report) []block {
	g := grid{Header: []string{"no.", "weight", "met", "criterion", "found"}}
	judged := 0
	for _, c := range r.Criteria {
		met := "-"
		if c.Judged {
			judged++
			met = yesNo(c.Pass)
		}
		g.Rows = append(g.Rows, []string{c.ID, fmt.Sprint(c.Weight), met, c.Text, c.Found})
	}
	verdict := "fit to use"
	if !r.Ship {
		verdict = "NOT fit to use"
	}
	return []block{
		para("%s: score %s of 1, %s. A card is fit to use when it meets every criterion of weight 3 and scores at least %s; %d of %d criteria were judged by the program.",
			r.Name, units.Fixed(r.Score, 3), verdict, units.Fixed(playbook.ShipAt, 1), judged, len(r.Criteria)),
		tableBlock(g),
	}
}

// isYAML says that a file is one by its name, however its ending is written.
func isYAML(name string) bool {
	ext := strings.ToLower(filepath.Ext(name))
	return ext == ".yaml" || ext == ".yml"
}
