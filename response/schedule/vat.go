package schedule

import (
	"math"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/salinity"
	"tidehold/salinity/mixing"
)

// vessel is what does not change about a source of saltwater during a plan: a
// store, or a delivery in whatever it comes in.
type vessel struct {
	id       string
	store    int // index in the site's stores; -1 for a delivery
	delivery int // numbered from 1; 0 for a store
	capL     float64
	heelL    float64
	heaterW  float64
	lossWK   float64
	roomC    float64
	pumpLH   float64 // 0: buckets
	mixes    bool    // batches may be made in it
	overAge  bool    // what it holds at first is too old to use
	fromH    float64 // not to be drawn from before
	freeH    float64 // not worked on before
}

// vat is the water in a vessel as a plan goes on.
type vat struct {
	volL   float64
	readyH float64 // may be drawn from then on; +Inf: over its age
	s      float64
	alk    float64
	ca, mg float64
	ph     float64 // 0: unknown
	baseH  float64 // the temperature's course begins at this time,
	course mixing.Course
	toC    float64 // is heated towards this,
	warmH  float64 // and reaches it then; +Inf: never
	batch  int     // number of the batch it holds; 0: stored
	stored float64 // share of it that was there from the start
	fresh  bool    // a batch that nothing was drawn of yet
	usedH  float64 // when a batch was started in it or water drawn last
}

// mayLose reports whether so many litres may be poured away: not most of a batch that nothing was
// drawn of. A plan mixed 56 L five times and poured it away each time, to be rid of cold purified
// water.
func (v *vat) mayLose(litres float64) bool { return !v.fresh || litres <= v.volL/2*(1+tie) }

const secondsPerHour = 3600

// heat sets the vat's course from temperature c at time h towards the system's own. A
// vat without a heater, or at the target, or whose heater cannot hold the temperature
// it has, stays as it is.
func (p *problem) heat(v *vat, w *vessel, c, h float64) {
	target := p.tank.own.c
	v.course, v.baseH, v.toC = mixing.Still(c), h, target
	v.warmH = math.Inf(1)
	switch {
	case c >= target-limitSlack: // what purified water of the same temperature has become by mixing
		v.warmH = h
		return
	case w.heaterW <= 0 || v.volL <= 0:
		return
	}
	b := mixing.Body{CapacityJK: v.volL * litreHeat(v.s, c), LossWK: w.lossWK, InputW: w.heaterW, RoomC: w.roomC}
	if b.NetW(c) <= 0 {
		return
	}
	v.course = b.Course(c)
	if hours, ok := v.course.HoursTo(target); ok {
		v.warmH = h + hours
	}
}

// at is the vat's temperature at time h.
func (v *vat) at(h float64) float64 {
	switch {
	case h <= v.baseH:
		return v.course.FromC
	case h >= v.warmH && v.toC > v.course.FromC:
		return v.toC
	}
	return v.course.At(h - v.baseH)
}

// usable is what can be drawn at time h, reserve aside.
func (v *vat) usable(w *vessel, h float64) float64 {
	if v.readyH > h+slackH {
		return 0
	}
	return max(0, v.volL-w.heelL)
}

// litreHeat is the heat capacity of a litre in J/K. The caller has checked the
// ranges.
func litreHeat(s, t float64) float64 {
	jk, _ := mixing.LitreHeat(units.Practical(s), units.Celsius(t))
	return jk
}

func kgPerLitre(s, t float64) float64 {
	rho, _ := salinity.Density(units.Practical(s), units.Celsius(t))
	return float64(rho) / 1000
}

// content is what mixing conserves: kilograms of water, of dissolved salt, and
// joules above the same water at 0 °C.
type content struct{ kg, salt, heat float64 }

// litreOf is the content of one litre. The caller has checked the ranges.
func litreOf(s, t float64) content {
	kg := kgPerLitre(s, t)
	h, _ := salinity.Enthalpy(units.Practical(s), units.Celsius(t))
	return content{kg, kg * float64(salinity.ReferenceSalinity(units.Practical(s))) / 1000, kg * h}
}

// saltShare is the mass share of salt at a practical salinity.
func saltShare(s float64) float64 {
	return float64(salinity.ReferenceSalinity(units.Practical(s))) / 1000
}

// salted is the content with kg of a salt of a dry share dissolved in it. It stays as warm as
// it is, as mixing.Correct has it: the salt comes at that temperature, and the heat of dissolving
// is left out.
func (c content) salted(kg, dry, t float64) content {
	c.kg, c.salt = c.kg+kg, c.salt+kg*dry
	return c.at(t)
}

// at is the content with the heat that it has at a temperature.
func (c content) at(t float64) content {
	s := min(float64(salinity.PracticalFromReference(units.GramsPerKg(c.salt/c.kg*1000))), saltiest)
	h, _ := salinity.Enthalpy(units.Practical(s), units.Celsius(t))
	c.heat = c.kg * h
	return c
}

func (c content) plus(d content, litres float64) content {
	return content{c.kg + d.kg*litres, c.salt + d.salt*litres, c.heat + d.heat*litres}
}

// state returns the salinity and temperature of the content. near is a
// temperature within a few kelvin: the heat capacity is so nearly constant that
// two Newton steps leave only rounding.
func (c content) state(near float64) (s, t float64) {
	s = float64(salinity.PracticalFromReference(units.GramsPerKg(c.salt / c.kg * 1000)))
	if !(s < saltiest) {
		s = min(s, saltiest)
	}
	t = near
	for range 2 {
		h, cp, _ := salinity.HeatAndCapacity(units.Practical(s), units.Celsius(t))
		if t += (c.heat/c.kg - h) / cp; !(t > coldest && t < warmest) {
			t = min(max(t, coldest), warmest)
		}
	}
	return s, t
}

// stateOf is the state of a content. Changes of unlike tastes come to the same water, and a change is
// looked at again as it is put together.
func (p *problem) stateOf(c content, near float64) (s, t float64) {
	m := p.scratch.memory
	if m == nil {
		return c.state(near)
	}
	x, known := m.states.place(contentNear{c, near}, c.salt, c.heat)
	if !known {
		x.s, x.c = c.state(near)
	}
	return x.s, x.c
}

// saltWarm is how salty and how warm water is.
type saltWarm struct{ s, c float64 }

// contentNear is a content, and a temperature near its own.
type contentNear struct {
	content content
	near    float64
}

// The ranges of density and heat capacity.
const (
	saltiest = 42
	coldest  = 0
	warmest  = 40
)

// bucketL litres a bucket and minutesPerBucket for carrying it one way: common
// practice, for buckets carried within a room by one person.
const (
	bucketL          = refs.BucketL
	minutesPerBucket = refs.MinutesPerBucket
)

// minutesPerL is how long a litre takes one way.
func (w *vessel) minutesPerL() float64 { return minutesPerL(w.pumpLH) }

// minutesPerL is how long a litre takes one way by a pump of so many L/h; 0: by bucket.
func minutesPerL(pumpLH float64) float64 {
	if pumpLH > 0 {
		return 60 / pumpLH
	}
	return minutesPerBucket / float64(bucketL)
}
