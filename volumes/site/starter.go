package site

import (
	"bytes"
	_ "embed"
	"fmt"
	"time"
)

//go:embed starter.yaml
var starterText string

//go:embed demo.yaml
var demoText string

// Starter is a commented site file to begin with. It passes Load.
func Starter() []byte { return []byte(starterText) }

// InZone is a starter in a time zone; as it is where that is "".
func InZone(starter []byte, zone string) []byte {
	const utc = "time_zone: UTC                "
	if zone == "" {
		return starter
	}
	return bytes.Replace(starter, []byte(utc), fmt.Appendf(nil, "%-*s ", len(utc)-1, "time_zone: "+zone), 1)
}

// Demo is the site file of the Slipway Teaching Aquarium, an invented place where
// something is wrong on purpose.
func Demo() []byte { return []byte(demoText) }

// DemoDate is the moment for which the demo's answers are given.
func DemoDate() time.Time { return time.Date(2026, time.November, 25, 3, 0, 0, 0, time.UTC) }
