package site_test

import (
	"testing"

	"tidehold/refs/units"
	"tidehold/volumes/site"
)

func TestTheTightestSalinityLimit(t *testing.T) {
	l := site.Limits{SalinityStep: 1, SalinityPerDay: 2, SalinityLow: 32, SalinityHigh: 37}
	day := l
	day.SalinityPerDay = 0.5
	for _, c := range []struct {
		l             site.Limits
		before, after units.Practical
		most          float64
		key           string
	}{
		{l, 35, 34, 1, "salinity_step"},
		{day, 35, 34, 0.5, "salinity_per_day"},
		{l, 32.25, 30, 0.25, "salinity_low"},
		{l, 36.5, 39, 0.5, "salinity_high"},
		{l, 31, 30, 0, "salinity_low"},
	} {
		if most, key := c.l.SalinityRoom(c.before, c.after); most != c.most || key != c.key {
			t.Errorf("from %v to %v: %v by %s, want %v by %s", c.before, c.after, most, key, c.most, c.key)
		}
	}
}
