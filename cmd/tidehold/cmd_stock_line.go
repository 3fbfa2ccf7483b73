package main

import (
	"fmt"
	"strings"
	"time"

	"github.com/shopspring/decimal"

	"tidehold/refs/units"
	"tidehold/response/incident"
	"tidehold/volumes/site"
	"tidehold/volumes/stock"
)

// entryAnswer says in a line what an entry did, and how to take it back.
func entryAnswer(a *app, ls loaded, post stock.Posting, e stock.Entry) answer {
	w := entryWords{Posting: post, u: a.displayUnits(ls.Site.Units), zone: ls.Site.TimeZone, now: ls.Now, entries: ls.Journal.Entries, here: a.here()}
	line := w.line(e)
	ans := stockAnswer(a, ls, "stock "+string(e.Kind), nil)
	res := ans.Result.(stockResult)
	res.Entries++
	ans.Result = entryResult{e.ID, e.Time.Format(time.RFC3339Nano), e.Kind, line, res}
	ans.Blocks = []block{para("%s", line)}
	ans.Assumptions, ans.More, ans.Next = nil, nil, ""
	ans.Warnings = site.Texts(journalNotes(ls.Journal))
	for _, text := range w.advice(e) {
		ans.Blocks = append(ans.Blocks, para("%s", text))
	}
	return ans
}

// entryWords tells an entry for people.
type entryWords struct {
	stock.Posting
	u       units.System
	zone    *time.Location
	now     time.Time
	entries []stock.Entry
	// here are the flags of the site, for commands that are named.
	here string
}

// line is the whole: number, time, deed, what is on hand, how to undo it.
func (w entryWords) line(e stock.Entry) string {
	s := fmt.Sprintf("No. %d, %s: %s.", e.ID, w.clock(e.Time), w.deed(e))
	if e.Kind == stock.Undo {
		return s
	}
	return s + " undo: tidehold stock undo" + w.here
}

// clock is a time as people say it; the year only if it is another one.
func (w entryWords) clock(t time.Time) string {
	t = t.In(w.zone)
	if t.Year() != w.now.In(w.zone).Year() {
		return t.Format("2 Jan 2006 15:04")
	}
	return t.Format("2 Jan 15:04")
}

// deed is what an entry did.
func (w entryWords) deed(e stock.Entry) string {
	switch e.Kind {
	case stock.Draw:
		return fmt.Sprintf("%s out of %s: %s", w.amount(e.Litres), e.Store, w.fall(e.Store))
	case stock.Add:
		return fmt.Sprintf("%s into %s: %s", w.amount(e.Litres), e.Store, w.fall(e.Store))
	case stock.Dip:
		return fmt.Sprintf("%s dipped: %s", e.Store, w.fall(e.Store))
	case stock.Mixed:
		return w.mixed(e)
	case stock.Tested:
		return e.Store + " tested and found good" + w.reading(e)
	case stock.Salt:
		return w.salt(e)
	case stock.Kit:
		return w.kit(e)
	case stock.Did:
		d, err := e.Deed()
		if err != nil {
			return string(e.Kind) // it was checked before it was written
		}
		return "done: " + d.String()
	case stock.Undo:
		return w.undone(e)
	}
	return string(e.Kind)
}

// undone says what was taken back and where that leaves what it was about.
func (w entryWords) undone(e stock.Entry) string {
	for _, old := range w.entries {
		if old.ID != e.Undoes {
			continue
		}
		s := fmt.Sprintf("number %d is taken back (%s)", old.ID, strings.TrimSpace(string(old.Kind)+" "+w.about(old)))
		if w.After.StoreByID(old.Store) != nil {
			s += ": " + old.Store + " " + w.fall(old.Store)
		} else if old.SaltID != "" {
			s += ": " + w.kilograms(old.SaltID)
		}
		return s
	}
	return fmt.Sprintf("number %d is taken back", e.Undoes)
}

// about is what an entry is about, in few words.
func (w entryWords) about(e stock.Entry) string {
	switch {
	case e.Litres != nil:
		return w.amount(e.Litres) + " " + e.Store + w.reading(e)
	case e.LevelCm != nil:
		return e.Store + " at " + lengthText(e.LevelCm.InexactFloat64(), w.u)
	case e.Store != "":
		return e.Store + w.reading(e)
	case e.SaltID != "":
		return w.weight(e)
	}
	if k, err := e.KitCount(); err == nil && e.Kind == stock.Kit {
		return fmt.Sprintf("%d %s", k.Have, k.Item)
	}
	if d, err := e.Deed(); err == nil && e.Kind == stock.Did {
		return d.String()
	}
	return ""
}

// weight is the salt of an entry: what was bought, used or counted.
func (w entryWords) weight(e stock.Entry) string {
	kg, what := e.Kg, " on hand"
	switch {
	case e.BoughtKg != nil:
		kg, what = e.BoughtKg, " bought"
	case e.UsedKg != nil:
		kg, what = e.UsedKg, " used"
	}
	if kg == nil {
		return e.SaltID
	}
	return w.u.Mass(kg.InexactFloat64(), units.Nearest) + " " + e.SaltID + what
}

// fall is what a store held and holds, rounded down as all stock is.
func (w entryWords) fall(id string) string {
	before, after := w.Before.StoreByID(id), w.After.StoreByID(id)
	if before == nil || after == nil {
		return "?"
	}
	s := fmt.Sprintf("%s -> %s", exact{before.Volume}.down(w.u), exact{after.Volume}.down(w.u))
	usable := decimal.Max(decimal.Decimal{}, after.Volume.Sub(decimal.NewFromFloat(float64(after.Heel))))
	inside := []string{exact{usable}.down(w.u) + " usable"}
	if after.BeingMixed(w.now) > 0 {
		inside[0] += " from " + w.clock(*after.UsableFrom) + " on"
	}
	if after.Shape != nil {
		if level, err := after.Shape.LevelOf(units.Litres(after.Volume.InexactFloat64())); err == nil {
			inside = append(inside, lengthText(level, w.u))
		}
	}
	if s0, s1 := before.Water.Salinity, after.Water.Salinity; units.Fixed(float64(s0), 1) != units.Fixed(float64(s1), 1) {
		inside = append(inside, "salinity "+units.Fixed(float64(s1), 1))
	}
	return s + " (" + strings.Join(inside, ", ") + "). Usable in all " + w.usable(after.Holds)
}

// usable is what counts for an event in all stores of a kind, as "stock" has it.
func (w entryWords) usable(holds site.Holds) string {
	for _, t := range stock.StatusOf(w.After, w.now).Totals {
		if t.Holds == holds {
			return exact{t.Usable}.down(w.u)
		}
	}
	return "?"
}

// reading is what was measured.
func (w entryWords) reading(e stock.Entry) string {
	s := ""
	if e.Salinity != nil {
		s += ", salinity " + units.Fixed(*e.Salinity, 1)
	}
	if e.TemperatureC != nil {
		s += ", " + w.u.Temperature(*e.TemperatureC)
	}
	return s
}

func (w entryWords) mixed(e stock.Entry) string {
	s := e.Store + " mixed" + w.reading(e) + ": " + w.fall(e.Store)
	if e.SaltID != "" {
		s += ". Salt " + w.kilograms(e.SaltID)
	}
	if d, err := e.Taken(); err == nil && d != nil {
		s += fmt.Sprintf(". Purified water %s: %s -> %s", d.Store, exact{w.Before.StoreByID(d.Store).Volume}.down(w.u), exact{w.After.StoreByID(d.Store).Volume}.down(w.u))
	}
	return s
}

func (w entryWords) salt(e stock.Entry) string {
	how := "counted"
	switch {
	case e.BoughtKg != nil:
		how = w.u.Mass(e.BoughtKg.InexactFloat64(), units.Nearest) + " bought"
	case e.UsedKg != nil:
		how = w.u.Mass(e.UsedKg.InexactFloat64(), units.Nearest) + " used"
	}
	return "salt " + how + ": " + w.kilograms(e.SaltID)
}

// kilograms is what there was and is of a salt.
func (w entryWords) kilograms(id string) string {
	before, errB := w.Before.FindSalt(id)
	after, errA := w.After.FindSalt(id)
	if errB != nil || errA != nil {
		return id
	}
	return fmt.Sprintf("%s %s -> %s", id, w.u.Mass(before.OnHand.InexactFloat64(), units.Down), w.u.Mass(after.OnHand.InexactFloat64(), units.Down))
}

func (w entryWords) kit(e stock.Entry) string {
	k, err := e.KitCount()
	i, missing := w.After.Find(site.KindKit, k.Item)
	if err != nil || missing != nil {
		return k.Item
	}
	before, after := w.Before.Kit[i], w.After.Kit[i]
	s := fmt.Sprintf("%s: %d -> %d (%d needed", after.Item, before.Have, after.Have, after.Need)
	if after.Expires != nil {
		s += ", expires " + after.Expires.Format(time.DateOnly)
	}
	return s + ")"
}

// amount is litres as they were entered.
func (w entryWords) amount(litres *decimal.Decimal) string {
	if w.u == units.Metric {
		return units.Entered(*litres)
	}
	return w.u.Volume(litres.InexactFloat64(), units.Nearest)
}

// advice is what a keeper should know besides.
func (w entryWords) advice(e stock.Entry) []string {
	var out []string
	switch e.Kind {
	case stock.Draw, stock.Add:
		if w.Before.StoreByID(e.Store).Volume.Equal(w.After.StoreByID(e.Store).Volume) {
			out = append(out, fmt.Sprintf("%s was measured after that, and what it holds now stays as measured.", e.Store))
		} else if e.Kind == stock.Add && e.Salinity != nil {
			out = append(out, w.againstSystems(e)...)
		}
	case stock.Tested, stock.Mixed:
		if out = append(w.saltedOtherwise(e), w.readOtherwise(e)...); len(out) == 0 { // what is to be measured again is not to be corrected
			out = append(out, w.againstSystems(e)...)
		}
		if e.Kind == stock.Mixed && e.Salinity == nil {
			water := w.After.StoreByID(e.Store).Water
			out = append(out, fmt.Sprintf("By the record it is still at salinity %s and %s: measure it, then tidehold stock tested %s --salinity VALUE --temp VALUE%s",
				units.Fixed(float64(water.Salinity), 1), w.u.Temperature(float64(water.Temperature)), e.Store, w.here))
		}
		out = append(out, w.tooMuchMade(e)...)
		if d, err := e.Taken(); e.Kind == stock.Mixed && e.SaltID != "" && err == nil && d == nil {
			if pure := w.purified(); pure != "" {
				out = append(out, fmt.Sprintf("No purified water was taken off. If it came from %s, undo this and enter it with --water %s=<volume>.", pure, pure))
			}
		}
	case stock.Kit:
		if k, err := e.KitCount(); err == nil && k.Expires == "" {
			if i, err := w.After.Find(site.KindKit, k.Item); err == nil && w.After.Kit[i].Expires != nil && k.Have > w.Before.Kit[i].Have {
				out = append(out, "The day it expires is that of the old ones; give the new one with --expires.")
			}
		}
	}
	return out
}

// purified is the first store of purified water that holds any, "" if none does.
func (w entryWords) purified() string {
	for _, s := range w.After.Stores {
		if s.Holds == site.Purified && s.Volume.IsPositive() {
			return s.ID
		}
	}
	return ""
}

// againstSystems warns of water that no system could take in one step.
func (w entryWords) againstSystems(e stock.Entry) []string {
	store := w.After.StoreByID(e.Store)
	if e.Salinity == nil || store == nil || store.Holds != site.Saltwater || len(w.After.Systems) == 0 {
		return nil
	}
	best, d := fitsBest(w.After.Systems, store)
	if max(d, -d) <= best.Limits.SalinityStep {
		return nil
	}
	mend := func(at string) string {
		return fmt.Sprintf("Correct it before you pour it: tidehold mix correct --store %s --to %s%s", e.Store, at, w.here)
	}
	// In a night under way it may be so by the plan, which sizes its changes by it.
	if struck := w.struck(); len(struck) > 0 {
		if best, d = fitsBest(struck, store); max(d, -d) <= best.Limits.SalinityStep {
			return nil
		}
		mend = func(string) string { return "Pour of it only what the plan says: tidehold incident status" + w.here }
	}
	way := "below"
	if d > 0 {
		way = "above"
	}
	// Two digits where one would say that it is no more than may be.
	gapText, limit := units.Fixed(max(d, -d), 1), units.Trimmed(best.Limits.SalinityStep, 2)
	if gapText == units.Fixed(best.Limits.SalinityStep, 1) {
		gapText = units.Fixed(max(d, -d), 2)
	}
	at := units.Fixed(float64(best.Water.Salinity), 1)
	return []string{fmt.Sprintf("CAUTION: %s is %s %s %s, which is at %s and may change by %s in one step. %s",
		e.Store, gapText, way, best.ID, at, limit, mend(at))}
}

// fitsBest is the system whose salinity a store's water fits best, a vat need not fit every tank, and how far above it that is.
func fitsBest(systems []site.System, store *site.Store) (best *site.System, above float64) {
	gap := func(s *site.System) float64 { return float64(store.Water.Salinity) - float64(s.Water.Salinity) }
	best = &systems[0]
	for i := range systems {
		if s := &systems[i]; max(gap(s), -gap(s)) < max(gap(best), -gap(best)) {
			best = s
		}
	}
	return best, gap(best)
}

// struck are the systems of the incidents that are open.
func (w entryWords) struck() (out []site.System) {
	logs, _ := incident.Logs(w.entries) // what cannot be read is told where incidents are
	for _, l := range incident.Open(logs) {
		if s := w.After.SystemByID(l.Opening.System); s != nil {
			out = append(out, *s)
		}
	}
	return out
}
