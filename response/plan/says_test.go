package plan

import (
	"strings"
	"testing"

	"tidehold/refs/units"
)

// TestWhatLimitsAPlanIsSaidInTheUnitsOfDisplay: one of each limit, by hand. 30 L are 7.93 gal, 1 °C of
// difference is 1.8 °F, 22 °C are 71.6 °F, 5 kg are 11.02 lb: what is wanted is rounded up.
func TestWhatLimitsAPlanIsSaidInTheUnitsOfDisplay(t *testing.T) {
	at := func(h float64) *float64 { return &h }
	for _, c := range []struct {
		b          Binding
		done       *float64
		metric, us string
	}{
		{Binding{Limit: TemperatureStep, From: 1, To: 2, DoneAtH: at(8.7)}, at(16.55), "temperature in one step 1.0 °C: done after 16 h 33 min; with 2.0 °C: done after 8 h 42 min", "temperature in one step 1.8 °F: done after 16 h 33 min; with 3.6 °F: done after 8 h 42 min"},
		{Binding{Limit: TemperaturePerDay, From: 2, To: 3}, at(1), "temperature in a day 2.0 °C: done after 1 h, no sooner with 3.0 °C", "temperature in a day 3.6 °F: done after 1 h, no sooner with 5.4 °F"},
		{Binding{Limit: ByInterval, From: 4, To: 3, DoneAtH: at(157)}, at(152.5), "time between changes 4 h: done after 6 d 9 h, no sooner with 3 h", ""},
		{Binding{Limit: ByInterval, From: 4, To: 3, DoneAtH: at(2)}, at(2), "time between changes 4 h: done after 2 h, no sooner with 3 h", ""},
		{Binding{Limit: TemperatureLow, From: 22, To: 21, DoneAtH: at(1)}, nil, "lowest temperature 22.0 °C: never done; with 21.0 °C: done after 1 h", "lowest temperature 71.6 °F: never done; with 69.8 °F: done after 1 h"},
		{Binding{Limit: TemperatureHigh, From: 28, To: 29, DoneAtH: at(1)}, at(2), "highest temperature 28.0 °C: done after 2 h; with 29.0 °C: done after 1 h", "highest temperature 82.4 °F: done after 2 h; with 84.2 °F: done after 1 h"},
		{Binding{Limit: SalinityStep, From: 1, To: 2, DoneAtH: at(1)}, at(2), "salinity in one step 1.0: done after 2 h; with 2.0: done after 1 h", ""},
		{Binding{Limit: AlkalinityPerDay, From: 1, To: 1.5, DoneAtH: at(1)}, at(2), "alkalinity in a day 1.0 dKH: done after 2 h; with 1.5 dKH: done after 1 h", ""},
		{Binding{Limit: ByDrawdown, From: 45, To: 50, DoneAtH: at(1)}, at(2), "what may be out at once 45 %: done after 2 h; with 50 %: done after 1 h", ""},
		{Binding{Limit: ByDrawdown, From: 12.5, To: 17.5, DoneAtH: at(1)}, at(2), "what may be out at once 12.5 %: done after 2 h; with 17.5 %: done after 1 h", ""},
		{Binding{Limit: ByInterval, From: 4, To: 3, DoneAtH: at(1)}, at(2), "time between changes 4 h: done after 2 h; with 3 h: done after 1 h", ""},
		{Binding{Limit: ByNight, Unit: GettingUp, DoneAtH: at(13)}, at(26), "sleep at night: done after 1 d 2 h; with getting up for each change: done after 13 h", ""},
		{Binding{Limit: ByMixing, From: 0.5, To: 0.25, DoneAtH: at(1)}, at(2), "mixing time 30 min: done after 2 h; with 15 min: done after 1 h", ""},
		{Binding{Limit: ByWater, To: 30}, nil, "water on hand: never done, nor with 30 L more stored", "water on hand: never done, nor with 8.0 gal more stored"},
		{Binding{Limit: ByPurifiedWater, To: 30, DoneAtH: at(1)}, nil, "purified water: never done; with 30 L more stored: done after 1 h", "purified water: never done; with 8.0 gal more stored: done after 1 h"},
		{Binding{Limit: BySalt, To: 5, DoneAtH: at(1)}, nil, "salt: never done; with 5.00 kg more: done after 1 h", "salt: never done; with 11.05 lb more: done after 1 h"},
		{Binding{Limit: ByWarming, To: 100, DoneAtH: at(1)}, nil, "warming: never done; with 100 W more in each vat: done after 1 h", ""},
		{Binding{Limit: ByDelivery, To: 2, Unit: "h"}, nil, "delivery: never done, nor with 2 h", ""},
	} {
		if got := c.b.Says(c.done, units.Metric); got != c.metric {
			t.Errorf("%q, want %q", got, c.metric)
		}
		if c.us == "" {
			c.us = c.metric
		}
		if got := c.b.Says(c.done, units.US); got != c.us {
			t.Errorf("US: %q, want %q", got, c.us)
		}
	}
}

// TestWhatLimitsIsOneFigure: where water is, it is what is lacking; 1.6 gal stood beside 0.36 gal.
func TestWhatLimitsIsOneFigure(t *testing.T) {
	at := func(h float64) *float64 { return &h }
	for _, c := range []struct {
		b             Binding
		done, lacking *float64
		want          string
	}{
		{Binding{}, nil, nil, ""},
		{Binding{}, nil, at(3), "water on hand: never done; with 3.0 L more at the start: done in time"},
		{Binding{Limit: ByWarming, To: 100}, nil, at(3), "water on hand: never done; with 3.0 L more at the start: done in time"},
		{Binding{Limit: ByPurifiedWater, To: 30}, nil, at(3), "purified water: never done, nor with 30 L more stored"},
		{Binding{Limit: ByWarming, To: 100}, nil, nil, "warming: never done, nor with 100 W more in each vat"},
		{Binding{Limit: ByWater, To: 30}, nil, at(12.34), "water on hand: never done; with 12.4 L more at the start: done in time"},
		{Binding{Limit: ByWater, To: 30, DoneAtH: at(9)}, at(10), at(12.34), "water on hand: done after 10 h; with 12.4 L more at the start: done in time"},
		{Binding{Limit: ByWater, To: 30, DoneAtH: at(9)}, at(10), nil, "water on hand: done after 10 h; with 30 L more stored: done after 9 h"},
		{Binding{Limit: BySalt, To: 5, DoneAtH: at(9)}, nil, at(12.34), "salt: never done; with 5.00 kg more: done after 9 h"},
	} {
		if got := c.b.WhatLimits(c.done, c.lacking, units.Metric); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

// TestTheLitresOfAPlan: of a single change of 59.97 L that is all there is both say 59 L; of two it is
// what the two rows say: 59 and 59 stood beside 120.
func TestTheLitresOfAPlan(t *testing.T) {
	one := Step{RemoveL: 59.97, LimitedBy: ByWater}
	for _, c := range []struct {
		p    Plan
		want string
	}{
		{Plan{WaterL: 59.97, Steps: []Step{one}}, "59.9 L"},
		{Plan{WaterL: 59.97, Steps: []Step{{N: 1, RemoveL: 59.97, LimitedBy: ToTarget}}}, "60 L"},
		{Plan{WaterL: 119.94, Steps: []Step{one, one}}, "119.8 L"},
		{Plan{}, "0 L"},
	} {
		if got := c.p.Litres(units.Metric); got != c.want {
			t.Errorf("%+v: %q, want %q", c.p.Steps, got, c.want)
		}
	}
}

// TestTheDrawsOfAChangeAddUpToItsRow: 98 gal were 54 gal + 45.0 gal, on the screen and on the card.
func TestTheDrawsOfAChangeAddUpToItsRow(t *testing.T) {
	p := Plan{Steps: []Step{{N: 1, RemoveL: 98.68, LimitedBy: ByDrawdown, From: []Draw{{StoreID: "a", Litres: 53.63}, {StoreID: "b", Litres: 45.05}}}}}
	s := &p.Steps[0]
	if got := p.ChangeLitres(s, units.Metric) + ": " + strings.Join(p.Row(s, units.Metric).Each, " + "); got != "98.6 L: 53.6 L + 45 L" {
		t.Error(got)
	}
}

// TestInTimeAwake: late for sleep alone, by the binding and what it says.
func TestInTimeAwake(t *testing.T) {
	at := func(h float64) *float64 { return &h }
	for _, c := range []struct {
		inTime bool
		b      Binding
		within float64
		want   bool
	}{
		{false, Binding{Limit: ByNight, DoneAtH: at(13)}, 16, true}, {false, Binding{Limit: ByNight, DoneAtH: at(16)}, 16, true},
		{false, Binding{Limit: ByNight, DoneAtH: at(17)}, 16, false}, {false, Binding{Limit: ByNight}, 16, false},
		{false, Binding{Limit: ByInterval, DoneAtH: at(13)}, 16, false}, {true, Binding{Limit: ByNight, DoneAtH: at(13)}, 16, false},
		{false, Binding{Limit: ByNight, DoneAtH: at(13)}, 0, false},
	} {
		p := Plan{InTime: c.inTime, Binding: c.b, Demand: Demand{Aims: []Aim{{WithinH: c.within}}}}
		if got := p.InTimeAwake(); got != c.want {
			t.Errorf("in time %v, %+v within %g h: %v", c.inTime, c.b, c.within, got)
		}
	}
}
