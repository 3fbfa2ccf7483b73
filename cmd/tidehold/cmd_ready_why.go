package main

import (
	"fmt"
	"slices"
	"strings"

	"tidehold/refs/units"
	"tidehold/response/readiness"
	"tidehold/volumes/site"
)

// runReadyWhy says which assumed values decide.
func runReadyWhy(a *app) error {
	ls, err := a.loadSite()
	if err != nil {
		return err
	}
	w := readiness.Decide(ls.Site, ls.Now, func(set string) (*site.Site, error) {
		other := *a
		other.sets = append(slices.Clone(a.sets), set)
		with, err := other.loadSite()
		return with.Site, err
	})
	ans := answer{Command: "ready", Table: "deciders", Title: "What decides at " + ls.Title(), Result: w, Assumptions: ls.Site.Assumptions,
		Blocks: whyBlocks(w, ls.Title(), len(ls.Site.Assumptions))}
	for _, d := range w.Deciders {
		ans.Decides = append(ans.Decides, d.What)
	}
	return a.print(ans)
}

// whyBlocks are the values that decide, with what they change and how to measure each.
func whyBlocks(w readiness.Why, name string, assumed int) []block {
	if len(w.Deciders) == 0 {
		of := "none of the " + counted(assumed, "assumed value") + " decides"
		switch assumed {
		case 0:
			of = "no value is assumed"
		case 1:
			of = "the 1 assumed value does not decide"
		}
		return []block{para("%s: %s: no verdict flips and no plan moves by a tenth, whichever end of its plausible range is true (%d have one).", name, of, w.Tried)}
	}
	verb := "decide"
	if len(w.Deciders) == 1 {
		verb = "decides"
	}
	out := []block{para("%s: %d of %s %s: at an end of its plausible range a verdict flips or the litres move by a tenth.", name, len(w.Deciders), counted(assumed, "assumed value"), verb)}
	for _, d := range w.Deciders {
		out = append(out, para("%s: %s is assumed, %s to %s is plausible.", d.What, d.Value, d.Low, d.High),
			line("  With %s: %s.", d.At, differences(d.Changes)), line("  To know: %s. (%s)", d.Measure, d.Basis))
	}
	if w.Skipped > 0 {
		out = append(out, para("%s with a plausible range were not tried: too many.", counted(w.Skipped, "more value")))
	}
	return out
}

// differences say how events fare otherwise.
func differences(list []readiness.Difference) string {
	var parts []string
	for _, d := range list {
		text := fmt.Sprintf("%s %s instead of %s", d.Event, d.To, d.From)
		if d.From == d.To {
			more := "more"
			if d.LitresBy < 0 {
				more, d.LitresBy = "less", -d.LitresBy
			}
			text = fmt.Sprintf("%s takes %s %s water", d.Event, units.Percent(d.LitresBy, 0), more)
		}
		parts = append(parts, text)
	}
	return strings.Join(parts, "; ")
}
