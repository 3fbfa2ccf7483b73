package main

import (
	"bufio"
	"fmt"
	"io"
	"strings"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/response/tabular"
	"tidehold/volumes/site"
)

// question is one thing that init --ask asks.
type question struct {
	text string
	// usual is what an empty line means, "" where there must be an answer; why explains the question after "?".
	usual, why string
	// take reads an answer into place.
	take func(a *site.Answers, text string) error
}

// bracket shows what an empty line means.
func (q question) bracket() string {
	if q.usual == "" {
		return ""
	}
	return " [" + q.usual + "]"
}

// questions are asked in this order. Eight: more would not be answered.
func questions() []question {
	return []question{
		{"How much water is in the tank, by its walls?", "",
			"Length times width times height of the water inside the glass, sump counted. The volume on the box is 10 to 25 % too high. Write 400 L or 105 gal.",
			takeVolume},
		{"How much dry rock is in it?", "0 kg",
			"Rock takes the place of water: 29 kg of it about 10 L. Write 25 kg, 55 lb, or 0 kg for none.",
			takeRock},
		{"How much saltwater stands mixed and ready, and how much does its vat hold?", "none",
			"What could go into the tank tonight. Write 90 L of 120 L, or none.",
			takeVat},
		{"Which salinity do you keep?", "35",
			"35 is seawater. Write 35, or a specific gravity with its two temperatures: 1.0264 sg@25C/25C.",
			takeSalinity},
		{"How much purified water does your unit make?", "none",
			"What it really makes in winter, not its rating, if you know. Write 8 L/h or 50 gal/d; none if you buy water.",
			orNone(amount(units.Flow, 0.01, 1e5, func(a *site.Answers, v float64) { a.PurifierLH = v }))},
		{"How many watts have the heaters in the tank?", "none",
			"All of them together; it decides how cold new water may be, and what a heater that sticks could do. Write 300 W, or none.",
			orNone(amount(units.Power, 1, 1e6, func(a *site.Answers, v float64) { a.HeaterW = v }))},
		{"How much dry salt is on hand?", "none",
			"What more saltwater can be made from. Write 12 kg, 25 lb, or none.",
			orNone(amount(units.Mass, 0.01, 1e5, func(a *site.Answers, v float64) { a.SaltKg = v }))},
		{"What do you fear most: unknown, heater, ammonia or chlorine?", "unknown",
			"unknown: something has got in and nobody knows what. heater: one lies broken in the water, with its metals. ammonia: animals or filter have died. chlorine: tap water that was not purified. The file plans for unknown and heater in any case.",
			takeFear},
	}
}

// amount takes a quantity of one kind.
func amount(dim units.Dimension, low, high float64, put func(a *site.Answers, v float64)) func(*site.Answers, string) error {
	return func(a *site.Answers, text string) error {
		q, err := units.Parse(text, dim)
		if err != nil {
			return err
		}
		if q, err = q.Within(text, low, high); err != nil {
			return err
		}
		put(a, q.Value)
		return nil
	}
}

// orNone takes "none" for nothing of it.
func orNone(take func(*site.Answers, string) error) func(*site.Answers, string) error {
	return func(a *site.Answers, text string) error {
		if strings.EqualFold(text, "none") {
			return nil
		}
		return take(a, text)
	}
}

// takeVolume takes the water of the tank; who counts in gallons is shown gallons.
func takeVolume(a *site.Answers, text string) error {
	q, err := units.Parse(text, units.Volume)
	if err != nil {
		return err
	}
	a.US = strings.HasPrefix(q.Unit, "gal")
	return amount(units.Volume, 1, 1e6, func(a *site.Answers, v float64) { a.Volume = units.Litres(v) })(a, text)
}

func takeRock(a *site.Answers, text string) error {
	if strings.EqualFold(text, "none") {
		return nil
	}
	return amount(units.Mass, 0, 2*float64(a.Volume), func(a *site.Answers, v float64) { a.RockKg = v })(a, text)
}

func takeVat(a *site.Answers, text string) error {
	if strings.EqualFold(text, "none") {
		return nil
	}
	ready, vat, both := strings.Cut(text, " of ")
	if !both {
		return fmt.Errorf("%q is not two volumes; write 90 L of 120 L, or none", text)
	}
	if err := amount(units.Volume, 1, 1e6, func(a *site.Answers, v float64) { a.Vat = units.Litres(v) })(a, vat); err != nil {
		return err
	}
	if err := amount(units.Volume, 0, float64(a.Vat), func(a *site.Answers, v float64) { a.Ready = units.Litres(v) })(a, ready); err != nil {
		a.Vat = 0
		return err
	}
	return nil
}

func takeSalinity(a *site.Answers, text string) error {
	q, err := parseQuantity(text, units.Salinity)
	if err != nil {
		return err
	}
	// The range in which the starter's limits make sense: a reef system's own.
	if q, err = q.Within(text, 32, 37); err != nil {
		return fmt.Errorf("%w (the file begun here is for a reef; for another kind of water change its limits too)", err)
	}
	a.Salinity = units.Practical(q.Value)
	return nil
}

func takeFear(a *site.Answers, text string) error {
	words := []string{"unknown", "heater", "ammonia", "chlorine"}
	books := map[string]string{"unknown": "", "heater": "", "ammonia": "ammonia", "chlorine": "chlorine"}
	book, ok := books[strings.ToLower(text)]
	if !ok {
		return fmt.Errorf("%q is not one of %s%s", text, strings.Join(words, ", "), meant(text, words))
	}
	a.Playbook = book
	return nil
}

// ask asks the questions on the terminal and returns the answers, and what was taken
// for those that were left empty.
func (a *app) ask() (site.Answers, []refs.Assumption, error) {
	var answers site.Answers
	var taken []refs.Assumption
	if !a.InTerminal {
		return answers, nil, usagef(`--ask asks on a terminal, and there is none; without it "tidehold init" writes the same file with invented values to replace`)
	}
	say := func(text string) { _, _ = fmt.Fprintln(a.Err, tabular.Wrap(text, a.Width)) }
	list := questions()
	say(counted(len(list), "question") + ". An empty line takes what stands in brackets; ? explains; Ctrl-C ends without a file.")
	in := bufio.NewReader(io.LimitReader(a.In, 1<<16))
	for n, q := range list {
		for {
			say(fmt.Sprintf("%d. %s%s", n+1, q.text, q.bracket()))
			text, err := in.ReadString('\n')
			text = strings.TrimSpace(text)
			if err != nil && text == "" {
				return answers, nil, usagef("the questions ended at number %d; nothing was written", n+1)
			}
			if text == "?" {
				say(q.why)
				continue
			}
			given := text != ""
			if !given {
				text = q.usual
			}
			if text == "" {
				say("without this there is nothing to reckon with; write for example 400 L")
				continue
			}
			if err := q.take(&answers, text); err != nil {
				say(err.Error())
				continue
			}
			if !given {
				taken = append(taken, refs.Assumption{What: q.text, Value: q.usual, Source: "not answered"})
			}
			break
		}
	}
	return answers, taken, nil
}
