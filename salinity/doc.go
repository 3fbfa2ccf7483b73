// Package salinity holds the point properties of seawater at one standard
// atmosphere: what a reading means, and what water of a given practical salinity
// and temperature weighs, conducts, refracts, holds as heat and dissolves as
// oxygen.
//
// Temperatures are in °C on ITS-90 at every exported function; relations fitted
// on IPTS-68 convert inside (IPTS68). Practical salinity (PSS-78) has no unit.
// Outside the stated range of a relation every function returns a *RangeError
// and no value; nothing is extrapolated or moved to the nearest good value.
//
//	relation                              source          functions
//	practical salinity, conductivity      [pss78] [hill]  FromConductivity, Conductivity
//	density at one atmosphere             [eos80]         Density, SalinityFromDensity
//	specific gravity                      [eos80]         SpecificGravity, SalinityFromGravity
//	float hydrometer                      [iso1768]       Float
//	reference salinity                    [mfwm2008]      ReferenceSalinity, PracticalFromReference
//	heat capacity, enthalpy               [mpd1973]       HeatCapacity, Enthalpy, TemperatureFromEnthalpy
//	refractive index                      [ms1990] [qf1995] RefractiveIndex, RefractiveIndexQuanFry
//	sodium chloride solutions             [crc-nacl]      BrineScale
//	oxygen saturation                     [bk1984]        OxygenSaturation, OxygenSaturationAt
//	un-ionised ammonia                    [cw1995] and others UnionisedFraction
//	carbonate system                      [lueker2000]    CarbonateFromPH, CarbonateFromDIC
//	  borate, water, total boron          [dickson1990] [millero1995] [uppstrom1974]
//	undissociated sulfide                 [mpf1988]       UndissociatedSulfide
//	alkalinity units                      [dkh]           AlkalinityFrom
//	uncertainty of a reading              [gum]           Reading, Compare
//
// Relations lists them all with their coefficients.
package salinity
