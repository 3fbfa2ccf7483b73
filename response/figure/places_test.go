package figure

import (
	"encoding/xml"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// element is one of a drawing: its name, its attributes and the text in it.
type element struct {
	name string
	attr map[string]string
	text string
}

// at is an attribute that is a number.
func (e element) at(t *testing.T, name string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(e.attr[name], 64)
	if err != nil {
		t.Fatalf("%s of %+v: %v", name, e, err)
	}
	return x
}

// elements are those of a drawing, in order.
func elements(t *testing.T, svg string) (out []element) {
	t.Helper()
	for d := xml.NewDecoder(strings.NewReader(svg)); ; {
		token, err := d.Token()
		if err != nil {
			return out
		}
		switch x := token.(type) {
		case xml.StartElement:
			e := element{name: x.Name.Local, attr: map[string]string{}}
			for _, a := range x.Attr {
				e.attr[a.Name.Local] = a.Value
			}
			out = append(out, e)
		case xml.CharData:
			if text := strings.TrimSpace(string(x)); text != "" {
				out[len(out)-1].text = text
			}
		}
	}
}

// points are the pairs of numbers of a path.
func points(t *testing.T, d string) (out [][2]float64) {
	t.Helper()
	n := regexp.MustCompile(`-?[0-9.]+`).FindAllString(d, -1)
	for i := 0; i+1 < len(n); i += 2 {
		x, errX := strconv.ParseFloat(n[i], 64)
		y, errY := strconv.ParseFloat(n[i+1], 64)
		if errX != nil || errY != nil {
			t.Fatal(d)
		}
		out = append(out, [2]float64{x, y})
	}
	return out
}

// A dip strip is a ruler: on every piece a tick each half centimetre, the whole ones longer, from its foot
// to its end and 5 mm apart on paper; a mark between two pieces stands once, and the line that shows
// whether the printer kept the size is 100 mm long and says so.
func TestAStripIsARuler(t *testing.T) {
	s := Strip{Head: Head{ID: "strip"}, Name: "vat-a", TopCm: 47.5,
		Marks: []StripMark{{0, "floor", true}, {2.5, "10 L", false}, {20, "80 L", true}, {31.25, "125 L", false}, {47.5, "brim", true}}}
	pages, err := s.Pages()
	if err != nil || len(pages) != 1 {
		t.Fatalf("%d pages, %v", len(pages), err)
	}
	tick := regexp.MustCompile(`^M([0-9.]+) ([0-9.]+)h([0-9.]+)$`)
	ticks, marks, texts := map[float64]map[float64]float64{}, map[float64][]float64{}, map[string]element{}
	var frames []element
	var foot string
	for _, e := range elements(t, pages[0]) {
		switch m := tick.FindStringSubmatch(e.attr["d"]); {
		case e.name == "rect":
			frames = append(frames, e)
		case e.name == "text":
			texts[e.text] = e
		case m == nil && e.name == "path":
			foot = e.attr["d"]
		case m != nil:
			x, _ := strconv.ParseFloat(m[1], 64)
			y, _ := strconv.ParseFloat(m[2], 64)
			long, _ := strconv.ParseFloat(m[3], 64)
			if e.attr["stroke-width"] != "0.2" {
				marks[x] = append(marks[x], y)
				continue
			}
			if ticks[x] == nil {
				ticks[x] = map[float64]float64{}
			}
			ticks[x][y] = long
		}
	}
	if len(frames) != 3 || len(ticks) != 3 {
		t.Fatalf("%d pieces, %d of them with ticks", len(frames), len(ticks))
	}
	for i, f := range frames {
		x, end := f.at(t, "x"), f.at(t, "y")+f.at(t, "height")
		cm := min(20, 47.5-20*float64(i))
		if !(math.Abs(f.at(t, "height")-cm*10) <= 0.01) {
			t.Errorf("piece %d of %g cm is %g mm high", i+1, cm, f.at(t, "height"))
		}
		if n := int(cm*2) + 1; len(ticks[x]) != n {
			t.Errorf("piece %d: %d ticks, want %d", i+1, len(ticks[x]), n)
		}
		for k := range int(cm*2) + 1 {
			if want := []float64{5, 3}[k%2]; ticks[x][math.Round((end-5*float64(k))*100)/100] != want {
				t.Errorf("piece %d: no tick of %g mm at %g cm: %v", i+1, want, float64(k)/2, ticks[x])
			}
		}
		name := texts[fmt.Sprintf("%d of 3 vat-a", i+1)]
		if y := name.at(t, "y"); y < end+3 || y > end+10 || name.at(t, "x") != x {
			t.Errorf("piece %d: its name stands at %v, its foot at %g", i+1, name.attr, end)
		}
		for k, m := range [][]float64{{0, 25}, {0, 112.5}, {75}}[i] {
			if !(math.Abs(end-m-marks[x][k]) <= 0.01) {
				t.Errorf("piece %d: marks at %v, foot at %g", i+1, marks[x], end)
			}
		}
	}
	if total := len(marks[frames[0].at(t, "x")]) + len(marks[frames[1].at(t, "x")]) + len(marks[frames[2].at(t, "x")]); total != len(s.Marks) {
		t.Errorf("%d marks drawn of %d", total, len(s.Marks))
	}
	if _, said := texts["this line is 100 mm: print at 100 %, not fitted"]; !said || !strings.Contains(foot, "v-3h100v3") {
		t.Errorf("%q, %v", foot, said)
	}
}

// Letters of two marks close to each other do not run into one another: the upper one's are left out.
func TestMarksOfAStripDoNotRunTogether(t *testing.T) {
	for apart, want := range map[float64]int{0.2: 1, 0.3: 1, 0.34: 2, 1: 2} {
		pages, err := Strip{Name: "vat", TopCm: 15, Marks: []StripMark{{5, "22 L", false}, {5 + apart, "23 L", false}}}.Pages()
		if err != nil {
			t.Fatal(err)
		}
		if got := strings.Count(pages[0], "22 L<") + strings.Count(pages[0], "23 L<"); got != want {
			t.Errorf("%g cm apart: %d texts, want %d", apart, got, want)
		}
	}
}

// On the line of a result natural and criterion have their places, and everything else stands between
// and beyond them as its logarithm does: a value at their geometric mean in the middle.
func TestResultsStandByTheirLogarithms(t *testing.T) {
	const natural, criterion = 116.0, 284.0
	place := func(n, c *float64, value, u float64) (at float64, spread [2]float64) {
		svg, err := Results{Head: Head{ID: "r"}, List: []Result{{Name: "x", Word: "fine", Value: value, U: u, Natural: n, Criterion: c}}}.SVG()
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range elements(t, svg) {
			if e.name == "path" && strings.Contains(e.attr["d"], "l6 6l-6 6") {
				at = points(t, e.attr["d"])[0][0]
			}
			if e.name == "line" && e.attr["stroke-width"] == "3" && e.attr["y1"] == e.attr["y2"] {
				spread = [2]float64{e.at(t, "x1"), e.at(t, "x2")}
			}
		}
		return at, spread
	}
	for _, c := range []struct {
		n, c            *float64
		value, u        float64
		at, least, most float64 // as shares of the way from natural to criterion
	}{
		{ptr(2), ptr(200), 2, 0, 0, 0, 0}, {ptr(2), ptr(200), 200, 0, 1, 0, 0}, {ptr(2), ptr(200), 20, 0, 0.5, 0, 0},
		{ptr(0.5), ptr(8), 1, 0, 0.25, 0, 0}, {ptr(0.5), ptr(8), 4, 2, 0.75, 0.5, math.Log2(12) / 4},
		{ptr(2), nil, 20, 0, 0.5, 0, 0}, {nil, ptr(200), 20, 0, 0.5, 0, 0}, // a hundredfold where one is not known
		{ptr(8), ptr(8), 80, 0, 0.5, 0, 0}, // the criterion is no higher than natural
		{nil, nil, 7, 0, 0.5, 0, 0},        // from a tenth to ten times
		{ptr(1), ptr(100), 0, 0, -0.35, 0, 0}, {nil, nil, 0, 0, -0.35, 0, 0},
	} {
		at, spread := place(c.n, c.c, c.value, c.u)
		x := func(share float64) float64 { return natural + share*(criterion-natural) }
		if !(math.Abs(at-x(c.at)) <= 0.06) {
			t.Errorf("%+v: at %g, want %g", c, at, x(c.at))
		}
		if c.u > 0 && (!(math.Abs(spread[0]-x(c.least)) <= 0.06) || !(math.Abs(spread[1]-x(c.most)) <= 0.06)) {
			t.Errorf("%+v: its ± from %g to %g, want %g to %g", c, spread[0], spread[1], x(c.least), x(c.most))
		}
	}
}

// ruled reads a drawing's two axes off its labels: where a level and an hour stand.
func ruled(t *testing.T, drawn []element) (x, y func(float64) float64) {
	t.Helper()
	var levels, hours [][2]float64
	for i, e := range drawn {
		if e.name != "text" {
			continue
		}
		if v, err := strconv.ParseFloat(e.text, 64); err == nil && e.attr["text-anchor"] == "end" && drawn[i-1].name == "line" {
			levels = append(levels, [2]float64{v, drawn[i-1].at(t, "y1")})
		}
		if h, unit, _ := strings.Cut(e.text, " "); (unit == "h" || e.text == "0") && drawn[i-1].name == "line" && drawn[i-1].attr["x1"] == drawn[i-1].attr["x2"] {
			v, _ := strconv.ParseFloat(h, 64)
			hours = append(hours, [2]float64{v, drawn[i-1].at(t, "x1")})
		}
	}
	line := func(name string, p [][2]float64) func(float64) float64 {
		if len(p) < 3 {
			t.Fatalf("%s has marks at %v", name, p)
		}
		first, last := p[0], p[len(p)-1]
		f := func(v float64) float64 {
			return first[1] + (v-first[0])/(last[0]-first[0])*(last[1]-first[1])
		}
		for _, q := range p {
			if !(math.Abs(f(q[0])-q[1]) <= 0.11) {
				t.Errorf("the marks of %s are not even: %v", name, p)
			}
		}
		return f
	}
	return line("hours", hours), line("levels", levels)
}

// What is drawn of a night stands where its axes say: results with their ±, bounds, the band with its
// middle, the goal and the changes.
func TestANightStandsWhereItsAxesSay(t *testing.T) {
	c := night()
	svg, err := c.SVG()
	if err != nil {
		t.Fatal(err)
	}
	drawn := elements(t, svg)
	x, y := ruled(t, drawn)
	is := func(what string, got, want float64) {
		t.Helper()
		if !(math.Abs(got-want) <= 0.11) { // coordinates are printed to a tenth
			t.Errorf("%s at %g, want %g", what, got, want)
		}
	}
	var dots, bars []element
	var goal, said, triangles int
	for i, e := range drawn {
		switch {
		case e.name == "circle":
			dots, bars = append(dots, e), append(bars, drawn[i-1])
		case e.name == "line" && e.attr["stroke-dasharray"] == neededDash:
			goal++
			is("the goal", e.at(t, "y1"), y(c.Target))
			is("the goal", e.at(t, "y2"), y(c.Target))
		case e.text == "goal 5.00":
			said++
			is("its name", e.at(t, "y"), y(c.Target)-5)
		case strings.HasSuffix(e.attr["d"], "l-5 -9h10z"):
			triangles++
			is("a change", points(t, e.attr["d"])[0][0], x(2))
		case strings.HasSuffix(e.attr["d"], "l-5 -8h10z"):
			triangles++
			is("a bound", points(t, e.attr["d"])[0][0], x(24))
			is("a bound", points(t, e.attr["d"])[0][1], y(5)+8)
		}
	}
	if len(dots) != 3 || goal != 1 || said != 1 || triangles != 2 {
		t.Fatalf("%d dots, %d goals, %d named, %d triangles\n%s", len(dots), goal, said, triangles, svg)
	}
	for i, s := range c.Samples[:3] {
		is("a result", dots[i].at(t, "cx"), x(s.H))
		is("a result", dots[i].at(t, "cy"), y(s.C))
		is("its ± above", bars[i].at(t, "y1"), y(s.C+s.U))
		is("its ± below", bars[i].at(t, "y2"), y(s.C-s.U))
	}
	band := slices.IndexFunc(drawn, func(e element) bool { return e.name == "path" && strings.HasPrefix(e.attr["fill"], "url(") })
	if band < 0 {
		t.Fatal("no band")
	}
	edge, mid := points(t, drawn[band].attr["d"]), points(t, drawn[band+1].attr["d"])
	if len(edge) != 8 || len(mid) != 4 {
		t.Fatalf("%v, %v", edge, mid)
	}
	for i, b := range c.Band {
		for what, at := range map[string][2][2]float64{"upper": {edge[i], {b.H, b.High}}, "lower": {edge[7-i], {b.H, b.Low}}, "middle": {mid[i], {b.H, b.Mid}}} {
			is(what, at[0][0], x(at[1][0]))
			is(what, at[0][1], y(min(at[1][1], 1e9)))
		}
	}
	bare := c
	bare.Band, bare.Target = nil, 0
	if svg, err = bare.SVG(); err != nil || strings.Contains(svg, `fill="url(`) || strings.Contains(svg, "goal") {
		t.Errorf("a band or a goal of nothing: %v", err)
	}
}

// Between two levels of the band it goes straight from one to the other; there is none before the first
// or after the last, and after a change it is the one after it.
func TestTheBandBetweenItsLevels(t *testing.T) {
	c := Measured{Band: []BandLevel{{1, 50, 60, 70}, {11, 30, 40, 50}, {11, 10, 20, 40}, {21, 10, 15, 20}}}
	for h, want := range map[float64]BandLevel{1: {1, 50, 60, 70}, 3.5: {3.5, 45, 55, 65}, 11: {11, 10, 20, 40}, 16: {16, 10, 17.5, 30}, 21: {21, 10, 15, 20}} {
		if got, ok := c.at(h); !ok || got != want {
			t.Errorf("at %g h: %+v, %v, want %+v", h, got, ok, want)
		}
	}
	if _, err := (Measured{Band: []BandLevel{{0, 0.2, 0.4, 0.6}, {0.5, 0, 0.1, 0.2}}}).SVG(); err != nil {
		t.Errorf("less than one, for less than an hour: %v", err)
	}
	for _, h := range []float64{0.99, 21.01} {
		if got, ok := c.at(h); ok {
			t.Errorf("at %g h: %+v", h, got)
		}
	}
}

// In characters too: every mark stands in the row and the column of what it marks, each second row from
// the top says where it ends, and a change after the last hour is left out.
func TestANightInCharactersStandsWhereItsAxesSay(t *testing.T) {
	c := night()
	c.ChangesAtH = []float64{2, 23.9, 25}
	for _, width := range []int{30, 72, 100} {
		for _, height := range []int{4, 8, 15} {
			text, err := c.Text(width, height)
			if err != nil {
				t.Fatal(err)
			}
			lines := strings.Split(text, "\n")
			var plot [][]rune
			for _, l := range lines[1:] {
				if len(l) < 8 || l[7] != '|' {
					break
				}
				plot = append(plot, []rune(fmt.Sprintf("%-*s", width, l)))
			}
			rows, cols := len(plot), width-8
			top, err := strconv.ParseFloat(strings.TrimSpace(string(plot[0][:7])), 64)
			if err != nil || rows > height || top < c.top() {
				t.Fatalf("%d by %d: %d rows up to %g of %g, %v\n%s", width, height, rows, top, c.top(), err, text)
			}
			perRow := top / float64(rows)
			for i := range plot {
				want := ""
				if i%2 == 0 {
					want = number(float64(rows-i) * perRow)
				}
				if got := strings.TrimSpace(string(plot[i][:7])); got != want {
					t.Errorf("%d by %d, row %d is marked %q, want %q", width, height, i, got, want)
				}
			}
			mark := func(h, level float64) rune {
				row := min(int(level/perRow), rows-1)
				return plot[rows-1-row][8+min(int(h/24*float64(cols)), cols-1)]
			}
			for _, s := range c.Samples {
				if got := mark(s.H, s.C); got != map[bool]rune{true: boundMark, false: resultMark}[s.Below] {
					t.Errorf("%d by %d: %q for %+v\n%s", width, height, got, s, text)
				}
			}
			for level := 41 - 4.0; level < 41+4; level += 0.1 {
				if got := mark(12, level); got != spreadMark && got != resultMark {
					t.Errorf("%d by %d: %q at %g, within ± of 41 ± 4", width, height, got, level)
				}
			}
			for _, h := range []float64{8, 16} {
				for level, want := range map[float64]rune{42: midMark, 5: targetMark} {
					if got := mark(h, level); got != want {
						t.Errorf("%d by %d: %q at %g h and %g", width, height, got, h, level)
					}
				}
				if b := mark(h, 38); b != bandMark && b != midMark {
					t.Errorf("%d by %d: %q at the band's lower edge", width, height, b)
				}
			}
			axis := lines[1+rows]
			if strings.Count(axis, "^") != 2 || axis[8+int(2.0/24*float64(cols))] != '^' || axis[8+int(23.9/24*float64(cols))] != '^' {
				t.Errorf("%d by %d: changes at %s", width, height, axis)
			}
		}
	}
	for _, size := range [][2]int{{29, 10}, {40, 3}} {
		if _, err := c.Text(size[0], size[1]); err == nil {
			t.Errorf("%d by %d was drawn", size[0], size[1])
		}
	}
}
