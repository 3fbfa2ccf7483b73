package incident

import (
	"math"
	"slices"
	"time"

	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/salinity/mixing"
	"tidehold/volumes/site"
	"tidehold/volumes/stock"
)

// Basis says how a value of the water now is known.
type Basis string

// The bases, the surest first.
const (
	Read     Basis = "read"     // an instrument showed it, and nothing was changed since
	Computed Basis = "computed" // from the last reading and the water poured since
	Kept     Basis = "kept"     // as the site file says the system is kept: nobody read it
)

// Water is the system's water at a moment of the night.
type Water struct {
	State plan.State
	// TempBasis and SalinityBasis say how the two are known.
	TempBasis, SalinityBasis Basis
	// Held are the states of the 24 h before, hours before the moment, oldest first.
	Held []plan.Held
	// UsedC and UsedSalinity are how far the water is from what it was within the last
	// 24 h: what is used of the limits per day.
	UsedC, UsedSalinity float64
}

// windowH is the rolling window of the limits per day, hours.
const windowH = 24

// moment is a state that began at a time.
type moment struct {
	at    time.Time
	state plan.State
}

// begins is the water at the opening, what it was within 24 h before, and from when on a system that reheats is back at its own
// temperature.
func (l Log) begins(sys *site.System) (w Water, path []moment, next time.Time, err error) {
	w = Water{State: keptState(sys), TempBasis: Kept, SalinityBasis: Kept}
	from := l.OpenedAt.Add(-windowH * time.Hour)
	if l.Before == nil { // the water as it was kept until the incident counts for 24 h
		return w, []moment{{from, w.State}}, l.OpenedAt, nil
	}
	if w, err = l.Before.WaterAt(sys, l.OpenedAt); err != nil {
		return w, nil, next, err
	}
	for _, h := range w.Held {
		path = append(path, moment{from, h.State})
		from = l.OpenedAt.Add(hours(h.UntilH))
	}
	path = append(path, moment{from, w.State})
	next = l.OpenedAt
	if began, ok := l.Before.lastBegan(sys); ok && began.Add(hours(sys.ChangeEveryH)).After(next) {
		next = began.Add(hours(sys.ChangeEveryH))
	}
	return Water{State: w.State, TempBasis: w.TempBasis, SalinityBasis: w.SalinityBasis}, path, next, nil
}

// lastBegan is when the last change began, of this incident or of those before it.
func (l Log) lastBegan(sys *site.System) (time.Time, bool) {
	if rows := l.rows(sys); len(rows) > 0 {
		return rows[len(rows)-1].began, true
	}
	if l.Before == nil {
		return time.Time{}, false
	}
	return l.Before.lastBegan(sys)
}

// WasRead reports whether the system's water was read by now, in this incident or in one before it that counts on.
func (l Log) WasRead(now time.Time) bool {
	for _, it := range l.Items {
		if it.Kind == stock.Reading && !it.At.After(now) {
			return true
		}
	}
	return l.Before != nil && l.Before.WasRead(l.OpenedAt)
}

// WaterAt follows the system's water from the opening to now: every reading sets it,
// every change mixes into it by mass, salt and heat. Between two changes a system that
// reheats is back at its own temperature by the time the next may start. A pour
// without a measured or recorded salinity or temperature is taken to be like the
// system: its error is that of the mixing relations outside their ranges.
func (l Log) WaterAt(sys *site.System, now time.Time) (Water, error) {
	w, path, next, err := l.begins(sys)
	if err != nil {
		return Water{}, err
	}
	own := keptState(sys).Temperature
	warms := recovery{}
	reheat := func(at time.Time) {
		if l.Opening.Reheats && (w.TempBasis != Read || warms.seen) && !at.Before(next) && w.State.Temperature != own {
			// Nobody read anything else: it is what the site file says of a system whose heaters work.
			w.State.Temperature, w.TempBasis = own, Kept
			path = append(path, moment{next, w.State})
		}
	}
	for _, it := range l.Items {
		if it.At.After(now) {
			break
		}
		switch it.Kind {
		case stock.Reading:
			reheat(it.At)
			w.read(*it.Values)
			warms.seen = it.Values.TempC != nil && warms.keepsUp(it.At, *it.Values.TempC) || it.Values.TempC == nil && warms.seen
			path = append(path, moment{it.At, w.State})
		case stock.Change:
			reheat(it.At)
			if err := w.pour(sys, it); err != nil {
				return Water{}, err
			}
			next = it.At.Add(hours(sys.ChangeEveryH))
			warms = recovery{from: it.At, until: next, fromC: w.State.Temperature, ownC: own}
			path = append(path, moment{it.At, w.State})
		}
	}
	reheat(now)
	w.hold(path, now)
	return w, nil
}

// recovery is a system on its way back to its own temperature after a change.
type recovery struct {
	from, until time.Time
	fromC, ownC float64
	seen        bool // a thermometer showed it on its way
}

// readWithinC is how far two readings of one water may lie apart, °C: a rule of this tool, no published figure.
const readWithinC = 0.3

// keepsUp reports whether a reading shows a system that was made colder on its way back: as warm as it has to
// be by then to be back in time. A tank that was read at 24.2 °C right after a change was planned for as if it
// would be so four hours later: 63 L of cold water for one that had 25.0 °C again by then. One that lags is what
// it was read at: its heaters may be what broke.
func (r recovery) keepsUp(at time.Time, c float64) bool {
	if !at.Before(r.until) || c >= r.ownC {
		return false
	}
	share := at.Sub(r.from).Hours() / r.until.Sub(r.from).Hours()
	return c >= r.fromC+share*(r.ownC-r.fromC)-readWithinC
}

// hours is a number of hours as a duration, at most 250 years either way: more does not fit.
func hours(h float64) time.Duration {
	const most = 24 * 365 * 250
	return time.Duration(math.Min(math.Max(h, -most), most) * float64(time.Hour))
}

// keptState is the water as the site file says it is kept.
func keptState(sys *site.System) plan.State {
	return plan.State{
		Salinity: float64(sys.Water.Salinity), Temperature: float64(sys.Water.Temperature),
		AlkalinityDKH: sys.Water.AlkalinityDKH, CalciumMgL: sys.Water.CalciumMgL, MagnesiumMgL: sys.Water.MagnesiumMgL, PH: sys.Water.PH,
	}
}

// read takes over what instruments showed.
func (w *Water) read(v Values) {
	if v.TempC != nil {
		w.State.Temperature, w.TempBasis = *v.TempC, Read
	}
	if v.Salinity != nil {
		w.State.Salinity, w.SalinityBasis = *v.Salinity, Read
	}
	if v.PH != nil {
		w.State.PH = v.PH
	}
	if v.AlkalinityDKH != nil {
		w.State.AlkalinityDKH = v.AlkalinityDKH
	}
}

// pour mixes a change into the water.
func (w *Water) pour(sys *site.System, it Item) error {
	total := float64(sys.NetVolume)
	out := min(it.Litres(), total)
	parts := []mixing.Water{{Volume: units.Litres(total - out), Salinity: units.Practical(w.State.Salinity), Temperature: units.Celsius(w.State.Temperature)}}
	for _, p := range it.Pours {
		part := mixing.Water{Volume: units.Litres(p.Litres.InexactFloat64()), Salinity: parts[0].Salinity, Temperature: parts[0].Temperature}
		if p.Salinity != nil {
			part.Salinity = units.Practical(*p.Salinity)
		}
		if p.TemperatureC != nil {
			part.Temperature = units.Celsius(*p.TemperatureC)
		}
		parts = append(parts, part)
	}
	mix, err := mixing.Blend(parts...)
	if err != nil {
		return err
	}
	w.State.Salinity, w.State.Temperature = float64(mix.Salinity), float64(mix.Temperature)
	w.TempBasis, w.SalinityBasis = Computed, Computed
	return nil
}

// hold lists what was held within 24 h before now, and how far the water is from it.
func (w *Water) hold(path []moment, now time.Time) {
	slices.SortStableFunc(path, func(a, b moment) int { return a.at.Compare(b.at) })
	for i, m := range path {
		until := now
		if i+1 < len(path) {
			until = path[i+1].at
		}
		untilH := until.Sub(now).Hours()
		if untilH <= -windowH || m.at.After(now) || !until.After(m.at) {
			continue
		}
		w.UsedC = math.Max(w.UsedC, math.Abs(w.State.Temperature-m.state.Temperature))
		w.UsedSalinity = math.Max(w.UsedSalinity, math.Abs(w.State.Salinity-m.state.Salinity))
		if i+1 < len(path) {
			w.Held = append(w.Held, plan.Held{State: m.state, UntilH: untilH})
		}
	}
}

// NextChange is the earliest moment at which another change may start: the interval
// after the last one began (its first part, if it was made in several), of an incident before this one too, or, before any, the
// system's lead after the opening; never before now.
func (l Log) NextChange(sys *site.System, now time.Time) time.Time {
	next := l.OpenedAt.Add(hours(sys.LeadH))
	if began, ok := l.lastBegan(sys); ok {
		if free := began.Add(hours(sys.ChangeEveryH)); !began.Before(l.OpenedAt) || free.After(next) {
			next = free
		}
	}
	if next.Before(now) {
		return now
	}
	return next
}
