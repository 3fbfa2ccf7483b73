package main

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// This file and lookup.go are the only homes of plurals, lists, times, amounts that
// may be missing, and "did you mean". A command that needs another word adds it here.

// counted is "1 store", "3 stores", "2 batches".
func counted(n int, noun string) string { return units.Count(n, noun) }

// listed is "a, b and c"; "none" where there are none.
func listed(items []string) string { return units.List(items, "none") }

// listedShort is "a, b and 3 more" where there are more than most.
func listedShort(items []string, most int) string {
	if len(items) <= most+1 { // "and 1 more" is as long as its name
		return listed(items)
	}
	return strings.Join(items[:most], ", ") + " and " + fmt.Sprint(len(items)-most) + " more"
}

// words turns a key of the site file into words.
func words(key string) string { return strings.ReplaceAll(key, "_", " ") }

// limitName is a limit in plain words.
func limitName(l plan.Limit) string { return words(l.Words()) }

// hoursOr prints a duration, or what stands for one that never comes.
func hoursOr(h *float64, none string) string {
	if h == nil {
		return none
	}
	return units.Hours(*h)
}

// hoursLeft prints a time to a limit: rounded down.
func hoursLeft(h *float64, none string) string {
	if h == nil {
		return none
	}
	return units.HoursTo(*h, units.Down)
}

// startText says when a step starts.
func startText(h float64) string {
	if h == 0 {
		return "at once"
	}
	return "after " + units.Hours(h)
}

// volumeOr prints litres needed, rounded up, or what stands for none known.
func volumeOr(l *float64, u units.System, none string) string {
	if l == nil {
		return none
	}
	return u.Volume(*l, units.Up)
}

// salinityText prints a salinity to what a good instrument shows.
func salinityText(s units.Practical) string { return units.Fixed(float64(s), 2) }

// plusMinus prints a salinity with its expanded uncertainty, both to 0.01.
func plusMinus(s float64, u *float64) string {
	if u == nil || *u == 0 {
		return units.Fixed(s, 2)
	}
	return units.Fixed(s, 2) + " ± " + units.Fixed(units.Up.To(*u, 0.01), 2)
}

// milligrams prints mg/L to three significant digits.
func milligrams(mg float64) string { return units.Significant(mg, 3) + " mg/L" }

// levelText prints a level beside its goal, in µg/L both; without a goal in its own unit.
func levelText(contaminant string, ugL, goalUgL float64) string {
	return plan.LevelText(contaminant, ugL, cmp.Or(goalUgL, ugL))
}

// spreadText is levelText with its ±, both with the decimals of two digits of the ±.
func spreadText(contaminant string, ugL, u, goalUgL float64) string {
	if u <= 0 {
		return levelText(contaminant, ugL, goalUgL)
	}
	per, unit := plan.LevelUnit(contaminant, cmp.Or(goalUgL, ugL))
	decimals := 0
	for x := u / per; x < 9.5 && decimals < 4; x *= 10 {
		decimals++
	}
	decimals = min(decimals, 2)
	return units.Fixed(ugL/per, decimals) + " ± " + units.Fixed(u/per, decimals) + " " + unit
}

// lengthText prints a length to a tenth of a centimetre or a hundredth of an inch,
// without the zeros that end it.
func lengthText(cm float64, u units.System) string {
	v, unit := u.LengthIn(cm)
	if u == units.US {
		return strings.TrimSuffix(units.Fixed(v, 2), ".00") + " " + unit
	}
	return strings.TrimSuffix(units.Fixed(v, 1), ".0") + " " + unit
}

// yesNo is a truth in a word.
func yesNo(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}

// aboveOrBelow shouts what is above.
func aboveOrBelow(above bool) string {
	if above {
		return "ABOVE"
	}
	return "not above"
}

// startHours says between which hours of the day changes start by the site file, as plans take it; ""
// where they may at any. A plan then depends on the hour at which it is made.
func startHours(a *site.Awake) string {
	if a == nil {
		return ""
	}
	return fmt.Sprintf("changes start %s to %s or in the first %s", hourOfDay(a.FromH), hourOfDay(a.ToH), units.Hours(site.AlwaysAwakeH))
}

// fullHours are hours of the day in rising order as a clock shows them, those in a row as one span:
// 06:00, 22:00 to 01:00.
func fullHours(hours []int) string {
	const day = 24
	if len(hours) == day {
		return "any full hour"
	}
	has := func(h int) bool { return slices.Contains(hours, (h+day)%day) }
	var spans []string
	for _, h := range hours {
		if has(h - 1) {
			continue // of the span of that
		}
		last := h
		for has(last + 1) {
			last++
		}
		span := hourOfDay(float64(h))
		if last > h {
			span += " to " + hourOfDay(float64(last%day))
		}
		spans = append(spans, span)
	}
	return strings.Join(spans, ", ")
}

// hourOfDay is an hour of the day as a clock shows it: 06:30.
func hourOfDay(h float64) string {
	minutes := int(math.Round(h * 60))
	return fmt.Sprintf("%02d:%02d", minutes/60, minutes%60)
}
