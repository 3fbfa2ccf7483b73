package figure

import (
	"fmt"
	"math"
	"strings"

	"tidehold/refs/units"
)

// Vat is one vat with what is in it, litres.
type Vat struct {
	Name string
	// CapacityL up to the brim, NowL in it, BottomL below the pump's reach.
	CapacityL, NowL, BottomL float64
	// HeightCm of the vessel and the heights of level, bottom and brim in it; a vat
	// without a height is drawn as high as a cube of its volume, its levels by litres.
	HeightCm, NowCm, BottomCm, BrimCm float64
	// Marks are more levels, named.
	Marks []VatMark
}

// VatMark is a level worth knowing.
type VatMark struct {
	Text string
	L    float64
	Cm   float64 // 0 where the vat has no height
}

// Vats are vats drawn to one scale.
type Vats struct {
	Head
	List  []Vat
	Units units.System
}

// check refuses what cannot be drawn.
func (v Vats) check() error {
	for _, x := range v.List {
		for _, n := range []float64{x.NowL, x.BottomL, x.HeightCm, x.NowCm, x.BottomCm, x.BrimCm} {
			if !drawable(n) {
				return fmt.Errorf("vat %s: %g; zero or more is allowed", x.Name, n)
			}
		}
		if !(x.CapacityL > 0) || math.IsInf(x.CapacityL, 0) {
			return fmt.Errorf("vat %s holds %g L; more than zero is allowed", x.Name, x.CapacityL)
		}
	}
	return nil
}

// body is a vat as a box of the same volume and height, cm.
func (v Vat) body() (wide, high float64) {
	const cm3PerL = 1000
	high = v.HeightCm
	if high == 0 {
		high = math.Cbrt(v.CapacityL * cm3PerL)
	}
	return math.Sqrt(v.CapacityL * cm3PerL / high), high
}

// level is the height of litres in the vat, as a share of its own height; cm is known
// where the vat has a shape.
func (v Vat) level(l, cm float64) float64 {
	if v.HeightCm > 0 && (cm > 0 || l == 0) {
		return math.Min(1, cm/v.HeightCm)
	}
	return math.Min(1, l/v.CapacityL)
}

// SVG draws the vats side by side, to one scale.
func (v Vats) SVG() (string, error) {
	if err := v.check(); err != nil {
		return "", err
	}
	columns := min(max(len(v.List), 1), 3)
	slot := (width - 2*left) / float64(columns)
	scale := math.Inf(1)
	for _, x := range v.List {
		w, h := x.body()
		scale = math.Min(scale, math.Min((slot-24)/w, 150/h))
	}
	tall := 0.0
	for _, x := range v.List {
		_, h := x.body()
		tall = math.Max(tall, h*scale)
	}
	marks := 0
	for _, x := range v.List {
		marks = max(marks, len(x.Marks))
	}
	row := tall + 62 + lineGap*float64(marks)
	rows := (len(v.List) + columns - 1) / columns
	return v.draw(row*float64(rows)+40, []hatch{dots, slant}, func(c *canvas) {
		for i, x := range v.List {
			x1 := left + float64(i%columns)*slot
			c.vat(x, x1, slot, float64(i/columns)*row+8+tall, scale, v.Units)
		}
		y := row*float64(rows) + 8
		c.fill(left, y, 18, 12, dots)
		c.frame(left, y, 18, 12, 0.8)
		c.text(left+23, y+11, atStart, "water")
		c.fill(left+76, y, 18, 12, slant)
		c.text(left+99, y+11, atStart, "left at the bottom")
		c.line(left+258, y+6, left+280, y+6, 1.5, "3 3")
		c.text(left+285, y+11, atStart, "brim")
	}), nil
}

// vat draws one vat that stands on the line at y, with its words below.
func (c *canvas) vat(v Vat, x1, slot, y, scale float64, u units.System) {
	w, h := v.body()
	w, h = w*scale, h*scale
	x := x1 + (slot-w)/2
	now, bottom, brim := v.level(v.NowL, v.NowCm)*h, v.level(v.BottomL, v.BottomCm)*h, v.level(v.CapacityL, v.BrimCm)*h
	c.fill(x, y-now, w, math.Max(0, now-bottom), dots)
	c.fill(x, y-math.Min(bottom, now), w, math.Min(bottom, now), slant)
	c.path(fmt.Sprintf("M%.1f %.1fV%.1fH%.1fV%.1f", x, y-h, y, x+w, y-h), 2, "")
	c.line(x, y-now, x+w, y-now, 2, "")
	c.line(x-5, y-brim, x+w+5, y-brim, 1.5, "3 3")
	for _, m := range v.Marks {
		my := y - v.level(m.L, m.Cm)*h
		c.line(x-6, my, x+w*0.3, my, 1.5, "")
	}
	mid := x1 + slot/2
	c.bold(mid, y+lineGap, atMiddle, clip(v.Name, slot))
	c.text(mid, y+2*lineGap, atMiddle, u.Volume(v.NowL, units.Down)+" of "+u.Volume(v.CapacityL, units.Down))
	for i, m := range v.Marks {
		c.text(mid, y+lineGap*float64(3+i), atMiddle, clip(m.Text, slot))
	}
}

// Text draws one line for each vat in width characters (at least 50).
func (v Vats) Text(columns int) (string, error) {
	if err := v.check(); err != nil {
		return "", err
	}
	if columns < 50 {
		return "", fmt.Errorf("vats of %d characters; at least 50 are needed", columns)
	}
	name := 4
	tails := make([]string, len(v.List))
	longest := 0
	for i, x := range v.List {
		name = min(14, max(name, len([]rune(x.Name))))
		tails[i] = v.Units.Volume(x.NowL, units.Down) + " of " + v.Units.Volume(x.CapacityL, units.Down)
		if x.BottomL > 0 {
			tails[i] += ", " + v.Units.Volume(x.BottomL, units.Up) + " left at the bottom"
		}
		longest = max(longest, len([]rune(tails[i])))
	}
	n := min(30, max(8, columns-name-longest-5))
	var out strings.Builder
	for i, x := range v.List {
		full := strings.Count(bar(x.NowL/x.CapacityL, n, "#", "."), "#")
		dead := strings.Count(bar(math.Min(x.BottomL, x.NowL)/x.CapacityL, n, "#", "."), "#")
		fmt.Fprintf(&out, "%s  [%s%s%s] %s\n", pad(x.Name, name), strings.Repeat("/", min(dead, full)), strings.Repeat("#", max(0, full-dead)), strings.Repeat(".", n-full), tails[i])
	}
	return out.String(), nil
}
