package plan

import (
	"testing"

	"tidehold/refs/units"
	"tidehold/volumes/site"
)

// What bars every change is said with the key that sets it, and whether anybody stated it.
func TestWhatBarsSaysWhereItIsSet(t *testing.T) {
	soon := 2.5
	for _, c := range []struct {
		b    Binding
		want string
	}{
		{Binding{Limit: ByLeastChange, From: 5, To: 1, Unit: "%", Bars: true, Assumed: true, Key: "systems.tank.least_change"},
			"smallest change planned 5 % (assumed; systems.tank.least_change): no change can be made; with 1 %: some can, but it is never done"},
		{Binding{Limit: ByLeastChange, From: 5, To: 1, Unit: "%", Bars: true, Key: "systems.tank.least_change", DoneAtH: &soon},
			"smallest change planned 5 % (systems.tank.least_change): no change can be made; with 1 %: done after 2 h 30 min"},
		{Binding{Limit: TemperatureLow, From: 22, To: 17, Unit: "C", Bars: true, Assumed: true, Key: "k", DoneAtH: &soon},
			"lowest temperature 22.0 °C (assumed; k): no change can be made; with 17.0 °C: done after 2 h 30 min"},
	} {
		if got := c.b.Says(nil, units.Metric); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
		// More water does not help where none can be poured.
		litres := 40.0
		if got := c.b.Limiting(nil, &litres); got != c.b.Limit {
			t.Errorf("%s is not what limits: %s", c.b.Limit, got)
		}
	}
}

// A limit of the house may be loosened without a thought of the animals, one of theirs may not.
func TestWhoseLimitItIs(t *testing.T) {
	for l, of := range map[Limit]bool{ByWater: true, BySalt: true, ByLeastChange: true, ByNight: true, TemperatureStep: false, SalinityLow: false, AlkalinityPerDay: false, ByDrawdown: false} {
		if l.OfHouse() != of {
			t.Errorf("%s is of the house: %v", l, !of)
		}
	}
}

func TestWaterIsSaidAsItIsAskedFor(t *testing.T) {
	like := &site.System{Water: site.Chemistry{Salinity: 35.25, Temperature: 25}}
	if got, want := LacksWords(4.62, like, units.Metric), "4.7 L more saltwater at the start (salinity 35.2, 25.0 °C) would do"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	p := Plan{PouredL: 598.7}
	if got := p.KeepingWords(units.Metric); got != "" {
		t.Errorf("nothing was asked, and %q is said", got)
	}
	done := 8.5
	p.Keeping = &Keeping{PouredL: 598.7, DoneAtH: &done}
	if got, want := p.KeepingWords(units.Metric), "pours 599 L of good water away that another system may want: into clean bins with lids, as far as there are any."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	p.Keeping.PouredL = 54.68
	if got, want := p.KeepingWords(units.Metric), "pours 599 L of good water away that another system may want. reserve: {pour_away: no} in the site file pours 54.7 L: done after 8 h 30 min."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if got, want := WaterWords(18, 25, units.US), "salinity 18.0, 77.0 °F"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if got := AllOf([]string{"a", "b"}); got != "a + b" {
		t.Errorf("%q", got)
	}
}
