package schedule

import (
	"math"

	"tidehold/response/dilution"
	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// job is the search for the plan of one demand.
type job struct {
	opt     Options
	demand  *plan.Demand
	volL    float64 // net volume as stated
	mostL   float64 // drawdown in litres
	everyH  float64
	ownC    float64 // the system's own temperature
	limits  *site.Limits
	hasAlk  bool
	aims    []aim
	vessels []vessel
	start   frame
	// outsideL is usable saltwater in stores that the plan will not get to;
	// reserveL is never drawn.
	outsideL, reserveL float64
	mixH               float64
	salts              []saltKind
	deliveries         []saltDelivery
	rateLH             float64 // purified water, at the feed temperature
	feedC              float64
	pureRoomL          float64 // most that the purified stores take, reserve less
	// Where least exposure by the plain rules misses a deadline or the target: deadlines
	// count first (hurry), more ways of making batches are tried (wide), vats may be
	// topped up although there is another way (onTop), and fast stores may be emptied
	// before well-matched ones (fastFirst).
	hurry, wide, onTop, fastFirst bool
	atOnce                        bool // no waiting with a change permitted at time zero

	stack  []*frame
	gone   []float64
	ahead  []dilution.State
	now    []dilution.State
	found  bool
	batchS float64
	path   []int8
	best   []int8
	score  score
	late   int
	shortL float64 // water lacking after the best that can be done in the whole horizon
	nodes  int
	within bool // the budget has sufficed
	record *recorder
	last   *frame
}

// aim is one aim as the search sees it: sized for the confidence asked.
type aim struct {
	dynamics  dilution.Dynamics
	startUgL  float64
	target    float64 // what is planned for; above Aim.Target if that is unreachable
	withinH   float64 // +Inf: no deadline
	newUgL    float64 // in the site's own new water, for the litres still needed
	cleanest  float64 // the least in any water that may come
	floor     float64
	reachable bool
	inert     bool
}

// saltKind is one bagged salt: what a litre of finished water at the system's
// salinity takes, and what it is.
type saltKind struct {
	id               string
	kgPerL, purePerL float64
	alk, ca, mg, ph  float64
	background       []float64 // by aim
}

// saltDelivery is salt that comes later.
type saltDelivery struct{ atH, kg float64 }

// frame is the state of a plan at a moment.
type frame struct {
	atH     float64
	nextH   float64 // the next change may start
	decide  bool    // a change is to be decided on now
	mix     bool    // a batch is to be decided on now
	system  water
	held    []held
	conc    []dilution.State
	doneH   []float64 // by aim; +Inf: not yet
	vats    []vat
	draws   []draw
	levels  []float64 // background of each vat by aim
	pureL   float64   // purified water less reserve, at pureH
	pureC   float64
	pureH   float64
	saltKg  []float64
	waiting waiting
	comes   int     // next salt delivery
	freedH  float64 // a vat that was being drawn from is free; +Inf: none is
	dayCap  bool    // a limit per day held the last decision back
	changes int
	batches int
	settled bool // no batch for the sake of stored water that fits badly
	// what is judged
	exposure, waterL, finishH float64
}

// waiting is a batch for which purified water is still being made.
type waiting struct {
	vat    int // -1: none
	litres float64
	fromH  float64
}

// water is the system's.
type water struct{ s, c, alk, ca, mg, ph float64 }

// held is a state of the system that lasted until a time.
type held struct{ s, c, alk, untilH float64 }

// copyFrom makes f a copy of g, reusing f's memory.
func (f *frame) copyFrom(g *frame) {
	held, conc, done := f.held[:0], f.conc[:0], f.doneH[:0]
	draws := f.draws
	vats, levels, salt := f.vats[:0], f.levels[:0], f.saltKg[:0]
	*f = *g
	f.draws = draws
	f.held, f.conc, f.doneH = append(held, g.held...), append(conc, g.conc...), append(done, g.doneH...)
	f.vats, f.levels, f.saltKg = append(vats, g.vats...), append(levels, g.levels...), append(salt, g.saltKg...)
}

// reached reports whether an aim has been reached.
func (f *frame) reached(a int) bool { return !math.IsInf(f.doneH[a], 1) }

// done reports whether every aim has been reached.
func (f *frame) done() bool {
	for a := range f.doneH {
		if !f.reached(a) {
			return false
		}
	}
	return true
}

// drawable is the saltwater that may be drawn now: what is ready, less heels and
// the reserve.
func (j *job) drawable(f *frame) float64 {
	sum := j.outsideL - j.reserveL
	for i := range f.vats {
		sum += f.vats[i].usable(&j.vessels[i], f.atH)
	}
	return sum
}

// stock is all saltwater that counts, ready or being mixed, less the reserve.
func (j *job) stock(f *frame) float64 {
	sum := j.outsideL - j.reserveL
	for i := range f.vats {
		if j.vessels[i].fromH <= f.atH && !j.barred(f, &f.vats[i]) {
			sum += max(0, f.vats[i].volL-j.vessels[i].heelL)
		}
	}
	return sum
}

// barred reports whether no drop of a vat's water may ever be used: the system is kept
// at a limit, and the water lies beyond it and will not be warmed.
func (j *job) barred(f *frame, v *vat) bool {
	l, c := j.limits, v.at(f.atH)
	beyond := func(own, new, low, high float64) bool {
		return new < low-limitSlack && own <= low+limitSlack || new > high+limitSlack && own >= high-limitSlack
	}
	return math.IsInf(v.warmH, 1) && beyond(j.ownC, c, float64(l.TemperatureLow), float64(l.TemperatureHigh)) ||
		beyond(float64(j.demand.System.Water.Salinity), v.s, float64(l.SalinityLow), float64(l.SalinityHigh))
}

// score orders plans: aims missed, exposure, finish, water.
type score struct {
	missed                    int
	exposure, finishH, waterL float64
}

// tie is the relative difference below which two exposures, times or volumes
// are the same but for rounding.
const tie = 1e-10

func near(a, b float64) bool {
	return a == b || math.Abs(a-b) <= tie*max(math.Abs(a), math.Abs(b))
}

// better reports whether a comes before b.
func (a score) better(b score) bool {
	switch {
	case a.missed != b.missed:
		return a.missed < b.missed
	case !near(a.exposure, b.exposure):
		return a.exposure < b.exposure
	case !near(a.finishH, b.finishH):
		return a.finishH < b.finishH
	}
	return a.waterL < b.waterL && !near(a.waterL, b.waterL)
}
