package main

import (
	"bytes"
	"cmp"
	"encoding/csv"
	"encoding/json"
	"io"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"
	"unicode"

	"github.com/shopspring/decimal"
	"pgregory.net/rapid"
)

// foreign are texts that do something in one place or another.
var foreign = []string{"\x1b[31m", "\u009b2J", "\r", "\b", "\a", "\x7f", "\u202e", "\u2028", "\x00", "\xff", "=1+1", "+cmd|' /C calc'!A0", "-2+3", "@SUM(A1)", "\t=1",
	"![i](http://h/i.png)", "[x](javascript:alert(1))", `\[x\](http://h)`, `\`, "|", "<script>", "&lt;", "[x]: javascript:x", "vat", " ", "é", "-1.5", "\"", ",", "\n", "＝1", "```"}

func drawForeign(t *rapid.T, label string) string {
	var b strings.Builder
	for range rapid.IntRange(1, 4).Draw(t, label) {
		b.WriteString(rapid.SampledFrom(foreign).Draw(t, label))
	}
	return b.String()
}

// A name may be anything: no format hands it on with its power.
func TestForeignTextHasNoPowerInAnyFormat(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := drawForeign(t, "text")
		type item struct {
			Name string  `json:"name"`
			N    float64 `json:"n"`
		}
		ans := answer{Command: "stock", Title: text, Result: struct {
			Items []item `json:"items"`
		}{[]item{{text, -1.5}}}, Table: "items", Warnings: []string{text}}
		ans.assume(text, text, text)
		ans.Blocks = []block{heading(text), para("%s", text), tableBlock(grid{Title: text, Header: []string{text}, Rows: [][]string{{text}}}), picture("", text)}
		for _, format := range []string{"table", "json", "csv", "markdown", "html"} {
			a := &app{format: &choice{Value: format}, units: &choice{}, streams: streams{Width: 80, Getenv: func(string) string { return "" }}, all: true, assumed: true}
			var out bytes.Buffer
			a.Out = &out
			if err := a.print(ans); err != nil {
				t.Fatalf("%s: %v", format, err)
			}
			got := out.String()
			if i := strings.IndexFunc(got, acts); i >= 0 && format != "html" {
				t.Fatalf("%s: %q passes %q", format, text, got[i:min(len(got), i+8)])
			}
			switch format {
			case "json":
				back := struct {
					Result struct {
						Items []item `json:"items"`
					} `json:"result"`
				}{}
				if err := json.Unmarshal([]byte(got), &back); err != nil || back.Result.Items[0].Name != string([]rune(text)) {
					t.Fatalf("json: %q became %q, %v", text, back.Result.Items[0].Name, err)
				}
			case "csv":
				checkCSV(t, got)
			case "markdown":
				before, rest, _ := strings.Cut(got, "```text\n") // a drawing is shown as it is
				_, after, _ := strings.Cut(rest, "\n```\n")
				got = before + after
				bare := strings.NewReplacer(`\\`, "", `\]`, "").Replace(got) // a backslash that is shown takes no power from the next
				for _, bad := range []string{"](", "]:", "<script"} {
					if strings.Contains(bare, bad) {
						t.Fatalf("markdown: %q passes as %q", text, got)
					}
				}
			case "html":
				if strings.Contains(got, "<script>"+"<") || strings.Count(got, "<script") > strings.Count(got, "</script") {
					t.Fatalf("html: %q", text)
				}
			}
		}
	})
}

// What a table puts between and into its cells keeps its power, what the cells hold has none.
func TestCellsInMarkdownStayInTheirPlace(t *testing.T) {
	var b strings.Builder
	cells := grid{Header: []string{"store", "note"}, Rows: [][]string{{`a\|b`, "two\nlines <b>"}}}
	if err := renderMarkdown(&b, answer{Blocks: []block{tableBlock(cells)}}); err != nil {
		t.Fatal(err)
	}
	if want := `| a\\\|b | two<br/>lines &lt;b> |`; !strings.Contains(b.String(), want+"\n") {
		t.Errorf("got\n%s\nwant the row\n%s", b.String(), want)
	}
}

// checkCSV insists that no cell is run by a spreadsheet and that numbers are numbers.
func checkCSV(t *rapid.T, got string) {
	rows, err := csv.NewReader(strings.NewReader(got)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range rows {
		for _, cell := range row {
			start := strings.TrimLeftFunc(cell, unicode.IsSpace)
			if start != "" && strings.ContainsAny(start[:1], "=+-@") && !plainNumber.MatchString(cell) {
				t.Fatalf("the cell %q can be run", cell)
			}
		}
	}
	if last := rows[len(rows)-1]; last[len(last)-1] != "-1.5" {
		t.Fatalf("the number is %q", last[len(last)-1])
	}
}

func TestNoFormatSaysANumberThatIsNone(t *testing.T) {
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		for _, result := range []any{struct {
			L float64 `json:"l"`
		}{x}, map[string]*float64{"a": &x}, []any{1.0, []float64{2, x}}} {
			if impossible(result) == "" {
				t.Errorf("%v in %T is not found", x, result)
			}
			a := &app{format: &choice{Value: "table"}, units: &choice{}}
			a.Out = &bytes.Buffer{}
			if err := a.print(answer{Result: result}); err == nil || !strings.Contains(err.Error(), "please report it") {
				t.Errorf("%v: %v", result, err)
			}
		}
	}
	if got := impossible(struct {
		A []int `json:"a"`
		B *float64
		c float64
	}{[]int{1}, nil, math.NaN()}); got != "" {
		t.Error(got)
	}
}

// TestNoFormatSaysAnAmountBelowNone puts -1 under every key of every result, one at a time:
// no format may print it as litres, kilograms or hours, and what may have a sign passes.
func TestNoFormatSaysAnAmountBelowNone(t *testing.T) {
	checked, signed := 0, map[string]bool{}
	for _, r := range jsonResults {
		eachNumber(reflect.TypeOf(r.value), nil, func(key string, build func(x float64) reflect.Value) {
			for _, format := range []string{"table", "json", "csv", "markdown", "html"} {
				err := printed(format, build(-1).Interface())
				if countsFromZero(key) && (err == nil || !strings.Contains(err.Error(), key+" came out below zero")) {
					t.Errorf("%s as %s: %s of -1: %v", r.command, format, key, err)
				}
				if !countsFromZero(key) && err != nil {
					t.Errorf("%s as %s: %s has a sign and is refused: %v", r.command, format, key, err)
				}
			}
			if countsFromZero(key) {
				checked++
				if err := printed("json", build(-1e-12).Interface()); err != nil {
					t.Errorf("%s: what rounding leaves of none: %v", key, err)
				}
				if err := printed("json", build(0).Interface()); err != nil {
					t.Errorf("%s: none: %v", key, err)
				}
			} else {
				signed[key] = true
			}
		})
	}
	for _, key := range []string{"temp_c", "coldest_c", "difference", "salinity", "temperature_step_c"} {
		if !signed[key] {
			t.Errorf("%s has a sign; it is not among %v", key, signed)
		}
	}
	if checked < 150 {
		t.Errorf("only %d amounts were found in all results", checked)
	}
}

// printed prints a result in a format to nowhere.
func printed(format string, result any) error {
	a := &app{format: &choice{Value: format}, units: &choice{}, streams: streams{Width: 80, Getenv: func(string) string { return "" }, Out: io.Discard}}
	return a.print(answer{Command: "stock", Title: "Stock", Result: result, Blocks: []block{para("words")}})
}

// eachNumber calls do for every number with a fraction in a result type, with its key and a
// function that builds a result which holds nothing else.
func eachNumber(typ reflect.Type, above []reflect.Type, do func(key string, build func(x float64) reflect.Value)) {
	if slices.Contains(above, typ) {
		return // a plan in a plan
	}
	above = append(slices.Clone(above), typ)
	switch typ.Kind() {
	case reflect.Float64:
		do("", func(x float64) reflect.Value { return reflect.ValueOf(x).Convert(typ) })
	case reflect.Pointer:
		eachNumber(typ.Elem(), above, func(key string, build func(x float64) reflect.Value) {
			do(key, func(x float64) reflect.Value {
				p := reflect.New(typ.Elem())
				p.Elem().Set(build(x))
				return p
			})
		})
	case reflect.Slice:
		eachNumber(typ.Elem(), above, func(key string, build func(x float64) reflect.Value) {
			do(key, func(x float64) reflect.Value { return reflect.Append(reflect.MakeSlice(typ, 0, 1), build(x)) })
		})
	case reflect.Map:
		eachNumber(typ.Elem(), above, func(key string, build func(x float64) reflect.Value) {
			do(cmp.Or(key, "copper"), func(x float64) reflect.Value {
				m := reflect.MakeMap(typ)
				m.SetMapIndex(reflect.ValueOf("copper").Convert(typ.Key()), build(x))
				return m
			})
		})
	case reflect.Struct:
		if typ == reflect.TypeFor[exact]() {
			do("", func(x float64) reflect.Value { return reflect.ValueOf(exact{decimal.NewFromFloat(x)}) })
			return
		}
		for i := range typ.NumField() {
			f := typ.Field(i)
			name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
			if !f.IsExported() || name == "-" {
				continue
			}
			eachNumber(f.Type, above, func(key string, build func(x float64) reflect.Value) {
				do(cmp.Or(key, name), func(x float64) reflect.Value {
					v := reflect.New(typ).Elem()
					v.Field(i).Set(build(x))
					return v
				})
			})
		}
	}
}
