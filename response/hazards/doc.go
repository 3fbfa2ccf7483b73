// Package hazards asks each piece of a site's equipment how far it could go
// wrong, how fast, and how much water undoing it would take.
//
// Every failure is taken unguarded, at the worse of the site's coldest and
// hottest room, in the smallest volume the stated uncertainty allows. A part's
// own control (thermostat, float, timer) is what fails: it is no guard. A guard
// counts as a layer only if it acts independently and was tested within a year.
//
// Where a number needs something the site file does not say, it is left out and
// the hazard says what to measure: nothing is guessed.
package hazards
