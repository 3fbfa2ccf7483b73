package main

import (
	"strings"
	"testing"

	"tidehold/volumes/site"
)

// An incident is an event of the site, or has a name of its own of up to 200 bytes: then half is to be changed in a day.
func TestWhatAnIncidentOpensWith(t *testing.T) {
	load := func(systems string) *site.Site {
		s, faults := site.Load("site.yaml", []byte("format: 1\nsystems: ["+systems+"]\nstores: [{id: vat, holds: saltwater, volume: 150 L}]\n"+
			"events: [{id: spill, system: tank, playbook: unknown-substance, remove: 40 %, within: 6 h}, {id: heater, system: tank, playbook: heater-break, contaminant: copper, start: 60 ug/L ± 5 ug/L, target: 5 ug/L, within: 48 h, source: 2 mg/h}]\n"))
		if s == nil {
			t.Fatal(faults)
		}
		return s
	}
	one, two := load("{id: tank, net_volume: 400 L}"), load("{id: tank, net_volume: 400 L}, {id: pool, net_volume: 200 L}")
	long := "what was it " + strings.Repeat("x", 188)
	for _, c := range []struct {
		s            *site.Site
		name, system string
		says         string // of the error; "": none
	}{
		{one, "spill", "", ""}, {one, "spill", "tank", ""}, {two, "spill", "pool", "leave --system out"}, {one, " heater ", "", ""},
		{one, "", "", "1 to 200 bytes"}, {one, long, "", ""}, {one, long + "x", "", "1 to 200 bytes"},
		{one, "spil", "", `did you mean "spill"`}, {one, "spil on tank", "", ""}, {two, "something odd", "", "say --system: tank, pool"}, {two, "something odd", "pool", ""}, {two, "something odd", "pol", `did you mean "pool"`},
	} {
		o, err := opening(c.s, c.name, c.system)
		if c.says != "" {
			if err == nil || !strings.Contains(err.Error(), c.says) {
				t.Errorf("%q on %q: %v, want %q", c.name, c.system, err, c.says)
			}
			continue
		}
		if err != nil || len(o.Aims) != 1 {
			t.Errorf("%q on %q: %v", c.name, c.system, err)
			continue
		}
		a := o.Aims[0]
		switch o.Name {
		case "spill":
			if !o.Event || a.Remove != 0.4 || a.WithinH != 6 || o.System != "tank" {
				t.Errorf("%+v", o)
			}
		case "heater":
			if !o.Event || a.Contaminant != "copper" || a.Start != 60 || a.StartU != 5 || a.Target != 5 || a.SourceMgH != 2 || a.WithinH != 48 || a.Remove != 0 {
				t.Errorf("%+v", o)
			}
		default:
			if o.Event || a.Remove != 0.5 || a.WithinH != 24 || c.system != "" && o.System != c.system {
				t.Errorf("%+v", o)
			}
		}
	}
}
