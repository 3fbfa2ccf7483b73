package playbook

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"tidehold/refs/outside"
)

var (
	atPlugs  = regexp.MustCompile(`(?i)\bunplug\b|\bpull (every|the|its)\b.*\bplugs?\b`)
	dryFirst = regexp.MustCompile(`(?i)\bdry (your )?hands\b|\bdry them\b|\b(if|only if|what is|is|are) dry\b|\bplugs? (is|are) dry\b`)
	// onWater are words that bring a hand to the water; fromOutside those that keep it off.
	onWater     = regexp.MustCompile(`(?i)^(if [^,]*, )?(hang|lay|drop|skim) [^.]*\b(on the surface|from the rim)\b`)
	fromOutside = regexp.MustCompile(`(?i)\bstick\b|\bby (its|a|the) (string|tube)\b|\bno hand in\b|\bhung from the rim\b`)
)

// Whoever stands at the plugs has had a hand at the tank: dry hands come before the plug, not
// behind it, on every card that sends people there.
func TestHandsAreDriedBeforeThePlug(t *testing.T) {
	outside.Alone(t)
	l := Builtin()
	pulled := 0
	for _, at := range slices.Concat(shippedSites(t), Corners(), []Profile{{}}) {
		for _, name := range append(l.Names(), "person-hurt", "power-off") {
			dry := false
			for _, ln := range linesOf(l.Fill(l.Find(name), &Facts{Profile: at})) {
				text := said(ln)
				dry = dry || dryFirst.MatchString(text)
				if ln.Kind == StepLine && atPlugs.MatchString(ln.Text) {
					if pulled++; !dry {
						t.Fatalf("%s: %q, and no hand is dry", name, ln.Text)
					}
				}
			}
		}
	}
	if pulled < 100 {
		t.Errorf("%d plugs are pulled", pulled)
	}
}

// Nothing is laid on the water or hung into it by hand while a device in it may be live.
func TestNoHandAtTheSurface(t *testing.T) {
	l := Builtin()
	laid := 0
	for _, at := range slices.Concat(shippedSites(t), Corners(), []Profile{{}}) {
		for _, name := range everyName() {
			proved := false
			for _, ln := range linesOf(l.Fill(l.Find(name), &Facts{Profile: at})) {
				proved = (proved || ln.Card == "power-off") && !hasEffect(ln.Effects, "energise mains")
				if ln.Kind != StepLine || proved || !onWater.MatchString(ln.Text) {
					continue
				}
				if laid++; !fromOutside.MatchString(ln.Text) {
					t.Errorf("%s: %q with the power on", name, ln.Text)
				}
			}
		}
	}
	if laid == 0 {
		t.Error("nothing is laid on the water any more")
	}
}

// A vat has a heater in it: where the power may be on, it is read in a jug.
func TestAVatIsReadInAJug(t *testing.T) {
	l := Builtin()
	all := Corners()[0]
	read := 0
	for _, name := range everyName() {
		off := false
		for _, ln := range linesOf(l.Fill(l.Find(name), &Facts{Profile: all})) {
			off = (off || hasEffect(ln.Effects, "cut mains")) && !hasEffect(ln.Effects, "energise mains")
			if off || !hasEffect(ln.Effects, "read salinity vat") && !hasEffect(ln.Effects, "read temperature vat") {
				continue
			}
			if read++; !strings.Contains(ln.Text, "jug") {
				t.Errorf("%s: %q, its heater may be on", name, ln.Text)
			}
		}
	}
	if read < 3 {
		t.Errorf("a vat is read with the power on in %d steps", read)
	}
}
