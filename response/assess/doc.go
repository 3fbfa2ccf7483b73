// Package assess sets a laboratory report beside natural seawater at the system's
// salinity, the published criteria and the keeper's own targets, orders the
// results by concern, and asks the dilution planner for what brings all of them
// down at once.
//
// Criteria are written for wild waters; none is a limit set for captive animals.
package assess
