package schedule

import (
	"math"
	"testing"

	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// Each batch says which salt, and how much of it: as much as there is of the first, then the
// second, and the sum is the batch's salt. A delivery on the way is of the first.
func TestABatchNamesItsSalts(t *testing.T) {
	s := twoSalts(0, 35, 25, 2, 40)
	s.Deliveries = []site.Delivery{{AfterH: 3, SaltKg: 1.5}}
	p := planFor(t, s, []plan.Demand{{System: &s.Systems[0], Aims: []plan.Aim{copperAim}}})
	if len(p.Batches) == 0 {
		t.Fatal("no batch")
	}
	of := map[string]float64{}
	for _, b := range p.Batches {
		sum := 0.0
		for _, x := range b.Salts {
			of[x.ID] += x.Kg
			sum += x.Kg
			if !x.Named {
				t.Errorf("batch %d: %+v is not named, of two salts", b.N, x)
			}
		}
		close2(t, "salts of a batch", sum, b.SaltKg, 1e-6)
	}
	if first := p.Batches[0].Salts; first[0].ID != "salt0" || !(math.Abs(first[0].Kg-2) <= 1e-9) || len(first) != 2 {
		t.Errorf("first batch: %+v, want the 2 kg of salt0 and then salt1", first)
	}
	if of["salt0"] > 3.5+1e-9 || of["salt1"] <= 0 {
		t.Errorf("%v poured of 3.5 kg of the first", of)
	}
	s = twoSalts(0, 35, 25, 40, 40)
	s.Salts = s.Salts[:1]
	one := planFor(t, s, []plan.Demand{{System: &s.Systems[0], Aims: []plan.Aim{copperAim}}})
	if b := one.Batches[0]; len(b.Salts) != 1 || b.Salts[0].Named || !(math.Abs(b.Salts[0].Kg-b.SaltKg) <= 1e-9) {
		t.Errorf("one salt: %+v", b)
	}
}
