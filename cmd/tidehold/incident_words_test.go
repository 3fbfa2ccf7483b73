package main

import (
	"strings"
	"testing"

	"tidehold/response/incident"
)

// What the results say is said in one sentence, which claims no more than is known.
func TestWhatTheResultsSay(t *testing.T) {
	one, two := incident.Series{Samples: make([]incident.Sample, 1)}, incident.Series{Samples: make([]incident.Sample, 2)}
	chosen := &incident.Fit{}
	chosen.SourceMgH.Value, chosen.SourceMgH.SE, chosen.CleanedLH.Value = 0.84, 0.1, 120
	for want, f := range map[string]incident.Finding{
		"The results are what the changes alone explain.":                                                        {Series: two, Explanation: incident.Dilution},
		"Something is still adding it: 0.84 ± 0.20 mg/h. Find it and stop it.":                                   {Series: two, Explanation: incident.StillAdding, Chosen: chosen},
		"It is coming back from rock and sand: changes will be needed for longer.":                               {Series: two, Explanation: incident.ComingBack},
		"More is taken out than the changes explain, as carbon or resin cleaning 120 L/h would.":                 {Series: two, Explanation: incident.TakenOut, Chosen: chosen},
		"More comes in than the changes explain; a source and rock that gives it back cannot be told apart yet.": {Series: two, MoreIn: true},
		"Less is there than the changes explain; why cannot be told yet.":                                        {Series: two, LessIn: true},
		"One result: it sets the start, and cannot yet say whether anything else acts.":                          {Series: one},
		"Whether anything but the changes acts cannot be told yet.":                                              {Series: two},
	} {
		if got := explanationText(f); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// What was measured is drawn beside what was predicted, once there is a result; and whoever's tank is open beside is
// named, once one is.
func TestOnlyWhatIsThereIsShownOfANight(t *testing.T) {
	for _, c := range []struct {
		commands    []string
		drawn, more bool
	}{
		{brokenHeater[:2], false, false},
		{brokenHeater[:3], true, false},
		{append(brokenHeater[:1:1], "incident open pool-spill --at 2026-11-25T03:10:00Z"), false, true},
	} {
		siteFile := nightAt(t, c.commands...)
		code, out, errs := onSite(siteFile, "incident status --all --at 2026-11-25T03:30:00Z --system hall-reef")
		if code != exitNo {
			t.Fatalf("exit %d: %s", code, errs)
		}
		out = strings.Join(strings.Fields(out), " ")
		if drawn := strings.Contains(out, "Predicted and measured"); drawn != c.drawn {
			t.Errorf("%v: drawn %v", c.commands, drawn)
		}
		if more := strings.Contains(out, "Planned together with"); more != c.more {
			t.Errorf("%v: planned together %v\n%s", c.commands, more, out)
		}
	}
}
