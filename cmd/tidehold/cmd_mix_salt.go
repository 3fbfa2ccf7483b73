package main

import (
	"slices"
	"strings"

	"github.com/shopspring/decimal"
	"github.com/spf13/pflag"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/salinity/mixing"
	"tidehold/volumes/site"
)

// saltFlags describe the salt mix: by hand, or as a salt of the site.
type saltFlags struct {
	dose, bag, price *quantityFlag
	doseAt           string
	dosePer          *choice
	id               string
	set              *pflag.FlagSet
}

// typed is what says which salt it is, as it was typed.
func (f *saltFlags) typed() string {
	s := ""
	f.set.Visit(func(x *pflag.Flag) {
		if slices.Contains([]string{"salt", "dose", "dose-at", "dose-per"}, x.Name) {
			s += " --" + x.Name + " " + asTyped(x.Value.String())
		}
	})
	return s
}

func newSaltFlags(fs *pflag.FlagSet) *saltFlags {
	s := &saltFlags{set: fs}
	s.dose = quantity(fs, "dose", units.Dose, 0, 1e4, "salt mix per litre, as the bag says, e.g. 38.4g/L")
	fs.StringVar(&s.doseAt, "dose-at", "", "`salinity,temperature` that the dose is for (default 35,25C)")
	s.dosePer = choiceVar(fs, "dose-per", string(mixing.Finished), "litre that the dose is for", string(mixing.Finished), string(mixing.Purified))
	s.bag = quantity(fs, "bag", units.Mass, 0, 1e4, "weight of a bag, e.g. 20kg")
	s.price = quantity(fs, "price", units.Number, 0, 1e6, "price per kilogram, in your own currency")
	fs.StringVar(&s.id, "salt", "", "take the salt with this `id` from the site file")
	return s
}

// saltMix is a salt mix as the calculators need it.
type saltMix struct {
	dose  mixing.Dose
	bagKg float64
	price *decimal.Decimal
	// id and onHandKg of a salt of the site; "" for one given by hand.
	id       string
	onHandKg float64
}

// resolve finds the salt: --dose, else --salt or the only salt of the site in use.
// It is nil when nothing was said about any.
func (s *saltFlags) resolve(r *mixRun) (*saltMix, error) {
	if err := exclusive(s.set, "dose", "salt"); err != nil {
		return nil, err
	}
	if !s.dose.Given {
		for _, f := range []string{"dose-at", "dose-per"} {
			if s.set.Changed(f) {
				return nil, usagef("--%s describes a dose, but --dose is missing; write --dose <salt dose>, e.g. --dose 38.4g/L", f)
			}
		}
	}
	mix, err := s.fromSite(r)
	if err != nil {
		return nil, err
	}
	if s.dose.Given {
		d, err := s.byHand(r)
		if err != nil {
			return nil, err
		}
		mix = &saltMix{dose: d}
	}
	if mix == nil {
		return nil, nil
	}
	if s.bag.Given {
		mix.bagKg = s.bag.Value
	}
	if s.price.Given {
		mix.price = &s.price.Exact
	}
	w, err := mix.dose.DryFraction()
	if err != nil {
		return nil, usagef("--dose: %w", err)
	}
	if w < mixing.LeastDryFraction {
		r.warn("by its dose only %s of this mix is salt; even a mix of fully hydrated salts has %s: check the dose and what it is for",
			units.Percent(w, 0), units.Percent(mixing.LeastDryFraction, 0))
	}
	return mix, nil
}

// byHand reads --dose, --dose-at and --dose-per.
func (s *saltFlags) byHand(r *mixRun) (mixing.Dose, error) {
	d := mixing.Dose{GPerL: s.dose.Value, Per: mixing.Basis(s.dosePer.Value), Salinity: mixing.LabelSalinity, Temperature: mixing.LabelTemperature}
	if !s.set.Changed("dose-per") {
		r.assume("salt dose is per", "finished litre", "common practice; a dose per litre of water put in needs --dose-per purified")
	}
	if s.doseAt == "" {
		r.assume("salt dose is for", "salinity 35 at 25 °C", "common practice of labels; otherwise give --dose-at")
		return d, nil
	}
	sText, tText, ok := strings.Cut(s.doseAt, ",")
	if !ok {
		return d, usagef("--dose-at: %q is not a salinity and a temperature; write them with a comma between, as in 35,25C", s.doseAt)
	}
	sq, err := parseQuantity(sText, units.Salinity)
	if err != nil {
		return d, usagef("--dose-at: %w", err)
	}
	tq, err := units.Parse(tText, units.Temperature)
	if err != nil {
		return d, usagef("--dose-at: %w", err)
	}
	if sq.U > 0 || tq.U > 0 {
		return d, usagef("--dose-at: %q has an uncertainty; a dose is for one salinity and temperature: leave out the ±", s.doseAt)
	}
	d.Salinity, d.Temperature = units.Practical(sq.Value), units.Celsius(tq.Value)
	return d, checkWater(d.Salinity, d.Temperature, "--dose-at", "--dose-at")
}

// fromSite takes the salt named by --salt, or the first of the site when a vat of
// the site is in use and no dose was given.
func (s *saltFlags) fromSite(r *mixRun) (*saltMix, error) {
	if s.id == "" && (r.vat == nil || s.dose.Given) {
		return nil, nil
	}
	ls, err := r.app.loadSite()
	if err != nil {
		return nil, err
	}
	salts := ls.Site.Salts
	r.currency = ls.Site.Currency
	if s.id == "" {
		if len(salts) == 0 {
			return nil, nil
		}
		r.assume("salt", salts[0].ID, "the first salt of the site file; otherwise give --salt or --dose")
		return siteSalt(salts[0]), nil
	}
	one, err := findSalt(ls.Site, "salt", s.id)
	if err != nil {
		return nil, err
	}
	return siteSalt(*one), nil
}

func siteSalt(s site.Salt) *saltMix {
	return &saltMix{
		dose:  s.Dose(),
		bagKg: s.BagKg, price: s.PricePerKg, id: s.ID, onHandKg: s.OnHand.InexactFloat64(),
	}
}

// need refuses to go on without a salt.
func (m *saltMix) need() error {
	if m == nil {
		return usagef("--dose is missing; write --dose <salt dose>, e.g. --dose 38.4g/L, or take a salt of the site with --salt")
	}
	return nil
}

// addSalt writes the steps for adding salt, slowly, and its cautions.
func (r *mixRun) addSalt(kg float64, mix *saltMix, bill mixing.Bill) {
	if kg == 0 {
		return
	}
	if mix.id != "" && kg > mix.onHandKg {
		r.warn("only %s of the salt %s are on hand; %s are missing", r.sys.Mass(mix.onHandKg, units.Down), mix.id, r.sys.Mass(kg-mix.onHandKg, units.Up))
	}
	if mix.bagKg > refs.MostToLiftKg || mix.bagKg == 0 && kg > refs.MostToLiftKg {
		what := "this much salt"
		if mix.bagKg > 0 {
			what = "a bag of " + r.sys.Mass(mix.bagKg, units.Nearest)
		}
		r.caution(signalCaution, "%s is more than one person should lift (%s at best, close to the body and at waist height): two people, or carry it in smaller portions.",
			what, r.sys.Mass(refs.MostToLiftKg, units.Down))
	}
	how := r.sys.Mass(kg, units.Up)
	if bill.WholeBags > 0 {
		how = counted(bill.WholeBags, "whole bag")
		if bill.LooseKg > 0 {
			how += " and " + r.sys.Mass(bill.LooseKg, units.Up) + " weighed"
		}
	}
	r.do("Add the salt: %s. Into the moving water, a little at a time, never water onto salt.", how)
}

// bill says bags and money in a sentence; "" where neither is known.
func (r *mixRun) bill(b mixing.Bill) string {
	if b.WholeBags == 0 && b.LooseKg == 0 { // no salt, nothing to pay for
		return ""
	}
	var parts []string
	if b.Bags != nil {
		parts = append(parts, counted(*b.Bags, "bag"))
	}
	if b.Cost != nil {
		parts = append(parts, strings.TrimSpace(b.Cost.StringFixed(2)+" "+r.currency))
	}
	if len(parts) == 0 {
		return ""
	}
	return " That is " + strings.Join(parts, ", ") + "."
}

// billRows are the lines of a table for bags and money.
func (r *mixRun) billRows(b mixing.Bill) [][]string {
	var rows [][]string
	if b.Bags != nil {
		rows = append(rows, []string{"bags to have", units.Fixed(float64(*b.Bags), 0)})
	}
	if b.Cost != nil {
		rows = append(rows, []string{"cost of the salt", strings.TrimSpace(b.Cost.StringFixed(2) + " " + r.currency)})
	}
	return rows
}
