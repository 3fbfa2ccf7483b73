package assess

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

// A number as reports write it: digits, perhaps in groups of three, with a decimal
// mark, perhaps an exponent.
var (
	numberShape = regexp.MustCompile(`^[0-9]+(?:[.,][0-9]+)*(?:[eE][+-]?[0-9]{1,2})?$`)
	grouped     = regexp.MustCompile(`^[1-9][0-9]{0,2}(?:[.,][0-9]{3})+$`)
	thinSpace   = strings.NewReplacer("\u00a0", "", "\u202f", "", "\u2009", "", "'", "", "’", "", " ", "")
)

// numeral reports whether text is a number in either convention, and returns it
// without the blanks and apostrophes that group thousands.
func numeral(text string) (string, bool) {
	plain := thinSpace.Replace(strings.TrimSpace(text))
	return plain, numberShape.MatchString(plain)
}

// marks says what one number tells about the decimal mark of its file.
type marks int

const (
	saysNothing marks = iota // no mark at all
	pointDecimal
	commaDecimal
	couldBeEither // exactly three digits behind one mark: 3.100 is 3.1 or 3100
)

// tell reads the marks of a number.
func tell(number string) marks {
	mantissa, _, exponent := strings.Cut(strings.ToLower(number), "e")
	points, commas := strings.Count(mantissa, "."), strings.Count(mantissa, ",")
	switch {
	case points == 0 && commas == 0:
		return saysNothing
	case points > 0 && commas > 0:
		if strings.LastIndex(mantissa, ",") > strings.LastIndex(mantissa, ".") {
			return commaDecimal
		}
		return pointDecimal
	case points > 1:
		return commaDecimal // the points can only group
	case commas > 1:
		return pointDecimal
	case !exponent && grouped.MatchString(mantissa):
		return couldBeEither
	case points == 1:
		return pointDecimal
	}
	return commaDecimal
}

// convention is how a file writes its numbers.
type convention struct {
	// comma is the decimal mark; settled says that the file or the user decides it.
	comma, settled bool
	// line and text of the number that settled it.
	line int
	text string
}

// read turns a number into a float64. A number that could be either, in a file that
// nothing settles, is an error that names both.
func (c convention) read(number string) (float64, error) {
	kind := tell(number)
	if kind == couldBeEither && !c.settled {
		mark := "."
		if strings.Contains(number, ",") {
			mark = ","
		}
		return 0, fmt.Errorf("%q is %s or %s: say which with --decimal point or --decimal comma",
			number, strings.TrimRight(strings.TrimRight(strings.Replace(number, mark, ".", 1), "0"), "."), strings.ReplaceAll(number, mark, ""))
	}
	decimal, group := ".", ","
	if c.comma {
		decimal, group = ",", "."
	}
	plain := strings.ReplaceAll(number, group, "")
	if mantissa, _, _ := strings.Cut(strings.ToLower(number), "e"); strings.Contains(mantissa, group) && !wellGrouped(mantissa, decimal, group) {
		return 0, fmt.Errorf("%q has a mark where the rest of the file has none: its decimal mark is the %s (line %d, %q)", number, markName(c.comma), c.line, c.text)
	}
	x, err := strconv.ParseFloat(strings.Replace(plain, decimal, ".", 1), 64)
	if err != nil {
		return 0, fmt.Errorf("%s is no number", shown(number))
	}
	return x, nil
}

// wellGrouped reports whether the digits before the decimal mark are in threes.
func wellGrouped(mantissa, decimal, group string) bool {
	whole, _, _ := strings.Cut(mantissa, decimal)
	parts := strings.Split(whole, group)
	for i, p := range parts {
		if len(p) > 3 || len(p) == 0 || i > 0 && len(p) != 3 {
			return false
		}
	}
	return true
}

func markName(comma bool) string {
	if comma {
		return "comma"
	}
	return "point"
}

// settle finds the convention of a file from its numbers. Two that contradict each
// other are a fault of the second one. Where the comma separates fields it cannot be
// the decimal mark of a bare field, so the point is.
func settle(numbers []placed, separator rune, forced DecimalMark) (convention, *placed) {
	switch forced {
	case DecimalComma:
		return convention{comma: true, settled: true, text: "--decimal comma"}, nil
	case DecimalPoint:
		return convention{settled: true, text: "--decimal point"}, nil
	}
	c := convention{settled: separator == ','}
	for i, n := range numbers {
		kind := tell(n.text)
		if kind != pointDecimal && kind != commaDecimal {
			continue
		}
		if c.text != "" && c.comma != (kind == commaDecimal) {
			return c, &numbers[i]
		}
		if c.text == "" {
			c = convention{comma: kind == commaDecimal, settled: true, line: n.line, text: n.text}
		}
	}
	return c, nil
}

// placed is a number with its place.
type placed struct {
	text         string
	line, column int
}

// silenceKind is what stands where no number stands.
type silenceKind int

const (
	spoken      silenceKind = iota // something else, perhaps a number
	notMeasured                    // blank, n/a
	notDetected                    // below a limit that may stand in its own column
)

// silences are what laboratories write for no result, folded. "n.b." is read as not
// determined (nicht bestimmt, niet bepaald, non bepaald). Common practice.
var silences = map[string]silenceKind{
	"": notMeasured, "—": notMeasured, "–": notMeasured, "/": notMeasured, "n/a": notMeasured, "na": notMeasured, "nb": notMeasured,
	"notmeasured": notMeasured, "nottested": notMeasured, "nichtgemessen": notMeasured, "nichtbestimmt": notMeasured, "nonmesure": notMeasured,
	"nomedido": notMeasured, "nonmisurato": notMeasured, "nietgemeten": notMeasured, "nt": notMeasured, "nm": notMeasured,
	"nd": notDetected, "nn": notDetected, "bdl": notDetected, "bql": notDetected, "<loq": notDetected, "<lod": notDetected, "<rl": notDetected,
	"<bg": notDetected, "<ng": notDetected, "<lq": notDetected, "<ld": notDetected, "<lc": notDetected, "undetected": notDetected, "notdetected": notDetected, "nichtnachweisbar": notDetected,
	"nondetecte": notDetected, "nodetectado": notDetected, "nonrilevato": notDetected, "nonrilevabile": notDetected, "nietaangetoond": notDetected,
	"notdetectable": notDetected, "belowdetection": notDetected, "belowdetectionlimit": notDetected, "udl": notDetected, "unterbg": notDetected, "spuren": notDetected, "trace": notDetected, "traces": notDetected,
}

// silence says whether a field holds no result.
func silence(text string) silenceKind {
	if k, ok := silences[fold(text)]; ok {
		return k
	}
	return spoken
}
