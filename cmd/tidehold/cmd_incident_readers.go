package main

import (
	"fmt"
	"strings"

	"tidehold/refs/units"
	"tidehold/volumes/stock"
)

// blank is a line to fill in by hand.
const blank = "____________________"

// blanks are questions that only people can answer.
func blanks(questions ...string) []block {
	var out []block
	for _, q := range questions {
		out = append(out, para("%s: %s", q, blank+blank))
	}
	return out
}

// forOthers are the sections for those who were not there.
func (r *reporting) forOthers() []block {
	out := append([]block{heading("For the veterinarian")}, r.forVeterinarian()...)
	out = append(out, heading("For the committee"))
	out = append(out, r.forCommittee()...)
	out = append(out, heading("For the insurer"))
	return append(out, r.forInsurer()...)
}

// forVeterinarian is what animals went through.
func (r *reporting) forVeterinarian() []block {
	u := r.units
	l := r.night.System.Livestock
	kept := fmt.Sprintf("%s, %s of water; the most delicate group kept there: %s", r.night.System.ID, u.Volume(float64(r.night.System.NetVolume), units.Nearest), l.Sensitivity)
	if l.FishMassKg > 0 {
		kept += "; fish, " + u.Mass(l.FishMassKg, units.Nearest) + " in all"
	}
	out := []block{para("%s.", kept)}
	for _, e := range r.Exposure {
		text := fmt.Sprintf("%s: the highest result was %s", substance(e.Contaminant), levelText(e.Contaminant, e.Highest, e.Target))
		switch {
		case e.Target > 0 && e.AboveH <= 0:
			text += fmt.Sprintf("; never above the goal of %s by the course fitted to the results", levelText(e.Contaminant, e.Target, 0))
		case e.Target > 0:
			text += fmt.Sprintf("; above the goal of %s for about %s by the course fitted to the results", levelText(e.Contaminant, e.Target, 0), units.Hours(e.AboveH))
		}
		out = append(out, para("%s.", text))
	}
	out = append(out, para("The water was between %s and %s, salinity %s to %s, as read and as computed from what was poured.",
		u.Temperature(r.Coldest), u.Temperature(r.Warmest), units.Fixed(r.LeastSalt, 1), units.Fixed(r.MostSalt, 1)))
	if text := r.readings(); text != "" {
		out = append(out, para("%s", text))
	}
	return append(out, blanks("Animals affected, and signs", "Losses", "Treatment given")...)
}

// readings lists what was read besides temperature and salinity.
func (r *reporting) readings() string {
	var list []string
	for _, it := range r.night.Log.Items {
		if it.Kind != stock.Reading || it.Values == nil {
			continue
		}
		v := *it.Values
		v.TempC, v.Salinity = nil, nil
		if text := strings.Join(valuesText(v, r.units), ", "); text != "" {
			list = append(list, clockText(it.At, r.Site.TimeZone)+" "+text)
		}
	}
	if len(list) == 0 {
		return ""
	}
	return "Also read: " + strings.Join(list, "; ") + "."
}

// forCommittee is what it took and what was decided.
func (r *reporting) forCommittee() []block {
	out := []block{para("%s %s: %s", r.headline(r.status), changesText(r.status, r.units), r.outcome()), para("To stock again: %s", r.restockText())}
	notes := 0
	for _, it := range r.night.Log.Items {
		if it.Kind == stock.Remark {
			if notes == 0 {
				out = append(out, para("Noted and decided on the night:"))
			}
			notes++
			out = append(out, para("%s: %s", clockText(it.At, r.Site.TimeZone), it.Text))
		}
	}
	return append(out, blanks("What failed first", "What is to be changed so that it does not happen again", "By whom and when")...)
}

// forInsurer is what can be proved.
func (r *reporting) forInsurer() []block {
	late := 0
	for _, it := range r.night.Log.Items {
		if !it.Written.IsZero() && it.Written.Sub(it.At).Hours() > 1 {
			late++
		}
	}
	problems := 0
	for _, p := range r.Journal.Problems {
		if p.Lost {
			problems++
		}
	}
	text := fmt.Sprintf("This report is made from %s of the journal, %d of them written more than an hour after what they record. Each line of the journal carries a checksum over itself and the line before. ", counted(len(r.night.Log.Items), "entry"), late)
	if len(r.Journal.Problems) == 0 {
		text += "All of them hold."
	} else {
		text += fmt.Sprintf("%s of it cannot be relied on, and %d could not be read.", counted(len(r.Journal.Problems), "line"), problems)
	}
	out := []block{para("%s", text)}
	if r.restock != nil && r.restock.Cost != nil {
		out = append(out, para("Salt to replace: %s %s by the price in the site file.", units.Fixed(*r.restock.Cost, 2), r.Site.Currency))
	}
	return append(out, blanks("Device that failed, maker's plate and age", "Animals and equipment lost, with values", "Laboratory invoices", "Hours worked", "Reported by, date, signature")...)
}
