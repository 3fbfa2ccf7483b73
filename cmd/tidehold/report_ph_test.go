package main

import (
	"testing"

	"tidehold/response/assess"
)

// A report's pH is taken where nobody says another and it is one: 0 to 14.
func TestTheReportsPHIsTakenWhereItIsOne(t *testing.T) {
	for _, pH := range []float64{-0.1, 0, 7.9, 14, 14.1} {
		var s sample
		s.phFrom(&assessOptions{ph: &quantityFlag{}}, assess.Report{PH: &pH})
		if taken := s.PH != nil; taken != (pH >= 0 && pH <= 14) || taken && (*s.PH != pH || len(s.assumptions) != 1) {
			t.Errorf("%g: %v, %v", pH, s.PH, s.assumptions)
		}
	}
	said, report := 8.1, 7.9
	o := assessOptions{ph: &quantityFlag{Given: true}}
	o.ph.Value = said
	var s sample
	if s.phFrom(&o, assess.Report{PH: &report}); s.PH == nil || *s.PH != said || len(s.assumptions) > 0 {
		t.Errorf("%v, %v", s.PH, s.assumptions)
	}
}
