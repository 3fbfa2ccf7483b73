package main

import (
	"errors"
	"testing"
)

func TestMachineZone(t *testing.T) {
	for _, c := range []struct{ tz, link, want string }{
		{"", "/usr/share/zoneinfo/Etc/UTC", "Etc/UTC"},
		{"", "/var/db/timezone/zoneinfo/Europe/Lisbon", "Europe/Lisbon"},
		{":Atlantic/Azores", "/usr/share/zoneinfo/Europe/Lisbon", "Atlantic/Azores"},
		{"EST5EDT,M3.2.0,M11.1.0", "/usr/share/zoneinfo/Europe/Lisbon", ""}, // rules without a name
		{"Local", "", ""},
		{"", "/etc/elsewhere", ""},
		{"", "", ""},
	} {
		got := machineZone(func(string) string { return c.tz }, func(string) (string, error) {
			if c.link == "" {
				return "", errors.New("no link")
			}
			return c.link, nil
		})
		if got != c.want {
			t.Errorf("TZ=%s, %s: %q, want %q", c.tz, c.link, got, c.want)
		}
	}
}
