package incident

import "math"

// Band is the level at a time as all that is known explains it, with what about 90 % of
// cases lie between.
type Band struct {
	// AtH after T0; two of one time are before and after a change.
	AtH            float64
	Low, Mid, High float64
}

// normal90 is the number of standard errors on either side that hold 90 %.
const normal90 = 1.645

// courseParts is how many pieces the time between two changes is drawn in.
const courseParts = 12

// Course is the level from T0 to a time, before and after every change; nil where no
// result has a value.
func (f *Finding) Course(untilH float64) []Band {
	if len(f.mixed) == 0 {
		return nil
	}
	s := f.Series
	var points []point
	from := 0.0
	stretch := func(toH float64, doses int) {
		for i := range courseParts {
			// Never past the end, not even by a last bit: the next stretch begins there.
			points = append(points, point{math.Min(toH, from+(toH-from)*float64(i)/courseParts), doses})
		}
		points = append(points, point{toH, doses})
		from = toH
	}
	for k, d := range s.doses {
		if d.atH > untilH {
			break
		}
		stretch(d.atH, k)
	}
	stretch(math.Max(from, untilH), s.pointAt(math.Max(from, untilH)).doses)
	out := make([]Band, len(points))
	for i, l := range f.levelsAt(points) {
		out[i] = Band{points[i].atH, math.Max(0, l.Value-normal90*l.SE), l.Value, l.Value + normal90*l.SE}
	}
	return out
}

// ChangesAtH are the times of the changes after T0.
func (s Series) ChangesAtH() []float64 {
	out := make([]float64, len(s.doses))
	for i, d := range s.doses {
		out[i] = d.atH
	}
	return out
}

// Comparison sets a result against what was predicted for its sample before it was known.
type Comparison struct {
	Sample
	// Predicted is from the results before it and the changes alone, or from the start
	// the event supposed; nil: nothing was known.
	Predicted *Fitted
	// Off is how far apart they are, in standard deviations of both together.
	Off float64
}

// Comparisons are all results of a series in order of time.
func (s Series) Comparisons() []Comparison {
	out := make([]Comparison, len(s.Samples))
	for i, p := range s.Samples {
		out[i].Sample = p
		at := []point{{p.AtH, p.doses}}
		earlier := map[int]bool{}
		valued := 0
		for k, q := range s.Samples {
			if k >= i {
				earlier[k] = true // left out
			} else if !q.Below {
				valued++
			}
		}
		switch {
		case valued > 0:
			fit := s.diluted(s.observations(earlier))
			out[i].Predicted = &s.levels(fit, at)[0]
		case s.Supposed > 0:
			level := s.predict(s.supposed(), at)[0]
			out[i].Predicted = &Fitted{level, level * s.SupposedU / 2 / s.Supposed}
		default:
			continue
		}
		off := p.UgL - out[i].Predicted.Value
		if p.Below {
			off = math.Min(0, off)
		}
		out[i].Off = off / math.Max(math.Hypot(p.U/2, out[i].Predicted.SE), leastSD)
	}
	return out
}
