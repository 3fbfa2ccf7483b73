package site

import (
	_ "embed"
	"time"
)

//go:embed starter.yaml
var starterText string

//go:embed demo.yaml
var demoText string

// Starter is a commented site file to begin with. It passes Load.
func Starter() []byte { return []byte(starterText) }

// Demo is the site file of the Slipway Teaching Aquarium, an invented place where
// something is wrong on purpose.
func Demo() []byte { return []byte(demoText) }

// DemoDate is the moment for which the demo's answers are given.
func DemoDate() time.Time { return time.Date(2026, time.November, 25, 3, 0, 0, 0, time.UTC) }
