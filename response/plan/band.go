package plan

// How far a vat may read from what the litres of a change were worked out for, either way: a degree, and half a unit of
// salinity. A rule of this tool.
const (
	bandC = 1.0
	// SaltBand is that of a salinity.
	SaltBand = 0.5
)

// Warm is how warm a vat may read, °C, as it is poured into a system that is kept at ownC. Nearer to the tank than planned is
// better water: a vat that warmed on until somebody came late had its row made small.
func (d Draw) Warm(ownC float64) (low, high float64) {
	return min(d.Temperature-bandC, ownC), max(d.Temperature+bandC, ownC)
}
