// Package hazards asks each piece of a site's equipment how far it could go
// wrong, how fast, and how much water undoing it would take.
//
// Every failure is taken unguarded, at the worse of the site's coldest and
// hottest room, in the smallest volume the stated uncertainty allows. A part's
// own control (thermostat, float, timer) is what fails: it is no guard. A guard
// counts only against a failure that its kind can stop, if it acts independently of
// the part that fails and was tested within a year.
//
// Where a number needs something the site file does not say, it is left out and
// the hazard says what to measure: nothing is guessed.
//
//	question                                            file
//	who is hurt, and how soon; the order                rank.go
//	which guard stops which failure                     guards.go, guardkinds.go
//	heaters and chillers                                thermal.go, chiller.go
//	fresh water that runs on: top-off, skimmer          freshen.go
//	a doser that runs on; what 100 mL missing mean      doser.go
//	oxygen and temperature without power                oxygen.go, outage.go
//	how long batteries and generators last              standby.go, generator.go
//	water on the floor; weight on the floor             floor.go, load.go
//	numbers for the cards: ice, hours per degree, air   aids.go
package hazards
