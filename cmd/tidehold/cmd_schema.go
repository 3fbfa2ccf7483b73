package main

import (
	"github.com/spf13/cobra"

	"tidehold/volumes/site"
)

// schemaKeys is the manual of the site file.
type schemaKeys struct {
	Keys []site.Key `json:"keys"`
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

With --keys, prints every key instead: what may stand there, and what is assumed
when it is left out.

` + exitHelp,
		Example: "  tidehold schema > site.schema.json\n  tidehold schema --keys",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if keys {
				return runSchemaKeys(a)
			}
			return a.printText(string(site.Schema()))
		},
	}
	cmd.Flags().BoolVar(&keys, "keys", false, "print every key with what it allows and its default")
	return cmd
}

func runSchemaKeys(a *app) error {
	r := schemaKeys{site.Keys()}
	g := grid{Header: []string{"key", "allowed", "left out", "meaning"}}
	for _, k := range r.Keys {
		absent := k.Default
		if k.Required {
			absent = "required"
		}
		g.Rows = append(g.Rows, []string{k.Path, k.Allowed, absent, k.About})
	}
	return a.print(answer{Command: "schema", Title: "Keys of the site file", Result: r, Blocks: []block{tableBlock(g)}})
}
