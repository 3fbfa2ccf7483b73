package site

import (
	"math"
	"time"

	"tidehold/refs/units"
)

// Awake is when changes and work on vats may be started: from one time of day to another, hours on the
// site's clock; To before From is past midnight.
type Awake struct{ FromH, ToH float64 }

// ClockH is the time of day at a moment on the site's clock, hours; UTC where it has none.
func (s *Site) ClockH(at time.Time) float64 {
	if s.TimeZone != nil {
		at = at.In(s.TimeZone)
	}
	return float64(at.Hour()) + float64(at.Minute())/60 + float64(at.Second())/3600
}

// WaitH is how many hours after a time of day a change may be started, both ends included; 0: at once.
func (a *Awake) WaitH(clockH float64) float64 {
	const slackH = 1e-9 // a time reached by adding up hours
	wake := ofDay(a.FromH - clockH)
	if since := ofDay(clockH - a.FromH); since <= ofDay(a.ToH-a.FromH)+slackH || wake <= slackH {
		return 0
	}
	return wake
}

// UpH is for how many hours after a time of day changes may still be started; 0 in the night.
func (a *Awake) UpH(clockH float64) float64 {
	return max(0, ofDay(a.ToH-a.FromH)-ofDay(clockH-a.FromH))
}

// ofDay is an hour counted from any midnight as one of the day, 0 to 24. A search asks for it by the million:
// math.Mod took a fifth of it.
func ofDay(h float64) float64 {
	const day = 24
	return h - day*math.Floor(h/day)
}

// Later is the same to whoever begins so many hours later, counted from the hour before.
func (a *Awake) Later(h float64) *Awake {
	return &Awake{FromH: ofDay(a.FromH - h), ToH: ofDay(a.ToH - h)}
}

// AlwaysAwakeH is how long after discovery people stay up whatever the hour.
const AlwaysAwakeH = 4

// Routine is a regular change.
type Routine struct {
	System string
	Volume units.Litres
	EveryH float64
}

// Media is a filter medium that removes contaminants.
type Media struct {
	ID, System string
	FlowLH     float64
	// SinglePass is the share removed in one pass, 0 to 1, by contaminant id.
	SinglePass map[string]float64
	// CapacityMg is the measured capacity; nil: unknown, and readiness ignores it.
	CapacityMg *float64
}

// KitItem is a tool or test that must be to hand.
type KitItem struct {
	Item       string
	Need, Have int
	// Expires is the last day it may be used; nil: it does not expire.
	Expires *time.Time
}

// Expired says that the last day of the item is past at now, in the zone the date
// was written in.
func (k KitItem) Expired(now time.Time) bool {
	return k.Expires != nil && !now.Before(k.Expires.AddDate(0, 0, 1))
}

// Drill is something to practise or inspect.
type Drill struct {
	What   string
	EveryH float64
	Done   *time.Time
}

// Contact is printed on sheets.
type Contact struct{ Role, Name, Phone string }

// Event is what the site wants to be ready for.
type Event struct {
	ID, System, Playbook string
	// Remove is the share to remove (0 to 1), when no start and target are known.
	Remove *float64
	// Contaminant with Start and Target in µg/L; StartU, TargetU expanded.
	Contaminant         string
	StartUgL, StartUUgL float64
	TargetUgL           float64
	WithinH             float64
	Reheats             bool
	SourceMgH           float64
	Priority            int // 1 first; 0 not given: after all others
}
