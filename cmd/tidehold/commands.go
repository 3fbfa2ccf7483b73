package main

import "github.com/spf13/cobra"

// commands lists every command, in the order help shows them.
func commands(a *app) []*cobra.Command {
	return []*cobra.Command{
		newInitCmd(a),
		newCheckCmd(a),
		newStockCmd(a),
		newSalinityCmd(a),
		newVolumeCmd(a),
		newMixCmd(a),
		newDiluteCmd(a),
		newAmmoniaCmd(a),
		newAssessCmd(a),
		newHazardsCmd(a),
		newReadyCmd(a),
		newPlaybookCmd(a),
		newIncidentCmd(a),
		newCalendarCmd(a),
		newRefsCmd(a),
		newSchemaCmd(a),
		newCompletionCmd(),
	}
}
