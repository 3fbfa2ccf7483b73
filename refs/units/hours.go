package units

import (
	"fmt"
	"math"
)

// Hours prints a duration given in hours as days, hours and minutes, to the
// minute below a day and to the hour above.
func Hours(h float64) string {
	if impossible(h) || h > maxHours {
		return noNumber
	}
	minutes := int64(math.Round(h * 60))
	switch {
	case minutes < 60:
		return fmt.Sprintf("%d min", minutes)
	case minutes < 24*60:
		if m := minutes % 60; m != 0 {
			return fmt.Sprintf("%d h %d min", minutes/60, m)
		}
		return fmt.Sprintf("%d h", minutes/60)
	}
	hours := int64(math.Round(h))
	if r := hours % 24; r != 0 {
		return fmt.Sprintf("%d d %d h", hours/24, r)
	}
	return fmt.Sprintf("%d d", hours/24)
}

// HoursPast is Hours of a duration beside a limit: where it is past that it is not printed as the same.
func HoursPast(h, limit float64) string {
	if s := Hours(h); !(h > limit) || s != Hours(limit) {
		return s
	}
	return HoursTo(h, Up)
}

// HoursTo is Hours of a duration that is needed, or had: rounded the one way at the minute or
// the hour that is shown.
func HoursTo(h float64, r Rounding) string {
	if up := r.To(h, 1.0/60); up < 24 {
		return Hours(up)
	}
	return Hours(r.To(h, 1))
}
