package schedule

import (
	"fmt"
	"testing"

	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// many is a site of n systems that share a few stores, three events each: one that is
// covered, one that needs a batch, one that is short.
func many(n, stores int) *site.Site {
	s := &site.Site{Mixing: site.Mixing{TimeH: 12, EmergencyTimeH: 2}, Reserve: site.Reserve{Saltwater: 60, Purified: 40}}
	for i := range stores {
		v := vatOf(fmt.Sprint("vat", i), 310, 440)
		v.Heel, v.HeaterW, v.Water.Temperature = 12, 300, 21
		s.Stores = append(s.Stores, v)
	}
	s.Stores = append(s.Stores, pureOf("pure", 150, 300))
	s.Salts = []site.Salt{houseSalt(42)}
	s.Purifier = &site.Purifier{RateLH: 9, RatedAt: 25, Feed: 12}
	for i := range n {
		sys := reef(500 + float64(i%7)*40)
		sys.ID, sys.NetVolumeU = fmt.Sprint("tank", i), units.Litres(40)
		s.Systems = append(s.Systems, sys)
		half, most := 0.3, 0.9
		s.Events = append(s.Events,
			site.Event{ID: fmt.Sprint("a", i), System: sys.ID, Remove: &half, WithinH: 24, Reheats: true},
			site.Event{ID: fmt.Sprint("b", i), System: sys.ID, Remove: &most, WithinH: 72, Reheats: true},
			site.Event{ID: fmt.Sprint("c", i), System: sys.ID, Contaminant: "copper", StartUgL: 60, StartUUgL: 6, TargetUgL: 3.1, WithinH: 72})
	}
	return s
}

func BenchmarkThousandSystems(b *testing.B) {
	for _, stores := range []int{2, 1000} {
		b.Run(fmt.Sprintf("stores=%d", stores), func(b *testing.B) {
			s := many(1000, stores)
			b.ReportAllocs()
			for b.Loop() {
				p, err := New(s, noon)
				if err != nil {
					b.Fatal(err)
				}
				for i := range s.Events {
					e := &s.Events[i]
					a, _ := aimOf(e)
					if _, err := p.Run([]plan.Demand{{System: &s.Systems[i/3], Aims: []plan.Aim{a}, Reheats: e.Reheats}}, Options{}); err != nil {
						b.Fatal(err)
					}
				}
			}
		})
	}
}

// BenchmarkPlan is one plan of each kind.
func BenchmarkPlan(b *testing.B) {
	s := many(1, 2)
	p, err := New(s, noon)
	if err != nil {
		b.Fatal(err)
	}
	for i, what := range []string{"covered", "batches", "copper without reheating"} {
		b.Run(what, func(b *testing.B) {
			a, _ := aimOf(&s.Events[i])
			d := []plan.Demand{{System: &s.Systems[0], Aims: []plan.Aim{a}, Reheats: s.Events[i].Reheats}}
			b.ReportAllocs()
			nodes := 0
			for b.Loop() {
				out, err := p.Run(d, Options{})
				if err != nil {
					b.Fatal(err)
				}
				nodes = out.Plans[0].Nodes
			}
			b.ReportMetric(float64(nodes), "nodes")
		})
	}
}
