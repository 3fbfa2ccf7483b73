package mixing

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"tidehold/refs/units"
	"tidehold/salinity"
)

func TestMatchBlendsBackToWhatWasWanted(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := drawWater(t, "first"), drawWater(t, "second")
		low, high := min(a.Salinity, b.Salinity), max(a.Salinity, b.Salinity)
		if high-low < 0.01 {
			return // the proportion of nearly equal waters is a quotient of rounding errors
		}
		s := low + (high-low)*units.Practical(rapid.Float64Range(0, 1).Draw(t, "between"))
		s = min(max(s, low), high)
		v := units.Litres(rapid.Float64Range(0.1, 10000).Draw(t, "litres"))
		p, err := Match(v, s, a, b)
		if err != nil {
			t.Fatal(err)
		}
		first, second := a, b
		first.Volume, second.Volume = p.First, p.Second
		mix, err := Blend(first, second)
		if err != nil {
			t.Fatal(err)
		}
		within(t, "litres", float64(mix.Volume), float64(v), 1e-9)
		if !(math.Abs(float64(mix.Salinity-s)) <= 1e-9) {
			t.Errorf("salinity %v, want %v", mix.Salinity, s)
		}
		within(t, "°C", float64(mix.Temperature), float64(p.Temperature), 1e-7)
		onHand := p.First <= a.Volume*(1+1e-9) && p.Second <= b.Volume*(1+1e-9)
		if p.Enough != onHand {
			t.Errorf("enough is %v for %+v out of %v L and %v L", p.Enough, p, a.Volume, b.Volume)
		}
		if p.Most <= 0 {
			return
		}
		most, err := Match(p.Most, s, a, b)
		if err != nil || !most.Enough {
			t.Errorf("the most there is, %v L, is not enough: %+v, %v", p.Most, most, err)
		}
	})
}

func TestMatchWithWatersOfOneSalinity(t *testing.T) {
	a := Water{Volume: 60, Salinity: 35, Temperature: 25}
	b := Water{Volume: 50, Salinity: 35, Temperature: 20}
	p, err := Match(50, 35, a, b)
	if err != nil || p.First != 50 || p.Second != 0 || p.Temperature != 25 || !p.Enough {
		t.Errorf("%+v, %v", p, err)
	}
	p, err = Match(100, 35, a, b)
	if err != nil || p.First != 60 || p.Second != 40 || p.Temperature < 22.9 || p.Temperature > 23.1 || !p.Enough {
		t.Errorf("%+v, %v", p, err)
	}
	if p, err = Match(120, 35, a, b); err != nil || p.Enough || p.Most < 109.9 || p.Most > 110.1 {
		t.Errorf("%+v, %v", p, err)
	}
}

func TestMatchRefusals(t *testing.T) {
	sea := Water{Volume: 60, Salinity: 35, Temperature: 25}
	pure := Water{Volume: 60, Temperature: 20}
	var between *BetweenError
	if _, err := Match(50, 36, sea, pure); !errors.As(err, &between) || !strings.Contains(err.Error(), "outside 0 to 35") {
		t.Error(err)
	}
	if _, err := Match(50, 36, sea, sea); !errors.As(err, &between) || !strings.Contains(err.Error(), "both waters have salinity 35") {
		t.Error(err)
	}
	var in *InputError
	if _, err := Match(0, 35, sea, pure); !errors.As(err, &in) {
		t.Error(err)
	}
	var out *salinity.RangeError
	hot := Water{Volume: 1, Salinity: 35, Temperature: 50}
	if _, err := Match(50, 35, hot, pure); !errors.As(err, &out) || !strings.Contains(err.Error(), "first") {
		t.Error(err)
	}
	if _, err := Match(50, 35, sea, hot); !errors.As(err, &out) || !strings.Contains(err.Error(), "second") {
		t.Error(err)
	}
	// Blending to just above 40 °C.
	if _, err := Match(50, 17, Water{Volume: 60, Salinity: 35, Temperature: 40}, Water{Volume: 60, Temperature: 40}); !errors.As(err, &out) {
		t.Error(err)
	}
	if _, err := Match(50, 35, Water{Salinity: 35, Temperature: 25}, Water{Salinity: 35, Temperature: 25}); !errors.Is(err, ErrNoWater) {
		t.Error(err)
	}
}
