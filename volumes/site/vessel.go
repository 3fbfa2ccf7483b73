package site

import (
	"errors"
	"fmt"
	"strings"

	"tidehold/refs/units"
	"tidehold/refs/yamlwalk"
	"tidehold/salinity"
	"tidehold/volumes"
)

// vessel is a shape with the dimensions it was built from.
type vessel struct {
	shape volumes.Shape
	dims  map[string]units.Measured
}

// readShape reads {kind: {dimension: length, …}} or {strapping: [[level, volume], …]}.
func (c *checker) readShape(v *val) {
	n := v.node
	kinds := volumes.Kinds()
	names := make([]string, len(kinds))
	for i, k := range kinds {
		names[i] = k.Name
	}
	v.bad = true
	n.Fields(nil, names)
	if n.Kind() != yamlwalk.Mapping {
		return
	}
	if entries := n.Entries(); len(entries) != 1 {
		n.Fault(fmt.Sprintf("%d shapes", len(entries)), "one of "+strings.Join(names, ", "), "")
		return
	}
	for _, k := range kinds {
		body := n.Child(k.Name)
		switch {
		case body == nil:
		case k.Table:
			v.shape = c.readTable(body, k.Name)
		default:
			v.shape = c.readDims(body, k)
		}
	}
	v.bad = v.shape == nil
}

// readDims reads the dimensions of one kind and builds it.
func (c *checker) readDims(n *yamlwalk.Node, k volumes.KindSpec) *vessel {
	fields := n.Fields(k.Required, append(append([]string{}, k.OneOf...), k.Optional...))
	values := map[string]float64{}
	dims := map[string]units.Measured{}
	ok := n.Kind() == yamlwalk.Mapping
	for _, name := range k.All() {
		child := fields.Get(name)
		if child == nil {
			continue
		}
		if isCount(name) {
			sides, good := child.Count(3, 64)
			values[name], ok = float64(sides), ok && good
			continue
		}
		q, good := child.Quantity(units.Length)
		values[name], ok = q.Value, ok && good
		if q.U > 0 {
			dims[name] = q.Measured()
		}
	}
	for _, name := range k.Required {
		ok = ok && fields.Get(name) != nil
	}
	if !ok {
		return nil
	}
	shape, err := volumes.New(k.Name, values, nil)
	if err != nil {
		n.Mismatch(bare(err, k.Name))
		return nil
	}
	if len(dims) == 0 {
		return &vessel{shape: shape}
	}
	for name, x := range values {
		if _, uncertain := dims[name]; !uncertain {
			dims[name] = units.Exact(x)
		}
	}
	return &vessel{shape, dims}
}

func isCount(name string) bool {
	for _, d := range volumes.Dimensions() {
		if d.Name == name {
			return d.Count
		}
	}
	return false
}

const pairRule = "pairs of level and volume, as [[10 cm, 42 L], [20 cm, 85 L]]"

// readTable reads a strapping table.
func (c *checker) readTable(n *yamlwalk.Node, kind string) *vessel {
	items := n.Items(pairRule)
	ok := n.Kind() == yamlwalk.List
	points := make([]volumes.Point, 0, len(items))
	for _, item := range items {
		pair := item.Items("a level and a volume, as [10 cm, 42 L]")
		if len(pair) != 2 {
			if item.Kind() == yamlwalk.List {
				item.Fault(fmt.Sprintf("%d values", len(pair)), "a level and a volume, as [10 cm, 42 L]", "")
			}
			ok = false
			continue
		}
		level, good1 := pair[0].Quantity(units.Length)
		volume, good2 := pair[1].Quantity(units.Volume)
		ok = ok && good1 && good2
		points = append(points, volumes.Point{LevelCm: level.Value, Volume: units.Litres(volume.Value)})
	}
	if !ok {
		return nil
	}
	shape, err := volumes.New(kind, nil, points)
	if err != nil {
		n.Mismatch(bare(err, kind))
		return nil
	}
	return &vessel{shape: shape}
}

// bare takes a name off the front of an error where the path says it already.
func bare(err error, name string) error {
	return errors.New(strings.TrimPrefix(err.Error(), name+": "))
}

// refuse reports an error about a level at its node, in the words of the range it
// left.
func refuse(n *yamlwalk.Node, level units.Quantity, err error) {
	var out *volumes.RangeError
	if !errors.As(err, &out) {
		n.Mismatch(err)
		return
	}
	found := " is above the brim"
	if out.Value <= out.High {
		found = " is below the lowest allowed"
	}
	n.Fault(yamlwalk.Quote(n.Raw())+found, fmt.Sprintf("a %s from %s to %s %s", out.What, amount(out.Low), amount(out.High), out.Unit)+inBrackets(level.InOwnUnit(out.High, units.Down)), "")
}

// practical reads a salinity, or a specific gravity with its temperature pair as
// the salinity it stands for.
func practical(n *yamlwalk.Node) (units.Quantity, bool) {
	if n.Kind() != yamlwalk.Scalar || short(n.Raw()) == "" {
		return n.Quantity(units.Salinity) // which says what is wrong
	}
	q, err := salinity.ParsePractical(n.Raw())
	if err != nil {
		n.Mismatch(err)
		return q, false
	}
	return q, n.IsScalar("a practical salinity")
}
