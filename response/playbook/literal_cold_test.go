package playbook

import (
	"fmt"
	"strings"
	"testing"

	"tidehold/refs/outside"
	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// lab is a cold-water table in a warm room: what harms it is warmth, and its big vat is six
// degrees above it. Its two vats differ sixfold.
const lab = `systems:
  - id: cold-table
    net_volume: 260 L
    drawdown: 40 %
    change_every: 2 h
    water: {salinity: 32, temperature: 12 C, ph: 8.0}
    limits: {temperature_low: 6 C, temperature_high: 16 C, salinity_low: 28, salinity_high: 35}
    ambient: {usual: 20 C, coldest: 17 C, hottest: 26 C}
    equipment: [{id: cooler, kind: chiller, power: 600 W}, {id: flow, kind: return, power: 40 W}, {id: ups-1, kind: battery, energy: 400 Wh, feeds: [flow]}]
stores:
  - {id: ibc, holds: saltwater, capacity: 1000 L, volume: 700 L, heel: 40 L, salinity: 32, temperature: 18 C, transfer: 900 L/h}
  - {id: cold-keg, holds: saltwater, capacity: 120 L, volume: 110 L, heel: 3 L, salinity: 32, temperature: 12 C}
salts: [{id: drum, on_hand: 50 kg, dose: 37 g/L}]
events:
  - {id: poured, system: cold-table, playbook: wrong-thing-in, remove: 80 %, within: 24 h}
`

// A tank in a warm room warms when the power is off: the card looks at both ends, and says
// which way it goes.
func TestAColdTankIsWatchedForWarmth(t *testing.T) {
	s := siteOf(t, lab)
	for id, want := range map[string]string{"read": "6.0 to 16.0 °C", "long": "6.0 to 16.0 °C"} {
		if says := lineOf(t, s, "outage", id); !strings.Contains(says, want) {
			t.Errorf("%s: %q, the tank is too warm at 16 °C", id, says)
		}
	}
	page := Text(printedFor(t, s, "outage"))
	if strings.Contains(page, "Cold:") || !strings.Contains(page, "26.0 °C") {
		t.Errorf("it cools in a room of 17 to 26 °C:\n%s", page)
	}
	if says := lineOf(t, s, "change-water", "read-vat"); !strings.Contains(says, "6.0 to 16.0 °C") {
		t.Errorf("%q: a tank too warm is not seen", says)
	}
	if says := lineOf(t, s, "watch", "hot"); !strings.Contains(says, "ice") {
		t.Errorf("%q: there is no heater to unplug", says)
	}
	if page := Text(printedFor(t, siteOf(t, rest), "outage")); !strings.Contains(page, "Cold:") {
		t.Error("a warm tank in a cool room does not cool any more")
	}
}

// Warm water moves a cold tank as cold water moves a warm one: the small row counts on the
// farther side, and takes the water that the rows pour.
func TestWarmWaterIsKeptSmallToo(t *testing.T) {
	s := siteOf(t, lab)
	f, err := Gather(s, Request{Playbook: "wrong-thing-in", Units: s.Units, Printed: site.DemoDate()})
	if err != nil {
		t.Fatal(err)
	}
	if rise := *f.SmallChangeL / *f.NetL * (18 - 12); rise > 1.001*f.Limits.TemperatureStep {
		t.Errorf("%.0f L of 18 °C warm the tank by %.1f °C", *f.SmallChangeL, rise)
	}
	usable, _ := f.field("vat_usable")
	var saltLow, saltHigh, low, high float64
	if _, err := fmt.Sscanf(usable, "%g to %g salinity, %g to %g", &saltLow, &saltHigh, &low, &high); err != nil || high < 18 || low > 12 {
		t.Errorf("%q refuses the water of the rows: %v", usable, err)
	}
}

// The chiller that was unplugged because the water was cold goes in again, or the tank is as
// warm as the room; one whose plug was out is plugged in.
func TestTheChillerComesBack(t *testing.T) {
	s := siteOf(t, lab)
	for _, c := range []struct{ card, id string }{{"too-cold", "chiller-on"}, {"too-hot", "chiller-plug"}} {
		card := printedFor(t, s, c.card)
		ln := step(&card, c.id)
		if ln == nil || !hasEffect(ln.Effects, "energise chiller") {
			t.Errorf("%s: the chiller stays out: %v", c.card, ln)
		}
	}
	if says := lineOf(t, siteOf(t, rest), "too-cold", "chiller-on"); says != "" {
		t.Errorf("%q in a house without one", says)
	}
}

// Every vat of the house finds its column in what mends it, near to what it holds.
func TestEveryVatHasItsColumn(t *testing.T) {
	outside.Alone(t)
	for _, text := range []string{rest, shop, home, lab, class} {
		s := siteOf(t, text)
		c := printedFor(t, s, "change-water")
		for _, ln := range linesOf(c) {
			if ln.Table == nil || ln.Table.Name != "mend" {
				continue
			}
			f := &Facts{Units: s.Units}
			for _, st := range s.Stores {
				holds := st.Volume.InexactFloat64()
				if st.Holds != site.Saltwater {
					continue
				}
				best := 0.0
				for _, h := range ln.Table.Header[1:] {
					if v := f.printed(h); v <= holds*1.001 {
						best = max(best, v)
					}
				}
				if best < 0.45*holds {
					t.Errorf("%s holds %.0f L, the columns are %v", st.ID, holds, ln.Table.Header)
				}
			}
		}
	}
}

// A house with water of two salinities: the litres that thin brackish water by 1 take a vat of
// sea water down by 3, and the next reading sends the reader for salt.
func TestNoVatIsThinnedTooFar(t *testing.T) {
	outside.Alone(t)
	for _, text := range []string{rest, home, class} {
		s := siteOf(t, text)
		for i := range s.Systems {
			f, err := Gather(s, Request{Playbook: "too-cold", System: s.Systems[i].ID, Units: s.Units, Printed: site.DemoDate()})
			if err != nil {
				t.Fatal(err)
			}
			for _, st := range s.Stores {
				if fall := float64(st.Water.Salinity+1) * *f.CutL / 100; st.Holds == site.Saltwater && fall > 1.1 {
					t.Errorf("%s: a vat of %.0f falls by %.1f", s.Systems[i].ID, st.Water.Salinity+1, fall)
				}
			}
		}
	}
}

// "1 h 13 min+1 h" is read as one time.
func TestLongPumpingIsReadable(t *testing.T) {
	for _, c := range []struct {
		drain, fill float64
		want        string
	}{{7.4, 7.5, "8+8 min"}, {73, 73, "1 h 13 min + 1 h 13 min"}, {45, 73, "45 min + 1 h 13 min"}} {
		if got := eachWay(plan.Step{DrainMinutes: c.drain, FillMinutes: c.fill}); got != c.want {
			t.Errorf("%v: %q", c, got)
		}
	}
}

// A line may pour good water away for the plan's sake: what bins hold of it is kept.
func TestGoodWaterIsKept(t *testing.T) {
	for _, text := range []string{class, lab} {
		if says := lineOf(t, siteOf(t, text), "mix-batch", "pour-away"); !strings.Contains(says, "bins") {
			t.Errorf("%q", says)
		}
	}
}
