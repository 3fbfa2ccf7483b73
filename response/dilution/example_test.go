package dilution_test

import (
	"fmt"

	"tidehold/refs/units"
	"tidehold/response/dilution"
)

// Half of it changed three times leaves an eighth.
func ExampleAfterChanges() {
	fmt.Println(dilution.AfterChanges(80, 0, 0.5, 3))
	// Output: 10
}

// A quarter at a time from 60 to 3.1 µg/L, with new water that brings 1: 0.75^12 of the
// excess of 59 is 1.87, 0.75^11 is 2.49.
func ExampleChangesNeeded() {
	n, ok := dilution.ChangesNeeded(60, 3.1, 1, 0.25)
	fmt.Println(n, ok)
	// Output: 12 true
}

// Running one tank volume through leaves 1/e, 36.8 %, where one change of all leaves none:
// the mixing of a stirred vessel (first-order washout).
func ExampleAfterExchange() {
	fmt.Printf("%.1f %%\n", dilution.AfterExchange(100, 0, 1))
	// Output: 36.8 %
}

// 640 L with 60 µg/L of copper, 45 % at the most out at once, new water with 1 µg/L:
// full-size changes and a trimmed last one take the least water.
func ExampleProblem_Plan() {
	p := dilution.Problem{
		Volume: units.Exact(640), ChangeL: 288, Trim: true, EveryH: 4,
		Contaminants: []dilution.Contaminant{{Name: "copper", Start: units.Exact(60), Target: 3.1, New: units.Exact(1)}},
	}
	plan, err := p.Plan()
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range plan.Steps {
		fmt.Printf("%d. after %2.0f h: %3.0f L, %4.1f -> %4.1f µg/L\n", s.N, s.AtH, s.RemoveL, s.Before, s.After)
	}
	// Output:
	// 1. after  0 h: 288 L, 60.0 -> 33.5 µg/L
	// 2. after  4 h: 288 L, 33.5 -> 18.8 µg/L
	// 3. after  8 h: 288 L, 18.8 -> 10.8 µg/L
	// 4. after 12 h: 288 L, 10.8 ->  6.4 µg/L
	// 5. after 16 h: 288 L,  6.4 ->  4.0 µg/L
	// 6. after 20 h: 187 L,  4.0 ->  3.1 µg/L
}

// A laboratory's result against a target, its ± counted (JCGM 106, guard band of U).
func ExampleJudge_result() {
	fmt.Println(dilution.Judge(2.5, 0.4, 3.1, false), dilution.Judge(3.0, 0.4, 3.1, false), dilution.Judge(4.0, 0.4, 3.1, false))
	// Output: below undecided above
}
