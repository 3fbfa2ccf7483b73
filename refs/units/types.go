package units

// Defined types for the quantities people confuse. Each is a plain float64 in
// the unit its name says; conversions between them are functions with a named
// source, never casts.
type (
	// Litres is a volume in litres (10⁻³ m³).
	Litres float64
	// Celsius is a temperature in °C on ITS-90, the scale of every modern
	// thermometer. Relations written in IPTS-68 convert inside.
	Celsius float64
	// Practical is practical salinity S_P on PSS-78. It has no unit and is not
	// grams per kilogram.
	Practical float64
	// GramsPerKg is grams of dissolved salt per kilogram of seawater.
	GramsPerKg float64
	// KgPerM3 is a density in kg/m³ (the same number as g/L).
	KgPerM3 float64
	// MilliSiemensPerCm is a conductivity in mS/cm at the temperature named
	// beside it.
	MilliSiemensPerCm float64
)
