package schedule

import (
	"math"

	"tidehold/response/dilution"
	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// problem is what a plan has to solve: one demand, and the water and vats that earlier
// demands leave. It does not change while plans are tried.
type problem struct {
	demand  *plan.Demand
	tank    tank
	aims    []aim
	vessels []vessel
	works   works
	start   state
	// outsideL is usable saltwater in stores that the plan will not get to, reserveL
	// what is never drawn.
	outsideL, reserveL float64
	horizonH           float64
	// moot says that it counts for nothing whether a target is touched at all: it is too late, and left again.
	moot bool
	// afterH is how much longer the last concentration of a plan that falls short counts.
	afterH     float64
	confidence float64
	closely    bool // warmth is asked about more often: a house of one or two events has the time
	rounds     int  // that a close bound may take
	finishing  int  // nodes that may go into plans of a house with less
	shared     bool // later demands draw on what the plan leaves
	wanted     bool // nothing is to be poured away where all is in time without
	hoards     bool // nothing good is poured away
	scratch    scratch
}

// tank is the system as the search sees it.
type tank struct {
	volL    float64 // net volume as stated
	mostL   float64 // the most that may be out at once
	leastL  float64 // no smaller change, unless it ends the plan
	everyH  float64
	own     water // the water it is kept at
	limits  *site.Limits
	hasAlk  bool
	reheats bool
	awake   awake
}

// aim is one aim as the search sees it: sized for the confidence asked.
type aim struct {
	dynamics  dilution.Dynamics
	startUgL  float64
	target    float64 // what is planned for; above Aim.Target if that is unreachable
	withinH   float64 // +Inf: no deadline
	newUgL    float64 // in the site's own new water, for the litres still needed
	saltUgL   float64 // in water newly made, of the dirtiest salt
	cleanest  float64 // the least in any water that is there or may come
	purest    float64 // the least that any can be brought to by mixing
	floor     float64
	reachable bool
	inert     bool
}

// works is what water is made with.
type works struct {
	mixH, cutH float64
	salts      []saltKind
	comes      []arrival // salt and purified water, in order of time
	rateLH     float64   // purified water, at the feed temperature
	feedC      float64
	roomL      float64 // most that the purified stores take, reserve less
}

// saltKind is one bagged salt: what a litre of finished water at the system's
// salinity takes, and what it is.
type saltKind struct {
	id               string
	dry              float64 // share that is dissolved salt
	kgPerL, purePerL float64
	alk, ca, mg, ph  float64
	background       []float64 // by aim
}

// arrival is salt (of the first kind) or purified water that comes later.
type arrival struct{ atH, saltKg, pureL, pureC float64 }

// awake is when changes, and work on vats, may be started.
type awake struct {
	always       bool
	clockH       float64 // time of day at time zero
	hours        site.Awake
	alwaysUntilH float64
}

// next is the earliest time, h or later, at which a change may be started.
func (a *awake) next(h float64) float64 {
	if a.always || h <= a.alwaysUntilH || math.IsInf(h, 1) {
		return h
	}
	return h + a.hours.WaitH(a.clockH+h)
}

// bedH is the last moment, after h, at which something may be started before a night; +Inf where there is none.
func (a *awake) bedH(h float64) float64 {
	if a.always {
		return math.Inf(1)
	}
	return max(a.alwaysUntilH, h+a.hours.UpH(a.clockH+h))
}

// misses reports whether an aim that is reached at h counts as missed: never, or after
// its deadline.
func (m *aim) misses(h float64) bool { return h > m.withinH*(1+tie) || math.IsInf(h, 1) }

// never reports whether an aim that is reached at h counts as never reached: for nothing, where it is moot.
func (p *problem) never(h float64) bool { return math.IsInf(h, 1) && !p.moot }

// score orders plans: aims never reached, then aims late, exposure, finish, water.
type score struct {
	missed, never             int
	exposure, finishH, waterL float64
}

// tie is the relative difference below which two exposures, times or volumes
// are the same but for rounding.
const tie = 1e-10

func near(a, b float64) bool {
	return a == b || math.Abs(a-b) <= tie*min(math.Abs(a), math.Abs(b)) // never is near no time
}

// better reports whether a comes before b.
func (a score) better(b score) bool {
	switch {
	case a.missed != b.missed:
		return a.missed < b.missed
	case a.never != b.never:
		return a.never < b.never
	case !near(a.exposure, b.exposure):
		return a.exposure < b.exposure
	case !near(a.finishH, b.finishH):
		return a.finishH < b.finishH
	}
	return a.waterL < b.waterL && !near(a.waterL, b.waterL)
}

// noLater reports whether a misses and fails to reach no more aims than b.
func (a score) noLater(b score) bool { return a.missed <= b.missed && a.never <= b.never }

// worst is the score of having no plan.
func worst() score { return score{missed: math.MaxInt, exposure: math.Inf(1)} }
