package main

import "github.com/spf13/cobra"

// commands lists every command, in the order help shows them.
func commands(a *app) []*cobra.Command {
	return []*cobra.Command{
		newHazardsCmd(a),
	}
}
