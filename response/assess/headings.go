package assess

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// role is what a column of a report holds.
type role string

// The roles; analyte and value must be there, and a unit somewhere.
const (
	analyteColumn  role = "analyte"
	valueColumn    role = "value"
	unitColumn     role = "unit"
	spreadColumn   role = "±"
	limitColumn    role = "limit"
	fractionColumn role = "fraction"
	signColumn     role = "sign"
	sampledColumn  role = "sampled"
)

var roles = []role{analyteColumn, valueColumn, unitColumn, spreadColumn, limitColumn, fractionColumn, signColumn, sampledColumn}

// headingWords are the headings that laboratories use, in English, German, French,
// Spanish, Italian and Dutch, folded as fold does. Common practice.
var headingWords = map[role]string{
	analyteColumn: `analyte analytes parameter parameters parametername element elements substance name test testname determinand determinant compound component symbol
		messgrosse messgroesse stoff stoffname bezeichnung analyt bestandteil untersuchungsparameter
		parametre parametres substanceanalysee analysefr composant designation
		parametro parametros elemento sustancia analito compuesto determinacion
		parametri elementi sostanza analita
		parameternaam stof bepaling omschrijving`,
	valueColumn: `value values result results measured measuredvalue concentration reading testresult finalresult conc amount
		ergebnis ergebnisse messwert wert analysenwert konzentration gehalt
		resultat resultats valeur valeurmesuree teneur
		resultado resultados valor concentracion valormedido
		risultato risultati valore concentrazione
		resultaat resultaten waarde gemeten meetwaarde concentratie`,
	unitColumn: `unit units uom unitofmeasure
		einheit einheiten masseinheit
		unite unites
		unidad unidades
		unita unitadimisura um udm
		eenheid eenheden`,
	spreadColumn: `± +- +/- u uncertainty expandeduncertainty measurementuncertainty mu uncertaintyk=2 uk=2
		messunsicherheit unsicherheit erweitertemessunsicherheit
		incertitude incertitudeelargie
		incertidumbre incertidumbreexpandida
		incertezza incertezzaestesa
		meetonzekerheid onzekerheid`,
	limitColumn: `loq lod rl mrl lor mdl reportinglimit limitofquantification limitofdetection detectionlimit quantificationlimit limit
		bestimmungsgrenze nachweisgrenze bg ng berichtsgrenze
		limitedequantification limitededetection lq lqi
		limitedecuantificacion limitededeteccion lc ld
		limitediquantificazione limitedirilevabilita
		rapportagegrens bepalingsgrens detectiegrens aantoonbaarheidsgrens`,
	fractionColumn: `fraction form filtered fraktion fractionfr fraccion frazione fractie`,
	signColumn:     `sign qualifier flag operator vorzeichen signe signo segno teken`,
	sampledColumn: `sampled sampledate samplingdate samplingtime datesampled collected collectiondate sampletime dateofsampling
		probenahme probenahmedatum probendatum entnahmedatum entnommen
		dateprelevement datedeprelevement prelevement preleve
		fechademuestreo fechamuestreo muestreo fechadetoma
		datacampionamento datadicampionamento campionamento dataprelievo datadiprelievo
		monsterdatum bemonstering datummonstername bemonsteringsdatum monstername`,
}

var headingIndex = func() map[string]role {
	out := map[string]role{}
	for r, words := range headingWords {
		for _, w := range strings.Fields(words) {
			out[fold(w)] = r
		}
	}
	return out
}()

// roleOf reads a heading; what stands behind it in brackets, or after a comma or
// "in", is its unit: "Result (µg/L)", "Messwert in mg/l", "U [%]".
func roleOf(heading string) (r role, unit string, ok bool) {
	if r, ok = headingIndex[fold(heading)]; ok {
		return r, "", true
	}
	for _, cut := range []string{"[", "(", " in ", ", ", " en ", "/ ", " - "} {
		before, after, found := strings.Cut(heading, cut)
		if !found {
			continue
		}
		if r, ok = headingIndex[fold(before)]; ok {
			return r, strings.TrimSpace(strings.Trim(strings.TrimSpace(after), ")] ")), true
		}
	}
	return "", "", false
}

// layout says which column holds what, from 0; unit and percent are those that the
// headings give for the whole column.
type layout struct {
	at      map[role]int
	unit    string // of the values, "" when a column has it
	percent bool   // the uncertainty is in per cent
	spread  string // the unit of the uncertainty, "" when the value's
	// body is the index of the first row of results, width the number of columns
	// named; 0: not known.
	body, width int
	// rival is a second heading that could be the value, "" for none: nobody guesses
	// which of two results counts.
	rival string
}

// column is the place of a role, -1 when there is none.
func (l layout) column(r role) int {
	if i, ok := l.at[r]; ok {
		return i
	}
	return -1
}

// headingRow reads one row as headings. It needs an analyte and a value. A second
// column that could be the same is left alone, save for the value: see rival.
func headingRow(r row) (layout, bool) {
	l := layout{at: map[role]int{}, width: len(r.cells)}
	for i, c := range r.cells {
		found, unit, ok := roleOf(c.text)
		if !ok {
			continue
		}
		if _, twice := l.at[found]; twice {
			if found == valueColumn {
				l.rival = c.text
			}
			continue
		}
		l.at[found] = i
		switch {
		case found == valueColumn && unit != "":
			l.unit = unit
		case found == spreadColumn && strings.Contains(unit, "%"):
			l.percent = true
		case found == spreadColumn && factorKnown(unit):
			l.spread = unit
		}
	}
	_, analyte := l.at[analyteColumn]
	_, value := l.at[valueColumn]
	return l, analyte && value
}

// separators a report may use, the likeliest first where two fit.
var separators = []rune{';', '\t', ','}

// titleRows is how many rows, title lines and headings, may stand above the results.
const titleRows = 60

// top are the rows among which the headings are looked for.
func top(rows []row) []row { return rows[:min(titleRows, len(rows))] }

// sheet is a report cut into rows by its separator, with what its columns hold.
type sheet struct {
	rows      []row
	separator rune
	layout
}

// findLayout looks for the heading line among the first lines, with each separator,
// and takes the one that names the most columns.
func findLayout(text string) (best sheet, ok bool) {
	for _, c := range separators {
		rows := rowsOf(text, c)
		for i, r := range top(rows) {
			l, fits := headingRow(r)
			if !fits {
				continue
			}
			if !ok || len(l.at) > len(best.at) {
				l.body = i + 1
				best, ok = sheet{rows, c, l}, true
			}
			break
		}
	}
	return best, ok
}

// ParseColumns reads what --columns says: "analyte=1,value=3,unit=4" by number, or by
// the heading in the file, "analyte=Stoff,value=Befund". An *error* names what is
// allowed.
func ParseColumns(text string) (map[string]string, error) {
	out := map[string]string{}
	for _, part := range strings.Split(text, ",") {
		name, column, ok := strings.Cut(part, "=")
		name, column = strings.ToLower(strings.TrimSpace(name)), strings.TrimSpace(column)
		if name == "u" || name == "uncertainty" {
			name = string(spreadColumn)
		}
		if !ok || column == "" || !slices.Contains(roles, role(name)) {
			return nil, fmt.Errorf("%q; write NAME=COLUMN, by number or heading, with the names analyte, value, unit, u, limit, fraction, sign, sampled: analyte=1,value=3,unit=4", part)
		}
		out[name] = column
	}
	for _, r := range []role{analyteColumn, valueColumn} {
		if out[string(r)] == "" {
			return nil, fmt.Errorf("no %s; write it with the others: analyte=1,value=3,unit=4", r)
		}
	}
	return out, nil
}

// namedLayout applies --columns: by number a report may have no headings at all, and
// every row whose value is one counts; by heading the row is looked for.
func namedLayout(text string, columns map[string]string) (best sheet, ok bool) {
	most := 0
	for _, c := range separators {
		rows := rowsOf(text, c)
		for i, r := range rows {
			l, fits := namedRow(r, columns)
			if !fits {
				continue
			}
			if score := sense(r, l); score > most {
				l.body = i
				if !numbered(columns) {
					l.body++
				}
				best, ok, most = sheet{rows, c, l}, true, score
			}
			break
		}
	}
	return best, ok
}

// sense is how much sense a row makes as it was cut: where its analyte is one, more than by any number
// of fields.
func sense(r row, l layout) int {
	name, _ := r.at(l.column(analyteColumn))
	if _, known := find(name); known {
		return maxCells + 1 + len(r.cells)
	}
	return len(r.cells)
}

// numbered reports whether every column is given by its number.
func numbered(columns map[string]string) bool {
	for _, c := range columns {
		if _, err := strconv.Atoi(c); err != nil {
			return false
		}
	}
	return true
}

// namedRow finds every named column in one row.
func namedRow(r row, columns map[string]string) (layout, bool) {
	l := layout{at: map[role]int{}}
	for name, column := range columns {
		if n, err := strconv.Atoi(column); err == nil {
			if n < 1 || n > len(r.cells) {
				return l, false
			}
			l.at[role(name)] = n - 1
			continue
		}
		i := slices.IndexFunc(r.cells, func(c cell) bool { return fold(c.text) == fold(column) })
		if i < 0 {
			return l, false
		}
		l.at[role(name)] = i
	}
	if numbered(columns) {
		value, _ := r.at(l.at[valueColumn])
		if _, ok := numeral(strings.TrimLeft(value, "<> ")); !ok && silence(value) == spoken {
			return l, false
		}
	}
	return l, true
}

// unmarked turns letters with marks into plain ones, and drops what only sets words apart.
var unmarked = strings.NewReplacer("ä", "a", "à", "a", "á", "a", "â", "a", "é", "e", "è", "e", "ê", "e", "ë", "e", "í", "i", "ì", "i", "ï", "i", "î", "i",
	"ö", "o", "ó", "o", "ò", "o", "ô", "o", "ü", "u", "ú", "u", "ù", "u", "û", "u", "ß", "ss", "ñ", "n", "ç", "c",
	" ", "", "-", "", "_", "", ".", "", ":", "", "'", "", "’", "", "\u00a0", "", "\t", "", "*", "")

// fold takes case, accents, blanks, hyphens and points away.
func fold(s string) string { return unmarked.Replace(strings.ToLower(s)) }
