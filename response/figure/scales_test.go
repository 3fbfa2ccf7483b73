package figure

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"tidehold/response/plan"
)

// The marks of a time axis are those of a clock and a calendar: each step is the least that is no
// smaller than what is asked for, and hours are called days from the second on, where they are whole.
func TestStepsOfAClock(t *testing.T) {
	const minute = 1.0 / 60
	steps := []float64{minute, 5 * minute, 15 * minute, 30 * minute, 1, 2, 3, 4, 6, 12, 24, 48, 72, 168, 336, 504}
	for i, step := range steps {
		for _, x := range []float64{step, step * 0.999, step * (1 + 1e-10)} {
			if got := clockStep(x); i < 14 && !(math.Abs(got-step) <= 1e-12) || i >= 14 && got != math.Ceil(x/168)*168 {
				t.Errorf("at least %g h: %g, want %g", x, got, step)
			}
		}
		if i+1 < len(steps) {
			if got := clockStep(step * 1.001); !(math.Abs(got-steps[i+1]) <= 1e-12) {
				t.Errorf("a little more than %g h: %g, want %g", step, got, steps[i+1])
			}
		}
	}
	for h, want := range map[float64]string{0: "0", 0.25: "15 min", 1: "1 h", 24: "24 h", 36: "36 h", 47: "47 h", 48: "2 d", 50: "50 h", 72: "3 d"} {
		if got := hours(h); got != want {
			t.Errorf("%g h is marked %q, want %q", h, got, want)
		}
	}
}

// The rows of a drawing in characters are as low as round numbers allow, and there is room for all in them.
func TestRowsAreAsLowAsRoundNumbersAllow(t *testing.T) {
	var round []float64
	for power := 1e-4; power < 1e7; power *= 10 {
		for _, m := range []float64{1, 1.5, 2, 2.5, 3, 4, 5, 6, 8} {
			round = append(round, m*power)
		}
	}
	r := rand.New(rand.NewPCG(7, 22))
	for range 3000 {
		most, n := math.Exp(12*r.Float64()-3), 4+r.IntN(20)
		if r.IntN(3) == 0 {
			most = round[30+r.IntN(40)] * float64(n) // just full
		}
		want := round[slices.IndexFunc(round, func(step float64) bool { return most <= step*float64(n)*(1+1e-9) })]
		if got := rowStep(most, n); !(math.Abs(got/want-1) <= 1e-9) {
			t.Errorf("%g in %d rows: %g a row, want %g", most, n, got, want)
		}
	}
}

// What lies on a logarithmic line stands by the ratio of its logarithms, and what lies beyond at its ends.
func TestALogarithmicLine(t *testing.T) {
	s := logScale{2, 32, 100, 300}
	for v, want := range map[float64]float64{0: 100, 1: 100, 2: 100, 4: 150, 8: 200, 16: 250, 32: 300, 99: 300} {
		if got := s.at(v); !(math.Abs(got-want) <= 1e-9) {
			t.Errorf("%g stands at %g, want %g", v, got, want)
		}
	}
}

// A vat with a height shows its levels in centimetres, one without by its litres; what is higher than
// its walls stands at them.
func TestLevelsOfAVat(t *testing.T) {
	high, low := Vat{CapacityL: 200, HeightCm: 80}, Vat{CapacityL: 200}
	for _, c := range []struct {
		v         Vat
		l, cm     float64
		want      float64
		underside string
	}{
		{high, 90, 20, 0.25, "by its height"}, {high, 0, 0, 0, "empty"}, {high, 0, 4, 0.05, "below the outlet"}, {high, 50, 0, 0.25, "a height not known"},
		{high, 0.5, 0.2, 0.0025, "a puddle"}, {high, 900, 90, 1, "over the brim"}, {low, 50, 0, 0.25, "by litres"}, {low, 0.5, 0, 0.0025, "a cup"}, {low, 300, 0, 1, "too much"}, {low, 50, 20, 0.25, "no height, and a level"},
	} {
		if got := c.v.level(c.l, c.cm); !(math.Abs(got-c.want) <= 1e-12) {
			t.Errorf("%s: %g, want %g", c.underside, got, c.want)
		}
	}
	// In the drawing the surface and the brim stand at those shares of the walls.
	v := sampleVats()
	svg, err := v.SVG()
	if err != nil {
		t.Fatal(err)
	}
	k := 0
	drawn := elements(t, svg)
	for i, e := range drawn {
		if !strings.HasPrefix(e.attr["d"], "M") || !strings.Contains(e.attr["d"], "V") {
			continue
		}
		p := points(t, strings.NewReplacer("V", " ", "H", " ").Replace(e.attr["d"])) // left top, bottom right, top
		top, bottom := p[0][1], p[1][0]
		one := v.List[k]
		for what, c := range map[string][2]float64{
			"surface": {drawn[i+1].at(t, "y1"), one.level(one.NowL, one.NowCm)}, "brim": {drawn[i+2].at(t, "y1"), one.level(one.CapacityL, one.BrimCm)},
		} {
			if got := (bottom - c[0]) / (bottom - top); !(math.Abs(got-c[1]) <= 0.11/(bottom-top)*2) {
				t.Errorf("%s: the %s stands at %g of the height, want %g", one.Name, what, got, c[1])
			}
		}
		k++
	}
	if k != len(v.List) {
		t.Errorf("%d vats are drawn of %d", k, len(v.List))
	}
	// In characters each has its share of marks, and what the pump does not reach is told apart.
	text, err := v.Text(78)
	if err != nil {
		t.Fatal(err)
	}
	for i, l := range strings.Split(strings.TrimSpace(text), "\n") {
		bar, tail, _ := strings.Cut(l[strings.IndexByte(l, '[')+1:], "]")
		one, n := v.List[i], float64(len(bar))
		if full := float64(strings.Count(bar, "#") + strings.Count(bar, "/")); !(math.Abs(full-one.NowL/one.CapacityL*n) <= 0.5+1e-9) {
			t.Errorf("%q: %g of %g marks, %g of %g L", l, full, n, one.NowL, one.CapacityL)
		}
		if strings.Contains(bar, "/") != (one.BottomL > 0) || strings.Contains(tail, "left at the bottom") != (one.BottomL > 0) {
			t.Errorf("%q: %g L stay at the bottom", l, one.BottomL)
		}
	}
}

// The lanes of a plan in characters: what goes on at an hour stands in that hour's column, what is later
// over what is earlier, a change under its number or a dot, and people's nights below.
func TestLanesStandInTheirHours(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 23))
	for range 200 {
		tl := Timeline{WithinH: 30 * r.Float64()}
		for n := range 1 + r.IntN(4) {
			at := 30 * r.Float64()
			tl.Changes = append(tl.Changes, Change{n + 1, at, at + r.Float64()})
		}
		slices.SortFunc(tl.Changes, func(a, b Change) int { return int(math.Copysign(1, a.AtH-b.AtH)) })
		for k := range 3 {
			lane := Lane{Name: fmt.Sprintf("vat-%d", k)}
			for range 1 + r.IntN(3) {
				at := 30 * r.Float64()
				lane.Spans = append(lane.Spans, Span{at, at + 6*r.Float64(), SpanKind(r.IntN(4))})
			}
			tl.Lanes = append(tl.Lanes, lane)
		}
		if r.IntN(2) == 0 {
			tl.Nights = [][2]float64{{2, 9}, {26, 33}}
		}
		width := 40 + r.IntN(60)
		text, err := tl.Text(width)
		if err != nil {
			t.Fatal(err)
		}
		lines := strings.Split(text, "\n")
		n, last := width-len("changes")-2, tl.lastH()
		cell := func(h float64) int { return min(n-1, int(h/last*float64(n))) }
		row := func(k int) []rune {
			cells := []rune(fmt.Sprintf("%-*s", width, lines[k]))[len("changes")+2:]
			if len(cells) > n {
				t.Fatalf("%d characters: %q", width, lines[k])
			}
			return cells
		}
		for _, c := range tl.Changes {
			if got := row(0)[cell(c.AtH)]; got != '.' && got != rune('0'+c.N) {
				t.Errorf("change %d at %g h of %g: %q in\n%s", c.N, c.AtH, last, got, text)
			}
		}
		rank := map[rune]int{' ': -1, '=': 0, '^': 1, '~': 2, '#': 3}
		for k, lane := range tl.Lanes {
			cells, want := row(k+1), slices.Repeat([]int{-1}, n)
			for _, s := range lane.Spans {
				for i := cell(s.FromH); i <= cell(s.ToH) && s.FromH <= last; i++ {
					want[i] = max(want[i], rank[kinds[s.Kind].mark])
				}
			}
			for i := range want {
				if rank[cells[i]] != want[i] {
					t.Fatalf("%s, column %d: %q in\n%s", lane.Name, i, cells[i], text)
				}
			}
		}
		if asleep := strings.HasPrefix(lines[4], "night"); asleep != (len(tl.Nights) > 0) {
			t.Fatal(text)
		} else if asleep {
			for i, got := range row(4) {
				in := false
				for _, night := range tl.Nights {
					in = in || night[0] < last && cell(night[0]) <= i && i <= cell(night[1])
				}
				if (got == ':') != in {
					t.Fatalf("column %d of %d: night %v in\n%s", i, n, in, text)
				}
			}
		}
	}
}

// What there is beside what is needed, in characters: each mark says what its cell's middle is.
func TestSupplyMarksSayWhatTheirCellsAre(t *testing.T) {
	c := late()
	for _, size := range [][2]int{{30, 4}, {72, 12}, {100, 20}} {
		text, err := c.Text(size[0], size[1])
		if err != nil {
			t.Fatal(err)
		}
		var plot []string
		for _, l := range strings.Split(text, "\n")[1:] {
			if len(l) < 8 || l[7] != '|' {
				break
			}
			plot = append(plot, fmt.Sprintf("%-*s", size[0], l)[8:])
		}
		perRow, cols := rowStep(c.top(), size[1]), size[0]-8
		for i, line := range plot {
			row := len(plot) - 1 - i
			level := (float64(row) + 0.5) * perRow
			for col := range cols {
				h := (float64(col) + 0.5) / float64(cols) * c.horizon()
				used, there, needed := totalAt(c.Used, h), totalAt(c.Available, h), totalAt(c.Needed, h)
				var ok bool
				switch rune(line[col]) {
				case usedMark:
					ok = used >= level
				case availableMark:
					ok = there >= level && used < level
				case neededMark: // the row in which what is needed ends
					ok = there >= level && used < level && needed > float64(row)*perRow && needed <= float64(row+1)*perRow+1e-9
				case missingMark:
					ok = needed >= level && there < level
				case deadlineMark:
					ok = used < level && col == int(c.WithinH/c.horizon()*float64(cols))
				case ' ':
					ok = max(used, there, needed) < level
				}
				if !ok {
					t.Errorf("%v: %q at %g h and %g L (used %g, there %g, needed %g)\n%s", size, line[col], h, level, used, there, needed, text)
				}
			}
		}
	}
}

// A curve in one line goes by what is left above its target: the whole height at the top, half of it where
// half of the logarithm is left, a dot from the target on; without a target by the level itself.
func TestHeightsOfACurve(t *testing.T) {
	c := Fall{Points: []Level{{0, 160}, {10, 5}}, Target: 10, Unit: "µg/L"}
	for level, want := range map[float64]rune{160: '█', 40: '▄', 80: '▆', 20: '▂', 10.001: '▁', 10: '.', 10.0000000001: '.', 3: '.'} {
		if got := c.mark(level); got != want {
			t.Errorf("%g: %q, want %q", level, got, want)
		}
	}
	c.Target = 0
	for level, want := range map[float64]rune{160: '█', 80: '▄', 120: '▆', 1: '▁', 0: '.'} {
		if got := c.mark(level); got != want {
			t.Errorf("without a target, %g: %q, want %q", level, got, want)
		}
	}
	for h, want := range map[float64]float64{0: 33, 2: 34.5, 4: 20, 6: 21, 8: 12, 9: 12} {
		if got := falling().at(h); !(math.Abs(got-want) <= 1e-12) {
			t.Errorf("at %g h %g, want %g", h, got, want)
		}
	}
	late := Fall{Points: []Level{{1, 50}, {3, 40}}}
	for h, want := range map[float64]float64{0: 50, 0.5: 50, 2: 45, 3: 40} {
		if got := late.at(h); got != want {
			t.Errorf("a curve from the first hour on, at %g h: %g, want %g", h, got, want)
		}
	}
	for _, width := range []int{29, 30} {
		if _, err := (Fall{Points: []Level{{0, 1}, {1, 1}}, Unit: "%"}).Line(width); (err == nil) != (width == 30) {
			t.Errorf("a line of %d: %v", width, err)
		}
	}
}

// Water is ready in its lane from when it may be used: a batch once mixed and warm, what was cut or warmed
// once that is done, anything else from the start.
func TestWhenALaneIsReady(t *testing.T) {
	p := plan.Plan{
		Batches:  []plan.Batch{{N: 1, StoreID: "a", StartH: 1, MixedH: 3, WarmH: ptr(5)}, {N: 2, StoreID: "a", StartH: 6, MixedH: 8, WarmH: ptr(8)}, {N: 3, StoreID: "b", StartH: 2, MixedH: 4}},
		Prepared: []plan.Prepare{{What: plan.Cut, StoreID: "c", AtH: 1, ReadyH: 2.5}, {What: plan.Empty, StoreID: "d", ReadyH: 1}, {What: plan.Cut, StoreID: "a", AtH: 0, ReadyH: 0.5}},
	}
	for _, c := range []struct {
		d    plan.Draw
		want float64
	}{
		{plan.Draw{StoreID: "a", Batch: 1}, 5}, {plan.Draw{StoreID: "a", Batch: 2}, 8}, {plan.Draw{StoreID: "b", Batch: 3}, 4}, {plan.Draw{StoreID: "a"}, 0.5},
		{plan.Draw{StoreID: "b"}, 0}, {plan.Draw{StoreID: "c"}, 2.5}, {plan.Draw{StoreID: "d"}, 0}, {plan.Draw{StoreID: "c", Batch: 9}, 0},
	} {
		if got := readyAt(p, c.d); got != c.want {
			t.Errorf("%+v: ready at %g h, want %g", c.d, got, c.want)
		}
	}
	lanes := Planned(Head{}, p, 0, 0, 0).Lanes
	for _, l := range lanes {
		warming := 0
		for _, s := range l.Spans {
			if s.Kind == Warming {
				warming++
			}
		}
		if want := map[string]int{"a": 1}[l.Name]; warming != want { // the second batch was warm when it was mixed
			t.Errorf("%s warms %d times, want %d", l.Name, warming, want)
		}
	}
	// From 22 to 6; a fire at 5 begins in the night, at 6 and at 12 not.
	for start, want := range map[float64][][2]float64{5: {{0, 1}, {17, 25}}, 6: {{16, 24}}, 12: {{10, 18}}, 23: {{0, 7}, {23, 31}}} {
		if got := nights(start, 24, 6, 22); !slices.Equal(got, want) {
			t.Errorf("from %g h: %v, want %v", start, got, want)
		}
	}
}
