package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/salinity"
	"tidehold/volumes/site"
)

// refTable is one embedded table: its name, what it holds, and its rows as a
// grid whose first column is the id.
type refTable struct {
	name, about string
	rows        func() (any, grid)
}

// refTables lists the embedded tables in the order they are shown.
func refTables() []refTable {
	return []refTable{
		{"sources", "the list of sources, by key, and what of each was read", sourceRows},
		{"relations", "seawater relations with equation, range, accuracy and coefficients", relationRows},
		{"contaminants", "natural levels and published criteria", contaminantRows},
		{"ratios", "neutralising and dosing ratios", ratioRows},
		{"purifier", "published temperature corrections of a purifier's rate", purifierRows},
		{"defaults", "every fixed default of the site file", defaultRows},
		{"plausible", "how far off assumed values may be, and how to measure them", plausibleRows},
		{"units", "units accepted, by kind of quantity", unitRows},
	}
}

func newRefsCmd(a *app) *cobra.Command {
	return &cobra.Command{
		Use:   "refs [<table> [<id>]]",
		Short: "every embedded value with its source and basis",
		Long: `Lists the embedded tables, one table, or one row of it. Every value names its
source by key; "tidehold refs sources KEY" gives the citation and says what of it
was read. What is from memory, or only common practice, says so.

` + exitHelp,
		Example: "  tidehold refs\n  tidehold refs contaminants copper\n  tidehold refs sources eos80",
		Args:    cobra.MaximumNArgs(2),
		RunE:    func(_ *cobra.Command, args []string) error { return runRefs(a, args) },
		ValidArgsFunction: func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
			if len(args) > 0 {
				return nil, cobra.ShellCompDirectiveNoFileComp
			}
			return tableNames(), cobra.ShellCompDirectiveNoFileComp
		},
	}
}

func tableNames() []string {
	var names []string
	for _, t := range refTables() {
		names = append(names, t.name)
	}
	return names
}

// refsList are the tables there are.
type refsList struct {
	Tables []refsTable `json:"tables"`
}

type refsTable struct {
	Table string `json:"table"`
	Rows  int    `json:"rows"`
	Holds string `json:"holds"`
}

// refsRows is one table; the keys of its rows are its own.
type refsRows struct {
	Table string `json:"table"`
	Rows  any    `json:"rows"`
}

// refsRow is one row: text by the headings of the table.
type refsRow struct {
	Table string            `json:"table"`
	Row   map[string]string `json:"row"`
}

func runRefs(a *app, args []string) error {
	if len(args) == 0 {
		g := grid{Header: []string{"table", "rows", "holds"}, Right: []int{1}}
		var list []refsTable
		for _, t := range refTables() {
			_, rows := t.rows()
			g.Rows = append(g.Rows, []string{t.name, fmt.Sprint(len(rows.Rows)), t.about})
			list = append(list, refsTable{t.name, len(rows.Rows), t.about})
		}
		return a.print(answer{Command: "refs", Table: "tables", Title: "Embedded tables", Result: refsList{list}, Blocks: []block{tableBlock(g)}})
	}
	at := slices.Index(tableNames(), args[0])
	if at < 0 {
		if name := tableOf(args[0]); name != "" {
			return usagef("%q is not a table; it stands in %s: tidehold refs %s %s", args[0], name, name, args[0])
		}
		return usagef("%q is not a table%s; one of %s", args[0], meant(args[0], tableNames()), strings.Join(tableNames(), ", "))
	}
	t := refTables()[at]
	result, g := t.rows()
	if len(args) == 1 {
		return a.print(answer{Command: "refs", Table: "rows", Title: "Table " + t.name, Result: refsRows{t.name, result}, Blocks: []block{para("%s: %s", t.name, t.about), tableBlock(g)}})
	}
	return a.printRow(t, g, args[1])
}

// tableOf is the first table that has a row of that name; "" for none.
func tableOf(id string) string {
	for _, t := range refTables() {
		_, g := t.rows()
		if slices.ContainsFunc(g.Rows, func(r []string) bool { return r[0] == id }) {
			return t.name
		}
	}
	return ""
}

// printRow shows one row as a list of name and value, which a wide row reads
// better as.
func (a *app) printRow(t refTable, g grid, id string) error {
	var ids []string
	for _, r := range g.Rows {
		ids = append(ids, r[0])
		if r[0] != id {
			continue
		}
		one := grid{Header: []string{t.name, id}}
		values := map[string]string{}
		for i, h := range g.Header {
			one.Rows = append(one.Rows, []string{h, r[i]})
			values[h] = r[i]
		}
		return a.print(answer{Command: "refs", Title: t.name + " " + id, Result: refsRow{t.name, values}, Blocks: []block{tableBlock(one)}})
	}
	return usagef("%q is not in %s%s; see tidehold refs %s", id, t.name, meant(id, ids), t.name)
}

func sourceRows() (any, grid) {
	list := refs.Sources()
	g := grid{Header: []string{"key", "citation", "seen"}}
	for _, s := range list {
		g.Rows = append(g.Rows, []string{s.Key, s.Citation, s.Seen})
	}
	return list, g
}

func relationRows() (any, grid) {
	list := salinity.Relations()
	g := grid{Header: []string{"relation", "sources", "edition", "equation", "range", "accuracy", "basis", "coefficients"}}
	for _, r := range list {
		var c []string
		for _, k := range r.Coefficients {
			c = append(c, strings.TrimSpace(fmt.Sprintf("%s = %v %s", k.Name, k.Value, k.Unit)))
		}
		g.Rows = append(g.Rows, []string{r.Name, strings.Join(r.Sources, " "), r.Edition, r.Equation, r.Range, r.Accuracy, r.Basis, strings.Join(c, "; ")})
	}
	return list, g
}

func contaminantRows() (any, grid) {
	list := refs.Contaminants()
	g := grid{
		Header: []string{"id", "name", "natural µg/kg", "EPA acute µg/L", "EPA chronic µg/L", "ANZG 99 % µg/L", "ANZG 95 % µg/L", "BC short µg/L", "BC long µg/L", "fraction", "sources", "note"},
		Right:  []int{2, 3, 4, 5, 6, 7, 8},
	}
	for _, c := range list {
		anzg := c.ANZGSource
		if anzg != "" {
			anzg += " (" + c.ANZGYear + ", reliability " + c.ANZGReliability + ")"
		}
		bc := ""
		if c.BCBasis != "" {
			bc = "bc-marine (" + c.BCBasis + ")"
		}
		sources := strings.Join(slices.DeleteFunc([]string{c.NaturalSource, c.EPASource, anzg, bc}, func(s string) bool { return s == "" }), ", ")
		g.Rows = append(g.Rows, []string{c.ID, c.Name, optionalText(c.NaturalUgKg), optionalText(c.EPAAcute), optionalText(c.EPAChronic), optionalText(c.ANZG99), optionalText(c.ANZG95), optionalText(c.BCAcute), optionalText(c.BCChronic), c.Fraction, sources, c.Note})
	}
	return list, g
}

func optionalText(x *float64) string {
	if x == nil {
		return "-"
	}
	return units.Significant(*x, 4)
}

func ratioRows() (any, grid) {
	list := refs.Stoichiometry()
	g := grid{Header: []string{"id", "quantity", "value", "unit", "reaction", "source", "basis"}, Right: []int{2}}
	for _, r := range list {
		g.Rows = append(g.Rows, []string{r.ID, r.Quantity, fmt.Sprint(r.Value), r.Unit, r.Reaction, r.Source, r.Basis})
	}
	return list, g
}

func purifierRows() (any, grid) {
	list := refs.PurifierRows()
	g := grid{Header: []string{"id", "feed °C", "table", "rate over that at 25 °C", "source"}, Right: []int{1, 3}}
	for _, r := range list {
		g.Rows = append(g.Rows, []string{fmt.Sprintf("%s-%d", r.Table, r.FeedC), fmt.Sprint(r.FeedC), r.Table, units.Fixed(r.Factor, 3), r.Source})
	}
	return list, g
}

func plausibleRows() (any, grid) {
	list := refs.PlausibleRanges()
	g := grid{Header: []string{"path", "from", "to", "basis", "how to measure"}}
	for _, p := range list {
		g.Rows = append(g.Rows, []string{p.Path, p.Low, p.High, p.Basis, p.Measure})
	}
	return list, g
}

func defaultRows() (any, grid) {
	list := site.Defaults()
	g := grid{Header: []string{"path", "value", "basis"}}
	for _, d := range list {
		g.Rows = append(g.Rows, []string{d.What, d.Value, d.Source})
	}
	return list, g
}

// unitRow is a kind of quantity with the units it is accepted in, the first of which is
// the one reckoned in.
type unitRow struct {
	Accepted []string `json:"accepted"`
	BaseUnit string   `json:"base_unit"`
	Quantity string   `json:"quantity"`
}

func unitList() []unitRow {
	var out []unitRow
	for _, d := range units.Dimensions() {
		row := unitRow{Quantity: d.String(), Accepted: d.Units()}
		if len(row.Accepted) > 0 {
			row.BaseUnit = row.Accepted[0]
		}
		out = append(out, row)
	}
	return out
}

func unitRows() (any, grid) {
	list := unitList()
	g := grid{Header: []string{"quantity", "base unit", "accepted"}}
	for _, r := range list {
		g.Rows = append(g.Rows, []string{r.Quantity, r.BaseUnit, strings.Join(r.Accepted, ", ")})
	}
	return list, g
}
