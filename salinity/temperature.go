package salinity

import "tidehold/refs/units"

// ipts68PerITS90 is the ratio of a Celsius temperature on IPTS-68 to the same
// temperature on ITS-90, to better than 1 mK in the oceanographic range.
//
// Source: [saunders1990].
const ipts68PerITS90 = 1.00024

// IPTS68 returns the number that the International Practical Temperature Scale
// of 1968 gives to t (°C, ITS-90). PSS-78, EOS-80, the UNESCO heat capacity and
// the oxygen solubilities of 1970 to 1992 are written in it.
//
// Source: [saunders1990].
func IPTS68(t units.Celsius) float64 { return ipts68PerITS90 * float64(t) }

// kelvinAtZero is 0 °C in kelvin, by definition of the Celsius scale.
const kelvinAtZero = 273.15
