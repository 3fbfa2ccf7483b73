package site

import (
	"math"
	"testing"
	"time"
)

// From when somebody is up until they sleep a change may be started at once, both ends included; else when they get
// up. Hours of a plan run on past midnight, and some sleep by day.
func TestHowLongUntilSomebodyIsUp(t *testing.T) {
	day, night := &Awake{FromH: 6.5, ToH: 23}, &Awake{FromH: 20, ToH: 4}
	for _, c := range []struct {
		a           *Awake
		clock, want float64
	}{
		{day, 6.5, 0}, {day, 12, 0}, {day, 23, 0}, {day, 23.25, 7.25}, {day, 0, 6.5}, {day, 6.25, 0.25},
		{day, 36, 0}, {day, 24 + 6.25, 0.25}, {day, 240 + 3, 3.5}, {day, 23 + 1e-10, 0}, {day, 6.5 - 1e-10, 0}, {day, 23.001, 7.499},
		{night, 20, 0}, {night, 23.9, 0}, {night, 0, 0}, {night, 4, 0}, {night, 4.5, 15.5}, {night, 19, 1}, {night, 24 + 12, 8},
	} {
		if got := c.a.WaitH(c.clock); !(math.Abs(got-c.want) <= 1e-9) {
			t.Errorf("%+v at %g: %g h, want %g", *c.a, c.clock, got, c.want)
		}
	}
}

// The hour of the clock is that of the place.
func TestTheHourOfTheClockIsThatOfThePlace(t *testing.T) {
	at := time.Date(2026, 11, 25, 3, 18, 36, 0, time.UTC)
	for _, c := range []struct {
		zone *time.Location
		want float64
	}{{nil, 3.31}, {time.FixedZone("east", 2*3600), 5.31}, {time.FixedZone("west", -5*3600), 22.31}} {
		if got := (&Site{TimeZone: c.zone}).ClockH(at); !(math.Abs(got-c.want) <= 1e-9) {
			t.Errorf("%v: %g, want %g", c.zone, got, c.want)
		}
	}
}
