package stock

import (
	"bytes"
	"encoding/json"
	"fmt"
	"hash/crc32"
	"strconv"
	"sync"
	"time"

	"github.com/shopspring/decimal"
)

// wire is an entry as it stands in the file. Amounts are JSON numbers with all
// their digits, never floats.
type wire struct {
	ID       int             `json:"id"`
	Time     string          `json:"time"`
	Kind     Kind            `json:"kind"`
	Store    string          `json:"store,omitempty"`
	Salt     string          `json:"salt,omitempty"`
	Litres   json.Number     `json:"litres,omitempty"`
	LevelCm  json.Number     `json:"level_cm,omitempty"`
	Kg       json.Number     `json:"kg,omitempty"`
	BoughtKg json.Number     `json:"bought_kg,omitempty"`
	UsedKg   json.Number     `json:"used_kg,omitempty"`
	Salinity *float64        `json:"salinity,omitempty"`
	TempC    *float64        `json:"temp_c,omitempty"`
	Undoes   int             `json:"undoes,omitempty"`
	Late     bool            `json:"late,omitempty"`
	Note     string          `json:"note,omitempty"`
	Data     json.RawMessage `json:"data,omitempty"`
}

// wireKeys are the keys of an entry in the file.
var wireKeys = []string{"id", "time", "kind", "store", "salt", "litres", "level_cm", "kg", "bought_kg", "used_kg", "salinity", "temp_c", "undoes", "late", "note", "data", "sum"}

// castagnoli detects every burst of up to 32 bits; the checksum guards against
// accidents, not against forgers.
var castagnoli = sync.OnceValue(func() *crc32.Table { return crc32.MakeTable(crc32.Castagnoli) })

// sumMark stands before the checksum, the last field of a line.
const sumMark = `,"sum":"`

// chain is the checksum of a line's text up to sumMark, continued from the line before.
func chain(before uint32, text []byte) uint32 { return crc32.Update(before, castagnoli(), text) }

// encode gives the line of an entry, newline included, and its checksum.
func encode(e Entry, before uint32) (line []byte, sum uint32, err error) {
	if err := e.check(); err != nil {
		return nil, 0, err
	}
	w := wire{ID: e.ID, Time: e.Time.UTC().Format(time.RFC3339Nano), Kind: e.Kind, Store: e.Store, Salt: e.SaltID,
		Litres: numberOf(e.Litres), LevelCm: numberOf(e.LevelCm), Kg: numberOf(e.Kg), BoughtKg: numberOf(e.BoughtKg), UsedKg: numberOf(e.UsedKg),
		Salinity: e.Salinity, TempC: e.TemperatureC, Undoes: e.Undoes, Late: e.Late, Note: e.Note, Data: e.Data}
	var buf bytes.Buffer
	enc := json.NewEncoder(&buf)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(w); err != nil {
		return nil, 0, fmt.Errorf("writing entry: %w", err)
	}
	text := bytes.TrimSuffix(buf.Bytes(), []byte("}\n"))
	if len(text) > maxLine-len(sumMark)-11 {
		return nil, 0, fmt.Errorf("the entry is %d bytes long; at most %d is allowed", len(text), maxLine-len(sumMark)-11)
	}
	sum = chain(before, text)
	line = fmt.Appendf(nil, "%s%s%08x\"}\n", text, sumMark, sum)
	return line, sum, nil
}

func numberOf(d *decimal.Decimal) json.Number {
	if d == nil {
		return ""
	}
	return json.Number(d.String())
}

// split takes the checksum off a line; ok is false if there is none.
func split(line []byte) (text []byte, sum uint32, ok bool) {
	i := bytes.LastIndex(line, []byte(sumMark))
	if i < 0 {
		return nil, 0, false
	}
	hex, found := bytes.CutSuffix(line[i+len(sumMark):], []byte(`"}`))
	if !found || len(hex) != 8 {
		return nil, 0, false
	}
	n, err := strconv.ParseUint(string(hex), 16, 32)
	return line[:i], uint32(n), err == nil
}
