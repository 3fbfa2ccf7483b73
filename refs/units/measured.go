package units

// Measured is a value with its expanded uncertainty U at about 95 % (k = 2), as
// laboratory reports give it, both in the unit its holder names; U is 0 where none
// is stated, and the value is taken as exact. It is the one such type: a quantity as
// written (Quantity) becomes a Measured in base units.
type Measured struct {
	Value float64 `json:"value"`
	U     float64 `json:"u"`
}

// Exact is a value without uncertainty.
func Exact(x float64) Measured { return Measured{Value: x} }

// Measured is the quantity as a number in its base unit, with its uncertainty.
func (q Quantity) Measured() Measured { return Measured{Value: q.Value, U: q.U} }

// Times is the value in a unit of which one base unit makes by.
func (m Measured) Times(by float64) Measured { return Measured{Value: m.Value * by, U: m.U * by} }
