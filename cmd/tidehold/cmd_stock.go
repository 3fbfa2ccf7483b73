package main

import (
	"time"

	"github.com/spf13/cobra"

	"tidehold/volumes/site"
	"tidehold/volumes/stock"
)

func newStockCmd(a *app) *cobra.Command {
	c := &cobra.Command{
		Use:   "stock",
		Short: "what is on hand, and the entries that change it",
		Long: `Shows each store with all there is, what can be used, salinity, temperature and age;
the dry salt and what it makes; the kit.

The subcommands write what happens into ` + journalName + ` beside the site file, one line
each. The site file itself is never changed, and no line is ever rewritten: a
mistake is taken back with "stock undo".

` + exitHelp,
		Example: `  tidehold stock --demo
  tidehold stock dip vat-a 78cm
  tidehold stock draw vat-a 40L`,
		// Args stays unset: the tree's own check then refuses unknown words.
		RunE: func(*cobra.Command, []string) error { return runStock(a) },
	}
	c.AddCommand(newDipCmd(a), newDrawCmd(a), newAddCmd(a), newMixedCmd(a), newTestedCmd(a), newSaltCmd(a), newKitCmd(a), newDidCmd(a), newLogCmd(a), newUndoCmd(a))
	return c
}

// stockResult is everything on hand.
type stockResult struct {
	Stores  []storeResult `json:"stores"`
	Totals  []totalResult `json:"totals"`
	Salts   []saltResult  `json:"salts"`
	Kit     []kitResult   `json:"kit"`
	Entries int           `json:"journal_entries"`
}

type storeResult struct {
	ID       string      `json:"id"`
	Holds    site.Holds  `json:"holds"`
	VolumeL  exact       `json:"volume_l"`
	UsableL  exact       `json:"usable_l"`
	Salinity float64     `json:"salinity"`
	TempC    float64     `json:"temp_c"`
	AgeH     *float64    `json:"age_h"`
	MixedH   *float64    `json:"mixed_h"`
	TestedH  *float64    `json:"tested_h"`
	MaxAgeH  float64     `json:"max_age_h"`
	State    stock.State `json:"state"`
	// DatedAhead says of undated water that the date written for it lies in the future.
	DatedAhead bool `json:"-"` // for its words; a warning of the result says it
}

type totalResult struct {
	Holds    site.Holds `json:"holds"`
	VolumeL  exact      `json:"volume_l"`
	UsableL  exact      `json:"usable_l"`
	ReserveL exact      `json:"reserve_l"`
}

type saltResult struct {
	ID       string  `json:"id"`
	OnHandKg exact   `json:"on_hand_kg"`
	MakesL   float64 `json:"makes_l"`
	Batches  float64 `json:"batches"`
	Vat      string  `json:"batch_store"`
}

type kitResult struct {
	Item    string  `json:"item"`
	Need    int     `json:"need"`
	Have    int     `json:"have"`
	Expires *string `json:"expires"`
	OK      bool    `json:"ok"`
}

func runStock(a *app) error {
	ls, err := a.loadSite()
	if err != nil {
		return err
	}
	return a.print(stockAnswer(a, ls, "stock", nil))
}

// stockAnswer shows what is on hand, below what has just been entered.
func stockAnswer(a *app, ls loaded, command string, head []block) answer {
	st := stock.StatusOf(ls.Site, ls.Now)
	res := stockResult{Entries: len(ls.Journal.Entries), Stores: []storeResult{}, Totals: []totalResult{}, Salts: []saltResult{}, Kit: []kitResult{}}
	for _, s := range st.Stores {
		res.Stores = append(res.Stores, storeResult{s.ID, s.Holds, exact{s.Litres}, exact{s.Usable}, float64(s.Salinity), float64(s.TemperatureC), s.AgeH, s.MixedH, s.TestedH, s.MaxAgeH, s.State, s.DatedAhead})
	}
	for _, t := range st.Totals {
		res.Totals = append(res.Totals, totalResult{t.Holds, exact{t.Litres}, exact{t.Usable}, exact{t.Reserve}})
	}
	for _, s := range st.Salts {
		res.Salts = append(res.Salts, saltResult{s.ID, exact{s.OnHand}, float64(s.Makes), s.Batches, s.BatchStore})
	}
	for _, k := range st.Kit {
		r := kitResult{Item: k.Item, Need: k.Need, Have: k.Have, OK: k.OK}
		if k.Expires != nil {
			day := k.Expires.Format(time.DateOnly)
			r.Expires = &day
		}
		res.Kit = append(res.Kit, r)
	}
	v := stockView{stockResult: res, site: ls.Site, name: ls.Title(), now: ls.Now, units: a.displayUnits(ls.Site.Units)}
	return answer{Command: command, Table: "stores", Title: "Stock of " + ls.Title(), Result: res, Assumptions: aboutStock(ls.Site), Warnings: site.Texts(ls.Site.Warnings),
		Blocks: append(head, v.answer()...), More: append(v.picture(), v.detail()...), Next: "ready"}
}
