package main

import (
	"strings"

	"github.com/spf13/cobra"

	"tidehold/volumes/site"
)

// schemaKeys is the manual of the site file.
type schemaKeys struct {
	Keys    []site.Key  `json:"keys"`
	Shapes  []site.Kind `json:"shapes"`
	Devices []site.Kind `json:"equipment"`
}

func newSchemaCmd(a *app) *cobra.Command {
	var keys bool
	cmd := &cobra.Command{
		Use:   "schema",
		Short: "JSON Schema of the site file, for editors; --keys: its manual",
		Long: `Prints the JSON Schema (draft 2020-12) of the site file. With it, an editor
completes keys and marks slips while you type. Save it beside the site file and
point your editor's YAML support at it.

A schema sees one value at a time. Names that must exist, levels above a brim and
the like are for "tidehold check".

With --keys, prints every key instead: what may stand there, what is assumed when it
is left out, and which keys belong to which shape and which equipment.

` + exitHelp,
		Example: "  tidehold schema > site.schema.json\n  tidehold schema --keys",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if keys {
				return runSchemaKeys(a)
			}
			switch a.format.Value {
			case "table", "json":
				return a.printText(string(site.Schema()))
			}
			return usagef("--format %s: the schema itself is JSON; with --keys, the manual can be had as %s", a.format.Value, a.format.Value)
		},
	}
	cmd.Flags().BoolVar(&keys, "keys", false, "print every key with what it allows and its default")
	return cmd
}

func runSchemaKeys(a *app) error {
	r := schemaKeys{site.Keys(), site.Shapes(), site.Devices()}
	return a.print(answer{Command: "schema", Table: "keys", Title: "Keys of the site file", Result: r, Blocks: keyBlocks(r, a.format.Value == "csv")})
}

// keyBlocks shows the keys section by section, under their paths within it; flat
// puts all into one table, under their full paths.
func keyBlocks(r schemaKeys, flat bool) []block {
	header := []string{"key", "allowed", "left out", "meaning"}
	whole := grid{Title: "The file", Header: header}
	var sections []grid
	for _, k := range r.Keys {
		absent := k.Default
		if k.Required {
			absent = "required"
		}
		row := []string{k.Path, k.Allowed, absent, k.About}
		section, rest, inner := strings.Cut(k.Path, ".")
		if flat || !inner {
			whole.Rows = append(whole.Rows, row)
			continue
		}
		if n := len(sections); n == 0 || sections[n-1].Title != section {
			sections = append(sections, grid{Title: section, Header: header})
		}
		row[0] = rest
		last := &sections[len(sections)-1]
		last.Rows = append(last.Rows, row)
	}
	blocks := []block{tableBlock(whole)}
	for _, g := range sections {
		blocks = append(blocks, tableBlock(g))
	}
	return append(blocks, tableBlock(kindGrid("shape: one of", r.Shapes)), tableBlock(kindGrid("kind of equipment", r.Devices)),
		para("How amounts and units are written: tidehold help quantities. A file to begin with: tidehold init."))
}

// kindGrid shows kinds with their keys, and what they are if that is not plain.
func kindGrid(title string, kinds []site.Kind) grid {
	g := grid{Title: title, Header: []string{"kind", "needs", "may have"}}
	described := kinds[0].About != ""
	if described {
		g.Header = append(g.Header, "meaning")
	}
	for _, k := range kinds {
		needs := strings.Join(k.Required, ", ")
		if len(k.OneOf) > 0 {
			needs += ", and " + strings.Join(k.OneOf, " or ")
		}
		row := []string{k.Name, needs, strings.Join(k.Optional, ", ")}
		if described {
			row = append(row, k.About)
		}
		g.Rows = append(g.Rows, row)
	}
	return g
}
