package stock

import (
	"bytes"
	"strconv"
	"time"
	"unicode/utf8"

	"github.com/shopspring/decimal"
)

// pool is what the entries of a journal share, so that a long one costs little: names are
// and numbers kept once.
type pool struct {
	words    map[string]string
	decimals map[string]*decimal.Decimal
	floats   map[string]*float64
}

// maxWords bounds the names kept: a site has fewer, and notes may all differ.
const maxWords = 4096

func (p *pool) word(b []byte) string {
	if s, ok := p.words[string(b)]; ok {
		return s
	}
	s := string(b)
	if p.words == nil {
		p.words = map[string]string{}
	}
	if len(p.words) < maxWords {
		p.words[s] = s
	}
	return s
}

// decimal and float share one value among all entries that have the same text: nobody
// writes to them, and amounts repeat.
func (p *pool) decimal(text []byte, d func() decimal.Decimal) *decimal.Decimal {
	if at, ok := p.decimals[string(text)]; ok {
		return at
	}
	x := d()
	if p.decimals == nil {
		p.decimals = map[string]*decimal.Decimal{}
	}
	if len(p.decimals) < maxWords {
		p.decimals[string(text)] = &x
	}
	return &x
}

func (p *pool) float(text []byte) (*float64, error) {
	if at, ok := p.floats[string(text)]; ok {
		return at, nil
	}
	x, err := strconv.ParseFloat(string(text), 64)
	if p.floats == nil {
		p.floats = map[string]*float64{}
	}
	if err == nil && len(p.floats) < maxWords {
		p.floats[string(text)] = &x
	}
	return &x, err
}

// scanPlain reads a line in the plain form that encode writes: one flat object,
// strings without escapes, numbers without exponents, known fields. It is false for
// anything else, which encoding/json then reads; where it is true the two agree. A long
// journal reads several times as fast for it.
func scanPlain(line []byte, e *Entry, p *pool) bool {
	s := scanner{rest: line, pool: p}
	if !s.skip('{') {
		return false
	}
	for {
		key, ok := s.text()
		if !ok || !s.skip(':') || !s.field(string(key), e) {
			return false
		}
		if s.skip('}') {
			return len(s.rest) == 0
		}
		if !s.skip(',') {
			return false
		}
	}
}

// scanner is what is left of a line.
type scanner struct {
	rest []byte
	pool *pool
}

func (s *scanner) skip(c byte) bool {
	if len(s.rest) == 0 || s.rest[0] != c {
		return false
	}
	s.rest = s.rest[1:]
	return true
}

// text takes a plain string.
func (s *scanner) text() ([]byte, bool) {
	if !s.skip('"') {
		return nil, false
	}
	ascii := true
	for i, c := range s.rest {
		switch {
		case c == '"':
			t := s.rest[:i]
			s.rest = s.rest[i+1:]
			// encoding/json would replace what is not UTF-8.
			return t, ascii || utf8.Valid(t)
		case c < ' ' || c == '\\' || c == 0x7f:
			return nil, false
		case c > 0x7f:
			ascii = false
		}
	}
	return nil, false
}

// number takes a JSON number without exponent.
func (s *scanner) number() ([]byte, bool) {
	i := 0
	digits := func() int {
		from := i
		for i < len(s.rest) && s.rest[i] >= '0' && s.rest[i] <= '9' {
			i++
		}
		return i - from
	}
	if i < len(s.rest) && s.rest[i] == '-' {
		i++
	}
	first := i
	if n := digits(); n == 0 || n > 1 && s.rest[first] == '0' {
		return nil, false
	}
	if i < len(s.rest) && s.rest[i] == '.' {
		i++
		if digits() == 0 {
			return nil, false
		}
	}
	t := s.rest[:i]
	s.rest = s.rest[i:]
	return t, true
}

// field takes the value of one field.
func (s *scanner) field(key string, e *Entry) bool {
	switch key {
	case "sum":
		_, ok := s.text()
		return ok
	case "time":
		t, ok := s.text()
		if !ok {
			return false
		}
		var err error
		e.Time, err = time.Parse(time.RFC3339Nano, string(t))
		return err == nil
	case "kind":
		return s.word((*string)(&e.Kind))
	case "store":
		return s.word(&e.Store)
	case "salt":
		return s.word(&e.SaltID)
	case "note":
		return s.word(&e.Note)
	case "id":
		return s.count(&e.ID)
	case "undoes":
		return s.count(&e.Undoes)
	case "late":
		e.Late = true
		return s.literal("true")
	case "litres":
		return s.amount(&e.Litres)
	case "level_cm":
		return s.amount(&e.LevelCm)
	case "kg":
		return s.amount(&e.Kg)
	case "bought_kg":
		return s.amount(&e.BoughtKg)
	case "used_kg":
		return s.amount(&e.UsedKg)
	case "salinity":
		return s.float(&e.Salinity)
	case "temp_c":
		return s.float(&e.TemperatureC)
	}
	return false
}

func (s *scanner) word(to *string) bool {
	t, ok := s.text()
	if ok {
		*to = s.pool.word(t)
	}
	return ok
}

// amount takes a decimal of at most 18 digits: those fit an integer.
func (s *scanner) amount(to **decimal.Decimal) bool {
	t, ok := s.number()
	if !ok || len(t) > 18 {
		return false
	}
	*to = s.pool.decimal(t, func() decimal.Decimal { return plainDecimal(t) })
	return true
}

// plainDecimal reads digits with a point and a minus.
func plainDecimal(t []byte) decimal.Decimal {
	var n int64
	decimals, seen := int32(0), false
	for _, c := range t {
		switch {
		case c == '.':
			seen = true
		case c != '-':
			n = 10*n + int64(c-'0')
			if seen {
				decimals++
			}
		}
	}
	if t[0] == '-' {
		n = -n
	}
	return decimal.New(n, -decimals)
}

func (s *scanner) literal(word string) bool {
	rest, ok := bytes.CutPrefix(s.rest, []byte(word))
	s.rest = rest
	return ok
}

func (s *scanner) count(to *int) bool {
	t, ok := s.number()
	if !ok {
		return false
	}
	n, err := strconv.Atoi(string(t))
	*to = n
	return err == nil
}

func (s *scanner) float(to **float64) bool {
	t, ok := s.number()
	if !ok {
		return false
	}
	x, err := s.pool.float(t)
	*to = x
	return err == nil
}
