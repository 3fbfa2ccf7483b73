package playbook

import "strings"

// advance is how wide the printable ASCII letters are, thousandths of the type size, from the blank on.
// Source: the hmtx table of DejaVu Sans Condensed 2.37, the widest of the fonts of Printed that lines were
// measured in (TestPageModelAgainstTheBrowser). Tahoma's letters are narrower (from memory).
var advance = [95]uint16{
	286, 360, 414, 754, 572, 855, 702, 247, 351, 351, 450, 754, 286, 325, 286, 303,
	572, 572, 572, 572, 572, 572, 572, 572, 572, 572, 303, 303, 754, 754, 754, 478,
	900, 615, 617, 628, 693, 568, 518, 697, 677, 265, 265, 590, 501, 776, 673, 708,
	542, 708, 625, 571, 549, 659, 615, 890, 616, 549, 616, 351, 303, 351, 754, 450,
	450, 551, 571, 495, 571, 554, 316, 571, 570, 250, 250, 521, 250, 876, 570, 550,
	571, 571, 370, 469, 353, 570, 532, 736, 532, 532, 472, 572, 303, 572, 754,
}

// otherAdvance is that of any other letter: as wide as a sum sign.
const otherAdvance = 754

// advanceXHeight is the height of small letters over the type size in that font as a browser takes it when it
// brings them to XHeight: measured, ten of a letter 0.9719 times as wide as by the font's own 0.547.
const advanceXHeight = 0.563

// heldBlank is a blank at which no line ends; printedRing is as wide as the ring before an answer,
// 20 points beside text of 12 and what a browser rounds up.
const (
	heldBlank   = "\x1f"
	printedRing = "(....)"
)

// wide is the width of a text in type of this size with small letters brought to XHeight, points.
func (l Layout) wide(text string, size float64) float64 {
	sum := 0
	for _, r := range strings.ReplaceAll(text, heldBlank, " ") {
		if i := int(r) - ' '; i >= 0 && i < len(advance) {
			sum += int(advance[i])
			continue
		}
		sum += otherAdvance
	}
	return float64(sum) / 1000 * size * l.XHeight / advanceXHeight
}

// lineSlack is the share of a column that is filled before a line is taken to end: letters are set to whole
// parts of a dot, and a page that is taken too high costs less than one that runs over.
const lineSlack = 0.995

// linesOf is how many printed lines a text takes in a column so wide: a number and its unit stay together.
func (l Layout) linesOf(text string, size, column float64) float64 {
	lines, used, blank := 1.0, 0.0, l.wide(" ", size)
	for _, word := range phrases(text) {
		w := l.wide(word, size)
		switch {
		case used == 0:
			used = w
		case used+blank+w > column*lineSlack:
			lines, used = lines+1, w
		default:
			used += blank + w
		}
		for ; used > column; used -= column { // a word longer than a line is broken
			lines++
		}
	}
	return lines
}
