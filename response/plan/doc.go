// Package plan holds the words of a water-change plan: what is to be brought down
// (Aim, Demand), what is done about it (Plan, Step, Draw, Batch, Prepare) and what
// holds it back (Limit). It is the one form in which a plan is handed on: ready,
// dilute, assess, incident and the cards show the same Plan.
//
// There is no algorithm here: package schedule makes plans, package dilution the
// closed forms. All times are hours after the event begins, all volumes litres, all
// concentrations µg/L or, for a share to remove, shares of the start.
package plan
