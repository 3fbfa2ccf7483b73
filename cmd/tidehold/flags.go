package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/pflag"

	"tidehold/refs/units"
	"tidehold/salinity"
)

// quantityFlag is a flag that takes a quantity with its unit. Given says the
// user set it; a flag that was not set has no value.
type quantityFlag struct {
	units.Quantity
	Given     bool
	Text      string
	dim       units.Dimension
	low, high float64
}

// quantity declares a quantity flag of dimension dim, in base units from low to
// high inclusive.
func quantity(fs *pflag.FlagSet, name string, dim units.Dimension, low, high float64, usage string) *quantityFlag {
	q := &quantityFlag{dim: dim, low: low, high: high}
	fs.Var(q, name, usage)
	return q
}

// Set parses and range-checks the text.
func (q *quantityFlag) Set(text string) error {
	v, err := parseQuantity(text, q.dim)
	if err != nil {
		return err
	}
	if v, err = v.Within(text, q.low, q.high); err != nil {
		return err
	}
	q.Quantity, q.Given, q.Text = v, true, text
	return nil
}

// parseQuantity is units.Parse, but for salinities, which may also be written as a
// specific gravity with its pair and must not be mistaken for one.
func parseQuantity(text string, dim units.Dimension) (units.Quantity, error) {
	if dim == units.Salinity {
		return salinity.ParsePractical(text)
	}
	return units.Parse(text, dim)
}

func (q *quantityFlag) String() string { return q.Text }

func (q *quantityFlag) uncertain() bool { return q.U > 0 }

// Type is the placeholder in help texts.
func (q *quantityFlag) Type() string { return q.dim.String() }

// Or returns the value given, else the fallback.
func (q *quantityFlag) Or(fallback float64) float64 {
	if q.Given {
		return q.Value
	}
	return fallback
}

// need returns an error naming the first of the flags that was not given.
func need(fs *pflag.FlagSet, names ...string) error {
	for _, n := range names {
		if f := fs.Lookup(n); f == nil || !f.Changed {
			return usagef("--%s is missing; write --%s <%s>", n, n, placeholder(f))
		}
	}
	return nil
}

// exclusive returns an error when more than one of the flags was given.
func exclusive(fs *pflag.FlagSet, names ...string) error {
	var given []string
	for _, n := range names {
		if f := fs.Lookup(n); f != nil && f.Changed {
			given = append(given, "--"+n)
		}
	}
	if len(given) > 1 {
		return usagef("%s exclude each other; keep one", strings.Join(given, " and "))
	}
	return nil
}

// unusedSpread warns of uncertainties that a command takes no notice of: those of all
// quantities given but the ones that are carried into the answer.
func unusedSpread(fs *pflag.FlagSet, carried ...string) []string {
	var names []string
	fs.Visit(func(f *pflag.Flag) {
		q, is := valueOf(f).(interface{ uncertain() bool })
		if is && q.uncertain() && !slices.Contains(carried, f.Name) {
			names = append(names, "--"+f.Name)
		}
	})
	if len(names) == 0 {
		return nil
	}
	return []string{"the uncertainty of " + strings.Join(names, ", ") + " is not carried into the answer: work it out again with the worse value"}
}

// once is a flag of one value. Given another it is refused: the second would take the place of the first,
// and nobody would be told.
type once struct {
	pflag.Value
	given *string
}

// Set takes the first value, and the same again.
func (o *once) Set(text string) error {
	if o.given != nil && *o.given != text {
		return fmt.Errorf("%q and %q are given; it takes one, leave the other out", *o.given, text)
	}
	o.given = &text
	return o.Value.Set(text)
}

// takeOneValue makes every flag refuse a second value, but for those that are lists and those without a value.
func takeOneValue(fs *pflag.FlagSet) {
	fs.VisitAll(func(f *pflag.Flag) {
		_, list := f.Value.(pflag.SliceValue)
		if _, is := f.Value.(*once); !is && !list && f.NoOptDefVal == "" {
			f.Value = &once{Value: f.Value}
		}
	})
}

// valueOf is the value behind a flag.
func valueOf(f *pflag.Flag) pflag.Value {
	if o, is := f.Value.(*once); is {
		return o.Value
	}
	return f.Value
}

// jsonAlias is a flag that stands for --format json.
type jsonAlias struct{ format *choice }

// Set takes "true", which is what the flag means without a value.
func (j jsonAlias) Set(s string) error {
	if s != "true" {
		return fmt.Errorf("%q is not allowed; write --json without a value, or --format", s)
	}
	return j.format.Set("json")
}

func (j jsonAlias) String() string { return "" }

// Type is the placeholder in help texts: none.
func (j jsonAlias) Type() string { return "bool" }

// choice is a flag that takes one of a few words.
type choice struct {
	Value   string
	allowed []string
}

// choiceVar declares a flag with a default and the words allowed.
func choiceVar(fs *pflag.FlagSet, name, fallback, usage string, allowed ...string) *choice {
	c := &choice{Value: fallback, allowed: allowed}
	fs.Var(c, name, usage+": "+strings.Join(allowed, ", "))
	return c
}

// Set accepts only the allowed words.
func (c *choice) Set(s string) error {
	for _, a := range c.allowed {
		if s == a {
			c.Value = s
			return nil
		}
	}
	return fmt.Errorf("%q is not one of %s%s", s, strings.Join(c.allowed, ", "), meant(s, c.allowed))
}

func (c *choice) String() string { return c.Value }

// Type is the placeholder in help texts.
func (c *choice) Type() string { return "word" }
