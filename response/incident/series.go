package incident

import (
	"math"
	"time"

	"tidehold/response/dilution"
	"tidehold/volumes/site"
	"tidehold/volumes/stock"
)

// dose is one change as the model sees it.
type dose struct {
	atH, litres float64
	newUgL      float64 // what a litre of it brings
}

// observation is one result as the model sees it.
type observation struct {
	at      point
	ugL, sd float64
	below   bool
}

// Sample is one result of the contaminant of a Series.
type Sample struct {
	// ID is the entry, AtH hours after T0.
	ID  int
	AtH float64
	// U is the expanded uncertainty used: AssumedU where none was stated.
	UgL, U   float64
	Below    bool
	AssumedU bool
	doses    int // of the changes, those before the sample was taken
}

// Series is what is known of one contaminant in one system: the changes made and the
// results, in hours after T0.
type Series struct {
	Contaminant string
	// T0 is the opening, or the first sample if that was taken before.
	T0      time.Time
	Samples []Sample
	// VolumeL is the net volume as the site states it, VolumeU its expanded
	// uncertainty, 0: not stated, taken as known.
	VolumeL, VolumeU float64
	// Supposed is the start the event supposes, µg/L, with its U; 0: none.
	Supposed, SupposedU float64
	// SourceMgH is what the event supposes is still added, until two results say otherwise.
	SourceMgH float64
	doses     []dose
}

// AssumedShare is the expanded uncertainty taken for a result without one, as a share
// of the result. Common practice: the laboratories' own statements for trace metals in
// seawater lie about there, and a colour kit is worse.
const AssumedShare = 0.2

// SeriesOf gathers what the log holds of a contaminant. background gives what a litre
// from a store ("" for elsewhere) brings, µg/L.
func (l Log) SeriesOf(contaminant string, sys *site.System, background func(store string) float64) Series {
	s := Series{Contaminant: contaminant, T0: l.OpenedAt, VolumeL: float64(sys.NetVolume), VolumeU: float64(sys.NetVolumeU)}
	for _, a := range l.Opening.Aims {
		if a.Contaminant == contaminant {
			s.Supposed, s.SupposedU, s.SourceMgH = a.Start, a.StartU, a.SourceMgH
		}
	}
	for _, it := range l.Items {
		if it.has(contaminant) && it.At.Before(s.T0) {
			s.T0 = it.At
		}
	}
	for _, it := range l.Items {
		atH := it.At.Sub(s.T0).Hours()
		if it.Kind == stock.Change {
			s.doses = append(s.doses, doseOf(it, atH, background))
		}
		for _, m := range it.Results {
			if m.Contaminant != contaminant {
				continue
			}
			p := Sample{ID: it.ID, AtH: atH, UgL: m.UgL, U: m.U, Below: m.Below, doses: len(s.doses)}
			if p.U == 0 {
				p.U, p.AssumedU = AssumedShare*m.UgL, true
			}
			s.Samples = append(s.Samples, p)
		}
	}
	return s
}

// has reports whether an entry holds a result of the contaminant.
func (it Item) has(contaminant string) bool {
	for _, m := range it.Results {
		if m.Contaminant == contaminant {
			return true
		}
	}
	return false
}

// doseOf is a change with what its waters bring on the average.
func doseOf(it Item, atH float64, background func(string) float64) dose {
	d := dose{atH: atH, litres: it.Litres()}
	for _, p := range it.Pours {
		d.newUgL += background(p.Store) * p.Litres.InexactFloat64() / d.litres
	}
	return d
}

// Background is what a litre from a store brings of a contaminant by the site file:
// the store's own statement, else that of the site's first salt, else nothing.
func Background(s *site.Site, contaminant string) func(store string) float64 {
	return func(store string) float64 {
		if st := s.StoreByID(store); st != nil {
			if x, ok := st.Background[contaminant]; ok {
				return x
			}
		}
		if len(s.Salts) > 0 {
			return s.Salts[0].Background[contaminant]
		}
		return 0
	}
}

// leastSD is the smallest standard deviation, µg/L: even a result of nothing at all has one.
const leastSD = 1e-6

// observations are the samples but those left out, with a standard deviation of U/2.
func (s Series) observations(without map[int]bool) []observation {
	var out []observation
	for i, p := range s.Samples {
		if !without[i] {
			out = append(out, observation{point{p.AtH, p.doses}, p.UgL, math.Max(p.U/2, leastSD), p.Below})
		}
	}
	return out
}

// point is a time at which the level is asked for, after so many of the doses: of a
// sample and a change in the same minute, the order of the log says which was first.
type point struct {
	atH   float64
	doses int
}

// pointAt is a time after all the doses up to it.
func (s Series) pointAt(atH float64) point {
	n := 0
	for n < len(s.doses) && s.doses[n].atH <= atH {
		n++
	}
	return point{atH, n}
}

// course follows one contaminant from c0 µg/L through the changes: the level at each of
// the points, whose times and doses do not fall. share scales what the new water brings.
func (s Series) course(d dilution.Dynamics, c0, share float64, points []point) []float64 {
	out := make([]float64, len(points))
	st, k := d.Start(c0), 0
	forward := func(atH float64) {
		if atH > st.AtH {
			st = d.After(st, atH-st.AtH)
		}
	}
	for i, p := range points {
		for k < p.doses {
			forward(s.doses[k].atH)
			st = d.Change(st, math.Min(s.doses[k].litres, d.VolumeL), share*s.doses[k].newUgL)
			k++
		}
		forward(p.atH)
		out[i] = st.UgL
	}
	return out
}
