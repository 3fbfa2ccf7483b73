package schedule

import (
	"crypto/sha256"
	"encoding/binary"
	"math"
	"slices"
	"sync"

	"tidehold/volumes/site"
)

// Known remembers what searches found, by all that they hang on: what was asked of a system
// that is like this one in all that counts, of this one with another stock that makes no
// difference, or as the first of several demands, is not searched for again. It is safe for
// use by several goroutines at once; nil remembers nothing.
type Known struct {
	mu sync.Mutex
	// What is new goes into young; once that is full it becomes old, and old is forgotten: like
	// systems stand close together in a file.
	young, old map[question]found
}

// mostKnown is how many searches each half of Known remembers, some 2 kB each.
const mostKnown = 4096

// NewKnown remembers nothing yet.
func NewKnown() *Known { return &Known{young: map[question]found{}} }

// question is a problem and how it is searched, as a sum of all that is in it.
type question [sha256.Size]byte

// recall is what was found before for a problem, with moves of the caller's own, and the
// question to keep it by.
func (k *Known) recall(p *problem, nodes int) (q question, f found, ok bool) {
	if k == nil {
		return q, f, false
	}
	q = p.question(nodes)
	f, ok = k.answer(q)
	return q, f, ok
}

// answer is what was found for a question.
func (k *Known) answer(q question) (f found, ok bool) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if f, ok = k.young[q]; !ok {
		f, ok = k.old[q]
	}
	f.moves = slices.Clone(f.moves)
	return f, ok
}

// keep remembers what was found.
func (k *Known) keep(q question, f found) {
	if k == nil {
		return
	}
	f.moves = slices.Clone(f.moves)
	k.mu.Lock()
	defer k.mu.Unlock()
	if len(k.young) >= mostKnown {
		k.young, k.old = make(map[question]found, mostKnown), k.young
	}
	k.young[q] = f
}

// question sums up the problem: everything a search or a bound reads, which is all of it but
// whose it is and what the vessels are called.
func (p *problem) question(nodes int) question {
	t := texts.Get().(*text)
	defer texts.Put(t)
	*t = (*t)[:0]
	t.count(nodes, p.rounds, p.finishing, len(p.aims), len(p.vessels), len(p.works.salts), len(p.works.comes), len(p.start.held))
	t.numbers(p.outsideL, p.reserveL, p.horizonH, p.afterH, p.confidence)
	t.yes(p.closely, p.shared, p.wanted, p.hoards, p.moot)
	t.tank(&p.tank)
	for a := range p.aims {
		t.aim(&p.aims[a])
	}
	for i := range p.vessels {
		t.vessel(&p.vessels[i])
	}
	t.works(&p.works)
	t.state(&p.start)
	return sha256.Sum256(*t)
}

// text is numbers written one after the other.
type text []byte

// texts keeps the memory of questions from one to the next.
var texts = sync.Pool{New: func() any { return new(text) }}

func (t *text) numbers(list ...float64) {
	for _, x := range list {
		*t = binary.LittleEndian.AppendUint64(*t, math.Float64bits(x))
	}
}

func (t *text) count(list ...int) {
	for _, x := range list {
		*t = binary.LittleEndian.AppendUint64(*t, uint64(x))
	}
}

func (t *text) yes(list ...bool) {
	for _, x := range list {
		b := byte(0)
		if x {
			b = 1
		}
		*t = append(*t, b)
	}
}

func (t *text) tank(k *tank) {
	t.numbers(k.volL, k.mostL, k.leastL, k.everyH)
	t.water(&k.own)
	t.limits(k.limits)
	t.yes(k.hasAlk, k.reheats, k.awake.always)
	t.numbers(k.awake.clockH, k.awake.hours.FromH, k.awake.hours.ToH, k.awake.alwaysUntilH)
}

func (t *text) water(w *water) { t.numbers(w.s, w.c, w.alk, w.ca, w.mg, w.ph) }

func (t *text) limits(l *site.Limits) {
	t.numbers(l.TemperatureStep, l.TemperaturePerDay, l.SalinityStep, l.SalinityPerDay, l.AlkalinityPerDay,
		float64(l.TemperatureLow), float64(l.TemperatureHigh), float64(l.SalinityLow), float64(l.SalinityHigh), l.OxygenLow)
}

func (t *text) aim(m *aim) {
	d := &m.dynamics
	t.numbers(d.VolumeL, d.Source.MgH, d.Source.UntilH, d.Source.HalfLifeH, d.ClearanceLH, d.CapacityMg, d.BoundRatio, d.BoundRatePerH, d.ExchangeLH, d.ExchangeUgL)
	t.numbers(m.startUgL, m.target, m.withinH, m.newUgL, m.saltUgL, m.cleanest, m.purest, m.floor)
	t.yes(m.reachable, m.inert)
}

func (t *text) vessel(w *vessel) {
	t.count(w.store, w.delivery)
	t.numbers(w.capL, w.heelL, w.heaterW, w.lossWK, w.roomC, w.pumpLH, w.fromH, w.freeH)
	t.yes(w.mixes, w.overAge)
}

func (t *text) works(w *works) {
	t.numbers(w.mixH, w.cutH, w.rateLH, w.feedC, w.roomL)
	for k := range w.salts {
		s := &w.salts[k]
		t.numbers(s.dry, s.kgPerL, s.purePerL, s.alk, s.ca, s.mg, s.ph)
		t.numbers(s.background...)
	}
	for _, a := range w.comes {
		t.numbers(a.atH, a.saltKg, a.pureL, a.pureC)
	}
}

func (t *text) state(s *state) {
	t.numbers(s.atH, s.nextH)
	t.water(&s.water)
	for _, h := range s.held {
		t.numbers(h.s, h.c, h.alk, h.untilH)
	}
	for _, c := range s.conc {
		t.numbers(c.AtH, c.UgL, c.BoundUg, c.CapturedUg)
	}
	t.numbers(s.doneH...)
	for i := range s.vats {
		v := &s.vats[i] // its course follows from these and its vessel
		t.numbers(v.volL, v.readyH, v.s, v.alk, v.ca, v.mg, v.ph, v.baseH, v.course.FromC, v.toC, v.warmH, v.usedH)
		t.count(v.batch)
		t.numbers(v.stored)
		t.yes(v.fresh)
	}
	t.numbers(s.levels...)
	t.numbers(s.pure.litres, s.pure.c, s.pure.atH)
	t.numbers(s.saltKg...)
	t.yes(s.ask.change)
	t.numbers(s.ask.freedH)
}
