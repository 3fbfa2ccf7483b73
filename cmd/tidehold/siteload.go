package main

import "time"

// demoTime is the demo site's own fixed date, so that its answers never change.
func demoTime() time.Time { return time.Date(2026, 11, 25, 3, 0, 0, 0, time.UTC) }
