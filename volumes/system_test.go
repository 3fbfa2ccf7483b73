package volumes

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"tidehold/refs/units"
)

func box(t testing.TB, length, width, height float64) Shape {
	t.Helper()
	s, err := New("box", map[string]float64{"length": length, "width": width, "height": height}, nil)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// display is 100 × 60 × 60 cm filled to 50 cm: 300 L before what stands in it.
func display(t testing.TB) Part {
	return Part{ID: "display", Shape: box(t, 100, 60, 60), LevelCm: units.Exact(50)}
}

func TestRockAndSandDisplaceWhatTheirPorosityLeaves(t *testing.T) {
	// 10 kg of dry rock displaces 3.4 L (grain density 2.9 kg/L); a bed of 5 cm
	// in 0.72 m² holds 14 to 18 L of water and displaces 18 to 22 L at porosity
	// 0.40 to 0.50. Derived from grain density and porosity.
	rock := Displaced{RockMassKg: units.Exact(10), RockDensity: units.Exact(2.9)}
	near(t, "rock", rock.RockL(), 3.448, 0.0005)
	whole := Displaced{RockMassKg: units.Exact(10), RockDensity: units.Exact(2.9 * (1 - 0.337)), RockPorosity: units.Exact(0.337)}
	near(t, "the same rock by its outline", whole.RockL(), rock.RockL(), 1e-12)
	for porosity, want := range map[float64]float64{0.40: 21.6, 0.50: 18} {
		sand, err := Displaced{SandDepthCm: units.Exact(5), SandPorosity: units.Exact(porosity)}.SandL(box(t, 120, 60, 60))
		if err != nil {
			t.Fatal(err)
		}
		near(t, "sand", sand, want, 1e-9)
	}
	if sand, err := (Displaced{}).SandL(box(t, 1, 1, 1)); sand != 0 || err != nil {
		t.Errorf("no sand displaces %v (%v)", sand, err)
	}
}

func TestNetVolumeOfParts(t *testing.T) {
	d := display(t)
	d.Displaced = Displaced{RockMassKg: units.Exact(29), RockDensity: units.Exact(2.9), SandDepthCm: units.Exact(5), SandPorosity: units.Exact(0.4), OtherL: units.Exact(2)}
	sump := Part{ID: "sump", Shape: box(t, 60, 40, 40), LevelCm: units.Exact(20)}
	n, err := NetVolume([]Part{d, sump})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "net", float64(n.Volume), 300-10-18-2+48, 1e-9)
	near(t, "display", float64(n.Parts[0].Net), 270, 1e-9)
	if n.U != 0 {
		t.Errorf("U %v without any uncertainty stated", n.U)
	}
	if len(n.Budget) != 0 {
		t.Errorf("contributions %+v of none", n.Budget)
	}
	room, err := sump.Room()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "room in the sump", float64(room), 48, 1e-9)
	sump.BrimCm = 30
	if room, err = sump.Room(); err != nil || !(math.Abs(float64(room)-24) <= 1e-9) {
		t.Errorf("room below a brim at 30 cm: %v, %v", room, err)
	}
}

func TestUncertaintyOfABoxIsTheRootSumOfItsSides(t *testing.T) {
	// V = l·w·h: U²/V² = (Ul/l)² + (Uw/w)² + (Uh/h)² ([gum], 5.1.6).
	rapid.Check(t, func(t *rapid.T) {
		l, w, h := rapid.Float64Range(20, 200).Draw(t, "l"), rapid.Float64Range(20, 200).Draw(t, "w"), rapid.Float64Range(20, 100).Draw(t, "h")
		u := func(what string) float64 { return rapid.Float64Range(0.01, 0.5).Draw(t, what) }
		ul, uw, uh := u("ul"), u("uw"), u("uh")
		s, err := New("box", map[string]float64{"length": l, "width": w, "height": h + 10}, nil)
		if err != nil {
			t.Fatal(err)
		}
		n, err := NetVolume([]Part{{ID: "b", Shape: s, LevelCm: plusMinus(h, uh), Dims: map[string]units.Measured{"length": plusMinus(l, ul), "width": plusMinus(w, uw), "height": units.Exact(h + 10)}}})
		if err != nil {
			t.Fatal(err)
		}
		want := l * w * h / 1000 * math.Sqrt(ul*ul/(l*l)+uw*uw/(w*w)+uh*uh/(h*h))
		if d := math.Abs(float64(n.U)-want) / want; !(d <= 1e-9) {
			t.Fatalf("U %v, want %v", n.U, want)
		}
	})
}

func TestLargestContributorIsNamed(t *testing.T) {
	d := display(t)
	d.LevelCm.U = 0.5
	d.Displaced = Displaced{RockMassKg: plusMinus(40, 8), RockDensity: plusMinus(2.9, 0.2), RockPorosity: plusMinus(0, 0.02),
		SandDepthCm: plusMinus(5, 1), SandPorosity: plusMinus(0.45, 0.05), OtherL: plusMinus(3, 1)}
	n, err := NetVolume([]Part{d})
	if err != nil {
		t.Fatal(err)
	}
	want := []struct {
		what string
		u    float64
	}{{"display sand depth", 3.3}, {"display level", 3}, {"display rock mass", 8 / 2.9}, {"display sand porosity", 1.5}, {"display other displacement", 1}, {"display rock density", 40 / 2.9 / 2.9 * 0.2}}
	var sum float64
	for i, w := range want {
		if n.Budget[i].What != w.what {
			t.Errorf("contribution %d is %+v, want %s", i, n.Budget[i], w.what)
		}
		near(t, w.what, float64(n.Budget[i].U), w.u, 0.01)
	}
	for _, c := range n.Budget {
		sum += float64(c.U * c.U)
	}
	near(t, "U", float64(n.U), math.Sqrt(sum), 1e-9)
}

func TestLevelAtTheBrimStillHasAnUncertainty(t *testing.T) {
	full := display(t)
	full.LevelCm = plusMinus(60, 1)
	n, err := NetVolume([]Part{full})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "U at the brim", float64(n.U), 6, 1e-9)
	empty := display(t)
	empty.LevelCm = plusMinus(0, 1)
	if n, err = NetVolume([]Part{empty}); err != nil || !(math.Abs(float64(n.U)-6) <= 1e-9) {
		t.Errorf("U of an empty vessel: %v, %v", n.U, err)
	}
}

func TestPartsThatCannotBe(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*Part)
		want   string
	}{
		"no shape":                 {func(p *Part) { p.Shape = nil }, "shape is missing"},
		"level above the brim":     {func(p *Part) { p.LevelCm.Value = 61 }, "display: level 61 cm is above the brim, which is at 60 cm"},
		"level above a lower brim": {func(p *Part) { p.BrimCm = 45 }, "level 50 cm is above the brim, which is at 45 cm"},
		"level below the floor":    {func(p *Part) { p.LevelCm.Value = -1 }, "level -1 cm is below the lowest allowed, 0 cm"},
		"no level":                 {func(p *Part) { p.LevelCm.Value = math.NaN() }, "level is not a number"},
		"brim above the walls":     {func(p *Part) { p.BrimCm = 70; p.LevelCm.Value = 65 }, "above the brim"},
		"negative rock":            {func(p *Part) { p.Displaced.RockMassKg.Value = -1 }, "rock mass is -1"},
		"porosity of 1":            {func(p *Part) { p.Displaced.SandPorosity.Value = 1 }, "sand porosity is 100 %"},
		"rock without density":     {func(p *Part) { p.Displaced.RockMassKg.Value = 1 }, "rock density is 0 kg/L"},
		"grains too heavy": {func(p *Part) {
			p.Displaced = Displaced{RockMassKg: units.Exact(1), RockDensity: units.Exact(2.9), RockPorosity: units.Exact(0.3)}
		}, "density counts the pores"},
		"sand above the water": {func(p *Part) { p.Displaced.SandDepthCm.Value = 55 }, "sand 55 cm deep is above the water at 50 cm"},
		"more rock than water": {func(p *Part) { p.Displaced = Displaced{RockMassKg: units.Exact(1000), RockDensity: units.Exact(2.9)} }, "displace 344.828 L, more than the 300 L"},
		"endless":              {func(p *Part) { p.Displaced.OtherL.Value = math.Inf(1) }, "other is +Inf"},
		"negative uncertainty": {func(p *Part) { p.LevelCm.U = -1 }, "the uncertainty of level is -1"},
		"hopeless uncertainty": {func(p *Part) { p.LevelCm.U = 300 }, "too large"},
	} {
		p := display(t)
		c.change(&p)
		if _, err := NetVolume([]Part{p}); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got %v, want …%s…", name, err, c.want)
		}
	}
	if _, err := NetVolume(nil); err == nil {
		t.Error("no parts made a volume")
	}
	p := display(t)
	p.Displaced.SandDepthCm.Value = 70
	if _, err := p.Displaced.SandL(p.Shape); err == nil {
		t.Error("sand above the brim was accepted")
	}
	p.BrimCm = 70
	if _, err := p.Room(); err == nil {
		t.Error("a brim above the walls gave room")
	}
	p = display(t)
	p.LevelCm.Value = 99
	if _, err := p.Room(); err == nil {
		t.Error("a level above the brim left room")
	}
	over := Part{ID: "x", Shape: box(t, 50, 50, 50), BrimCm: 55, LevelCm: units.Exact(52)}
	if _, err := NetVolume([]Part{over}); err == nil {
		t.Error("a level above the walls was accepted")
	}
}

func TestChartMarksHeelAndBrim(t *testing.T) {
	s, err := New("upright_cylinder", map[string]float64{"diameter": 75, "height": 100}, nil)
	if err != nil {
		t.Fatal(err)
	}
	rows, err := Chart(s, 10, 12, 96)
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) != 12 {
		t.Errorf("%d rows, want 0 to 90 by 10, heel and brim: 12", len(rows))
	}
	for i, r := range rows {
		v, err := s.VolumeAt(r.LevelCm)
		if err != nil || v != r.Volume || r.Usable != max(0, v-12) {
			t.Errorf("row %+v: volume %v, %v", r, v, err)
		}
		if i > 0 && !(r.LevelCm > rows[i-1].LevelCm) {
			t.Errorf("row %d is not above the one before", i)
		}
	}
	if heel, brim := rows[1], rows[len(rows)-1]; heel.Mark != "heel" || !(math.Abs(float64(heel.Volume)-12) <= 1e-9) || brim.Mark != "brim" || brim.LevelCm != 96 {
		t.Errorf("heel %+v, brim %+v", heel, brim)
	}
	even, err := Chart(s, 25, 0, 0)
	if err != nil || len(even) != 5 || even[0].Mark != "" || even[4].Mark != "brim" {
		t.Errorf("%+v, %v", even, err)
	}
	for name, bad := range map[string]struct{ step, heel, brim float64 }{
		"no step": {0, 0, 0}, "tiny step": {0.001, 0, 0}, "NaN": {math.NaN(), 0, 0}, "heel": {10, 500, 0}, "negative heel": {10, -1, 0}, "brim": {10, 0, 120},
	} {
		if rows, err := Chart(s, bad.step, units.Litres(bad.heel), bad.brim); err == nil {
			t.Errorf("%s: %d rows", name, len(rows))
		}
	}
	blind, err := New("strapping", nil, []Point{{0, 30}, {50, 400}})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Chart(blind, 10, 12, 0); err == nil || !strings.Contains(err.Error(), "heel") {
		t.Errorf("a heel below the foot of the table: %v", err)
	}
}
