package main

import (
	"github.com/spf13/cobra"

	"tidehold/volumes/site"
)

func newSchemaCmd(a *app) *cobra.Command {
	return &cobra.Command{
		Use:   "schema",
		Short: "JSON Schema of the site file, for editors",
		Long: `Prints the JSON Schema (draft 2020-12) of the site file. With it, an editor
completes keys and marks slips while you type. Save it beside the site file and
name it in the site file's first line, as your editor's YAML support asks for it.

A schema sees one value at a time. Names that must exist, levels above a brim and
the like are for "tidehold check".

` + exitHelp,
		Example: "  tidehold schema > site.schema.json",
		Args:    cobra.NoArgs,
		RunE:    func(*cobra.Command, []string) error { return a.printText(string(site.Schema())) },
	}
}
