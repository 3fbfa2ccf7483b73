package units

// Dimension is a kind of quantity. Every value of a dimension is kept in its
// base unit; Units lists what may be written.
type Dimension int

// The dimensions of the tool, each with its base unit.
const (
	Volume        Dimension = iota // L
	Mass                           // kg
	Length                         // cm
	Area                           // m²
	Temperature                    // °C, ITS-90
	TempStep                       // K, a difference of temperatures
	Salinity                       // practical salinity
	Duration                       // h
	Flow                           // L/h
	Concentration                  // µg/L
	Share                          // fraction of one
	Power                          // W
	Energy                         // Wh
	HeatLoss                       // W/K
	MassRate                       // mg/h
	Alkalinity                     // dKH
	Density                        // kg/m³
	Conductivity                   // mS/cm
	Gravity                        // specific gravity
	Index                          // refractive index
	Dose                           // g/L
	AlkStrength                    // meq/mL
	IonStrength                    // mg/mL
	PerHour                        // 1/h
	Number                         // no unit: pH, a count, a price
	RespireMass                    // mg/(kg h)
	RespireArea                    // mg/(m² h)
	Pressure                       // kPa
	SalinityStep                   // a difference of practical salinities
)

// unit is one accepted spelling set. The first name is the one printed.
type unit struct {
	names  []string
	factor string // base units in one of this unit, an exact decimal
	offset string // subtracted before the factor is applied: 32 for °F
}

type dimension struct {
	name  string
	bare  bool // a number alone is accepted and is in the first unit
	signs bool // a negative value has a meaning
	units []unit
}

// u is a row of the table below.
func u(factor string, names ...string) unit { return unit{names: names, factor: factor} }

// dimensions: factors from NIST SP 811 (2008) appendix B.8 and NIST Handbook 44
// appendix C, exact by definition: in = 2.54 cm, lb = 0.45359237 kg, US gal =
// 231 in³ = 3.785411784 L, imperial gal = 4.54609 L. Alkalinity: 1 dKH = 10 mg
// CaO per litre, M(CaO) = 56.077 and M(CaCO3) = 100.086 g/mol (IUPAC abridged
// atomic weights), so 1 meq/L = 2.80385 dKH and 1 dKH = 17.848 mg/L CaCO3.
var dimensions = [...]dimension{
	Volume: {name: "volume", units: []unit{
		u("1", "L", "l", "litre", "litres", "liter", "liters"), u("0.001", "mL", "ml"), u("1000", "m3", "m³"),
		u("3.785411784", "gal", "gallon", "gallons", "usgal"), u("4.54609", "impgal"),
		u("0.946352946", "qt"), u("0.0295735295625", "floz"), u("28.316846592", "ft3"), u("0.016387064", "in3")}},
	Mass: {name: "mass", units: []unit{
		u("1", "kg"), u("0.001", "g"), u("0.000001", "mg"), u("0.45359237", "lb", "lbs"), u("0.028349523125", "oz")}},
	Length: {name: "length", units: []unit{
		u("1", "cm"), u("0.1", "mm"), u("100", "m"), u("2.54", "in", "inch", "inches"), u("30.48", "ft")}},
	Area: {name: "area", units: []unit{
		u("1", "m2", "m²"), u("0.0001", "cm2", "cm²"), u("0.09290304", "ft2", "ft²", "sqft", "sq ft"), u("0.00064516", "in2", "in²")}},
	Temperature: {name: "temperature", signs: true, units: []unit{
		u("1", "C", "°C", "degC"),
		{names: []string{"F", "°F", "degF"}, factor: "0.5555555555555555555555555556", offset: "32"}}},
	TempStep: {name: "temperature difference", units: []unit{
		u("1", "C", "°C", "degC", "K"), u("0.5555555555555555555555555556", "F", "°F", "degF")}},
	Salinity: {name: "practical salinity", bare: true, units: []unit{u("1", "", "ppt", "psu", "‰")}},
	Duration: {name: "duration", units: []unit{
		u("1", "h", "hr", "hour", "hours"), u("0.016666666666666666666666666667", "min", "minutes"),
		u("0.000277777777777777777777777778", "s"), u("24", "d", "day", "days"), u("168", "wk", "week", "weeks")}},
	Flow: {name: "flow", units: []unit{
		u("1", "L/h", "l/h", "L/hr"), u("60", "L/min", "l/min"), u("3600", "L/s"), u("0.041666666666666666666666666667", "L/d", "L/day"),
		u("0.06", "mL/min", "ml/min"), u("0.001", "mL/h", "ml/h"), u("1000", "m3/h"),
		u("3.785411784", "gal/h", "gph", "GPH"), u("227.12470704", "gal/min", "gpm", "GPM"), u("0.157725491", "gal/d", "gal/day", "gpd", "GPD")}},
	Concentration: {name: "concentration", units: []unit{
		u("1", "ug/L", "µg/L", "μg/L", "ug/l", "µg/l", "ppb"), u("1000", "mg/L", "mg/l", "ppm"), u("1000000", "g/L", "g/l"), u("0.001", "ng/L", "ng/l")}},
	Share: {name: "share", units: []unit{u("0.01", "%", "percent")}},
	Power: {name: "power", units: []unit{u("1", "W", "w"), u("1000", "kW", "kw")}},
	Energy: {name: "energy", units: []unit{
		u("1", "Wh", "wh"), u("1000", "kWh", "kwh")}},
	HeatLoss: {name: "heat loss coefficient", units: []unit{
		u("1", "W/K", "W/C", "W/°C"), u("1.8", "W/F", "W/°F")}},
	MassRate: {name: "mass rate", units: []unit{
		u("1", "mg/h"), u("0.001", "ug/h", "µg/h"), u("1000", "g/h"), u("0.041666666666666666666666666667", "mg/d", "mg/day")}},
	Alkalinity: {name: "alkalinity", units: []unit{
		u("1", "dKH", "dkh"), u("2.80385", "meq/L", "meq/l"), u("2.80385", "mmol/L"), u("0.056028836800351697539990807905", "mg/L CaCO3", "ppm CaCO3")}},
	Density: {name: "density", units: []unit{
		u("1", "kg/m3", "kg/m³", "g/L"), u("1000", "g/mL", "g/cm3", "g/cm³", "kg/L")}},
	Conductivity: {name: "conductivity", units: []unit{
		u("1", "mS/cm", "ms/cm"), u("0.001", "uS/cm", "µS/cm", "us/cm"), u("10", "S/m")}},
	Gravity:     {name: "specific gravity", bare: true, units: []unit{u("1", "sg", "SG")}},
	Index:       {name: "refractive index", bare: true, units: []unit{u("1", "nD", "n")}},
	Dose:        {name: "salt dose", units: []unit{u("1", "g/L", "g/l", "kg/m3"), u("119.826427316896", "lb/gal"), u("7.489151707306", "oz/gal")}},
	AlkStrength: {name: "alkalinity strength", units: []unit{u("1", "meq/mL", "meq/ml"), u("0.001", "meq/L", "meq/l")}},
	IonStrength: {name: "strength", units: []unit{u("1", "mg/mL", "mg/ml", "g/L"), u("0.001", "mg/L")}},
	PerHour: {name: "rate", units: []unit{
		u("1", "/h", "1/h"), u("0.041666666666666666666666666667", "/d", "1/d")}},
	Number:       {name: "number", bare: true, units: []unit{u("1", "")}},
	RespireMass:  {name: "respiration per mass", units: []unit{u("1", "mg/(kg h)", "mg/kg/h")}},
	RespireArea:  {name: "respiration per area", units: []unit{u("1", "mg/(m2 h)", "mg/m2/h")}},
	Pressure:     {name: "pressure", units: []unit{u("1", "kPa"), u("0.1", "hPa", "mbar"), u("101.325", "atm"), u("3.386389", "inHg")}},
	SalinityStep: {name: "difference of salinity", bare: true, units: []unit{u("1", "", "ppt", "psu", "‰")}},
}

// String is the dimension's name in lower case.
func (d Dimension) String() string { return dimensions[d].name }

// Units lists the spellings a value of this dimension may carry, the base unit
// first, one per unit.
func (d Dimension) Units() []string {
	var out []string
	for _, un := range dimensions[d].units {
		if un.names[0] != "" {
			out = append(out, un.names[0])
		}
	}
	return out
}

// Spellings lists every accepted spelling of every unit, without the bare number.
func (d Dimension) Spellings() []string {
	var out []string
	for _, un := range dimensions[d].units {
		for _, name := range un.names {
			if name != "" {
				out = append(out, name)
			}
		}
	}
	return out
}

// Bare says that a number without a unit is accepted.
func (d Dimension) Bare() bool { return dimensions[d].bare }

// Dimensions lists every kind of quantity.
func Dimensions() []Dimension {
	out := make([]Dimension, len(dimensions))
	for i := range out {
		out[i] = Dimension(i)
	}
	return out
}

// Scale is one unit of a dimension, for those who describe what may be written.
type Scale struct {
	// Names are the accepted spellings; none for a bare number.
	Names []string
	un    unit
}

// FromBase converts a number of the base unit into this unit.
func (s Scale) FromBase(x float64) float64 { return s.un.fromBase(x) }

// Scales lists the units of a dimension.
func (d Dimension) Scales() []Scale {
	var out []Scale
	for _, un := range dimensions[d].units {
		s := Scale{un: un}
		for _, name := range un.names {
			if name != "" {
				s.Names = append(s.Names, name)
			}
		}
		out = append(out, s)
	}
	return out
}
