package main

import "testing"

func TestFullHours(t *testing.T) {
	all := make([]int, 24)
	for h := range all {
		all[h] = h
	}
	for _, c := range []struct {
		hours []int
		want  string
	}{
		{[]int{6}, "06:00"}, {[]int{6, 7, 8, 20}, "06:00 to 08:00, 20:00"}, {[]int{0, 1, 22, 23}, "22:00 to 01:00"},
		{[]int{0, 12, 23}, "12:00, 23:00 to 00:00"}, {all, "any full hour"}, {all[1:], "01:00 to 23:00"}, {nil, ""},
	} {
		if got := fullHours(c.hours); got != c.want {
			t.Errorf("%v: %q, want %q", c.hours, got, c.want)
		}
	}
}
