package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"tidehold/refs/units"
	"tidehold/response/hazards"
	"tidehold/volumes/site"
)

func newHazardsCmd(a *app) *cobra.Command {
	var asEvents bool
	cmd := &cobra.Command{
		Use:   "hazards",
		Short: "what could go wrong here, how far, how fast",
		Long: `Asks each device of the site how far it could go wrong with nobody there and no
guard, at the worse of the coldest and hottest room: the limit it reaches, the
hours to it, where it ends, the largest reservoir that could do no harm, the
guards that count, and the new saltwater that undoes it.

--as-events prints the hazards that water undoes as YAML to paste under events:
of the site file, so that "tidehold ready" covers them.

` + exitHelp,
		Example: "  tidehold hazards --demo\n  tidehold hazards --demo --as-events",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			return runHazards(a, asEvents)
		},
	}
	cmd.Flags().BoolVar(&asEvents, "as-events", false, "print YAML to paste under events: of the site file")
	return cmd
}

func runHazards(a *app, asEvents bool) error {
	ls, err := a.loadSite()
	if err != nil {
		return err
	}
	u := a.displayUnits(ls.Site.Units)
	r, err := hazards.Judge(ls.Site, ls.Now, u)
	if err != nil {
		return usage(err)
	}
	if asEvents {
		return a.printText(hazards.Events(ls.Site, r))
	}
	return a.print(answer{
		Command: "hazards", Table: "hazards", Title: "What could go wrong at " + ls.Title(), Result: r,
		Assumptions: append(ls.Site.Assumptions, r.Assumptions...),
		Warnings:    append(site.Texts(ls.Site.Warnings), r.Warnings...),
		Blocks:      hazardBlocks(r, u),
	})
}

// hazardBlocks shows what reaches a limit first, then what does not, then
// batteries and floors.
func hazardBlocks(r hazards.Result, u units.System) []block {
	reached := grid{Header: []string{"what", "fails", "limit", "after", "ends at", "layers", "water to undo"}, Right: []int{3, 4, 5, 6}}
	var detail []block
	quiet := grid{Header: []string{"what", "fails", "why it is not above"}}
	for _, h := range r.Hazards {
		what := strings.TrimPrefix(h.System+" "+h.Equipment, " ")
		if h.System == h.Equipment {
			what = h.System
		}
		if h.Limit == "" {
			quiet.Rows = append(quiet.Rows, []string{what, string(h.Failure), h.Detail})
			continue
		}
		layers := 0
		for _, l := range h.Guards {
			if l.Counts {
				layers++
			}
		}
		reached.Rows = append(reached.Rows, []string{what, string(h.Failure), h.Limit, hoursLeft(h.HoursToLimit, "unknown"), finalText(h, u), fmt.Sprint(layers), volumeOr(h.WaterToUndoL, u, "-")})
		detail = append(detail, para("%s, %s: %s%s.", what, h.Failure, h.Detail, guardText(h)))
	}
	blocks := []block{
		heading("Reaches a limit if nobody comes, fewest layers and soonest first"),
		para("A layer is a guard that acts independently of the part that fails and was tested within a year. %d of these failures have no layer, %d have one.", r.NoLayer, r.OneLayer),
		tableBlock(reached),
		para("Water to undo is by dilution alone, with the volume as stated; ready also counts the ± and what new water brings."),
	}
	blocks = append(blocks, detail...)
	if len(r.SharedCauses) > 0 {
		blocks = append(blocks, heading("Guards that fail together"), para("%s.", strings.Join(r.SharedCauses, "; ")))
	}
	if len(quiet.Rows) > 0 {
		blocks = append(blocks, heading("Reaches no limit, or cannot be computed yet"), tableBlock(quiet))
	}
	if len(r.Batteries) > 0 {
		g := grid{Header: []string{"battery", "feeds", "lasts", "how"}, Right: []int{2}}
		for _, b := range r.Batteries {
			g.Rows = append(g.Rows, []string{b.System + " " + b.ID, strings.Join(b.Feeds, ", "), hoursLeft(b.Hours, "-"), b.Detail})
		}
		blocks = append(blocks, heading("Batteries"), tableBlock(g))
	}
	if len(r.Generators) > 0 {
		g := grid{Header: []string{"generator", "power", "connected", "lasts", "how"}, Right: []int{1, 2, 3}}
		for _, e := range r.Generators {
			g.Rows = append(g.Rows, []string{e.System + " " + e.ID, fmt.Sprintf("%.0f W", e.PowerW), fmt.Sprintf("%.0f W", e.LoadW), hoursLeft(e.Hours, "unknown"), e.Detail})
		}
		blocks = append(blocks, heading("Generators"), tableBlock(g),
			para("DANGER: run a generator outdoors only, far from every opening: its exhaust kills. Never plug it into a wall outlet."))
	}
	for _, l := range r.Floor {
		if l.Caution != "" {
			blocks = append(blocks, para("WARNING %s: %s.", l.Store, l.Caution))
		}
	}
	return append(blocks, para("WARNING: treat every device in or over the water as live until its supply is off; wiring and guards are a licensed electrician's work, and local codes come first."))
}

// guardText names the guards that do not count and why.
func guardText(h hazards.Hazard) string {
	var idle []string
	for _, l := range h.Guards {
		if !l.Counts {
			idle = append(idle, l.Kind+" ("+l.Why+")")
		}
	}
	s := ""
	if h.SinglePoint {
		s = ". Fewer than two layers"
	}
	if len(idle) > 0 {
		s += "; does not count: " + strings.Join(idle, ", ")
	}
	return s
}

// finalText prints where a hazard ends in the units of display.
func finalText(h hazards.Hazard, u units.System) string {
	if h.Final == nil {
		return "unknown"
	}
	switch h.FinalUnit {
	case "°C":
		return u.Temperature(*h.Final)
	case "L on the floor":
		return u.Volume(*h.Final, units.Up) + " on the floor"
	case "L/h on the floor":
		return u.Flow(*h.Final) + " on the floor"
	case "practical salinity":
		return "salinity " + units.Fixed(*h.Final, 1)
	}
	return units.Significant(*h.Final, 3) + " " + h.FinalUnit
}
