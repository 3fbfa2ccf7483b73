package main

import (
	"slices"

	"github.com/spf13/cobra"

	"tidehold/response/hazards"
	"tidehold/volumes/site"
)

// hazardOptions is what hazards was asked.
type hazardOptions struct {
	system   string
	asEvents bool
}

func newHazardsCmd(a *app) *cobra.Command {
	var o hazardOptions
	cmd := &cobra.Command{
		Use:   "hazards",
		Short: "what could go wrong here, how far, how fast",
		Long: `Asks each device of the site how far it could go wrong with nobody there and no
guard, at the worse of the coldest and hottest room: who is harmed, the limit it
reaches, the hours to it, where it ends, and what stands between. A guard counts
against a failure that its kind can stop, if it is independent of the part that
fails and was tested within a year. Two such guards are wanted.

--all adds the largest reservoir that could do no harm, the new saltwater that
undoes it, batteries, generators, dosing bottles and weights on the floor.
--as-events prints the hazards that water undoes as YAML to paste under events:
of the site file, so that "tidehold ready" covers them.

` + exitHelp,
		Example: "  tidehold hazards --demo\n  tidehold hazards --demo --system touch-pool --all\n  tidehold hazards --demo --as-events",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			return runHazards(a, o)
		},
	}
	cmd.Flags().StringVar(&o.system, "system", "", "only what harms this system")
	cmd.Flags().BoolVar(&o.asEvents, "as-events", false, "print YAML to paste under events: of the site file")
	return cmd
}

func runHazards(a *app, o hazardOptions) error {
	ls, err := a.loadSite()
	if err != nil {
		return err
	}
	if o.system != "" {
		if _, err := findSystem(ls.Site, "system", o.system); err != nil {
			return err
		}
	}
	u := a.displayUnits(ls.Site.Units)
	r, err := hazards.Judge(ls.Site, ls.Now, u)
	if err != nil {
		return usage(err)
	}
	if o.system != "" {
		r = r.Of(o.system)
	}
	if o.asEvents {
		if a.format.Value != "table" {
			return usagef("--format %s: --as-events is YAML to paste into the site file; leave one of the two out", a.format.Value)
		}
		return a.printText(hazards.Events(ls.Site, r))
	}
	v := hazardView{Result: r, site: ls.Site, kinds: kindsOf(ls.Site), units: u, only: o.system}
	warnings := slices.Concat(site.Texts(ls.Site.Warnings), r.Warnings)
	if a.format.Value == "table" {
		warnings = v.together(warnings)
	}
	return a.print(answer{
		Command: "hazards", Table: "hazards", Title: "What could go wrong at " + ls.Title(), Result: r,
		Assumptions: slices.Concat(ls.Site.Assumptions, r.Assumptions),
		Warnings:    warnings,
		Blocks:      v.answer(warnings), More: append(v.bars(), v.detail()...), Next: v.next(o, a.all),
	})
}
