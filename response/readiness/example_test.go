package readiness_test

import (
	"fmt"
	"time"

	"tidehold/response/readiness"
	"tidehold/volumes/site"
)

// The smallest site file there is: 150 L cannot take half out of 400 L.
func ExampleJudge() {
	s, faults := site.Load("site.yaml", []byte(`format: 1
systems: [{id: tank, net_volume: 400 L}]
stores: [{id: vat, holds: saltwater, volume: 150 L}]
`))
	if s == nil {
		fmt.Println(faults[0])
		return
	}
	r, err := readiness.Judge(s, time.Date(2026, 11, 25, 3, 0, 0, 0, time.UTC), readiness.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r.Verdict, len(r.Events), r.Events[0].System)
	// Output: short 1 tank
}
