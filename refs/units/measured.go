package units

// Measured is a value with its expanded uncertainty U at about 95 % (k = 2), as
// laboratory reports give it, both in the unit its holder names; U is 0 where none
// is stated. It is the one such type: a quantity as written (Quantity) becomes a
// Measured in base units.
type Measured struct {
	Value float64 `json:"value"`
	U     float64 `json:"u"`
}

// Exact is a value without uncertainty.
func Exact(x float64) Measured { return Measured{Value: x} }
