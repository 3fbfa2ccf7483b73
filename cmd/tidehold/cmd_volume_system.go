package main

import (
	"github.com/spf13/cobra"

	"tidehold/refs/units"
	"tidehold/volumes"
	"tidehold/volumes/site"
)

func newVolumeSystemCmd(a *app) *cobra.Command {
	return &cobra.Command{
		Use:   "system [<system>]",
		Short: "net volume of a system of the site, part by part, and what makes it uncertain",
		Long: `The net volume of a system as the site file gives it: part by part, with what rock
and sand take, how sure it is and which input makes most of the doubt.

` + exitHelp,
		ValidArgsFunction: a.completeIDs(systemIDs),
		Example:           "  tidehold volume system hall-reef --demo",
		Args:              cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			ls, err := a.loadSite()
			if err != nil {
				return err
			}
			id := ls.Site.Systems[0].ID
			if len(args) == 1 {
				id = args[0]
			}
			sys, err := findSystem(ls.Site, "", id)
			if err != nil {
				return err
			}
			return runVolumeSystem(a, ls, sys)
		},
	}
}

// systemResult is a system's net volume.
type systemResult struct {
	System        string               `json:"system"`
	VolumeL       float64              `json:"volume_l"`
	UncertaintyL  *float64             `json:"uncertainty_l"`
	Parts         []partResult         `json:"parts"`
	Contributions []contributionResult `json:"contributions"`
}

type partResult struct {
	ID     string  `json:"id"`
	GrossL float64 `json:"gross_l"`
	RockL  float64 `json:"rock_l"`
	SandL  float64 `json:"sand_l"`
	OtherL float64 `json:"other_l"`
	NetL   float64 `json:"net_l"`
	// RoomL is what it takes from its level up to its brim.
	RoomL float64 `json:"room_l"`
}

func runVolumeSystem(a *app, ls loaded, sys *site.System) error {
	res := systemResult{System: sys.ID, VolumeL: float64(sys.NetVolume), UncertaintyL: stated(sys.NetVolumeU), Parts: []partResult{}, Contributions: []contributionResult{}}
	if len(sys.Parts) > 0 {
		n, err := volumes.NetVolume(sys.Parts)
		if err != nil {
			return usage(err)
		}
		res.Contributions = contributions(n.Budget)
		for i, p := range n.Parts {
			room, err := sys.Parts[i].Room()
			if err != nil {
				return usage(err)
			}
			res.Parts = append(res.Parts, partResult{p.ID, float64(p.Gross), float64(p.Rock), float64(p.Sand), float64(p.Other), float64(p.Net), float64(room)})
		}
	}
	return a.print(answer{Command: "volume system", Title: "Net volume of " + sys.ID, Result: res, Assumptions: aboutSystem(ls.Site, sys.ID),
		Blocks: systemBlocks(res, a.displayUnits(ls.Site.Units))})
}

func systemBlocks(r systemResult, u units.System) []block {
	if len(r.Parts) == 0 {
		text := "%s, as the site file gives it; "
		if r.UncertaintyL == nil {
			volume := u.Volume(r.VolumeL, units.Nearest)
			return []block{para(text+"how sure it is the file does not say: write it as in %s ± 8 %%.", volume, volume)}
		}
		return []block{para(text+"± %s, in about 95 of 100 cases.", u.Volume(r.VolumeL, units.Nearest), u.Volume(*r.UncertaintyL, units.Up))}
	}
	g := grid{Header: []string{"part", "up to its level", "rock", "sand", "other", "net", "room to the brim"}, Right: []int{1, 2, 3, 4, 5, 6}}
	for _, p := range r.Parts {
		row := []string{p.ID}
		for _, l := range []float64{p.GrossL, p.RockL, p.SandL, p.OtherL, p.NetL} {
			cell := "-"
			if l != 0 {
				cell = u.Volume(l, units.Nearest)
			}
			row = append(row, cell)
		}
		g.Rows = append(g.Rows, append(row, u.Volume(p.RoomL, units.Down)))
	}
	blocks := []block{tableBlock(g)}
	if r.UncertaintyL == nil {
		return append(blocks, para("%s in all. No uncertainty is given in the site file, so none is known. %s", u.Volume(r.VolumeL, units.Nearest), tapeHint(u)))
	}
	return append(blocks, budgetBlocks(r.VolumeL, *r.UncertaintyL, r.Contributions, u)...)
}
