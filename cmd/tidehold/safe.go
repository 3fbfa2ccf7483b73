package main

import (
	"fmt"
	"math"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"tidehold/refs"
)

// This file is the only home of what makes foreign text safe to print: names of a site
// file, of files and flags may hold anything, and what is harmless here may be an order
// to a terminal, a spreadsheet or a browser. One function for each place it goes to.

// printable takes the power out of characters that a terminal obeys or that turn text
// around: controls (but for line feed and tab), the marks of writing direction and
// separators of lines, and bytes that are no text. They are shown as \u001b.
func printable(s string) string {
	clean := true
	for _, r := range s {
		if r == utf8.RuneError || acts(r) {
			clean = false
			break
		}
	}
	if clean {
		return s
	}
	var b strings.Builder
	for i, r := range s {
		switch {
		case acts(r):
			fmt.Fprintf(&b, `\u%04x`, r)
		case r == utf8.RuneError && !strings.HasPrefix(s[i:], "\uFFFD"):
			fmt.Fprintf(&b, `\x%02x`, s[i])
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// acts says that a character does something instead of showing something.
func acts(r rune) bool {
	switch {
	case r == '\n' || r == '\t':
		return false
	case r >= '\u202a' && r <= '\u202e' || r >= '\u2066' && r <= '\u2069' || r == '\u2028' || r == '\u2029' || r == '\u200e' || r == '\u200f' || r == '\ufeff':
		return true
	}
	return unicode.IsControl(r)
}

// jsonSafe spells the characters of printable as JSON escapes. Outside strings JSON has
// none of them, so that the values stay what they are.
func jsonSafe(data []byte) []byte {
	if !strings.ContainsFunc(string(data), acts) {
		return data
	}
	var b strings.Builder
	for _, r := range string(data) {
		if acts(r) && r <= 0xffff {
			fmt.Fprintf(&b, `\u%04x`, r)
		} else {
			b.WriteRune(r)
		}
	}
	return []byte(b.String())
}

// plainNumber is a number as CSV holds it.
var plainNumber = regexp.MustCompile(`^-?[0-9]+(\.[0-9]+)?([eE][-+]?[0-9]+)?$`)

// csvSafe keeps a spreadsheet from running a cell: what begins like a formula gets an
// apostrophe before it, which shows it as text. Numbers stay bare.
func csvSafe(cell string) string {
	cell = printable(cell)
	start := strings.TrimLeftFunc(cell, unicode.IsSpace)
	if start == "" || plainNumber.MatchString(cell) {
		return cell
	}
	if strings.ContainsRune("=+-@＝＋－＠", []rune(start)[0]) || cell[0] == '\t' || cell[0] == '\n' {
		return "'" + cell
	}
	return cell
}

// inMarkdown keeps text from being read as HTML, a link, an image or the place a link
// leads to.
var inMarkdown = strings.NewReplacer("&", "&amp;", "<", "&lt;", "[", `\[`, "]", `\]`)

// markdownSafe is text that Markdown shows as it is.
func markdownSafe(s string) string { return inMarkdown.Replace(printable(s)) }

// safe is the answer with all its texts printable; Result is left to the renderers of
// JSON and CSV.
func (ans answer) safe() answer {
	ans.Title = printable(ans.Title)
	ans.Blocks, ans.More = safeBlocks(ans.Blocks), safeBlocks(ans.More)
	ans.Warnings, ans.Decides = safeTexts(ans.Warnings), safeTexts(ans.Decides)
	ans.Assumptions = slices.Clone(ans.Assumptions)
	for i, a := range ans.Assumptions {
		ans.Assumptions[i] = refs.Assumption{What: printable(a.What), Value: printable(a.Value), Source: printable(a.Source), Place: a.Place}
	}
	return ans
}

func safeBlocks(blocks []block) []block {
	out := slices.Clone(blocks)
	for i := range out {
		out[i].Heading, out[i].Text = printable(out[i].Heading), printable(out[i].Text)
		if t := out[i].Table; t != nil {
			g := *t
			g.Title, g.Header = printable(g.Title), safeTexts(g.Header)
			g.Rows = make([][]string, len(t.Rows))
			for k := range t.Rows {
				g.Rows[k] = safeTexts(t.Rows[k])
			}
			out[i].Table = &g
		}
		if f := out[i].Figure; f != nil {
			out[i].Figure = &drawing{SVG: f.SVG, Text: printable(f.Text), Caption: printable(f.Caption)}
		}
	}
	return out
}

func safeTexts(texts []string) []string {
	out := slices.Clone(texts)
	for i := range out {
		out[i] = printable(out[i])
	}
	return out
}

// impossible finds a number in a result that cannot be: NaN, without end, or an amount below
// zero, and says where and what it is. It is empty if there is none. No format can
// say such a number, so that it is a fault of the tool and never an answer.
func impossible(v any) string {
	if at, is := (numbers{}).impossible(reflect.ValueOf(v), ""); is != "" {
		return "result" + at + " came out " + is
	}
	return ""
}

// numbers looks through results; it remembers of each type of struct what JSON shows of it,
// because a large result has many values of few types.
type numbers map[reflect.Type]shown

// shown is what JSON shows of a struct.
type shown struct {
	decimal bool
	fields  []shownField
}

// shownField is a field, its key, and what it adds to the path of what is in it.
type shownField struct {
	index    int
	key, add string
}

// ledgered is a number that is counted, stocked or paid for.
type ledgered interface{ InexactFloat64() float64 }

// impossible looks at a value of a key, and says where in it the number is and what it came
// out as. The path is put together on the way back: hardly any result has such a number.
func (n numbers) impossible(v reflect.Value, key string) (at, is string) {
	switch v.Kind() {
	case reflect.Float64, reflect.Float32:
		switch x := v.Float(); {
		case math.IsNaN(x) || math.IsInf(x, 0):
			return "", "as no number"
		case x < -dust && countsFromZero(key):
			return "", "below zero"
		}
	case reflect.Pointer, reflect.Interface:
		if !v.IsNil() {
			return n.impossible(v.Elem(), key)
		}
	case reflect.Struct:
		return n.impossibleField(v, key)
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			if at, is = n.impossible(v.Index(i), key); is != "" {
				return fmt.Sprintf("[%d]%s", i, at), is
			}
		}
	case reflect.Map:
		for _, k := range v.MapKeys() {
			if at, is = n.impossible(v.MapIndex(k), fmt.Sprint(k)); is != "" {
				return fmt.Sprintf(".%v%s", k, at), is
			}
		}
	}
	return "", ""
}

// impossibleField is impossible for a struct and its fields.
func (n numbers) impossibleField(v reflect.Value, key string) (at, is string) {
	s := n.of(v.Type())
	if s.decimal && v.Interface().(ledgered).InexactFloat64() < -dust && countsFromZero(key) {
		return "", "below zero"
	}
	for _, f := range s.fields {
		if at, is = n.impossible(v.Field(f.index), f.key); is != "" {
			return f.add + at, is
		}
	}
	return "", ""
}

// of is what JSON shows of a type of struct.
func (n numbers) of(t reflect.Type) shown {
	s, known := n[t]
	if known {
		return s
	}
	s.decimal = t.Implements(reflect.TypeFor[ledgered]())
	for i := range t.NumField() {
		f := t.Field(i)
		name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
		if !f.IsExported() || name == "-" {
			continue
		}
		if name == "" {
			name = f.Name
		}
		add := "." + name
		if f.Anonymous {
			add = ""
		}
		s.fields = append(s.fields, shownField{i, name, add})
	}
	n[t] = s
	return s
}

// dust is what rounding leaves of an amount that is used up.
const dust = 1e-9

// amountUnits end the keys of what there can be none of, but not less than none: volumes,
// masses, durations, lengths, flows, energy, power, and what is dissolved. Temperatures,
// salinity differences and moments are no amounts.
var amountUnits = []string{"_l", "_ml", "_kg", "_g", "_h", "_min", "_cm", "_m2", "_kg_m3", "_kwh", "_w", "_ms_cm", "_dkh", "_kg_m2"}

// goBothWays are the keys that end like amounts and are none: heat that must be taken away
// counts below zero (water to be cooled), and so does how fast a vat warms that cools.
var goBothWays = []string{"heat_kwh", "first_k_per_h"}

// countsFromZero says whether the value of a key of a result is an amount.
func countsFromZero(key string) bool {
	if slices.Contains(goBothWays, key) {
		return false
	}
	if key == "hours" || strings.HasPrefix(key, "hours_") || key == "cost" {
		return true
	}
	return slices.ContainsFunc(amountUnits, func(u string) bool { return strings.HasSuffix(key, u) })
}
