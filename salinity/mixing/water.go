// Package mixing conserves mass, salt, heat and solutes when waters are mixed,
// corrected or made from purified water and dry salt. Volume is not conserved:
// it follows from mass and density.
package mixing

import "tidehold/refs/units"

// Water is a parcel of water: the one type that carries water through the tool.
// Solutes are per litre of this water, keyed by the contaminant ids of refs
// (µg/L); a missing key is zero only where the caller has said so.
type Water struct {
	// Volume in litres at Temperature.
	Volume units.Litres
	// Salinity is practical salinity, 0 to 42.
	Salinity units.Practical
	// Temperature in °C (ITS-90).
	Temperature units.Celsius
	// Solutes in µg/L by contaminant id.
	Solutes map[string]float64
}
