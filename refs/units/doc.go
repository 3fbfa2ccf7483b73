// Package units reads, converts and prints quantities: a number, a unit and,
// where it is known, an uncertainty.
//
// A quantity is parsed for a Dimension, which names the base unit every value is
// kept in and the spellings accepted. Conversion factors are exact decimals from
// NIST Special Publication 811 (2008), appendix B, and NIST Handbook 44,
// appendix C, unless the unit's row in table.go says otherwise.
//
// An uncertainty written behind ± is the expanded uncertainty at about 95 %
// (coverage factor k = 2), as laboratory reports give it (JCGM 100:2008, 6.2).
package units
