package incident

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"
	"time"

	"tidehold/response/dilution"
)

// truth is an incident whose every number is known.
type truth struct {
	series  Series
	name    Explanation
	startUg float64
	volumeL float64
	source  float64
	target  float64
	endH    float64
	nowUg   float64
}

// simulated draws an incident as they happen: 100 to 2,000 L known to 4 to 12 %, 20 to
// 200 µg/L, two to five changes of 15 to 45 % some hours apart, two to six samples over
// two or three days, each with a laboratory's 5 to 15 % (U), the last few perhaps below a
// reporting limit. One in four each: dilution alone, a source, rock, media. The effects
// are of the size that people meet: a source adds 15 to 60 % of the start a day, rock
// holds 0.3 to 1.5 times what the water holds, media clean 0.5 to 3 volumes a day.
func simulated(r *rand.Rand) truth {
	in := func(low, high float64) float64 { return low + (high-low)*r.Float64() }
	var t truth
	stated := math.Exp(in(math.Log(100), math.Log(2000)))
	share := in(0.04, 0.12)
	t.volumeL = stated * (1 + share/2*r.NormFloat64())
	t.startUg = math.Exp(in(math.Log(20), math.Log(200)))
	t.target = 3.1
	s := Series{Contaminant: "copper", T0: time.Date(2026, 11, 25, 3, 0, 0, 0, time.UTC), VolumeL: stated, VolumeU: share * stated}
	d := dilution.Dynamics{VolumeL: t.volumeL}
	t.name = []Explanation{Dilution, StillAdding, ComingBack, TakenOut}[r.IntN(4)]
	switch t.name {
	case StillAdding:
		t.source = in(0.15, 0.6) * t.startUg * t.volumeL / 24 / 1000
		d.Source.MgH = t.source
	case ComingBack:
		d.BoundRatio, d.BoundRatePerH = in(0.3, 1.5), math.Exp(in(math.Log(0.03), math.Log(0.3)))
	case TakenOut:
		d.ClearanceLH = in(0.5, 3) * t.volumeL / 24
	}
	t.endH = in(24, 72)
	size := in(0.15, 0.45) * stated
	at := in(0.5, 2)
	for range 2 + r.IntN(4) {
		if at < t.endH {
			s.doses = append(s.doses, dose{at, size * in(0.8, 1.1), in(0, 1)})
		}
		at += in(4, 14)
	}
	n := 2 + r.IntN(5)
	t.series = s
	u := in(0.05, 0.15)
	limit := in(0.2, 2)
	for i := range n {
		h := t.endH * (float64(i) + 0.2*r.Float64()) / float64(n-1)
		if i == 0 {
			h = in(0, 0.4)
		}
		h = math.Min(h, t.endH)
		p := s.pointAt(h)
		level := s.course(d, t.startUg, 1, []point{p})[0]
		y := level * (1 + u/2*r.NormFloat64())
		m := Sample{ID: i + 2, AtH: h, UgL: y, U: u * y, doses: p.doses}
		if y < limit {
			m = Sample{ID: i + 2, AtH: h, UgL: limit, U: u * limit, Below: true, doses: p.doses}
		}
		t.series.Samples = append(t.series.Samples, m)
	}
	t.nowUg = s.course(d, t.startUg, 1, []point{s.pointAt(t.endH)})[0]
	return t
}

// score counts how often what was found holds what was true.
type score struct {
	incidents, right, undecided, wrong, falseAdding int
	start, volume, source, now, fits, sources, na   int
	by                                              map[string]int
}

func simulate(n int, seed uint64) score {
	r := rand.New(rand.NewPCG(seed, 14))
	c := score{by: map[string]int{}}
	holds := func(f Fitted, x float64) int {
		if math.Abs(f.Value-x) <= 1.645*f.SE {
			return 1
		}
		return 0
	}
	for range n {
		t := simulated(r)
		f := t.series.Explain(t.series.T0.Add(hours(t.endH)), t.target)
		c.incidents++
		c.by[string(t.name)+" -> "+string(f.Explanation)]++
		switch f.Explanation {
		case t.name:
			c.right++
		case Undecided:
			c.undecided++
		default:
			c.wrong++
			if f.Explanation == StillAdding {
				c.falseAdding++
			}
		}
		if f.Start == nil {
			c.na++
			continue
		}
		c.fits++
		c.start += holds(*f.Start, t.startUg)
		c.volume += holds(*f.VolumeL, t.volumeL)
		c.now += holds(*f.Now, t.nowUg)
		if len(f.Fits) > 1 && (t.name == Dilution || t.name == StillAdding) && f.Fits[1].cov != nil {
			c.sources++
			c.source += holds(f.Fits[1].SourceMgH, t.source)
		}
	}
	return c
}

func (c score) String() string {
	p := func(a, b int) string { return fmt.Sprintf("%.1f %%", 100*float64(a)/float64(b)) }
	return fmt.Sprintf("%d incidents: right %s, undecided %s, wrong %s, wrongly still-adding %s; 90 %% intervals hold start %s, volume %s, level now %s (of %d), source %s (of %d); not fitted %d\n%s",
		c.incidents, p(c.right, c.incidents), p(c.undecided, c.incidents), p(c.wrong, c.incidents), p(c.falseAdding, c.incidents),
		p(c.start, c.fits), p(c.volume, c.fits), p(c.now, c.fits), c.fits, p(c.source, c.sources), c.sources, c.na, c.table())
}

// table counts the answers (columns) to each truth (rows).
func (c score) table() string {
	answers := []Explanation{Dilution, StillAdding, ComingBack, TakenOut, Undecided}
	text := fmt.Sprintf("table: %-12s", "true\\said")
	for _, a := range answers {
		text += fmt.Sprintf("%13s", a)
	}
	for _, truth := range answers[:4] {
		text += fmt.Sprintf("\n    table: %-12s", truth)
		for _, a := range answers {
			text += fmt.Sprintf("%13d", c.by[string(truth)+" -> "+string(a)])
		}
	}
	return text
}

// The requirements are for 1,000 incidents (TIDEHOLD_INCIDENTS=1000); the sample that
// always runs is held to what such a sample may show by chance in one of a thousand
// runs, three standard deviations of a binomial count beyond them.
func TestSimulatedIncidents(t *testing.T) {
	n := 60
	if s := os.Getenv("TIDEHOLD_INCIDENTS"); s != "" {
		var err error
		if n, err = strconv.Atoi(s); err != nil {
			t.Fatal(err)
		}
	}
	began := time.Now()
	c := simulate(n, 1)
	t.Log(c, time.Since(began))
	if c.fits < n*9/10 || c.right < n/3 {
		t.Errorf("%d of %d incidents fitted, %d explained", c.fits, n, c.right)
	}
	slack := func(p float64, of int) float64 {
		if n >= 1000 {
			return 0
		}
		return 3 * math.Sqrt(p*(1-p)/float64(of))
	}
	for _, want := range []struct {
		what      string
		count, of int
		low, high float64
	}{
		{"right or undecided", c.right + c.undecided, n, 0.95, 1},
		{"wrongly still-adding", c.falseAdding, n, 0, 0.02},
		{"start held", c.start, c.fits, 0.85, 0.95},
		{"volume held", c.volume, c.fits, 0.85, 0.95},
		{"level now held", c.now, c.fits, 0.85, 0.95},
		{"source held", c.source, c.sources, 0.85, 0.95},
	} {
		p := float64(want.count) / float64(want.of)
		if !(p >= want.low-slack(want.low, want.of) && p <= want.high+slack(want.high, want.of)) {
			t.Errorf("%s: %.1f %% of %d, want %.0f to %.0f %%", want.what, 100*p, want.of, 100*want.low, 100*want.high)
		}
	}
}
