// Package gum carries uncertainty through a calculation, by the Guide to the
// expression of uncertainty in measurement (JCGM 100:2008). Inputs are taken as
// independent. Numbers in, numbers out: the caller names the units.
//
//	question                                        function        JCGM 100
//	what one input's uncertainty does to a result   Sensitivity     5.1.3 note 2
//	several inputs together                         Propagate       eq. (10)
//	independent contributions added                 Quadrature      eq. (10)
//	one value from several                          Combine         eq. (10) on the weighted mean
//	from a standard to an expanded uncertainty      Coverage        clause 6
//	from limits to a standard uncertainty           Rectangular     eq. (7)
//
// Source: [gum].
package gum
