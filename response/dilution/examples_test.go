package dilution

import (
	"math"
	"regexp"
	"strconv"
	"testing"

	"tidehold/refs/outside"
)

// example is a row of testdata/tables/dilution_examples.csv: published purge,
// ballast, diafiltration and mixing figures, each with its source beside it.
type example struct {
	t        *testing.T
	id, kind string
	inputs   string
}

// number reads what stands behind "name=" in the inputs.
func (e example) number(name string) float64 {
	e.t.Helper()
	m := regexp.MustCompile(`(?:^|[ ;])` + regexp.QuoteMeta(name) + `=([0-9.]+)`).FindStringSubmatch(e.inputs)
	if m == nil {
		e.t.Fatalf("%s: inputs %q do not give %s", e.id, e.inputs, name)
	}
	return outside.Number(e.t, m[1])
}

// formulas claims the kinds of example, in the unit of the row.
var formulas = map[string]func(e example) float64{
	// Minutes of purging at Q/V per hour until a fraction is left.
	"continuous_time": func(e example) float64 {
		rate, left, factor := 0.0, 0.01, 1.0
		switch e.id {
		case "mixing_factor": // "99 %; mixing factor 10": the perfect-mixing time times 10
			rate, factor = e.number("Q/V"), 10
		default:
			rate, left = e.number("Q/V"), e.number("C2/C1")
		}
		d := Dynamics{VolumeL: 1, ExchangeLH: rate}
		hours, ok := d.FirstBelow(d.Start(1), left, math.Inf(1))
		if !ok {
			e.t.Fatalf("%s: never reached", e.id)
		}
		volumes, _ := ExchangeNeeded(1, left, 0)
		if !(math.Abs(volumes/rate-hours) <= 1e-8*hours) {
			e.t.Errorf("%s: ExchangeNeeded gives %v h, FirstBelow %v h", e.id, volumes/rate, hours)
		}
		return hours * 60 * factor
	},
	"continuous_fraction": func(e example) float64 {
		name := "volumes/V"
		if regexp.MustCompile(`^volumes pumped`).MatchString(e.inputs) {
			name = "volumes pumped/V"
		}
		return 100 * (1 - AfterExchange(1, 0, e.number(name)))
	},
	// A solute of which 25 % is held back leaves as if only 75 % of the flow were
	// cleaned: media with a single pass of 75 %.
	"continuous_fraction_partial": func(e example) float64 {
		d := Dynamics{VolumeL: 1, ClearanceLH: e.number("removal efficiency")}
		return 100 * (1 - d.After(d.Start(1), e.number("volumes/V")).UgL)
	},
	"batch_fraction": func(e example) float64 {
		return 100 * AfterChanges(1, 0, e.number("fraction per exchange"), int(e.number("exchanges")))
	},
	// Concentrating twofold and refilling, with a quarter held back: each time ln 2
	// volumes leave at 75 % of the concentration.
	"batch_fraction_partial": func(e example) float64 {
		return 100 * (1 - AfterExchange(1, 0, e.number("exchanges")*math.Log(e.number("dilution"))*0.75))
	},
	"continuous_with_inflow": func(e example) float64 {
		flow := regexp.MustCompile(`flow ([0-9.]+)`).FindStringSubmatch(e.inputs)
		q, err := strconv.ParseFloat(flow[1], 64)
		if err != nil {
			e.t.Fatal(err)
		}
		d := Dynamics{VolumeL: e.number("V"), ExchangeLH: q, ExchangeUgL: e.number("c_in")}
		at := 1e6 // "as t->inf"
		if regexp.MustCompile(`; t=`).MatchString(e.inputs) {
			at = e.number("t")
		}
		return d.VolumeL * d.After(d.Start(e.number("Q0")/d.VolumeL), at).UgL
	},
	// The published 305 s comes from one-second batch steps; the exponential law
	// gives 307.0 s. Both are checked.
	"step_flush": func(e example) float64 {
		share := 0.15 / e.number("V")
		if volumes, _ := ExchangeNeeded(1, 0.01, 0); !(math.Abs(volumes/share-307.0) <= 0.05) {
			e.t.Errorf("%s: the exponential law gives %v s, want 307.0", e.id, volumes/share)
		}
		n, ok := ChangesNeeded(1, 0.01, 0, share)
		if !ok {
			e.t.Errorf("%s: never reached", e.id)
		}
		return float64(n)
	},
	"batch_with_background": func(e example) float64 {
		return AfterChanges(e.number("C0"), e.number("c_in"), e.number("f"), int(e.number("n")))
	},
	"batch_solve_n": func(e example) float64 {
		n, ok := ChangesNeeded(e.number("C0"), e.number("target"), e.number("c_in"), e.number("f"))
		if !ok {
			e.t.Errorf("%s: never reached", e.id)
		}
		return float64(n)
	},
	// P mg/d into Q L/d of clean-up: the limit of a constant source under exchange,
	// from mg/d, L/d and mg/L.
	"steady_source": func(e example) float64 {
		d := Dynamics{VolumeL: 10, Source: Source{MgH: e.number("P") / 24}, ExchangeLH: e.number("Q") / 24, ExchangeUgL: e.number("c_in") * 1000}
		return d.After(d.Start(0), 1e5).UgL / 1000
	},
	"batch_vs_continuous": func(e example) float64 {
		for _, c := range []struct{ got, want float64 }{
			{AfterExchange(100, 0, 1), 36.79}, {AfterChanges(100, 0, 0.1, 10), 34.87}, {AfterChanges(100, 0, 1, 1), 0},
		} {
			if !(math.Abs(c.got-c.want) <= 0.005) {
				e.t.Errorf("%s: %v left, want %v", e.id, c.got, c.want)
			}
		}
		return AfterChanges(100, 0, 0.5, 2)
	},
}

func TestPublishedExamples(t *testing.T) {
	rows := outside.Table(t, "../../testdata/tables/dilution_examples.csv")
	used := map[string]int{}
	worst, worstID := 0.0, ""
	for _, row := range rows {
		id, kind, inputs, quantity := row.Text("id"), row.Text("formula_kind"), row.Text("inputs"), row.Text("quantity")
		want, tolerance := row.Number("expected"), row.Number("tolerance")
		if !(tolerance >= 0 && tolerance <= 1) {
			t.Errorf("%s: tolerance %g, want 0 to 1", id, tolerance)
		}
		formula, ok := formulas[kind]
		if !ok {
			t.Errorf("%s: no formula claims the kind %q", id, kind)
			continue
		}
		used[kind]++
		got := formula(example{t, id, kind, inputs})
		if kind == "batch_fraction" && quantity == "percent removed" {
			got = 100 - got
		}
		off := math.Abs(got - want)
		if !(off <= tolerance+1e-9) {
			t.Errorf("%s: %s with %s = %v, want %v ± %v %s (%s)", id, quantity, inputs, got, want, tolerance, row.Text("unit"), row.Text("source"))
		}
		if tolerance > 0 && off/tolerance > worst {
			worst, worstID = off/tolerance, id
		}
	}
	for kind := range formulas {
		if used[kind] == 0 {
			t.Errorf("the formula for %q has no row", kind)
		}
	}
	if len(rows) < 100 {
		t.Errorf("only %d rows compared", len(rows))
	}
	t.Logf("%d rows; the worst, %s, uses %.0f %% of its tolerance", len(rows), worstID, 100*worst)
}
