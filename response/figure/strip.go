package figure

import (
	"fmt"
	"html"
	"math"
	"strings"
)

// StripMark is one line of a dipstick.
type StripMark struct {
	// Cm above the lowest point of the floor.
	Cm float64
	// Text stands beside the line; Strong draws it across the whole strip.
	Text   string
	Strong bool
}

// Strip is a strip to print at its true size, cut out and tape on a stick.
type Strip struct {
	Head
	// Name stands at the foot of every piece.
	Name string
	// TopCm is the end of the strip.
	TopCm float64
	Marks []StripMark
}

// The sheet, in millimetres: what A4 (210 × 297) and Letter (216 × 279) both have
// within margins of 15 mm, less a headline (ISO 216; ANSI/ASME Y14.1).
const (
	pieceCm     = 20.0 // of a stick on one piece
	pieceWide   = 34.0
	piecesAPage = 5
	stripText   = 3.3 // letters: 12.5 px at 96 px an inch
)

// check refuses what cannot be drawn.
func (s Strip) check() error {
	if !(s.TopCm > 0) || s.TopCm > 1000 {
		return fmt.Errorf("a strip of %g cm; more than 0 up to 1000 cm", s.TopCm)
	}
	for _, m := range s.Marks {
		if !(m.Cm >= 0) || m.Cm > s.TopCm*(1+1e-9) {
			return fmt.Errorf("a mark at %g cm; 0 to the top of the strip at %g cm", m.Cm, s.TopCm)
		}
	}
	return nil
}

// Pages draws the strip as pages of up to five pieces of 20 cm, each to be cut out; a
// line of 100 mm at the foot shows whether the printer kept the size.
func (s Strip) Pages() ([]string, error) {
	if err := s.check(); err != nil {
		return nil, err
	}
	pieces := int(math.Ceil(s.TopCm/pieceCm - 1e-9))
	var out []string
	for first := 0; first < pieces; first += piecesAPage {
		out = append(out, s.page(first, min(pieces, first+piecesAPage), pieces))
	}
	return out, nil
}

// page draws the pieces from first to before last, of all.
func (s Strip) page(first, last, all int) string {
	const high = pieceCm*10 + 34
	wide := math.Max(float64(last-first)*pieceWide, 104)
	c := &canvas{id: fmt.Sprintf("%s-%d", html.EscapeString(s.ID), first)}
	c.open(s.Head, fmt.Sprintf(`class="to-scale" width="%gmm" height="%gmm" viewBox="0 0 %g %g"`, wide, high, wide, high), stripText)
	for i := first; i < last; i++ {
		s.piece(&c.b, float64(i-first)*pieceWide, i, all)
	}
	y := high - 3.0
	fmt.Fprintf(&c.b, `<path d="M2 %gv-3h100v3" fill="none" stroke="currentColor" stroke-width="0.3"/>`+"\n", y)
	fmt.Fprintf(&c.b, `<text x="4" y="%g">this line is 100 mm: print at 100 %%, not fitted</text>`+"\n", y+1.5)
	c.b.WriteString("</svg>\n")
	return c.b.String()
}

// piece draws one piece at x: from i·20 cm at its foot up to the next.
func (s Strip) piece(b *strings.Builder, x float64, i, all int) {
	const foot = pieceCm*10 + 14
	from, to := float64(i)*pieceCm, math.Min(float64(i+1)*pieceCm, s.TopCm)
	y := func(cm float64) float64 { return foot - (cm-from)*10 }
	fmt.Fprintf(b, `<rect x="%.2f" y="%.2f" width="%g" height="%.2f" fill="none" stroke="currentColor" stroke-width="0.3"/>`+"\n", x+1, y(to), pieceWide-2, (to-from)*10)
	fmt.Fprintf(b, `<text x="%.2f" y="%.2f" font-weight="bold">%d of %d %s</text>`+"\n", x+1, foot+6, i+1, all, html.EscapeString(cut(s.Name, 9)))
	for mm := int(math.Ceil(from * 10)); float64(mm) <= to*10+1e-6; mm += 5 {
		long := 3.0
		if mm%10 == 0 {
			long = 5
		}
		fmt.Fprintf(b, `<path d="M%.2f %.2fh%g" stroke="currentColor" stroke-width="0.2"/>`, x+1, y(float64(mm)/10), long)
	}
	b.WriteString("\n")
	free := math.Inf(1)
	for _, m := range s.Marks {
		if m.Cm < from-1e-9 || m.Cm > to+1e-9 || m.Cm == to && i < all-1 {
			continue
		}
		at := y(m.Cm)
		weight, long := 0.4, 10.0
		if m.Strong {
			weight, long = 0.9, pieceWide-2
		}
		fmt.Fprintf(b, `<path d="M%.2f %.2fh%g" stroke="currentColor" stroke-width="%g"/>`+"\n", x+1, at, long, weight)
		if baseline := at - 0.7; baseline < free { // its letters must not run into those below
			beside := x + 11.5
			if m.Strong {
				beside = x + 6.5 // above its line, clear of the ticks
			}
			fmt.Fprintf(b, `<text x="%.2f" y="%.2f">%s</text>`+"\n", beside, baseline, html.EscapeString(cut(m.Text, 13)))
			free = baseline - stripText
		}
	}
}
