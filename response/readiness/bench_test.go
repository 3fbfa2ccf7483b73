package readiness

import (
	"testing"

	"tidehold/volumes/site"
)

func BenchmarkDemo(b *testing.B) {
	s, faults := site.Load("demo.yaml", site.Demo())
	if s == nil {
		b.Fatal(faults)
	}
	for b.Loop() {
		if _, err := Judge(s, site.DemoDate(), Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
