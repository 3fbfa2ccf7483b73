package volumes

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"tidehold/refs/outside"
	"tidehold/refs/units"
	"tidehold/salinity"
	"tidehold/salinity/mixing"
)

func plusMinus(x, u float64) units.Measured { return units.Measured{Value: x, U: u} }

var near = outside.Near

// TestExchangeRecoversTheVolume makes the exchange with the mixing package, by
// mass, and asks for the volume back.
func TestExchangeRecoversTheVolumeItWasMadeIn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64Range(50, 5000).Draw(t, "volume")
		r := v * rapid.Float64Range(0.02, 0.5).Draw(t, "share removed")
		before := rapid.Float64Range(20, 40).Draw(t, "before")
		with := rapid.Float64Range(0, 15).Draw(t, "with")
		temp := units.Celsius(rapid.Float64Range(15, 30).Draw(t, "temperature"))
		cold := units.Celsius(rapid.Float64Range(5, 30).Draw(t, "temperature of the water added"))
		mix, err := mixing.Blend(
			mixing.Water{Volume: units.Litres(v - r), Salinity: units.Practical(before), Temperature: temp},
			mixing.Water{Volume: units.Litres(r), Salinity: units.Practical(with), Temperature: cold})
		if err != nil {
			t.Fatal(err)
		}
		e, err := FromExchange(Exchange{RemovedL: units.Exact(r), Before: units.Exact(before), After: units.Exact(float64(mix.Salinity)), With: units.Exact(with), Temperature: temp, WithTemperature: cold})
		if err != nil {
			t.Fatal(err)
		}
		if d := math.Abs(float64(e.Volume)-v) / v; !(d < 1e-9) || e.U != 0 || e.Unreliable {
			t.Fatalf("volume %v found as %v, U %v", v, e.Volume, e.U)
		}
	})
}

func TestExchangeOfTheManual(t *testing.T) {
	x := Exchange{RemovedL: plusMinus(60, 0.6), Before: plusMinus(35, 0.2), After: plusMinus(31.5, 0.2), With: units.Exact(0), Temperature: 25, WithTemperature: 25}
	e, err := FromExchange(x)
	if err != nil {
		t.Fatal(err)
	}
	// Densities by TEOS-10 (python gsw 3.6.16): 997.047 and 1023.343 kg/m³.
	near(t, "volume", float64(e.Volume), 60+60*997.047/1023.343*31.5/3.5, 0.01)
	// Closed form, densities held: V = r(1 + kx), x = S2/(S1−S2), k the ratio of
	// densities; ∂V/∂r = 1 + kx, ∂V/∂S2 = rk S1/(S1−S2)², ∂V/∂S1 = −rk S2/(S1−S2)².
	k, d := 997.047/1023.343, 3.5
	want := math.Hypot(math.Hypot((1+k*9)*0.6, 60*k*35/(d*d)*0.2), 60*k*31.5/(d*d)*0.2)
	near(t, "uncertainty", float64(e.U), want, want*0.005)
	if e.Budget[0].What != "salinity after" {
		t.Errorf("largest contribution %+v", e.Budget[0])
	}
	shared := x
	shared.Before.U, shared.After.U, shared.OffsetU = 0, 0, 1
	both, err := FromExchange(shared)
	if err != nil {
		t.Fatal(err)
	}
	if !(both.U < e.U) {
		t.Errorf("an offset of 1 shared by both readings gives U %v, independent errors of 0.2 give %v", both.U, e.U)
	}
	added := x
	added.AddedL = &units.Measured{Value: 70, U: 0.7}
	more, err := FromExchange(added)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "with 70 L added", float64(more.Volume), 60+70*k*9, 0.01)
}

func TestExchangeThatCannotBe(t *testing.T) {
	good := Exchange{RemovedL: units.Exact(60), Before: units.Exact(35), After: units.Exact(31.5), With: units.Exact(0), Temperature: 25, WithTemperature: 25}
	for name, c := range map[string]struct {
		change func(*Exchange)
		want   string
	}{
		"nothing removed":       {func(e *Exchange) { e.RemovedL.Value = 0 }, "litres removed are 0"},
		"endless removed":       {func(e *Exchange) { e.RemovedL.Value = math.Inf(1) }, "litres removed"},
		"nothing added":         {func(e *Exchange) { e.AddedL = &units.Measured{} }, "litres added are 0"},
		"wrong direction":       {func(e *Exchange) { e.After.Value = 36 }, "salinity after (36) must lie between before (35) and that of the water added (0)"},
		"no change":             {func(e *Exchange) { e.After.Value = 35 }, "must lie between"},
		"same as the new water": {func(e *Exchange) { e.After.Value = 0 }, "must lie between"},
		"negative salinity":     {func(e *Exchange) { e.With.Value = -1 }, "salinity of the water added is -1"},
		"hot system":            {func(e *Exchange) { e.Temperature = 60 }, "water before"},
		"hot new water":         {func(e *Exchange) { e.WithTemperature = 60 }, "water added"},
		"not a number":          {func(e *Exchange) { e.After.Value = math.NaN() }, "must lie between"},
		"negative uncertainty":  {func(e *Exchange) { e.After.U = -1 }, "the uncertainty of salinity after is -1"},
		"hopeless uncertainty":  {func(e *Exchange) { e.Before.U = 200; e.With.Value = 0 }, "too large"},
	} {
		e := good
		c.change(&e)
		if _, err := FromExchange(e); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got %v, want …%s…", name, err, c.want)
		}
	}
	blunt := good
	blunt.Before.U, blunt.After.U = 3, 3
	if e, err := FromExchange(blunt); err != nil || !e.Unreliable {
		t.Errorf("a change as large as its uncertainty: %+v, %v", e, err)
	}
	blunt.After.U = 9 // half of it moves the reading past the one before
	if e, err := FromExchange(blunt); err != nil || !e.Unreliable {
		t.Errorf("one side impossible: %+v, %v", e, err)
	}
	edge := good
	edge.Before, edge.After, edge.With = plusMinus(42, 1), units.Exact(38), units.Exact(1)
	if e, err := FromExchange(edge); err != nil || !e.Unreliable || e.U == 0 {
		t.Errorf("at the end of the scale: %+v, %v", e, err)
	}
}

// Waters of one salinity mix in temperature as their masses: heat capacity changes
// by less than a tenth of a percent between 10 and 25 °C.
func TestExchangeMovesTheTemperature(t *testing.T) {
	x := Exchange{RemovedL: units.Exact(60), Before: units.Exact(35), After: units.Exact(35), With: units.Exact(35), Temperature: 25, WithTemperature: 10}
	// Densities by TEOS-10 (python gsw 3.6.16): 1023.343 and 1026.954 kg/m³.
	cold, warm := 60*1026.954, 540*1023.343
	step, err := x.TemperatureStep(600)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "step", step, 15*cold/(cold+warm), 0.002)
	added := units.Exact(30)
	x.AddedL = &added
	if half, err := x.TemperatureStep(600); err != nil || !(half < step*0.55) {
		t.Errorf("half the water moves it by %v, %v", half, err)
	}
	if _, err := x.TemperatureStep(50); err == nil {
		t.Error("more out than there is")
	}
}

func TestExchangeBeyondTheStepIsCautioned(t *testing.T) {
	x := Exchange{RemovedL: units.Exact(60), Before: units.Exact(35), After: units.Exact(31.5), With: units.Exact(0), Temperature: 25, WithTemperature: 25}
	e, err := FromExchange(x)
	if err != nil {
		t.Fatal(err)
	}
	c, over := x.Caution(1, e.Volume)
	if !over || c.Step != 3.5 || c.Limit != 1 {
		t.Fatalf("caution %+v, %v", c, over)
	}
	// The exchange it names makes a step of exactly the limit.
	mix, err := mixing.Blend(mixing.Water{Volume: e.Volume - c.Largest, Salinity: 35, Temperature: 25}, mixing.Water{Volume: c.Largest, Temperature: 25})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "salinity after the largest exchange", float64(mix.Salinity), 34, 1e-9)
	if _, over := x.Caution(3.5, e.Volume); over {
		t.Error("a step at the limit is cautioned")
	}
}

func TestDoseRecoversTheVolume(t *testing.T) {
	// 640 L at 0.2 mg/L, 1280 mg in 2 L of solution: (640·0.2 + 1280)/642.
	d := Dose{MassMg: plusMinus(1280, 12.8), BeforeMgL: plusMinus(0.2, 0), AfterMgL: plusMinus((640*0.2+1280)/642, 0.05), InL: units.Exact(2)}
	e, err := FromDose(d)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "volume", float64(e.Volume), 640, 1e-9)
	rise := d.AfterMgL.Value - 0.2
	near(t, "U", float64(e.U), math.Hypot(12.8/rise, (640+2)/rise*0.05), 0.05)
	if e.Budget[0].What != "concentration after" {
		t.Errorf("largest %+v", e.Budget[0])
	}
	for _, bad := range []Dose{{}, {MassMg: units.Exact(1), BeforeMgL: units.Exact(-1)}, {MassMg: units.Exact(1), BeforeMgL: units.Exact(1), AfterMgL: units.Exact(1)}, {MassMg: units.Exact(1), AfterMgL: units.Exact(5), InL: units.Exact(1)}, {MassMg: units.Exact(math.Inf(1)), AfterMgL: units.Exact(5)}} {
		if e, err := FromDose(bad); err == nil {
			t.Errorf("%+v gives %v L", bad, e.Volume)
		}
	}
}

func TestSaltRecoversTheVolume(t *testing.T) {
	// Salt of dry fraction 0.9 into 500 L at 34, 25 °C, by mass.
	rho, err := salinity.Density(34, 25)
	if err != nil {
		t.Fatal(err)
	}
	mass := 500 * float64(rho) / 1000
	salt := 0.8
	s := (mass*float64(salinity.ReferenceSalinity(34))/1000 + salt*0.9) / (mass + salt)
	after := float64(salinity.PracticalFromReference(units.GramsPerKg(1000 * s)))
	d := SaltDose{MassKg: plusMinus(salt, 0.01), DryFraction: 0.9, Before: units.Exact(34), After: units.Exact(after), Temperature: 25, OffsetU: 0.5}
	e, err := FromSalt(d)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "volume", float64(e.Volume), 500, 1e-8)
	if !(e.U > 5 && e.U < 15) {
		t.Errorf("U %v", e.U)
	}
	// The caution names the salt that makes a step of just the limit.
	c, over := d.Caution(after-34, 500)
	if over {
		t.Errorf("a step at the limit is cautioned: %+v", c)
	}
	double := d
	double.After.Value = after + 1
	if c, over = double.Caution(after-34, 500); !over || !(math.Abs(c.LargestKg-salt) <= 1e-9) {
		t.Errorf("caution %+v, want %v kg", c, salt)
	}
	for _, change := range []func(*SaltDose){
		func(d *SaltDose) { d.MassKg.Value = 0 }, func(d *SaltDose) { d.DryFraction = 1.1 }, func(d *SaltDose) { d.DryFraction = math.NaN() }, func(d *SaltDose) { d.DryFraction = 0.02 },
		func(d *SaltDose) { d.After.Value = 34 }, func(d *SaltDose) { d.Temperature = -3 },
	} {
		bad := d
		change(&bad)
		if e, err := FromSalt(bad); err == nil {
			t.Errorf("%+v gives %v L", bad, e.Volume)
		}
	}
}

func TestWeightedMeanOfPublishedExample(t *testing.T) {
	// Three measurements of a resistance, 11 ± 1, 12 ± 1, 10 ± 3 (one standard
	// deviation), weighted: 11.42 ± 0.69. Taylor, An Introduction to Error
	// Analysis, section 7.3 (memory).
	c, err := Combine([]Estimate{{Method: "a", Volume: 11, U: 2}, {Method: "b", Volume: 12, U: 2}, {Method: "c", Volume: 10, U: 6}})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "mean", float64(c.Volume), 11.42, 0.005)
	near(t, "standard uncertainty", float64(c.U)/2, 0.69, 0.005)
	near(t, "weights", c.Weights[0]+c.Weights[1]+c.Weights[2], 1, 1e-12)
	if !c.Consistent || c.Method != "combined" {
		t.Errorf("%+v", c)
	}
}

// TestCombinationIsBetterThanItsPartsAndBetweenThem: estimates of one volume, each within its ± of it, agree
// and are better together than the best of them; of any volumes the combination lies between.
func TestCombinationIsBetterThanItsPartsAndBetweenThem(t *testing.T) {
	agreed := 0
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 14).Draw(t, "n")
		ofOne := rapid.Bool().Draw(t, "of one volume")
		var in []Estimate
		least, most, best := units.Litres(math.Inf(1)), units.Litres(0), units.Litres(math.Inf(1))
		for range n {
			e := Estimate{Method: "m", Volume: units.Litres(rapid.Float64Range(100, 1000).Draw(t, "volume")), U: units.Litres(rapid.Float64Range(1, 100).Draw(t, "U"))}
			if ofOne {
				// Half of U is a standard deviation, so that chi squared is at most n of n, and Birge's ratio 1.
				e.Volume = 500 + e.U/2*units.Litres(math.Sqrt(float64(n-1)/float64(n))*rapid.Float64Range(-1, 1).Draw(t, "off"))
			}
			in = append(in, e)
			least, most, best = min(least, e.Volume), max(most, e.Volume), min(best, e.U)
		}
		c, err := Combine(in)
		if err != nil {
			t.Fatal(err)
		}
		if !(c.Volume >= least-1e-9 && c.Volume <= most+1e-9) {
			t.Fatalf("%v is not between %v and %v", c.Volume, least, most)
		}
		if ofOne {
			agreed++
			if !c.Consistent || !(c.U < best) {
				t.Fatalf("consistent %v, U %v of estimates of one volume, the best has %v: %+v", c.Consistent, c.U, best, in)
			}
		}
	})
	if agreed == 0 {
		t.Error("no combination of one volume was tried")
	}
}

func TestInconsistentEstimatesAreWidenedAndSaidSo(t *testing.T) {
	c, err := Combine([]Estimate{{Method: "walls", Volume: 640, U: 10}, {Method: "exchange", Volume: 540, U: 10}})
	if err != nil {
		t.Fatal(err)
	}
	if c.Consistent {
		t.Error("640 ± 10 and 540 ± 10 pass as consistent")
	}
	// Birge: chi squared is 2·(50/5)² = 200, so U = 10/√2 · √200 = 100.
	near(t, "U", float64(c.U), 100, 1e-9)
	if _, err := Combine([]Estimate{{Volume: 1, U: 1}}); err == nil {
		t.Error("one estimate was combined")
	}
	if _, err := Combine([]Estimate{{Method: "walls", Volume: 1}, {Volume: 1, U: 1}}); err == nil || !strings.Contains(err.Error(), "walls has no uncertainty") {
		t.Errorf("without uncertainty: %v", err)
	}
}

func TestVerdictAgainstTheWalls(t *testing.T) {
	walls := Estimate{Method: "walls", Volume: 640, U: 51}
	for _, c := range []struct {
		e             Estimate
		better, agree bool
	}{
		{Estimate{Volume: 600, U: 20}, true, true},
		{Estimate{Volume: 500, U: 20}, true, false},
		{Estimate{Volume: 630, U: 80}, false, true},
		{Estimate{Volume: 600, U: 20, Unreliable: true}, false, true},
		{Estimate{Volume: 640}, false, true},
	} {
		got := c.e.Against(walls)
		if got.Better != c.better || got.Agree != c.agree {
			t.Errorf("%+v against the walls: %+v", c.e, got)
		}
	}
	if c := (Estimate{Volume: 1}).Against(Estimate{Volume: 2}); c.Agree || c.En != 0 {
		t.Errorf("two exact estimates that differ: %+v", c)
	}
	if c := (Estimate{Volume: 1, U: 1}).Against(Estimate{Volume: 2}); !c.Better || !c.Agree {
		t.Errorf("against walls without uncertainty: %+v", c)
	}
}
