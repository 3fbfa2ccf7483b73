package incident

import (
	"math"
	"testing"
)

// A reading is asked about where it lies by more than 5 °C or 5 of salinity from what the tank had before
// it: as it was kept, as it was read last, or as a change left it; a correction is no leap, later entries
// make none, and what is no reading has none.
func TestAReadingThatLeaps(t *testing.T) {
	s := house(t)
	sys := &s.Systems[0]
	c, sal := float64(sys.Water.Temperature), float64(sys.Water.Salinity)
	b := opened(t)
	b.put(at(1).Reading(Values{TempC: x(c - 5), Salinity: x(sal / 10)}, nil))
	b.put(at(2).Reading(Values{TempC: x(c + 0.2), Salinity: x(sal / 10)}, nil))
	b.put(at(1.5).Reading(Values{Salinity: x(sal)}, nil)) // entered late: before the last one
	b.put(at(3).Reading(Values{PH: x(8)}, nil))
	l := b.log()
	var ids []int
	for _, e := range b.entries {
		ids = append(ids, e.ID)
	}
	for k, want := range []struct{ temp, salinity *Leap }{
		{}, {nil, &Leap{sal, sal / 10}}, {&Leap{c - 5, c + 0.2}, &Leap{sal, sal / 10}}, {nil, &Leap{sal / 10, sal}}, {},
	} {
		temp, salinity, err := l.Leaps(sys, ids[k])
		same := func(a, b *Leap) bool { return a == b || a != nil && b != nil && *a == *b }
		if err != nil || !same(temp, want.temp) || !same(salinity, want.salinity) {
			t.Errorf("entry %d: %v, %v (%v), want %+v", ids[k], temp, salinity, err, want)
		}
	}
	if temp, salinity, err := l.Leaps(sys, 999); temp != nil || salinity != nil || err != nil {
		t.Errorf("no entry: %v, %v, %v", temp, salinity, err)
	}
	b.put(at(4).Change(pour("vat-a", 100, 35, 20)))
	b.put(at(5).Reading(Values{TempC: x(c)}, nil))
	l = b.log()
	for i := range l.Items {
		if l.Items[i].Pours != nil {
			l.Items[i].Pours[0].Salinity = x(99)
		}
	}
	if _, _, err := l.Leaps(sys, b.entries[len(b.entries)-1].ID); err == nil {
		t.Error("salinity 99 was mixed")
	}
}

// A change that moves the water further than one step may is said, with its parts: 160 L at 20 °C in 400 L at
// 25 °C take it down by 2 °C, of which the limit is 1 °C; 70 L by 0.875 °C.
func TestAChangeOfMoreThanAStep(t *testing.T) {
	s := house(t)
	for _, c := range []struct {
		parts              []float64
		salinity, tempC    float64
		ends               float64
		warmLeap, saltLeap bool
	}{
		{[]float64{70}, 35, 20, 0, false, false}, {[]float64{160}, 35, 20, 23, true, false}, {[]float64{70, 90}, 35, 20, 24.125 - 90.0/400*4.125, true, false},
		{[]float64{160}, 30, 25, 0, false, true}, {[]float64{60}, 30, 25, 0, false, false}, {[]float64{83}, 35, 20, 0, false, false},
	} {
		b := opened(t)
		id := 0
		for i, litres := range c.parts {
			id = b.put(at(1 + float64(i)/2).Change(pour("vat-a", litres, c.salinity, c.tempC)))
		}
		temp, salinity, err := b.log().Steps(&s.Systems[0], id)
		if err != nil || (temp != nil) != c.warmLeap || (salinity != nil) != c.saltLeap {
			t.Errorf("%+v: %+v, %+v, %v", c, temp, salinity, err)
		}
		if temp != nil && (!(math.Abs(temp.Was-25) <= 1e-9) || !(math.Abs(temp.Is-c.ends) <= 0.02)) {
			t.Errorf("%+v", temp)
		}
	}
	if temp, salinity, err := opened(t).log().Steps(&s.Systems[0], 1); temp != nil || salinity != nil || err != nil {
		t.Error("an opening is no change")
	}
}
