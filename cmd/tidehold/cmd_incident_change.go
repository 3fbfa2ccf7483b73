package main

import (
	"fmt"
	"math"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"tidehold/refs/units"
	"tidehold/response/incident"
	"tidehold/volumes/site"
	"tidehold/volumes/stock"
)

func newIncidentChangeCmd(a *app, f *incidentFlags) *cobra.Command {
	var from []string
	w := &entryFlags{}
	c := &cobra.Command{
		Use:   "change <volume>",
		Short: "enter a water change as it was really made; it draws the store",
		Long: `Enters a water change: as much out as in. --from names the store, and the entry draws
it; "--from vat-a=80L --from vat-b=40L" where water came from two; "elsewhere"
for water that no store of the site held. --salinity and --temp are what the new
water measured as it was poured; without them the record of the store is taken.

` + exitHelp,
		Example: "  tidehold incident change 120L --from vat-a --salinity 34.1 --temp 22C\n  tidehold incident change 120L --from vat-a=80L --from vat-b=40L --at 2026-11-25T07:10:00Z",
		Args:    cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			return a.enterIncident(f, time.Time{}, func(ls loaded, d incident.Draft) (stock.Entry, error) {
				pours, err := poursOf(ls, d.Incident, args[0], from, w)
				if err != nil {
					return stock.Entry{}, err
				}
				return d.Change(pours)
			})
		},
	}
	c.Flags().StringArrayVar(&from, "from", nil, "the `store` it came from, or store=volume; repeatable; elsewhere: none of the site's")
	w.salinity = quantity(c.Flags(), "salinity", units.Salinity, 0, 42, "measured salinity of the new water")
	w.temperature = quantity(c.Flags(), "temp", units.Temperature, 0, 40, "measured temperature of the new water")
	return c
}

// elsewhere is where water came from that no store of the site held.
const elsewhere = "elsewhere"

// poursOf reads what a change drew from where.
func poursOf(ls loaded, id int, volume string, from []string, w *entryFlags) ([]stock.Pour, error) {
	total, err := exactAmount("volume", volume, units.Volume)
	if err != nil {
		return nil, err
	}
	if !total.IsPositive() {
		return nil, usagef("volume: %q; more than nothing is allowed", volume)
	}
	if len(from) == 0 {
		return nil, usagef("--from is missing; say which store the water came from: %s, or elsewhere", strings.Join(storeIDs(ls.Site), ", "))
	}
	if err := smallerThanSystem(ls, id, total.InexactFloat64()); err != nil {
		return nil, err
	}
	left := *total
	var pours []stock.Pour
	for i, text := range from {
		name, amount, given := strings.Cut(text, "=")
		p := stock.Pour{Litres: left}
		if given {
			litres, err := exactAmount("--from", amount, units.Volume)
			if err != nil {
				return nil, err
			}
			p.Litres = *litres
		} else if i+1 < len(from) {
			return nil, usagef("--from %s: several stores need their volumes, as in --from %s=80L", name, name)
		}
		left = left.Sub(p.Litres)
		if err := pourFrom(ls.Site, &p, name, w); err != nil {
			return nil, err
		}
		pours = append(pours, p)
	}
	if !left.IsZero() {
		return nil, usagef("--from: the volumes do not add up to %s; %s L differ", volume, left.Abs().String())
	}
	if w.salinity.Given {
		return pours, readAsOne(ls.Site, pours, w.salinity.Value)
	}
	return pours, nil
}

// readOff is how far one reading of what several stores gave may lie from what their records make.
// A rule of this tool: more than two meters differ by, and what most animals bear in one step.
const readOff = 1.0

// readAsOne refuses one salinity for waters of several: what was read of one vat is not what the other held, and the
// system would stand where it is not. Waters poured together first are one, and read as what they make.
func readAsOne(s *site.Site, pours []stock.Pour, read float64) error {
	var litres, salt float64
	var each []string
	lowest, highest := math.Inf(1), math.Inf(-1)
	for _, p := range pours {
		st := s.StoreByID(p.Store)
		if st == nil { // elsewhere: nothing is recorded of it
			return nil
		}
		holds := float64(st.Water.Salinity)
		lowest, highest = min(lowest, holds), max(highest, holds)
		litres, salt = litres+p.Litres.InexactFloat64(), salt+p.Litres.InexactFloat64()*holds
		each = append(each, p.Store+" "+units.Fixed(holds, 1))
	}
	if highest-lowest <= readOff || math.Abs(read-salt/litres) <= readOff {
		return nil
	}
	each[0] = strings.Replace(each[0], " ", " holds ", 1)
	return usagef("--salinity: %s by the record, which make %s, not %s; enter what each gave as a change of its own with its own --salinity, or, where the records are right, leave it out", listed(each), units.Fixed(salt/litres, 1), units.Fixed(read, 1))
}

// smallerThanSystem refuses a change of more water than there is.
func smallerThanSystem(ls loaded, id int, litres float64) error {
	logs, _ := incident.Logs(ls.Journal.Entries)
	l, err := incident.Find(logs, id, "")
	if err != nil {
		return usage(err)
	}
	sys := ls.Site.SystemByID(l.Opening.System)
	if sys != nil && litres > float64(sys.NetVolume) {
		return usagef("volume: %s is more than the %s of %s; a larger amount is several changes", ls.Site.Units.Volume(litres, units.Nearest), ls.Site.Units.Volume(float64(sys.NetVolume), units.Nearest), sys.ID)
	}
	return nil
}

// pourFrom names a pour's store and says what its water was: as measured, else by the
// record of the store.
func pourFrom(s *site.Site, p *stock.Pour, name string, w *entryFlags) error {
	if w.salinity.Given {
		p.Salinity = &w.salinity.Value
	}
	if w.temperature.Given {
		p.TemperatureC = &w.temperature.Value
	}
	if name == elsewhere {
		if p.Salinity == nil || p.TemperatureC == nil {
			return usagef("--from elsewhere: nothing is recorded of that water; measure it and give --salinity and --temp")
		}
		return nil
	}
	store, err := findStore(s, "from", name)
	if err != nil && len(s.Deliveries) > 0 {
		return fmt.Errorf("%w; water of a delivery is --from %s, with its --salinity and --temp", err, elsewhere)
	}
	if err != nil {
		return err
	}
	if store.Holds != site.Saltwater {
		return usagef("--from: %s holds %s water, which must not be poured into a system as a change; saltwater stores: %s", name, store.Holds, strings.Join(saltwaterIDs(s), ", "))
	}
	p.Store = store.ID
	if p.Salinity == nil {
		x := float64(store.Water.Salinity)
		p.Salinity, p.SalinityRecorded = &x, true
	}
	if p.TemperatureC == nil {
		x := float64(store.Water.Temperature)
		p.TemperatureC, p.TempRecorded = &x, true
	}
	return nil
}

func saltwaterIDs(s *site.Site) []string {
	var ids []string
	for _, st := range s.Stores {
		if st.Holds == site.Saltwater {
			ids = append(ids, st.ID)
		}
	}
	return ids
}
