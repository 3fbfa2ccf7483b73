package main

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/response/playbook"
	"tidehold/volumes/site"
)

// playbookFlags are the command's own flags.
type playbookFlags struct {
	event, system      string
	score, all, sitter bool
}

func newPlaybookCmd(a *app) *cobra.Command {
	var f playbookFlags
	cmd := &cobra.Command{
		Use:   "playbook [<name>]",
		Short: "emergency checklists, filled in with this site's numbers",
		Long: `Lists the emergency playbooks, or prints one as a checklist: people and power
first, then the source, oxygen, a saved sample, and the changes with this site's
own litres, vats and minutes. --at TIME prints clock times from the start of the
event. Without a site file the same sheets have blanks to fill in, and say so.

--format table is plain text at 80 columns; markdown; html is one page that prints
on A4 and US Letter and works on a phone without a network; json.
--all prints every sheet: with --format html, the binder with its index.
--score measures a sheet against published criteria for emergency checklists.

Your own playbooks are read from playbooks/*.yaml beside the site file: they add a
sheet, or adapt one (adapts: NAME). Safety steps are locked.

A sheet does not replace local law and codes, a licensed electrician or a
veterinarian.

` + exitHelp,
		Example: `  tidehold playbook
  tidehold playbook heater-break --demo --at 2026-11-25T03:00:00Z
  tidehold playbook --all --demo --format html
  tidehold playbook leak --score`,
		Args: cobra.MaximumNArgs(1),
		ValidArgsFunction: func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return playbook.Builtin().Names(), cobra.ShellCompDirectiveNoFileComp
		},
		RunE: func(c *cobra.Command, args []string) error {
			if err := exclusive(c.Flags(), "all", "sitter"); err != nil {
				return err
			}
			return a.runPlaybook(f, args)
		},
	}
	fs := cmd.Flags()
	fs.StringVar(&f.event, "event", "", "plan for this event of the site (default: its first event for the playbook)")
	fs.StringVar(&f.system, "system", "", "print for this system of the site (default: the event's, else the first)")
	fs.BoolVar(&f.score, "score", false, "measure the sheet instead of printing it")
	fs.BoolVar(&f.all, "all", false, "every sheet, with an index")
	fs.BoolVar(&f.sitter, "sitter", false, "the sheet for a sitter, without choices")
	return cmd
}

// shelf is the library with the keeper's own sheets, and the site if there is one.
type shelf struct {
	lib  *playbook.Library
	site *site.Site
	now  time.Time
	at   *time.Time
	// units of display.
	units units.System
}

func (a *app) runPlaybook(f playbookFlags, args []string) error {
	names, err := wanted(f, args)
	if err != nil {
		return err
	}
	s, err := a.openShelf()
	if err != nil {
		return err
	}
	switch {
	case f.all:
		names = s.lib.Names()
	case len(names) == 0 && f.score:
		return usagef("--score needs a playbook: write its name, or --all; known: %s", strings.Join(s.lib.Names(), ", "))
	case len(names) == 0:
		return a.print(s.list())
	}
	if s.site == nil && (f.event != "" || f.system != "") {
		return usagef("--event and --system need a site file; name it with --site, or write one with \"tidehold init\"")
	}
	sheets, assumptions, err := s.fill(f, names)
	if err != nil {
		return err
	}
	if f.score {
		return a.print(scored(s.lib, sheets))
	}
	return a.printSheets(sheets, assumptions)
}

// wanted is the one name asked for; none stands for the list or for all.
func wanted(f playbookFlags, args []string) ([]string, error) {
	switch {
	case f.sitter && len(args) > 0 && args[0] != "sitter":
		return nil, usagef("--sitter is the sheet \"sitter\" itself; leave out %q or the flag", args[0])
	case f.sitter:
		return []string{"sitter"}, nil
	case f.all && len(args) > 0:
		return nil, usagef("--all prints every sheet; leave out %q or the flag", args[0])
	case f.all && f.event != "":
		return nil, usagef("--all takes each sheet's own event; leave out --event")
	}
	return args, nil
}

// openShelf loads the site, if one is named or stands here, and the playbooks
// beside it.
func (a *app) openShelf() (*shelf, error) {
	now, err := a.now()
	if err != nil {
		return nil, err
	}
	s := &shelf{lib: playbook.Builtin(), now: now, units: a.displayUnits(units.Metric)}
	if a.at != "" {
		s.at = &now
	}
	if !a.siteNamed() {
		return s, nil
	}
	l, err := a.loadSite()
	if err != nil {
		return nil, err
	}
	s.site, s.now, s.units = l.Site, l.Now, a.displayUnits(l.Site.Units)
	if l.Dir == "" {
		return s, nil
	}
	return s, s.own(filepath.Join(l.Dir, "playbooks"))
}

// own adds the keeper's playbooks in a directory, in the order of their names;
// every fault of every file is reported.
func (s *shelf) own(dir string) error {
	entries, err := os.ReadDir(dir)
	if err != nil {
		if os.IsNotExist(err) {
			return nil
		}
		return usagef("%s: %w", dir, err)
	}
	entries = slices.DeleteFunc(entries, func(e fs.DirEntry) bool { return e.IsDir() || filepath.Ext(e.Name()) != ".yaml" })
	var faults []string
	for _, e := range entries {
		path := filepath.Join(dir, e.Name())
		data, err := readSite(path)
		if err != nil {
			return err
		}
		lib, err := s.lib.With(path, data)
		if err != nil {
			faults = append(faults, err.Error())
			continue
		}
		s.lib = lib
	}
	if len(faults) > 0 {
		return &usageError{err: fmt.Errorf("%s", strings.Join(faults, "\n")), located: true}
	}
	return nil
}

// list is every playbook by what the keeper sees.
func (s *shelf) list() answer {
	type entry struct {
		Name    string `json:"name"`
		Title   string `json:"title"`
		UseWhen string `json:"use_when"`
		File    string `json:"file"`
	}
	result := struct {
		Playbooks []entry `json:"playbooks"`
	}{}
	g := grid{Header: []string{"name", "what you see or hear"}}
	for i := range s.lib.Playbooks {
		p := &s.lib.Playbooks[i]
		sheet := s.lib.Fill(p, &playbook.Facts{Units: s.units, Printed: s.now})
		result.Playbooks = append(result.Playbooks, entry{p.Name, sheet.Title, sheet.UseWhen, p.File})
		g.Rows = append(g.Rows, []string{p.Name, sheet.Title})
	}
	return answer{Command: "playbook", Table: "playbooks", Title: "Playbooks", Result: result, Blocks: []block{
		tableBlock(g), para("Print one with: tidehold playbook NAME. When no title fits, take unknown-substance."),
	}}
}

// fill makes the sheets asked for, with the site's facts or with blanks.
func (s *shelf) fill(f playbookFlags, names []string) ([]playbook.Sheet, []refs.Assumption, error) {
	var sheets []playbook.Sheet
	var assumptions []refs.Assumption
	for _, name := range names {
		p := s.lib.Find(name)
		if p == nil {
			return nil, nil, usagef("no playbook %q%s; known: %s", name, meant(name, s.lib.Names()), strings.Join(s.lib.Names(), ", "))
		}
		facts := &playbook.Facts{Units: s.units, Printed: s.now, At: s.at}
		if s.site != nil {
			var err error
			facts, err = playbook.Gather(s.site, playbook.Request{Playbook: name, Event: f.event, System: f.system, Units: s.units, Printed: s.now, At: s.at})
			if err != nil {
				return nil, nil, usage(err)
			}
			for _, x := range append(slices.Clone(s.site.Assumptions), facts.Assumptions...) {
				if !slices.Contains(assumptions, x) {
					assumptions = append(assumptions, x)
				}
			}
		}
		sheets = append(sheets, s.lib.Sheet(p, facts, playbook.Printed))
	}
	return sheets, assumptions, nil
}

// printSheets prints checklists: they have renderings of their own.
func (a *app) printSheets(sheets []playbook.Sheet, assumptions []refs.Assumption) error {
	title := sheets[0].Title
	if len(sheets) > 1 {
		title = "Emergency sheets"
		if sheets[0].Site != "" {
			title += ", " + sheets[0].Site
		}
	}
	switch a.format.Value {
	case "json":
		ans := answer{Command: "playbook", Result: map[string]any{"sheets": sheets}, Assumptions: assumptions}
		for _, s := range sheets {
			for _, n := range s.Notices {
				ans.Warnings = append(ans.Warnings, s.Name+": "+n)
			}
		}
		return a.print(ans)
	case "html":
		page, err := playbook.HTML(title, playbook.Printed, sheets...)
		if err != nil {
			return err
		}
		return a.printText(page)
	case "csv":
		return usagef("--format csv: a checklist is no table; use table, markdown, html or json")
	}
	var b strings.Builder
	if len(sheets) > 1 {
		b.WriteString(sheetIndex(title, sheets, a.format.Value == "markdown"))
	}
	for i, s := range sheets {
		if i > 0 {
			b.WriteString("\n\n")
		}
		if a.format.Value == "markdown" {
			b.WriteString(playbook.Markdown(s))
		} else {
			b.WriteString(playbook.Text(s))
		}
	}
	return a.printText(b.String())
}

// sheetIndex lists the sheets by what the keeper sees, in the words of the titles.
func sheetIndex(title string, sheets []playbook.Sheet, markdown bool) string {
	var b strings.Builder
	head, item := "%s\n\n", "%2d  %s\n"
	if markdown {
		head, item = "# %s\n\n", "%d. %s\n"
	}
	fmt.Fprintf(&b, head, title)
	for i, s := range sheets {
		fmt.Fprintf(&b, item, i+1, s.Title)
	}
	b.WriteString("\n")
	return b.String()
}

// scored is the report on one sheet, or the summary of several; the answer is no
// when one of them should not ship.
func scored(lib *playbook.Library, sheets []playbook.Sheet) answer {
	ans := answer{Command: "playbook", Table: "reports", Title: "Checklist score"}
	var reports []playbook.Report
	for _, s := range sheets {
		r := lib.Score(s, playbook.Printed)
		reports = append(reports, r)
		ans.No = ans.No || !r.Ship
	}
	ans.Result = map[string]any{"reports": reports}
	if len(reports) == 1 {
		ans.Blocks = scoreBlocks(reports[0])
		return ans
	}
	g := grid{Header: []string{"sheet", "score", "fit to use", "fails"}, Right: []int{1}}
	for _, r := range reports {
		var failed []string
		for _, c := range r.Failed(1) {
			failed = append(failed, c.ID)
		}
		g.Rows = append(g.Rows, []string{r.Name, units.Fixed(r.Score, 3), yesNo(r.Ship), strings.Join(failed, " ")})
	}
	ans.Blocks = []block{tableBlock(g)}
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
		para("%s: score %s of 1, %s. A sheet is fit to use when it meets every criterion of weight 3 and scores at least %s; %d of %d criteria were judged by the program.",
			r.Name, units.Fixed(r.Score, 3), verdict, units.Fixed(playbook.ShipAt, 1), judged, len(r.Criteria)),
		tableBlock(g),
	}
}
