package site_test

import (
	"bytes"
	"testing"
	"time"

	"tidehold/volumes/site"
)

func TestStarterAndDemoLoadWithoutFault(t *testing.T) {
	for name, data := range map[string][]byte{"starter.yaml": site.Starter(), "demo.yaml": site.Demo()} {
		if _, faults := site.Load(name, data); len(faults) > 0 {
			t.Errorf("%v", faults)
		}
	}
}

// The demo shows what the tool finds, so something must be there to be found.
func TestDemoHasAnExpiredItemAnOverdueDrillAndAnOldVat(t *testing.T) {
	s, _ := site.Load("demo.yaml", site.Demo())
	now := site.DemoDate()
	var expired, overdue, old bool
	for _, k := range s.Kit {
		expired = expired || k.Expires != nil && k.Expires.Before(now)
	}
	for _, d := range s.Drills {
		overdue = overdue || d.Done.Add(time.Duration(d.EveryH)*time.Hour).Before(now)
	}
	for _, st := range s.Stores {
		old = old || st.Mixed != nil && now.Sub(*st.Mixed).Hours() > st.MaxAgeH
	}
	if !expired || !overdue || !old {
		t.Errorf("expired item %v, overdue drill %v, old vat %v; want all three", expired, overdue, old)
	}
	for _, c := range s.Contacts {
		if c.Name != "" || c.Phone != "" {
			t.Errorf("contact %q names someone", c.Role)
		}
	}
}

// A starter in a zone says so, in the line that has its comment, and loads; one without a zone is as it was.
func TestAStarterInAZone(t *testing.T) {
	for _, data := range [][]byte{site.Starter(), site.StarterFor(site.Answers{Volume: 400, Salinity: 35, Playbook: "heater-break"})} {
		if !bytes.Equal(site.InZone(data, ""), data) {
			t.Error("a starter without a zone is another")
		}
		for _, zone := range []string{"Atlantic/Azores", "America/Argentina/ComodRivadavia"} {
			there := site.InZone(data, zone)
			s, faults := site.Load("starter.yaml", there)
			if len(faults) > 0 || s.TimeZone.String() != zone || bytes.Count(there, []byte("# for clock times")) != 1 || len(bytes.Split(there, []byte("\n"))) != len(bytes.Split(data, []byte("\n"))) {
				t.Errorf("%s: %v", zone, faults)
			}
		}
	}
}
