package volumes

import (
	"fmt"
	"math"
	"slices"

	"tidehold/refs/gum"
	"tidehold/refs/units"
)

// Part is one vessel of a system: display, sump, refuge.
type Part struct {
	ID    string
	Shape Shape
	// Dims are the dimensions the shape was built from, in cm by name, with
	// their uncertainties; nil: taken as exact.
	Dims map[string]units.Measured
	// LevelCm is the water level with everything running, above the lowest point.
	LevelCm units.Measured
	// BrimCm is where it overflows; 0 stands for the height of the shape.
	BrimCm    float64
	Displaced Displaced
	// DrainsBackL is what runs out of this part when the return stops, litres.
	DrainsBackL float64
}

// Brim is the level in cm at which the part overflows.
func (p Part) Brim() float64 {
	if p.BrimCm > 0 {
		return p.BrimCm
	}
	return p.Shape.HeightCm()
}

// Room is the volume between the water and the brim: what the part can take
// when the return stops. The rock is taken to be under water.
func (p Part) Room() (units.Litres, error) {
	brim, err := p.Shape.VolumeAt(p.Brim())
	if err != nil {
		return 0, fmt.Errorf("%s: brim: %w", p.ID, err)
	}
	now, err := p.Shape.VolumeAt(p.LevelCm.Value)
	if err != nil {
		return 0, fmt.Errorf("%s: %w", p.ID, err)
	}
	return max(0, brim-now), nil
}

// PartVolume is one part's share of a net volume, in litres.
type PartVolume struct {
	ID string
	// Gross is the vessel up to its level; Net is Gross − Rock − Sand − Other.
	Gross, Rock, Sand, Other, Net units.Litres
}

// Net is a system's net volume.
type Net struct {
	Volume units.Litres
	// U is the expanded uncertainty (k = 2), from those of the inputs taken as
	// independent; 0 if none was stated.
	U     units.Litres
	Parts []PartVolume
	// Budget lists every uncertain input, the largest contribution first.
	Budget []gum.Contribution
}

// NetVolume adds up the water of the parts: each vessel up to its level, less
// rock, sand and whatever else stands in it.
//
// The uncertainty is the root of the sum of squares of what each uncertain input
// does to the result when moved by its standard uncertainty up and down.
// Source: [gum], eq. (10) and 5.1.3 note 2.
func NetVolume(parts []Part) (Net, error) {
	if len(parts) == 0 {
		return Net{}, fmt.Errorf("a net volume needs at least one part")
	}
	var n Net
	for _, p := range parts {
		v, err := p.volume()
		if err != nil {
			return Net{}, fmt.Errorf("%s: %w", p.ID, err)
		}
		n.Parts = append(n.Parts, v)
		n.Volume += v.Net
		budget, err := p.budget(v.Net)
		if err != nil {
			return Net{}, fmt.Errorf("%s: %w", p.ID, err)
		}
		n.Budget = append(n.Budget, budget...)
	}
	gum.Sort(n.Budget)
	n.U = units.Litres(gum.Total(n.Budget))
	return n, nil
}

// volume is the part's share without uncertainties.
func (p Part) volume() (PartVolume, error) {
	if p.Shape == nil {
		return PartVolume{}, fmt.Errorf("shape is missing")
	}
	if err := p.Displaced.check(); err != nil {
		return PartVolume{}, err
	}
	if !(p.LevelCm.Value <= p.Brim()) {
		return PartVolume{}, &RangeError{What: "level", Value: p.LevelCm.Value, High: p.Brim(), Unit: "cm"}
	}
	gross, err := p.Shape.VolumeAt(p.LevelCm.Value)
	if err != nil {
		return PartVolume{}, err
	}
	if p.Displaced.SandDepthCm.Value > p.LevelCm.Value {
		return PartVolume{}, fmt.Errorf("sand %s cm deep is above the water at %s cm", number(p.Displaced.SandDepthCm.Value), number(p.LevelCm.Value))
	}
	sand, err := p.Displaced.SandL(p.Shape)
	if err != nil {
		return PartVolume{}, err
	}
	v := PartVolume{ID: p.ID, Gross: gross, Rock: units.Litres(p.Displaced.RockL()), Sand: units.Litres(sand), Other: units.Litres(p.Displaced.OtherL.Value)}
	v.Net = gross - v.Rock - v.Sand - v.Other
	if v.Net < 0 {
		return PartVolume{}, fmt.Errorf("rock, sand and the rest displace %s L, more than the %s L up to the level", number(float64(gross-v.Net)), number(float64(gross)))
	}
	return v, nil
}

// input is one uncertain quantity of a part, and how to change it.
type input struct {
	gum.Input
	set func(p *Part, x float64) error
}

// inputs lists what is uncertain about the part.
func (p Part) inputs() []input {
	plain := func(what string, field func(*Part) *units.Measured) input {
		return input{gum.Named(what, *field(&p)), func(q *Part, x float64) error { field(q).Value = x; return nil }}
	}
	list := []input{
		plain("level", func(q *Part) *units.Measured { return &q.LevelCm }),
		plain("rock mass", func(q *Part) *units.Measured { return &q.Displaced.RockMassKg }),
		plain("rock density", func(q *Part) *units.Measured { return &q.Displaced.RockDensity }),
		plain("rock porosity", func(q *Part) *units.Measured { return &q.Displaced.RockPorosity }),
		plain("sand depth", func(q *Part) *units.Measured { return &q.Displaced.SandDepthCm }),
		plain("sand porosity", func(q *Part) *units.Measured { return &q.Displaced.SandPorosity }),
		plain("other displacement", func(q *Part) *units.Measured { return &q.Displaced.OtherL }),
	}
	for _, name := range sortedKeys(p.Dims) {
		list = append(list, input{gum.Named(name, p.Dims[name]), func(q *Part, x float64) error {
			values := make(map[string]float64, len(p.Dims))
			for k, d := range p.Dims {
				values[k] = d.Value
			}
			values[name] = x
			shape, err := New(p.Shape.Kind(), values, nil)
			// The brim moves with the walls; the level was measured from the floor.
			q.Shape, q.BrimCm = shape, 0
			return err
		}})
	}
	return slices.DeleteFunc(list, func(in input) bool { return in.U == 0 })
}

// budget is what each uncertain input does to the part's net volume.
func (p Part) budget(net units.Litres) ([]gum.Contribution, error) {
	var out []gum.Contribution
	for _, in := range p.inputs() {
		if err := gum.Check(in.What, in.U); err != nil {
			return nil, err
		}
		effect, err := gum.Sensitivity(float64(net), in.U/gum.Coverage, func(by float64) (float64, error) { return p.moved(in, by) })
		if err != nil {
			return nil, gum.TooLarge(in.Input, err)
		}
		out = append(out, gum.Contribution{What: p.ID + " " + in.What, U: gum.Coverage * math.Abs(effect.Step)})
	}
	return out, nil
}

// moved is the net volume in litres with one input moved by an amount.
func (p Part) moved(in input, by float64) (float64, error) {
	q := p
	if err := in.set(&q, in.Value+by); err != nil {
		return 0, err
	}
	v, err := q.volume()
	return float64(v.Net), err
}
