package hazards

import (
	"slices"
	"strings"

	"tidehold/volumes/site"
)

// stop is a failure of a kind of equipment that a guard can stop; the equipment of an
// overfill is the purifier, which has no kind.
type stop struct {
	kind    site.EquipmentKind
	failure Failure
}

// guardKind is a kind of guard, the words it goes by in site files, and what it can
// stop. Nothing stops a heater that is off, one that breaks, a seam or the mains.
type guardKind struct {
	name  string
	words []string
	stops []stop
}

// The kinds of guard in the order they are looked for: what only warns comes first,
// so that a high-limit alarm is not taken for a high-limit cut-out.
var guardKinds = []guardKind{
	{"alarm", []string{"alarm", "alert", "notification"}, nil},
	{"ground-fault device", []string{"gfci", "rcd", "rcbo", "ground-fault", "ground fault"}, nil},
	{"low-limit cut-out", []string{"low-limit", "low limit"}, []stop{{site.Chiller, StuckOn}}},
	{"high-limit cut-out", []string{"high-limit", "high limit", "cut-out", "cutout", "cut out", "over-temperature", "thermal fuse", "thermostat"}, []stop{{site.Heater, StuckOn}}},
	{"leak shutoff", []string{"leak", "shutoff", "shut-off"}, []stop{{"", Overfill}, {site.Skimmer, Overflow}}},
	{"second float", []string{"float", "level switch", "level sensor", "optical"}, []stop{{site.TopOff, Overrun}, {"", Overfill}, {site.Skimmer, Overflow}}},
	{"run-time limit", []string{"run-time", "run time", "runtime", "timer", "dose limit"}, []stop{{site.TopOff, Overrun}, {site.Doser, Overrun}, {"", Overfill}}},
	{"controller", []string{"controller"}, []stop{{site.Heater, StuckOn}, {site.Chiller, StuckOn}, {site.TopOff, Overrun}, {site.Doser, Overrun}, {site.Skimmer, Overflow}, {"", Overfill}}},
}

// shuts are words of a device that acts, whatever else it is called: a leak alarm
// with shutoff does more than warn.
var shuts = []string{"shutoff", "shut-off", "cut-out", "cutout", "cut out"}

// ownControls are the bare names of a part's own control, which is what fails.
var ownControls = []string{"thermostat", "float", "float switch", "float valve", "timer"}

// kindOf finds the kind of guard that a site file's words mean; false for words that
// are not known here.
func kindOf(words string) (guardKind, bool) {
	words = strings.ToLower(words)
	has := func(list []string) bool {
		return slices.ContainsFunc(list, func(w string) bool { return strings.Contains(words, w) })
	}
	for _, k := range guardKinds {
		if len(k.stops) == 0 && has(shuts) {
			continue
		}
		if has(k.words) {
			return k, true
		}
	}
	return guardKind{}, false
}

// guardNames are the names of the kinds of guard that this package knows.
func guardNames() []string {
	out := make([]string, len(guardKinds))
	for i, k := range guardKinds {
		out[i] = k.name
	}
	return out
}

// guardable says that some kind of guard can stop a failure.
func guardable(s stop) bool {
	return slices.ContainsFunc(guardKinds, func(k guardKind) bool { return slices.Contains(k.stops, s) })
}

// unfit says why a guard of these words can do nothing against a failure, "" when it
// can.
func unfit(words string, against stop) string {
	if slices.Contains(ownControls, strings.ToLower(strings.TrimSpace(words))) {
		return "it is the part's own control, which is what fails"
	}
	k, known := kindOf(words)
	switch {
	case !known:
		return "what it stops is not known here"
	case !slices.Contains(k.stops, against):
		return "it cannot stop " + string(against.failure)
	}
	return ""
}
