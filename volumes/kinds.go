package volumes

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

const (
	// minLengthCm to maxLengthCm is what New takes for a length: from a tenth of
	// a millimetre to the longest display pools with room to spare.
	minLengthCm = 0.01
	maxLengthCm = 20_000
	// maxVolumeL bounds a strapping table: 10⁹ L is a million cubic metres.
	maxVolumeL = 1e9
)

// KindSpec says how a kind of shape is given. The site loader, the JSON Schema
// and the volume command all read it, so that no two of them disagree.
type KindSpec struct {
	// Name as written in a site file: box, upright_cylinder, …
	Name string
	// Description is one line for help and schema.
	Description string
	// Required, Optional and OneOf name dimensions (see Dimensions): all of
	// Required, any of Optional, exactly one of OneOf if there are any.
	Required, Optional, OneOf []string
	// Table is true if the kind is given by a table of points and nothing else.
	Table bool
}

// All lists every dimension name the kind knows.
func (k KindSpec) All() []string { return slices.Concat(k.Required, k.OneOf, k.Optional) }

// Dimension describes one dimension name.
type Dimension struct {
	Name, Description string
	// Count is true for a bare number (sides); all others are lengths in cm.
	Count bool
}

// dims is what a constructor is given: checked values in cm by name.
type dims struct {
	kind  string
	value map[string]float64
	wall  float64
}

// less takes the walls off a dimension and insists that something is left.
func (d dims) less(name string, walls float64) (float64, error) {
	inner := d.value[name] - walls
	if inner <= 0 {
		return 0, fmt.Errorf("%s: walls of %s cm in all leave nothing of %s %s cm", d.kind, number(walls), name, number(d.value[name]))
	}
	return inner, nil
}

type kind struct {
	KindSpec
	build func(dims) (Shape, error)
}

// kinds is the one list of shapes. It is a function so that nobody can change it.
func kinds() []kind {
	wall := []string{"wall"}
	return []kind{
		{KindSpec{Name: "box", Description: "rectangular vessel with upright sides",
			Required: []string{"length", "width", "height"}, Optional: wall}, newBox},
		{KindSpec{Name: "upright_cylinder", Description: "standing cylinder with a flat floor",
			Required: []string{"diameter", "height"}, Optional: wall}, newUprightCylinder},
		{KindSpec{Name: "lying_cylinder", Description: "cylinder on its side with flat ends",
			Required: []string{"diameter", "length"}, Optional: wall}, newLyingCylinder},
		{KindSpec{Name: "cone_bottom", Description: "standing cylinder on a cone; height is that of the cylinder alone",
			Required: []string{"diameter", "height", "cone_height"}, Optional: []string{"bottom_diameter", "wall"}}, newConeBottom},
		{KindSpec{Name: "tapered_round", Description: "round, with straight leaning sides, like a bucket",
			Required: []string{"bottom_diameter", "top_diameter", "height"}, Optional: wall}, newTaperedRound},
		{KindSpec{Name: "tapered_rect", Description: "rectangular, with leaning sides, like a trough",
			Required: []string{"bottom_length", "bottom_width", "top_length", "top_width", "height"}, Optional: wall}, newTaperedRect},
		{KindSpec{Name: "bow_front", Description: "box with a front that bulges out by bow in the middle; width is that at the ends",
			Required: []string{"length", "width", "bow", "height"}, Optional: wall}, newBowFront},
		{KindSpec{Name: "polygon", Description: "regular polygon with upright sides; across_flats for an even number of sides",
			Required: []string{"sides", "height"}, OneOf: []string{"side", "across_flats"}, Optional: wall}, newPolygon},
		{KindSpec{Name: "strapping", Description: "table of volumes measured at levels, rising, from the floor to the brim", Table: true}, nil},
	}
}

// Kinds lists every shape New can build, in the order of the manual.
func Kinds() []KindSpec {
	all := kinds()
	specs := make([]KindSpec, len(all))
	for i, k := range all {
		specs[i] = k.KindSpec
	}
	return specs
}

// Dimensions lists every dimension name that any kind uses.
func Dimensions() []Dimension {
	return []Dimension{
		{Name: "length", Description: "length along the back or the axis"},
		{Name: "width", Description: "width from back to front (bow_front: at the ends)"},
		{Name: "height", Description: "height from floor to brim (cone_bottom: of the cylinder alone)"},
		{Name: "diameter", Description: "diameter"},
		{Name: "cone_height", Description: "height of the cone below the cylinder"},
		{Name: "bottom_diameter", Description: "diameter at the bottom"},
		{Name: "top_diameter", Description: "diameter at the top"},
		{Name: "bottom_length", Description: "length at the bottom"},
		{Name: "bottom_width", Description: "width at the bottom"},
		{Name: "top_length", Description: "length at the top"},
		{Name: "top_width", Description: "width at the top"},
		{Name: "bow", Description: "how far the front stands out in the middle"},
		{Name: "sides", Description: "number of sides, 3 to 64", Count: true},
		{Name: "side", Description: "length of one side"},
		{Name: "across_flats", Description: "distance between opposite sides"},
		{Name: "wall", Description: "wall thickness; if given, the other lengths are outer ones and the top is open"},
	}
}

// New builds a shape of the kind from its dimensions in cm by name (sides is a
// count) or, for strapping, from its table. Lengths run from 0.01 to 20 000 cm;
// wall and bottom_diameter may also be 0. With a wall, the lengths are outer
// ones and the height loses one wall, the floor.
//
// It returns an error that names the kind, the dimension and what is allowed.
func New(kindName string, values map[string]float64, table []Point) (Shape, error) {
	all := kinds()
	i := slices.IndexFunc(all, func(k kind) bool { return k.Name == kindName })
	if i < 0 {
		names := make([]string, len(all))
		for j, k := range all {
			names[j] = k.Name
		}
		return nil, fmt.Errorf("shape %q is not known; allowed are %s", kindName, strings.Join(names, ", "))
	}
	k := all[i]
	if err := k.check(values, table); err != nil {
		return nil, err
	}
	if k.Table {
		return newStrapping(k.Name, table)
	}
	return k.build(dims{kind: k.Name, value: values, wall: values["wall"]})
}

// check insists on the right names and on lengths within bounds.
func (k kind) check(values map[string]float64, table []Point) error {
	if k.Table != (table != nil) {
		if k.Table {
			return fmt.Errorf("%s: table is missing; give [[level, volume], …]", k.Name)
		}
		return fmt.Errorf("%s: a table is for strapping only", k.Name)
	}
	known := k.All()
	for _, name := range sortedKeys(values) {
		if !slices.Contains(known, name) {
			return fmt.Errorf("%s: %s does not belong to this shape; allowed are %s", k.Name, name, strings.Join(known, ", "))
		}
		if err := k.inRange(name, values[name]); err != nil {
			return err
		}
	}
	for _, name := range k.Required {
		if _, ok := values[name]; !ok {
			return fmt.Errorf("%s: %s is missing; needed are %s", k.Name, name, strings.Join(k.Required, ", "))
		}
	}
	if len(k.OneOf) > 0 {
		given := 0
		for _, name := range k.OneOf {
			if _, ok := values[name]; ok {
				given++
			}
		}
		if given != 1 {
			return fmt.Errorf("%s: give exactly one of %s, not %d", k.Name, strings.Join(k.OneOf, ", "), given)
		}
	}
	return nil
}

// inRange checks one length; wall and bottom_diameter may be 0 (no wall given, a
// cone that ends in a point). sides is checked where it is used.
func (k kind) inRange(name string, x float64) error {
	if name == "sides" {
		return nil
	}
	zeroAllowed := slices.Contains(k.Optional, name)
	if x == 0 && zeroAllowed {
		return nil
	}
	if math.IsNaN(x) || x < minLengthCm || x > maxLengthCm {
		return fmt.Errorf("%s: %s is %s cm; %s to %s cm is allowed", k.Name, name, number(x), number(minLengthCm), number(maxLengthCm))
	}
	return nil
}

func sortedKeys[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}
