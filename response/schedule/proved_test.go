package schedule

import (
	"math/rand/v2"
	"testing"

	"tidehold/refs/outside"
	"tidehold/response/plan"
)

// In houses whose water fits and comes in lots, where a plan is a flight of full and odd changes, the
// close bound knows what is best: most plans are proved, and the others lack few per cent. (By night, of
// small changes, and where the search has not found the best, there is a gap.)
func TestPlansOfWaterThatFitsAreProved(t *testing.T) {
	n, proved, gaps := 0, 0, 0.0
	for seed := range uint64(fewer(400, 1)) {
		r := rand.New(rand.NewPCG(seed, 412))
		s, d := smooth(r)
		if a := &d[0].Aims[0]; seed%2 == 1 { // the same of a contaminant
			*a = plan.Aim{Contaminant: "copper", Start: 60, Target: 60 * a.Target, WithinH: a.WithinH}
		}
		p := laid(t, s, d[0])
		f := p.solve(200, new(search))
		if f.score.exposure <= 0 {
			continue
		}
		n++
		share, ok := f.gap(p.closer(f.quick, f.score, f.moves))
		if gaps += share; ok {
			proved++
		}
	}
	if t.Logf("%d of %d are proved, the mean gap is %.2f %%", proved, n, 100*gaps/float64(n)); !outside.UnderRace && (100*proved < 57*n || gaps > 0.0262*float64(n)) {
		t.Errorf("%d of %d are proved, the mean gap is %.2f %%", proved, n, 100*gaps/float64(n))
	}
}
