package site

import "tidehold/refs/units"

// SalinityRoom is how far the salinity may move at once from before towards after,
// 0 or more: the tightest of the step, the day and the end of the range, with the
// key of the limit that says so.
func (l Limits) SalinityRoom(before, after units.Practical) (most float64, key string) {
	end, endKey := float64(before-l.SalinityLow), "salinity_low"
	if after > before {
		end, endKey = float64(l.SalinityHigh-before), "salinity_high"
	}
	most, key = l.SalinityStep, "salinity_step"
	if l.SalinityPerDay < most {
		most, key = l.SalinityPerDay, "salinity_per_day"
	}
	if end < most {
		most, key = max(0, end), endKey
	}
	return most, key
}
