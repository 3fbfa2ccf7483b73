package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"strings"
)

// ownValues is the name of the table of a result's own values.
const ownValues = "result"

// renderCSV prints one table of the result: bare numbers, the unit in the heading,
// as the keys of JSON have it. name picks the table; "" is the command's own choice.
func renderCSV(w io.Writer, ans answer, name string) error {
	tables, err := csvTables(ans)
	if err != nil {
		return err
	}
	names := make([]string, len(tables))
	for i, t := range tables {
		names[i] = t.name
	}
	asked := name
	if name == "" {
		name = ans.Table
	}
	if name == "" {
		name = ownValues
	}
	at := slices.Index(names, name)
	if at < 0 && asked == "" {
		at = 0 // the command's own table has no row today
	}
	if at < 0 {
		return usagef("--table: %q is not a table of this answer, which has %s%s", name, strings.Join(names, ", "), meant(name, names))
	}
	out := csv.NewWriter(w)
	if err := out.WriteAll(tables[at].records()); err != nil {
		return fmt.Errorf("writing CSV: %w", err)
	}
	return nil
}

// csvTable is a list of objects of the result: columns in the order they appear.
type csvTable struct {
	name    string
	columns []string
	rows    []map[string]string
}

func (t *csvTable) records() [][]string {
	out := [][]string{t.columns}
	for _, row := range t.rows {
		record := make([]string, len(t.columns))
		for i, c := range t.columns {
			record[i] = csvSafe(row[c])
		}
		out = append(out, record)
	}
	return out
}

func (t *csvTable) set(row map[string]string, column, value string) {
	if !slices.Contains(t.columns, column) {
		t.columns = append(t.columns, column)
	}
	row[column] = value
}

// csvTables are all tables of an answer: its own values first, then every list of
// objects by its path (events, events.steps), whose rows begin with the id or number
// of what they belong to; then assumptions and warnings.
func csvTables(ans answer) ([]*csvTable, error) {
	data, err := json.Marshal(struct {
		Result      any `json:"result"`
		Assumptions any `json:"assumptions"`
		Warnings    any `json:"warnings"`
	}{ans.Result, ans.Assumptions, ans.allWarnings()})
	if err != nil {
		return nil, fmt.Errorf("writing CSV: %w", err)
	}
	d := json.NewDecoder(bytes.NewReader(data))
	d.UseNumber()
	top, err := ordered(d)
	if err != nil {
		return nil, fmt.Errorf("writing CSV: %w", err)
	}
	c := &csvMaker{byName: map[string]*csvTable{}}
	own := c.table(ownValues)
	for _, m := range top.(object) {
		if m.key == "result" {
			switch v := m.value.(type) {
			case object:
				row := map[string]string{}
				c.fill(own, row, "", "", nil, v)
				own.rows = append(own.rows, row)
			case []any:
				c.list("rows", nil, v)
			}
			continue
		}
		if list, ok := m.value.([]any); ok {
			c.list(m.key, nil, list)
		}
	}
	out := slices.DeleteFunc(c.tables, func(t *csvTable) bool { return len(t.columns) == 0 })
	return out, nil
}

// csvMaker collects the tables of one answer.
type csvMaker struct {
	tables []*csvTable
	byName map[string]*csvTable
}

func (c *csvMaker) table(name string) *csvTable {
	if c.byName[name] == nil {
		c.byName[name] = &csvTable{name: name}
		c.tables = append(c.tables, c.byName[name])
	}
	return c.byName[name]
}

// cell is a column with its value.
type cell struct{ column, value string }

// fill writes the values of an object into a row; objects in it give columns with
// both names, lists of objects tables of their own.
func (c *csvMaker) fill(t *csvTable, row map[string]string, prefix, path string, of []cell, o object) {
	for _, m := range o {
		column, below := prefix+m.key, strings.TrimPrefix(path+"."+m.key, ".")
		switch v := m.value.(type) {
		case object:
			c.fill(t, row, column+"_", below, of, v)
		case []any:
			if !plainList(v) {
				c.list(below, append(slices.Clone(of), naming(o, path)...), v)
				continue
			}
			texts := make([]string, len(v))
			for i, x := range v {
				texts[i] = plain(x)
			}
			t.set(row, column, strings.Join(texts, "; "))
		default:
			t.set(row, column, plain(v))
		}
	}
}

// list makes a table of a list of objects, or of plain values.
func (c *csvMaker) list(name string, of []cell, list []any) {
	if len(list) == 0 {
		return
	}
	t := c.table(name)
	for _, x := range list {
		row := map[string]string{}
		for _, o := range of {
			t.set(row, o.column, o.value)
		}
		if o, ok := x.(object); ok {
			c.fill(t, row, "", name, of, o)
		} else {
			t.set(row, "text", plain(x))
		}
		t.rows = append(t.rows, row)
	}
}

// naming is what an object is called by those in it: its id, its number or its name.
func naming(o object, path string) []cell {
	if path == "" {
		return nil
	}
	what := path[strings.LastIndex(path, ".")+1:]
	for _, key := range []string{"id", "n", "name", "item"} {
		for _, m := range o {
			if m.key == key {
				return []cell{{"of_" + what, plain(m.value)}}
			}
		}
	}
	return nil
}

// plainList says that a list holds no object.
func plainList(list []any) bool {
	return !slices.ContainsFunc(list, func(x any) bool { _, is := x.(object); return is })
}

// plain is a single value as CSV has it; null is empty.
func plain(v any) string {
	switch v := v.(type) {
	case nil:
		return ""
	case []any:
		texts := make([]string, len(v))
		for i, x := range v {
			texts[i] = plain(x)
		}
		return strings.Join(texts, " ")
	}
	return fmt.Sprint(v)
}
