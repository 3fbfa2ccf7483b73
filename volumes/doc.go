// Package volumes says how much water there is: in a vessel of known shape up
// to a level, in a system once rock and sand have taken their share, and in a
// system whose walls are not to be trusted, found from an exchange or a tracer.
//
// It is arithmetic on values passed in. It opens no file, reads no clock and
// prints nothing; package stock keeps the record of what changes day by day.
//
//	shape                formula                               source
//	box, polygon         base area times level                 elementary geometry
//	upright_cylinder     πr²h                                  elementary geometry
//	lying_cylinder       length times circular segment         segment from its angle, r²/2·(φ − sin φ)
//	bow_front            box plus circular segment             as above
//	tapered_round        frustum of a cone                     πh/3·(r₀² + r₀r + r²)
//	cone_bottom          frustum, then cylinder                as above
//	tapered_rect         prismoidal formula, exact here        h/6·(A₀ + 4A½ + A)
//	strapping            linear between measured points        as tank tables are read
//
// Lengths are inner centimetres, volumes litres. Every shape is filled from its
// lowest point; level 0 is empty, HeightCm is the brim.
package volumes
