package salinity

import "tidehold/refs/units"

// Forms is one water in every form that an instrument or a recipe may ask for. A
// form whose relation does not reach the given salinity or temperature is nil, and
// a warning says why.
type Forms struct {
	Salinity          float64 `json:"salinity"`
	ReferenceSalinity float64 `json:"reference_salinity_g_kg"`
	// Density in kg/m³ at the given temperature.
	Density *float64 `json:"density_kg_m3"`
	SG2525  *float64 `json:"sg_25_25"`
	SG60F   *float64 `json:"sg_60f_60f"`
	SG2020  *float64 `json:"sg_20_20"`
	// Conductivity in mS/cm at the given temperature, and what the same water has
	// at 25 °C.
	Conductivity   *float64 `json:"conductivity_ms_cm"`
	Conductivity25 *float64 `json:"conductivity_25c_ms_cm"`
	// RefractiveIndex at the sodium D line, relative to air, at the given temperature.
	RefractiveIndex *float64 `json:"refractive_index"`
	// HeatCapacity in J/(kg K).
	HeatCapacity *float64 `json:"heat_capacity_j_kg_k"`
	// OxygenSaturation in mg/L at one standard atmosphere.
	OxygenSaturation *float64 `json:"oxygen_saturation_mg_l"`
	// Uncertainty is the expanded uncertainty of the salinity, nil if none is known.
	Uncertainty *float64 `json:"salinity_uncertainty"`

	Warnings []string `json:"-"`
}

// FormsOf returns every form of water of practical salinity s at t (°C, ITS-90).
// A salinity outside 0 to 42, or a temperature outside -2 to 40 °C, which no
// relation reaches, is a *RangeError.
func FormsOf(s units.Practical, t units.Celsius) (Forms, error) {
	reach := domain{"seawater at one atmosphere", eosDomain.s, readingTemperature}
	if !reach.holds(float64(s), float64(t)) {
		return Forms{}, reach.fault(float64(s), float64(t))
	}
	f := Forms{Salinity: float64(s), ReferenceSalinity: float64(ReferenceSalinity(s))}
	rho, err := Density(s, t)
	f.set(&f.Density, "density", float64(rho), err)
	for _, sg := range []struct {
		to   **float64
		pair Pair
	}{{&f.SG2525, Pair25}, {&f.SG60F, Pair60F}, {&f.SG2020, Pair20}} {
		x, err := SpecificGravity(s, sg.pair)
		f.set(sg.to, "specific gravity", x, err)
	}
	c, err := Conductivity(s, t)
	f.set(&f.Conductivity, "conductivity", float64(c), err)
	c25, err := Conductivity(s, compensationReference)
	f.set(&f.Conductivity25, "conductivity at 25 °C", float64(c25), err)
	n, err := RefractiveIndex(s, t, SodiumD)
	f.set(&f.RefractiveIndex, "refractive index", n, err)
	cp, err := HeatCapacity(s, t)
	f.set(&f.HeatCapacity, "heat capacity", cp, err)
	o2, err := OxygenSaturation(s, t)
	f.set(&f.OxygenSaturation, "oxygen saturation", o2, err)
	return f, nil
}

// set stores one form, or the reason why it is missing.
func (f *Forms) set(to **float64, what string, value float64, err error) {
	if err != nil {
		f.Warnings = append(f.Warnings, "no "+what+": "+err.Error())
		return
	}
	*to = &value
}

// Forms returns every form of the water measured, with the uncertainty of its
// salinity. Range as FormsOf.
func (m Determination) Forms() (Forms, error) {
	f, err := FormsOf(units.Practical(m.Salinity), units.Celsius(m.Temperature))
	if err == nil && m.U > 0 {
		f.Uncertainty = &m.U
	}
	return f, err
}
