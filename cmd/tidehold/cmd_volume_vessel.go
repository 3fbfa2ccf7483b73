package main

import (
	"errors"
	"strings"

	"tidehold/refs/units"
	"tidehold/volumes"
)

// inUnits says in the units of display that a level or a volume is out of range.
func inUnits(err error, u units.System) error {
	var out *volumes.RangeError
	if u != units.US || !errors.As(err, &out) {
		return err
	}
	in := *out
	switch out.Unit {
	case "cm":
		per := u.CmPer()
		in.Unit, in.Value, in.Low, in.High = "in", out.Value/per, out.Low/per, out.High/per
	case "L":
		per := u.LitresPer()
		in.Unit, in.Value, in.Low, in.High = "gal", out.Value/per, out.Low/per, out.High/per
	}
	return usage(&in)
}

// part builds the vessel with its level from the flags.
func (o *shapeOptions) part() (volumes.Part, error) {
	values, measured := map[string]float64{}, map[string]units.Measured{}
	for name, f := range o.dims {
		if f.Given {
			values[name] = f.Value
			measured[name] = f.Measured()
		}
	}
	table, err := o.table()
	if err != nil {
		return volumes.Part{}, err
	}
	shape, err := volumes.New(o.kind.Name, values, table)
	if err != nil {
		return volumes.Part{}, usage(err)
	}
	p := volumes.Part{Shape: shape, LevelCm: units.Exact(shape.HeightCm())}
	if !o.kind.Table {
		p.Dims = measured
	}
	switch {
	case o.level.Given:
		p.LevelCm = o.level.Measured()
	case o.volume.Given:
		if p.LevelCm.Value, err = shape.LevelOf(units.Litres(o.volume.Value)); err != nil {
			return volumes.Part{}, usagef("--volume: %w", err)
		}
	}
	return p, nil
}

// table reads the points of a strapping table.
func (o *shapeOptions) table() ([]volumes.Point, error) {
	if !o.kind.Table {
		return nil, nil
	}
	table := []volumes.Point{}
	for _, text := range o.points {
		l, v, ok := strings.Cut(text, ",")
		if !ok {
			return nil, usagef("--point: %q is not a level and a volume; write them with a comma between, as in 10cm,42L", text)
		}
		level, err := units.Parse(l, units.Length)
		if err != nil {
			return nil, usagef("--point: %w", err)
		}
		volume, err := units.Parse(v, units.Volume)
		if err != nil {
			return nil, usagef("--point: %w", err)
		}
		table = append(table, volumes.Point{LevelCm: level.Value, Volume: units.Litres(volume.Value)})
	}
	return table, nil
}

// displaced collects what stands in the water, and lists the defaults it takes.
func (o *shapeOptions) displaced(ans *answer) (volumes.Displaced, error) {
	d := volumes.Displaced{OtherL: o.other.Measured()}
	if o.rock.Given {
		density, err := o.density.orSite(ans, "rock density", "systems.parts.displaced.rock.density")
		if err != nil {
			return d, err
		}
		d.RockMassKg, d.RockPorosity = o.rock.Measured(), o.porosity.Measured()
		d.RockDensity = density.Times(1 / units.LitresPerM3)
		if !o.porosity.Given && o.density.Given {
			ans.assume("rock porosity", "0 %", "goes with the density of the grains; if yours is that of the whole piece, give --rock-porosity")
		}
	}
	if o.sand.Given {
		var err error
		d.SandDepthCm = o.sand.Measured()
		d.SandPorosity, err = o.sandGap.orSite(ans, "sand porosity", "systems.parts.displaced.sand.porosity")
		return d, err
	}
	return d, nil
}

// orSite is what the flag says, else the default that a site file takes for the
// same thing, which is listed.
func (q *quantityFlag) orSite(ans *answer, what, path string) (units.Measured, error) {
	if q.Given {
		return q.Measured(), nil
	}
	usual, err := siteDefault(path)
	if err != nil {
		return units.Measured{}, err
	}
	ans.assume(what, usual.Value, usual.Source)
	v, err := units.Parse(usual.Value, q.dim)
	return v.Measured(), err
}
