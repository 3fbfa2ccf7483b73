package main

import (
	"github.com/spf13/cobra"

	"tidehold/refs/units"
	"tidehold/volumes/site"
)

// checkResult is a site file without fault, in short.
type checkResult struct {
	Site    string        `json:"site"`
	Systems []checkSystem `json:"systems"`
	Stores  []checkStore  `json:"stores"`
	Events  int           `json:"events"`
}

type checkSystem struct {
	ID string `json:"id"`
	// NetVolumeL and its ± (at about 95 %), 0 if none was stated.
	NetVolumeL  float64 `json:"net_volume_l"`
	NetVolumeUL float64 `json:"net_volume_uncertainty_l"`
}

type checkStore struct {
	ID        string  `json:"id"`
	Holds     string  `json:"holds"`
	VolumeL   float64 `json:"volume_l"`
	UsableL   float64 `json:"usable_l"`
	CapacityL float64 `json:"capacity_l"`
}

func newCheckCmd(a *app) *cobra.Command {
	return &cobra.Command{
		Use:   "check",
		Short: "every fault of the site file, and every default it takes",
		Long: `Reads the site file and reports every fault at once, one a line as
file:line:column: path: what was found; what is allowed; the nearest fix.

Without a fault it prints what the file amounts to, what was assumed because the
file does not say, with the basis of each assumption, and what you should know.

` + exitHelp,
		Example: "  tidehold check\n  tidehold check --site hall.yaml\n  tidehold check --demo",
		Args:    cobra.NoArgs,
		RunE:    func(*cobra.Command, []string) error { return runCheck(a) },
	}
}

func runCheck(a *app) error {
	ls, err := a.loadSite()
	if err != nil {
		return err
	}
	r := checkSite(ls.Name, ls.Site)
	warnings := site.Texts(ls.Site.Warnings)
	for _, k := range cardChecks(ls.Site) {
		warnings = append(warnings, k.Item+": "+k.Problem)
	}
	return a.print(answer{
		Command: "check", Table: "stores", ListAssumed: true, Title: ls.Name + " has no fault", Result: r,
		Assumptions: ls.Site.Assumptions, Warnings: warnings,
		Blocks: checkBlocks(r, a.displayUnits(ls.Site.Units)), Next: "ready",
	})
}

func checkSite(name string, s *site.Site) checkResult {
	r := checkResult{Site: name, Systems: []checkSystem{}, Stores: []checkStore{}, Events: len(s.Events)}
	for _, sys := range s.Systems {
		r.Systems = append(r.Systems, checkSystem{sys.ID, float64(sys.NetVolume), float64(sys.NetVolumeU)})
	}
	for _, st := range s.Stores {
		r.Stores = append(r.Stores, checkStore{st.ID, string(st.Holds), st.Volume.InexactFloat64(), float64(st.Usable()), float64(st.Capacity)})
	}
	return r
}

// checkBlocks shows volumes on hand rounded down.
func checkBlocks(r checkResult, u units.System) []block {
	systems := grid{Header: []string{"system", "net volume", "±"}, Right: []int{1, 2}}
	for _, s := range r.Systems {
		spread := "not stated"
		if s.NetVolumeUL > 0 {
			spread = u.Volume(s.NetVolumeUL, units.Up)
		}
		systems.Rows = append(systems.Rows, []string{s.ID, u.Volume(s.NetVolumeL, units.Nearest), spread})
	}
	blocks := []block{
		para("%s: no fault. %s, %s, %s.", r.Site, counted(len(r.Systems), "system"), counted(len(r.Stores), "store"), counted(r.Events, "event")),
		tableBlock(systems),
	}
	if len(r.Stores) == 0 {
		return blocks
	}
	stores := grid{Header: []string{"store", "holds", "volume", "pump reaches", "at the brim"}, Right: []int{2, 3, 4}}
	for _, s := range r.Stores {
		stores.Rows = append(stores.Rows, []string{s.ID, s.Holds, u.Volume(s.VolumeL+ledgerStep, units.Down), u.Volume(s.UsableL+ledgerStep, units.Down), u.Volume(s.CapacityL, units.Down)})
	}
	return append(blocks, tableBlock(stores))
}
