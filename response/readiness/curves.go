package readiness

import "tidehold/response/figure"

// Curves are running totals of litres over the hours after the event begins.
type Curves struct {
	// Needed is what full-size changes at the shortest interval would take were
	// all water ready; Available what there is to take; Used what the plan takes.
	Needed    []figure.Total `json:"needed"`
	Available []figure.Total `json:"available"`
	Used      []figure.Total `json:"used"`
}
