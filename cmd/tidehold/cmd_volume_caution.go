package main

import (
	"tidehold/refs/units"
	"tidehold/volumes"
)

// stepTest is a test that moves the salinity.
type stepTest interface {
	Caution(limit float64, v units.Litres) (volumes.StepCaution, bool)
}

// bound is the largest move that a system allows, and in which words.
type bound struct {
	most  float64
	words string
}

// caution comes before the test is described: one that moves the salinity too far
// is for a system without animals, or must be smaller.
func (f *found) caution(test stepTest, v units.Litres, before, after float64) ([]block, error) {
	limit, err := f.salinityBound(before, after)
	if err != nil {
		return nil, err
	}
	c, over := test.Caution(limit.most, v)
	if !over {
		return nil, nil
	}
	f.res.Caution = &cautionResult{Step: c.Step, Limit: c.Limit, LargestL: float64(c.Largest), LargestKg: c.LargestKg}
	smaller := ", or exchange no more than " + f.u.Volume(float64(c.Largest), units.Down) + " at a time"
	switch {
	case limit.most == 0:
		smaller = "" // no move at all is allowed
	case c.LargestKg > 0:
		smaller = ", or dissolve no more than " + f.u.Mass(c.LargestKg, units.Down) + " at a time"
	}
	return []block{para("CAUTION: this test moves the salinity by %s; animals should bear no more than %s %s. Do it before there are any%s.",
		units.Fixed(c.Step, 2), units.Fixed(c.Limit, 2), limit.words, smaller)}, nil
}

// salinityBound is how far the salinity may move from before towards after: the
// tightest of the system's own limits, else the default of a site file.
func (f *found) salinityBound(before, after float64) (bound, error) {
	if f.sys == nil {
		most, err := f.usualStep("largest step of salinity", "systems.limits.salinity_step", units.SalinityStep)
		return bound{most, "in one step"}, err
	}
	m := f.sys.Limits
	most, key := m.SalinityRoom(units.Practical(before), units.Practical(after))
	return bound{most, map[string]string{
		"salinity_step":    "in one step",
		"salinity_per_day": "in a day",
		"salinity_low":     "before the lowest salinity allowed, " + units.Trimmed(float64(m.SalinityLow), 4) + ", is reached",
		"salinity_high":    "before the highest salinity allowed, " + units.Trimmed(float64(m.SalinityHigh), 4) + ", is reached",
	}[key]}, nil
}

// temperatureCaution warns of water that is too warm or too cold for the system.
func (f *found) temperatureCaution(x volumes.Exchange, v units.Litres) ([]block, error) {
	if x.WithTemperature == x.Temperature {
		return nil, nil
	}
	step, err := x.TemperatureStep(v)
	if err != nil {
		return nil, usage(err)
	}
	limit := 0.0
	if f.sys != nil {
		limit = min(f.sys.Limits.TemperatureStep, f.sys.Limits.TemperaturePerDay)
	} else if limit, err = f.usualStep("largest step of temperature", "systems.limits.temperature_step", units.TempStep); err != nil {
		return nil, err
	}
	if step <= limit {
		return nil, nil
	}
	f.res.Temperature = &temperatureResult{step, limit}
	return []block{para("CAUTION: this water moves the temperature by %s; animals should bear no more than %s at once. "+
		"Bring it to the temperature of the system first.", f.u.TempStep(step), f.u.TempStep(limit))}, nil
}

// usualStep is a default of the site file for a system that is not named.
func (f *found) usualStep(what, path string, dim units.Dimension) (float64, error) {
	usual, err := siteDefault(path)
	if err != nil {
		return 0, err
	}
	q, err := units.Parse(usual.Value, dim)
	f.assume(what, f.u.Respell(usual.Value, q), usual.Source+"; otherwise name a system with --system")
	return q.Value, err
}
