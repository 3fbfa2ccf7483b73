package schedule

import (
	"fmt"
	"math"
	"testing"

	"tidehold/refs/outside"
)

// What a keeper would not do, whatever it gains: the search is free to, and did. A plan mixed 56 L of
// new water seven times and poured it away, to be rid of cold purified water; another stirred 4 g of
// salt into 315 L; of others a row said to pour 0 L away, or 52 L for nothing.
func TestNoPlanDoesWhatNobodyWould(t *testing.T) {
	n := 0
	for name, seeds := range map[string]uint64{"harsh": 3, "small": 14, "smooth": 6} {
		for seed := range seeds {
			if outside.UnderRace && seed > 2 {
				break
			}
			p := alteredProblem(t, name, seed)
			f := p.solve(fewNodes, new(search))
			n += p.sane(t, fmt.Sprintf("%s %d", name, seed), f.moves)
		}
	}
	for _, name := range []string{"cold-purified", "nothing-to-pour", "poured-for-nothing"} {
		s := siteOf(t, name)
		d, err := Demands(s)
		if err != nil {
			t.Fatal(err)
		}
		pl, err := New(s, mornings)
		if err != nil {
			t.Fatal(err)
		}
		p, err := pl.problem(&d[0], Options{Explain: true}.withDefaults(s), nil)
		if err != nil {
			t.Fatal(err)
		}
		f := p.solve(fewNodes, new(search))
		n += p.sane(t, name, f.moves)
	}
	if n < 20 && !outside.UnderRace {
		t.Errorf("%d works on a vat were looked at", n)
	}
}

// sane looks at every work on a vat of a plan, and returns how many there are.
func (p *problem) sane(t *testing.T, name string, moves []move) (works int) {
	t.Helper()
	var s state
	s.copyFrom(&p.start)
	untouched := map[int]bool{}                // vats with a batch that nothing was drawn of
	used, lastH := map[int]int{}, math.Inf(-1) // the last move that has to do with a vat
	for k := range moves {
		if m := &moves[k]; m.kind != toChange {
			used[m.job.vat] = k
		}
		for _, d := range moves[k].change.draws {
			used[d.vat] = k
		}
	}
	poured := map[int]bool{} // at this moment
	for k := range moves {
		m := &moves[k]
		if m.atH > lastH+slackH {
			poured, lastH = map[int]bool{}, m.atH
		}
		if m.kind == toChange {
			for _, d := range m.change.draws {
				untouched[d.vat], poured[d.vat] = false, false
			}
		}
		if m.kind == toWork {
			works++
			for s.atH < m.atH {
				if next, _ := p.nextMoment(&s); next > m.atH || !p.advance(&s) {
					p.passTo(&s, m.atH)
				}
			}
			v, j := &s.vats[m.job.vat], m.job
			if untouched[j.vat] && j.removeL > v.volL/2+1e-9 {
				t.Errorf("%s, move %d: %g of %g L are poured away, a batch that nothing was drawn of", name, k, j.removeL, v.volL)
			}
			if away := j.removeL; !j.correct && away > leastDrawL && away < v.volL/100 && j.batchL <= 0 {
				t.Errorf("%s, move %d: %g of %g L are poured away, and nothing else done", name, k, away, v.volL)
			}
			if by := math.Abs(v.s-p.tank.own.s) * j.way(); j.correct && j.batchL <= 0 && by < 0.1-1e-9 {
				t.Errorf("%s, move %d: the salinity is corrected by %g", name, k, by)
			}
			if only := j.batchL <= 0 && !j.correct; only && poured[j.vat] {
				t.Errorf("%s, move %d: vat %d is poured away from twice at %g h", name, k, j.vat, m.atH)
			} else {
				poured[j.vat] = only
			}
			if !j.correct && j.batchL <= 0 && used[j.vat] == k {
				t.Errorf("%s, move %d: %g L of vat %d are poured away for nothing", name, k, j.removeL, j.vat)
			}
			untouched[j.vat] = j.batchL > 0
		}
		took := p.follow(&s, m)
		if j := m.job; m.kind == toWork && j.removeL <= leastDrawL && j.batchL <= 0 && took.pureL == 0 && took.saltKg == 0 {
			t.Errorf("%s, move %d: nothing is done to vat %d at %g h", name, k, j.vat, m.atH)
		}
	}
	return works
}

// Where something is added, water that is there is not kept back for days, until a change takes out more
// of it: what lives in the system would meet ever more.
func TestWaterIsNotKeptForTheEnd(t *testing.T) {
	short := 0
	for k, row := range readTight(t) {
		if !outside.Tried(k, 3) {
			continue
		}
		p := row.problem(t)
		if p.aims[0].dynamics.Source.MgH <= 0 {
			continue
		}
		f := p.solve(fewNodes, new(search))
		if !math.IsInf(f.score.finishH, 1) || len(f.moves) == 0 {
			continue
		}
		short++
		lastH := p.start.atH
		for k := range f.moves {
			if m := &f.moves[k]; m.kind == toChange {
				// A limit per day may hold the next one up for a day; here nothing is waited for.
				if day := 24.0; len(p.works.comes) == 0 && p.works.rateLH == 0 && m.atH > lastH+day+p.tank.everyH {
					t.Errorf("%s %d: no change from %g to %g h", row.traits, row.seed, lastH, m.atH)
				}
				lastH = m.atH
			}
		}
	}
	if short < 2 {
		t.Errorf("%d plans fell short", short)
	}
}
