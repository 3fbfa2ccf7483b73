package main

import (
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"tidehold/response/readiness"
	"tidehold/volumes/site"
)

func newReadyCmd(a *app) *cobra.Command {
	var event string
	var why bool
	cmd := &cobra.Command{
		Use:   "ready",
		Short: "is enough of the right water on hand for every event?",
		Long: `Judges every event of the site, alone and in the combinations it names, on two
stocks: that of the worst day of the routine, just after the regular changes, which
makes the verdict, and today's, which stands beside it. Each is

  covered      done within the time allowed
  late         done later, with what exists or can be made
  unknown      something is missing, and named
  short        never done, for want of water
  unreachable  the target lies below what any number of changes leads to

Then what to buy or do so that all are covered, planned again with it, and what else
would catch the site out: kit, old water, drills, guards. --all lists the smallest
remedy of each kind for each event; --event shows one event's plan; --why says which
assumed values decide, and how to measure them. Where people sleep (awake), what is
covered as of now is judged at every other full hour of the day too.

--set answers what-ifs: --set purifier.feed=6C. --site takes a pattern in quotes,
--site 'sites/*.yaml', and then prints one line for each site, the worst first.

` + exitHelp,
		Example: "  tidehold ready --demo\n  tidehold ready --demo --event halve-anything\n  tidehold ready --demo --set stores.vat-a.volume=200L",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if why {
				if event != "" || strings.ContainsAny(a.sitePath(), "*?[") {
					return usagef("--why looks at all events of one site; leave out --event, and name one file")
				}
				return runReadyWhy(a)
			}
			if !a.demo && strings.ContainsAny(a.sitePath(), "*?[") {
				return runReadyMany(a, event)
			}
			return runReady(a, event)
		},
	}
	cmd.Flags().StringVar(&event, "event", "", "show one event in detail: its changes, the work, what to restock, a chart")
	cmd.Flags().BoolVar(&why, "why", false, "move each assumed value to the ends of its plausible range and say which decide, and how to measure them")
	return cmd
}

func runReady(a *app, event string) error {
	ls, err := a.loadSite()
	if err != nil {
		return err
	}
	u := a.displayUnits(ls.Site.Units)
	r, err := readiness.Judge(ls.Site, ls.Now, readiness.Options{Event: event, Brief: brief(a, event, ls.Site), Units: u})
	if err != nil {
		return usagef("--event: %w", err)
	}
	r.Kit = append(r.Kit, cardChecks(ls.Site)...)
	v := readyView{Result: r, name: ls.Title(), currency: ls.Site.Currency, units: u, at: ls.Now, awake: ls.Site.Awake, stores: ls.Site.Stores}
	ans := answer{Command: "ready", Table: "events", Title: "Readiness of " + ls.Title(), Result: r, Assumptions: r.Assumptions, Warnings: r.Warnings,
		No: r.Verdict != readiness.Covered}
	if event != "" {
		ans.Blocks = v.single()
		ans.Next = "dilute --event " + event
	} else {
		ans.Blocks = v.blocks()
		if a.all || a.format.Value != "table" { // it may have thousands of rows, and no other screen shows them
			ans.More = v.more()
		}
		if len(v.Events) > 0 {
			ans.Next = "ready --event " + v.sorted()[0].ID
		}
	}
	if a.format.Value == "table" {
		ans.Warnings = v.warnings()
	}
	return a.print(ans)
}

// brief reports whether the screen shows verdicts and the shopping list alone: remedies for
// each event take many times as long.
func brief(a *app, event string, s *site.Site) bool {
	return a.format.Value == "table" && !a.all && event == "" && len(s.Events) != 1
}

// warnings are those of the result that the screen does not say already: the table of
// the house has the ages, and one line counts the plans that are not proved.
func (v readyView) warnings() []string {
	var out []string
	for _, w := range v.Warnings {
		said := strings.HasSuffix(w, "not proved best")
		for _, a := range v.Ages {
			said = said || a.Problem != "" && (strings.HasPrefix(w, "store "+a.Store+" ") || strings.HasPrefix(w, "stores."+a.Store+": no date"))
		}
		if !said {
			out = append(out, w)
		}
	}
	found := 0
	for _, e := range v.Events {
		if e.Plan != nil && !e.Proved {
			found++
		}
	}
	if found > 0 {
		out = append(out, fmt.Sprintf("%s the best that was found, not proved the best", isAre(found, "plan")))
	}
	return out
}

// isAre is "1 plan is", "3 plans are".
func isAre(n int, noun string) string {
	if n == 1 {
		return counted(n, noun) + " is"
	}
	return counted(n, noun) + " are"
}

// readySite is one line of the answer for several sites.
type readySite struct {
	File    string            `json:"file"`
	Name    string            `json:"name"`
	Verdict readiness.Verdict `json:"verdict"`
	// Events and Failing count all events and those not covered.
	Events  int `json:"events"`
	Failing int `json:"failing"`
	// Shopping is the cheapest set found that covers everything.
	Shopping []readiness.Purchase `json:"shopping"`
	fix      string
}

// runReadyMany judges every file of a pattern, one line each, the worst first.
func runReadyMany(a *app, event string) error {
	if event != "" {
		return usagef("--event shows one site; name one file with --site")
	}
	files, err := filepath.Glob(a.sitePath())
	if err != nil {
		return usagef("--site: %q is not a pattern; * and ? stand for parts of a name", a.sitePath())
	}
	if len(files) == 0 {
		return usagef("--site: no file matches %q", a.sitePath())
	}
	sites := make([]readySite, 0, len(files))
	var faults []error
	for _, f := range files {
		s, err := readyOne(a, f)
		if err != nil {
			faults = append(faults, err)
			continue
		}
		sites = append(sites, s)
	}
	if len(faults) > 0 {
		return &usageError{located: true, err: fmt.Errorf("%w\n%d of %d files cannot be read as a site; correct them, or take a pattern without them", errors.Join(faults...), len(faults), len(files))}
	}
	slices.SortStableFunc(sites, func(x, y readySite) int { return readiness.WorseFirst(x.Verdict, y.Verdict) })
	return a.print(manyAnswer(sites))
}

func readyOne(a *app, file string) (readySite, error) {
	ls, err := a.loadSiteAt(file)
	if err != nil {
		return readySite{}, err
	}
	u := a.displayUnits(ls.Site.Units)
	r, err := readiness.Judge(ls.Site, ls.Now, readiness.Options{Brief: true, Units: u})
	if err != nil {
		return readySite{}, usage(err)
	}
	s := readySite{File: file, Name: ls.Title(), Verdict: r.Verdict, Events: len(r.Events), Shopping: r.Shopping}
	for _, e := range r.Events {
		if e.Verdict != readiness.Covered {
			s.Failing++
		}
	}
	v := readyView{currency: ls.Site.Currency, units: u}
	for i, p := range r.Shopping {
		if i > 0 {
			s.fix += "; "
		}
		s.fix += v.fix(p.Fix)
	}
	return s, nil
}

// manyResult is the answer for several sites: the verdict is the worst.
type manyResult struct {
	Verdict readiness.Verdict `json:"verdict"`
	Sites   []readySite       `json:"sites"`
}

func manyAnswer(sites []readySite) answer {
	g := grid{Header: []string{"site", "file", "verdict", "not covered", "to buy or do"}, Right: []int{3}}
	no := false
	for _, s := range sites {
		no = no || s.Verdict != readiness.Covered
		g.Rows = append(g.Rows, []string{s.Name, s.File, string(s.Verdict), fmt.Sprintf("%d of %d", s.Failing, s.Events), s.fix})
	}
	result := manyResult{sites[0].Verdict, sites}
	return answer{Command: "ready", Table: "sites", Title: "Readiness of several sites", Result: result, Blocks: []block{tableBlock(g)}, No: no}
}
