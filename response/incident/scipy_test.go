package incident

import (
	"bytes"
	"encoding/json"
	"math"
	"math/rand/v2"
	"os/exec"
	"path/filepath"
	"testing"

	"tidehold/refs/outside"
)

// scipyCase is one problem as .ci/refit_scipy.py reads it.
type scipyCase struct {
	Volume       float64     `json:"volume"`
	VolumeU      float64     `json:"volume_u"`
	Doses        [][]float64 `json:"doses"`
	Observations [][]float64 `json:"observations"`
	Model        Explanation `json:"model"`
	Rate         float64     `json:"rate"`
	RateSD       float64     `json:"rate_sd"`
}

func caseOf(s Series, m Explanation) scipyCase {
	c := scipyCase{Volume: s.VolumeL, VolumeU: s.VolumeU, Model: m, Rate: math.Log(PriorRatePerH), RateSD: priorRateSD, Doses: [][]float64{}}
	for _, d := range s.doses {
		c.Doses = append(c.Doses, []float64{d.atH, d.litres, d.newUgL})
	}
	for _, o := range s.observations(nil) {
		below := 0.0
		if o.below {
			below = 1
		}
		c.Observations = append(c.Observations, []float64{o.at.atH, float64(o.at.doses), o.ugL, o.sd, below})
	}
	return c
}

// TestRefitAgainstSciPy fits simulated incidents with SciPy's trust-region least squares
// and a matrix exponential (.ci/refit_scipy.py), values and standard errors.
func TestRefitAgainstSciPy(t *testing.T) {
	if testing.Short() {
		t.Skip("SciPy takes a second to start")
	}
	r := rand.New(rand.NewPCG(20261125, 14))
	var cases []scipyCase
	var ours []Fit
	for len(cases) < 20 {
		s := simulated(r).series
		for k, m := range s.models() {
			if len(s.Samples) < len(m.free)+1 {
				continue // no longer held by the data alone: valleys are flat
			}
			f := s.fit(s.observations(nil), s.models()[k], nil)
			cases, ours = append(cases, caseOf(s, m.name)), append(ours, f)
		}
	}
	in, err := json.Marshal(cases)
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command("/usr/bin/python3", filepath.Join("..", "..", ".ci", "refit_scipy.py"))
	cmd.Stdin = bytes.NewReader(in)
	out, err := cmd.Output()
	if err != nil {
		outside.Missing(t, "SciPy did not run (Debian's python3-scipy is needed): %v", err)
	}
	var theirs []map[string]json.RawMessage
	if err := json.Unmarshal(out, &theirs); err != nil || len(theirs) != len(ours) {
		t.Fatalf("%d fits of %d: %v", len(theirs), len(ours), err)
	}
	worst := map[string]float64{}
	compared, edges := 0, 0
	for i, f := range ours {
		var cost float64
		if err := json.Unmarshal(theirs[i]["cost"], &cost); err != nil {
			t.Fatal(err)
		}
		// The same least sum of squares, or a better one.
		if f.ChiSquare > cost*(1+1e-6)+1e-6 {
			t.Errorf("case %d, %s: sum of squares %.9g, SciPy %.9g", i, f.Explanation, f.ChiSquare, cost)
		}
		if f.theta[pRatio] == 0 && f.Explanation == ComingBack || f.theta[pClean] == 0 && f.Explanation == TakenOut {
			edges++ // at the edge there is no gradient to compare standard errors by
			continue
		}
		for _, p := range []struct {
			name string
			got  Fitted
		}{{"start", f.Start}, {"volume", f.VolumeL}, {"source", f.SourceMgH}, {"ratio", f.Ratio}, {"clean", f.CleanedLH}} {
			var want *[2]float64
			if err := json.Unmarshal(theirs[i][p.name], &want); err != nil {
				t.Fatal(err)
			}
			if want == nil {
				continue
			}
			// A value is right to a thousandth of its standard error, and that to a
			// thousandth of itself: what a central difference of either side is good for.
			compared++
			off, se := math.Abs(p.got.Value-want[0])/want[1], math.Abs(p.got.SE/want[1]-1)
			worst[p.name] = math.Max(worst[p.name], math.Max(off, se))
			if !(off < 2e-3 && se < 2e-3) && f.ChiSquare > cost*(1-1e-6)-1e-6 {
				t.Errorf("case %d, %s: %s %v ± %v, SciPy %v ± %v", i, f.Explanation, p.name, p.got.Value, p.got.SE, want[0], want[1])
			}
		}
	}
	if compared < 30 {
		t.Errorf("only %d values compared", compared)
	}
	t.Logf("%d fits, %d values and standard errors compared, %d at an edge; worst by parameter, in standard errors: %v", len(ours), compared, edges, worst)
}
