package main

import (
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/response/playbook"
)

// playbookFlags are the command's own flags.
type playbookFlags struct {
	event, system                  string
	beside                         []string
	score, all, sitter, card, walk bool
}

// playbookHelp is the help of the command, without its exit statuses.
const playbookHelp = `Prints the card for what you see: people and power first, then the source,
oxygen, and the water tonight with this site's own litres and vats; then the cards
it sends you to, each once. Name it, or say it in your own words, or name an event
of the site. Without a site file the same cards have blanks to fill in. A fault in
the site file costs the numbers, never the card.

--card prints the event's card alone, --all every card of one system (--system):
with --format html, the binder with its index. --at 03:00 plans from then: where
the site says when people are awake, rows wait for the morning. Clocks are written
by hand, at the tank.
--format table is plain text at 80 columns; markdown; html is one page that prints
on A4 and US Letter and works on a phone without a network; json.
--walk takes every way through a card on this site and on others, and holds it to
the ten rules of safety; --score measures its form.

Your own cards are read from playbooks/*.yaml beside the site file: they add one,
or adapt one (adapts: NAME). Safety steps are locked.

A card does not replace local law and codes, a licensed electrician or a
veterinarian.

`

func newPlaybookCmd(a *app) *cobra.Command {
	var f playbookFlags
	cmd := &cobra.Command{
		Use:   "playbook [<what you see>|<name>|<event>]",
		Short: "what to do now: emergency cards, filled in with this site's numbers",
		Long:  playbookHelp + exitHelp,
		Example: `  tidehold playbook
  tidehold playbook "broken heater" --demo --at 03:00
  tidehold playbook --event broken-heater --demo
  tidehold playbook --all --demo --format html
  tidehold playbook --walk leak`,
		Args: cobra.ArbitraryArgs,
		ValidArgsFunction: func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return playbook.Builtin().Names(), cobra.ShellCompDirectiveNoFileComp
		},
		RunE: func(c *cobra.Command, args []string) error {
			for _, pair := range [][]string{{"all", "sitter"}, {"all", "card"}, {"score", "walk"}} {
				if err := exclusive(c.Flags(), pair...); err != nil {
					return err
				}
			}
			return a.runPlaybook(f, strings.Join(args, " "))
		},
	}
	fs := cmd.Flags()
	fs.StringVar(&f.event, "event", "", "the card of this event of the site, planned for it")
	fs.StringArrayVar(&f.beside, "beside", nil, "another event of the site that has struck too: each card's rows leave the other its water; repeatable")
	fs.StringVar(&f.system, "system", "", "print for this system of the site (default: the event's, else the first)")
	fs.BoolVar(&f.score, "score", false, "measure the form of the card instead of printing it")
	fs.BoolVar(&f.walk, "walk", false, "take every way through the card and hold it to the rules of safety")
	fs.BoolVar(&f.card, "card", false, "the event's card alone, without those it sends you to")
	fs.BoolVar(&f.all, "all", false, "every card, with an index: the binder")
	fs.BoolVar(&f.sitter, "sitter", false, "the card for a sitter, without choices")
	return cmd
}

func (a *app) runPlaybook(f playbookFlags, asked string) error {
	if err := f.clash(asked); err != nil {
		return err
	}
	s, err := a.openShelf(f)
	if err != nil {
		return err
	}
	if f.sitter {
		asked = "sitter"
	}
	var names []string
	switch {
	case f.all || asked == "" && f.event == "" && f.walk:
		names = s.lib.Names()
	case asked == "" && f.event == "" && f.score:
		return usagef("--score needs a playbook: write its name, or --all; known: %s", strings.Join(s.lib.Names(), ", "))
	case asked == "" && f.event == "":
		return a.print(s.list())
	default:
		hits, err := s.find(&f, asked)
		if err != nil {
			return err
		}
		if len(hits) > 1 {
			return a.print(choices(asked, hits))
		}
		names = []string{hits[0].Name}
	}
	return a.answerPlaybook(s, f, names)
}

// answerPlaybook prints, walks or measures the cards of these events.
func (a *app) answerPlaybook(s *shelf, f playbookFlags, names []string) error {
	if f.walk {
		if f.all || len(names) > 1 {
			names = append(names, s.lib.Shared()...)
		}
		return a.print(s.walked(names, f.system))
	}
	events := len(names)
	if !f.card && !f.score {
		// Whoever is hurt comes first, and every card says "phone".
		sent, err := s.sent(f, names)
		if err != nil {
			return err
		}
		for _, n := range append(sent, "person-hurt", "contacts") {
			if !slices.Contains(names, n) {
				names = append(names, n)
			}
		}
		names = sorted(s.lib, names, events)
	}
	cards, assumptions, err := s.fill(f, names)
	if err != nil {
		return err
	}
	if f.score {
		return a.print(scored(s.lib, cards))
	}
	s.tellTank(a, f, tankOf(cards))
	return a.printCards(cards, assumptions, s.fault)
}

// tankOf is the tank that cards are for where a house has several: a binder begins with one for the whole house.
func tankOf(cards []playbook.Card) string {
	for _, c := range cards {
		if c.OnlyFor != "" {
			return c.OnlyFor
		}
	}
	return ""
}

// sorted puts the shared cards behind the events' in the order of the binder.
func sorted(lib *playbook.Library, names []string, events int) []string {
	out := slices.Clone(names[:events])
	for _, n := range lib.Shared() {
		if slices.Contains(names[events:], n) {
			out = append(out, n)
		}
	}
	return out
}

// clash refuses flags and words that exclude each other.
func (f playbookFlags) clash(asked string) error {
	switch {
	case f.sitter && asked != "" && asked != "sitter":
		return usagef("--sitter is the card \"sitter\" itself; leave out %q or the flag", asked)
	case f.all && asked != "":
		return usagef("--all prints every card; leave out %q or the flag", asked)
	case len(f.beside) > 0 && f.event == "":
		return usagef("--beside names what strikes beside an event; name that with --event")
	case slices.Contains(f.beside, f.event):
		return usagef("--beside and --event both name %s; leave --beside out, or name another event", f.event)
	case f.all && f.event != "":
		return usagef("--all takes each card's own event; leave out --event")
	}
	return nil
}

// printCards prints cards: they have renderings of their own.
func (a *app) printCards(cards []playbook.Card, assumptions []refs.Assumption, fault string) error {
	title := cards[0].Title
	if events := slices.DeleteFunc(slices.Clone(cards), func(c playbook.Card) bool { return c.Shared }); len(events) > 1 {
		title = "Emergency cards"
		if cards[0].Site != "" {
			title += ", " + cards[0].Site
		}
		if tank := tankOf(cards); tank != "" { // two binders of a house look alike
			title += ", tank " + tank
		}
	}
	switch a.format.Value {
	case "json":
		ans := answer{Command: "playbook", Result: cardsResult{cards, playbook.LastPage(cards...)}, Assumptions: assumptions}
		if fault != "" {
			ans.Warnings = append(ans.Warnings, fault)
		}
		for _, c := range cards {
			for _, n := range c.Notices {
				ans.Warnings = append(ans.Warnings, c.Name+": "+n)
			}
		}
		return a.print(ans)
	case "html":
		page, err := playbook.HTML(title, playbook.Printed, cards...)
		if err != nil {
			return err
		}
		return a.printText(page)
	case "csv":
		return usagef("--format csv: a card is no table; use table, markdown, html or json")
	}
	return a.printText(cardText(title, cards, a.format.Value == "markdown"))
}

// cardMarkdown writes cards with the function that every other answer passes through.
var cardMarkdown = playbook.Markdown(markdownSafe)

// cardText is the cards as plain text or Markdown, the last page behind them.
func cardText(title string, cards []playbook.Card, markdown bool) string {
	var b strings.Builder
	if len(cards) > 1 && !cards[1].Shared {
		b.WriteString(cardIndex(title, cards, markdown))
	}
	for i, c := range cards {
		if i > 0 {
			b.WriteString("\n\n")
		}
		if markdown {
			b.WriteString(cardMarkdown.Card(c))
		} else {
			b.WriteString(playbook.Text(c))
		}
	}
	b.WriteString("\n\n")
	if markdown {
		b.WriteString(cardMarkdown.Last(cards...))
	} else {
		b.WriteString(playbook.TextLast(cards...))
	}
	return b.String()
}

// cardIndex lists the cards by what the keeper sees, in the words of the titles.
func cardIndex(title string, cards []playbook.Card, markdown bool) string {
	var b strings.Builder
	lead, shown := "", func(s string) string { return s }
	if markdown {
		lead, shown = "# ", cardMarkdown.Text
	}
	b.WriteString(lead + shown(title) + "\n\n")
	for _, c := range cards {
		b.WriteString("- " + shown(c.Title) + "\n")
	}
	b.WriteString("\n")
	return b.String()
}

// scored is the report on one card, or the summary of several; the answer is no
// when one of them should not ship.
func scored(lib *playbook.Library, cards []playbook.Card) answer {
	ans := answer{Command: "playbook", Table: "reports", Title: "Card score"}
	var reports []playbook.Report
	for _, c := range cards {
		r := lib.Score(c, playbook.Printed)
		reports = append(reports, r)
		ans.No = ans.No || !r.Ship
	}
	ans.Result = scoreResult{reports}
	if len(reports) == 1 {
		ans.Blocks = scoreBlocks(reports[0])
		return ans
	}
	g := grid{Header: []string{"card", "score", "fit to use", "fails"}, Right: []int{1}}
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
