package assess

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"time"
)

// A date as reports write it, and a time of day behind it.
var (
	isoDate   = regexp.MustCompile(`\b(\d{4})-(\d{1,2})-(\d{1,2})(?:[T ](\d{1,2}):(\d{2}))?`)
	localDate = regexp.MustCompile(`\b(\d{1,2})([./-])(\d{1,2})[./-](\d{4})(?:,?\s+(?:um\s+|à\s+|at\s+)?(\d{1,2})[:.h](\d{2}))?`)
)

// titles reads what stands above the headings: when the sample was taken.
func (r *reader) titles(rows []row) {
	for _, row := range rows {
		for i, c := range row.cells {
			label, rest, _ := strings.Cut(c.text, ":")
			if headingIndex[fold(label)] != sampledColumn {
				continue
			}
			if next, _ := row.at(i + 1); strings.TrimSpace(rest) == "" {
				rest = next
			}
			r.sampled(rest, row.line)
		}
	}
}

// sampled takes a date from a text; one whose day and month could change places is
// not guessed.
func (r *reader) sampled(text string, line int) {
	if !r.report.SampledAt.IsZero() {
		return
	}
	at, clock, err := dateIn(text)
	if err != nil {
		r.report.Notes = append(r.report.Notes, fmt.Sprintf("sampled on line %d: %v; say it with --sampled", line, err))
		return
	}
	r.report.SampledAt, r.report.HasClock = at, clock
}

// dateIn finds a date, in UTC for want of a zone. Points are day.month.year; slashes
// and hyphens may be month first.
func dateIn(text string) (at time.Time, clock bool, err error) {
	n := func(s string) int { x, _ := strconv.Atoi(s); return x }
	if m := isoDate.FindStringSubmatch(text); m != nil {
		return calendar(n(m[1]), n(m[2]), n(m[3]), m[4], m[5])
	}
	m := localDate.FindStringSubmatch(text)
	if m == nil {
		return at, false, fmt.Errorf("%s is no date that is known", shown(text))
	}
	day, month := n(m[1]), n(m[3])
	if m[2] != "." && day <= 12 && month <= 12 && day != month {
		return at, false, fmt.Errorf("%s could be day or month first", shown(text))
	}
	if month > 12 {
		day, month = month, day
	}
	return calendar(n(m[4]), month, day, m[5], m[6])
}

// calendar makes a time of its parts and refuses a day that does not exist.
func calendar(year, month, day int, hour, minute string) (time.Time, bool, error) {
	h, _ := strconv.Atoi(hour)
	m, _ := strconv.Atoi(minute)
	at := time.Date(year, time.Month(month), day, h, m, 0, 0, time.UTC)
	if at.Day() != day || int(at.Month()) != month || m > 59 || year < 1970 || year > 9998 {
		return time.Time{}, false, fmt.Errorf("%04d-%02d-%02d is no day of the calendar", year, month, day)
	}
	return at, hour != "", nil
}
