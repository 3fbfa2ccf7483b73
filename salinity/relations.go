package salinity

import (
	"fmt"
	"strconv"
)

// Relation describes one relation of this package: what it is, where it comes
// from, where it holds, and the coefficients it is computed with.
type Relation struct {
	Name string `json:"name"`
	// Sources are keys of the list of sources.
	Sources []string `json:"sources"`
	// Edition is the year or edition of the source used.
	Edition string `json:"edition"`
	// Equation is the equation and page in the source.
	Equation string `json:"equation"`
	// Range in words, with units.
	Range string `json:"range"`
	// Accuracy as stated by the source, or as found against another.
	Accuracy string `json:"accuracy"`
	// Basis says how the digits were obtained: published, derived, common
	// practice, or memory.
	Basis        string        `json:"basis"`
	Coefficients []Coefficient `json:"coefficients"`
}

// Coefficient is one number of a relation, with its name in the source.
type Coefficient struct {
	Name  string  `json:"name"`
	Value float64 `json:"value"`
	Unit  string  `json:"unit,omitempty"`
}

// Relations returns every relation of this package with the coefficients that the
// functions themselves compute with.
func Relations() []Relation {
	var list []Relation
	for _, part := range [][]Relation{stateRelations(), instrumentRelations(), gasRelations(), carbonateRelations(), unitRelations()} {
		list = append(list, part...)
	}
	return list
}

const published = "published; digits read in implementations of the source"

// stateRelations are those of salinity, density and heat.
func stateRelations() []Relation {
	return []Relation{
		{"temperature scale", []string{"saunders1990"}, "1990", "t68 = 1.00024 t90", "-2 to 40 °C", "1 mK", published,
			[]Coefficient{{"t68/t90", ipts68PerITS90, ""}}},
		{"PSS-78 conductivity", []string{"pss78", "culkin1980", "unesco44"}, "1978, as UNESCO 44 (1983)", "eqs. (1) to (3), pp. 6-7",
			"S 2 to 42, -2 to 35 °C", "defines practical salinity", published,
			join(one("C(35,15,0)", c3515, "mS/cm"), series("a", pssA[:]), series("b", pssB[:]), one("k", pssK, "1/°C"), series("c", pssC[:]))},
		{"low-salinity extension", []string{"hill1986", "teos10"}, "1986, scaled as TEOS-10 (2010)", "",
			"S 0 to 2, -2 to 35 °C", "meets PSS-78 at 2; resolves 0.0003", published,
			join(one("X/Rt", hillX, ""), one("Y/Rt", hillY, ""))},
		{"EOS-80 density", []string{"eos80", "unesco44"}, "1980, as UNESCO 44 (1983)", "eqs. (13) and (14), p. 17",
			span(eosDomain), "0.0036 kg/m³ standard error; within 0.009 kg/m³ of TEOS-10", published,
			join(series("water", eosWater[:]), series("A", eosA[:]), series("B", eosB[:]), one("C", eosD, ""))},
		{"reference salinity", []string{"mfwm2008"}, "2008", "", "S 2 to 42; used from 0",
			"exact for Reference Composition", published, one("u_PS", uPS, "g/kg")},
		{"UNESCO heat capacity", []string{"mpd1973", "unesco44"}, "1973, as UNESCO 44 (1983)", "eq. (26), p. 32",
			span(cpDomain) + "; tables of the source to S 40", "within 4.6 J/(kg K) of TEOS-10", published,
			join(series("water", cpWater[:]), series("A", cpA[:]), series("B", cpB[:]))},
	}
}

// instrumentRelations are those that turn a reading into salinity.
func instrumentRelations() []Relation {
	c := &ms
	return []Relation{
		{"float hydrometer", []string{"iso1768", "eos80"}, "1975", "", span(eosDomain),
			"surface tension and meniscus left out", "published (abstract of the standard)",
			one("thermal cubic expansion of glass", GlassExpansion, "1/°C")},
		{"Millard and Seaver refractive index", []string{"ms1990"}, "1990", "terms of one atmosphere",
			span(msDomain) + ", 500 to 700 nm", "4e-7 for water, 4.7e-6 for the salt; T3L settled by handbook values of water", published,
			[]Coefficient{{"A0", c.A0, ""}, {"L2", c.L2, ""}, {"LM2", c.LM2, ""}, {"LM4", c.LM4, ""}, {"LM6", c.LM6, ""},
				{"T1", c.T1, ""}, {"T2", c.T2, ""}, {"T3", c.T3, ""}, {"T4", c.T4, ""}, {"TL", c.TL, ""}, {"T2L", c.T2L, ""}, {"T3L", c.T3L, ""},
				{"S0", c.S0, ""}, {"S1LM2", c.S1LM2, ""}, {"S1T", c.S1T, ""}, {"S1T2", c.S1T2, ""}, {"S1T3", c.S1T3, ""}, {"S1TL", c.S1TL, ""}}},
		{"Quan and Fry refractive index", []string{"qf1995"}, "1995", "eq. (3)", span(qfDomain) + ", 400 to 700 nm",
			"within 2.4e-5 (0.13 in salinity) of Millard and Seaver", published, series("n", qf[:])},
		{"sodium chloride refractometer scale", []string{"crc-nacl", "ms1990"}, "102nd", "rows 1 to 5 mass % at 20 °C", "S 0 to 40",
			"0.3 in salinity", "derived: straight lines through the handbook rows",
			[]Coefficient{{"index per mass %", brineIndexPerPercent, ""}, {"density per mass %", brineDensityPerPercent, "g/mL"}, {"density of water", brineWaterDensity, "g/mL"}}},
		{"conductivity compensated to 25 °C", []string{"specific-conductance", "pss78"}, "2004", "C25 = C/(1 + alpha (t - 25))", "-2 to 35 °C",
			"alpha of the meter: 0.0191 to 0.021 in use", "published; 0.020 as the common setting",
			one("alpha", CompensationAlpha, "1/°C")},
		{"uncertainty of instruments", []string{"instrument-accuracy"}, "", "", "", "used only where the user gives none",
			"published for float and refractometer; memory for the conductivity meter",
			[]Coefficient{{"float", floatGravityU, "specific gravity"}, {"hand refractometer", refractometerSalinity, "salinity"}, {"conductivity meter", meterShareU, "of the reading"}}},
	}
}

// gasRelations are those of oxygen and ammonia.
func gasRelations() []Relation {
	list := []Relation{
		{"Benson and Krause oxygen saturation", []string{"bk1984", "green1967"}, "1984", "eqs. (32) and (24), table 2",
			span(bkDomain) + ", 0.5 to 1.1 atm", "within 0.025 % of Garcia and Gordon", published,
			join(series("k", bkFresh[:]), series("s", bkSalinity[:]), series("theta", bkTheta[:]), series("pw", vapourTerms[:]))},
		{"Garcia and Gordon oxygen saturation", []string{"gg1992"}, "1992, erratum 1993", "eq. (8)", "freezing to 40 °C, S 0 to 42 (memory)", "used for checks",
			published, join(series("A", ggKg.a[:]), series("B", ggKg.b[:]), one("C0", ggKg.c0, ""))},
		{"Weiss oxygen saturation", []string{"weiss1970"}, "1970", "", "-1 to 40 °C, S 0 to 40", "0.25 % below Garcia and Gordon; used for checks",
			published, join(series("A", weissA[:]), series("B", weissB[:]))},
	}
	tables := map[AmmoniaMethod][]Coefficient{
		CleggWhitfieldTotal:      join(one("pK(25 °C)", cwPK25, ""), one("slope", cwSlope, "K"), rows("total", cwTotal[:])),
		CleggWhitfieldTotalPerKg: one("water per seawater", waterPerSeawater, ""),
		CleggWhitfieldFree:       join(one("pK(25 °C)", cwPK25, ""), one("slope", cwSlope, "K"), rows("free", cwFree[:])),
		YaoMillero:               series("lnK", ymLnK[:]),
		Bell:                     series("pK", bellPK[:]),
		EPA1989: join(series("I", epaIonic[:]), series("pK", epaPK[:]),
			one("acute criterion", AmmoniaAcute, "mg/L NH3"), one("chronic criterion", AmmoniaChronic, "mg/L NH3")),
	}
	for _, r := range ammoniaRelations {
		list = append(list, Relation{"un-ionised ammonia, " + string(r.method), []string{r.source}, "", "pH scale: " + r.scale,
			span(r.domain), "", published, tables[r.method]})
	}
	return list
}

// carbonateRelations are those of the carbonate system and of sulfide, all in mol per
// kg of seawater on the total pH scale.
func carbonateRelations() []Relation {
	return []Relation{
		{luekerDomain.relation, []string{"lueker2000", "guide2007"}, "2000", "K1, K2: pp. 13-14 of the guide's chapter 5", span(luekerDomain),
			"within 0.3 % in DIC of another set of constants", published, join(series("K1.", luekerK1[:]), series("K2.", luekerK2[:]))},
		{dicksonDomain.relation, []string{"dickson1990", "guide2007"}, "1990", "", span(dicksonDomain), "", published,
			join(series("per T", boricPerT[:]), series("c", boricPlain[:]), series("ln T", boricLnT[:]), one("S^0.5 T", boricRootT, ""))},
		{waterDomain.relation, []string{"millero1995", "guide2007"}, "1995, on the total scale as the guide gives it", "", span(waterDomain), "", published,
			series("ln KW", waterLnKW[:])},
		{"total boron", []string{"uppstrom1974", "guide2007"}, "1974", "", "goes with salinity", "", published, one("at S 35", boronAt35, "mol/kg")},
		{sulfideDomain.relation, []string{"mpf1988"}, "1988", "", span(sulfideDomain), "", published, series("ln K1.", sulfideLnK[:])},
	}
}

func unitRelations() []Relation {
	return []Relation{
		{"alkalinity units", []string{"dkh"}, "", "1 dKH = 10 mg CaO/L", "", "exact with these molar masses", "definition; molar masses from memory",
			[]Coefficient{{"M(CaO)", molarCaO, "g/mol"}, {"M(CaCO3)", molarCaCO3, "g/mol"}, {"meq/L per dKH", meqPerDKH, ""}, {"mg/L CaCO3 per meq/L", caco3PerMeq, ""}}},
	}
}

func span(d domain) string {
	return fmt.Sprintf("S %g to %g, %g to %g °C", d.s.Low, d.s.High, d.t.Low, d.t.High)
}

func one(name string, value float64, unit string) []Coefficient {
	return []Coefficient{{name, value, unit}}
}

// series names coefficients by their index in the source: a0, a1, …
func series(name string, values []float64) []Coefficient {
	list := make([]Coefficient, len(values))
	for i, v := range values {
		list[i] = Coefficient{Name: name + strconv.Itoa(i), Value: v}
	}
	return list
}

func rows(name string, table [][4]float64) []Coefficient {
	var list []Coefficient
	for i, row := range table {
		list = append(list, series(fmt.Sprintf("%s%d.", name, i), row[:])...)
	}
	return list
}

func join(parts ...[]Coefficient) []Coefficient {
	var list []Coefficient
	for _, p := range parts {
		list = append(list, p...)
	}
	return list
}
