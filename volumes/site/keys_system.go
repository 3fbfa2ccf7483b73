package site

import "tidehold/refs/units"

func systemKeys() field {
	f := listOf("systems", "id", "bodies of water, each with one circulation", spec{form: mapping, also: systemRules, fields: []field{
		need(plain("id", ident, "name used on the command line and in this file")),
		measured("net_volume", units.Volume, 0.1, maxLitres, "the water itself, measured; or leave it out and give parts"),
		partKeys(),
		measure("drawdown", units.Share, 0.01, 0.95, "the most of the net volume that may be out at once"),
		measure("change_every", units.Duration, 0.1, 24*30, "shortest time from the start of one change to the start of the next"),
		measure("lead", units.Duration, 0, 24*7, "from discovery to the first change: people and power come first"),
		measure("least_change", units.Share, 0, 0.5, "share of the net volume: no smaller change is planned unless it ends the plan"),
		group("water", "the water now", append(point(), chemistry()...)...),
		limitKeys(),
		ambientKeys(),
		heatLossKeys(),
		measure("surface", units.Area, 0.001, 1e5, "water surface open to air"),
		group("livestock", "who breathes the oxygen",
			measure("fish_mass", units.Mass, 0, maxKg, "all fish together"),
			measure("fish_size", units.Mass, 0.0001, 1000, "one typical fish"),
			measure("reef_area", units.Area, 0, 1e5, "reef seen from above"),
			choose("sensitivity", "the most delicate group kept", string(Fish), string(Invertebrate), string(Coral))),
		measure("unattended", units.Duration, 0, 24*90, "the longest nobody looks"),
		equipmentKeys(),
	}})
	f.least = 1
	f.item.some, f.item.hint = []string{"net_volume", "parts"}, "write net_volume: 400 L"
	return f
}

func partKeys() field {
	return listOf("parts", "id", "the vessels the net volume is built from", spec{form: mapping, also: partRules, fields: []field{
		need(plain("id", ident, "name of the part")),
		need(plain("shape", shapeForm, "the vessel")),
		need(measured("level", units.Length, 0, 20_000, "level with everything running, from the lowest point")),
		measure("brim", units.Length, 0.01, 20_000, "level at which it overflows; left out: the top of the shape"),
		group("displaced", "what stands in the water",
			field{key: "rock", spec: spec{form: mapping, about: "dry rock", also: rockRules, together: [][]string{{"density", "porosity"}}, fields: []field{
				need(measured("mass", units.Mass, 0, maxKg, "dry mass")),
				measured("density", units.Density, 500, 3000, "dry mass per volume of outline; with porosity 0, that of the grains"),
				measured("porosity", units.Share, 0, 0.95, "share of the outline that fills with water")}}},
			group("sand", "the bed",
				need(measured("depth", units.Length, 0, 1000, "depth")),
				measured("porosity", units.Share, 0, 0.95, "share of the bed that is water")),
			measured("other", units.Volume, 0, maxLitres, "pumps, stands and the rest")),
		measure("drains_back", units.Volume, 0, maxLitres, "what runs back into it when the return stops")}})
}

func limitKeys() field {
	f := group("limits", "what a change may do, and what the water may be",
		measure("temperature_step", units.TempStep, 0.01, 40, "largest change of temperature in one step"),
		measure("temperature_per_day", units.TempStep, 0.01, 40, "largest net change of temperature in 24 h"),
		measure("salinity_step", units.SalinityStep, 0.01, maxSalinity, "largest change of salinity in one step"),
		measure("salinity_per_day", units.SalinityStep, 0.01, maxSalinity, "largest net change of salinity in 24 h"),
		measure("alkalinity_per_day", units.Alkalinity, 0.01, 40, "largest net change of alkalinity in 24 h"),
		measure("temperature_low", units.Temperature, 0, maxWater, "lowest temperature"),
		measure("temperature_high", units.Temperature, 0, maxWater, "highest temperature"),
		measure("salinity_low", units.Salinity, 0, maxSalinity, "lowest salinity; left out where sensitivity is fish: 28"),
		measure("salinity_high", units.Salinity, 0, maxSalinity, "highest salinity"),
		measure("oxygen_low", units.Concentration, 0, 20_000, "lowest dissolved oxygen"))
	f.also = limitRules
	return f
}

func ambientKeys() field {
	f := group("ambient", "temperature of the room; one value stands for all three",
		need(measure("usual", units.Temperature, minAir, maxAir, "usual")),
		measure("coldest", units.Temperature, minAir, maxAir, "coldest"),
		measure("hottest", units.Temperature, minAir, maxAir, "hottest"))
	one := measure("", units.Temperature, minAir, maxAir, "temperature of the room").spec
	f.single, f.also = &one, ambientRules
	return f
}

func heatLossKeys() field {
	test := group("cooling_test", "a fall of temperature with the heaters off",
		need(measure("from", units.Temperature, 0, maxWater, "at the start")),
		need(measure("to", units.Temperature, 0, maxWater, "at the end")),
		need(measure("in", units.Duration, 0.1, 24*30, "time between")))
	test.also = coolingRules
	f := group("heat_loss", "how the system loses heat: one of the three",
		measure("heater_duty", units.Share, 0.001, 1, "share of the time the heaters run at usual ambient"),
		measure("coefficient", units.HeatLoss, 0.001, 1e6, "heat lost per degree"),
		test)
	f.groups = [][]string{{"heater_duty", "coefficient", "cooling_test"}}
	return f
}

// equipmentKeys: which keys belong to which kind is in kinds below.
func equipmentKeys() field {
	f := listOf("equipment", "id", "a part's own control (thermostat, float) is what fails, not a guard", spec{form: mapping, fields: []field{
		need(plain("id", ident, "name used in this file")),
		need(choose("kind", "what it is", kindNames()...)),
		measure("power", units.Power, 0, maxWatts, "electrical power"),
		measure("reservoir", units.Volume, 0, maxLitres, "what it can run dry"),
		measure("flow", units.Flow, 0, 1e6, "pump flow"),
		choose("doses", "what it doses", string(Alkalinity), string(Calcium), string(Magnesium)),
		{key: "strength", spec: spec{form: quantity, dims: []units.Dimension{units.AlkStrength, units.IonStrength}, low: 0, high: 1e4,
			about: "of the solution: meq/mL of alkalinity, mg/mL of calcium or magnesium"}},
		measure("overflow", units.Flow, 0, 1e6, "saltwater lost when it overflows"),
		measure("energy", units.Energy, 0, 1e9, "stored energy"),
		measure("usable", units.Share, 0.01, 1, "share of it that may be used"),
		measure("inverter", units.Share, 0.1, 1, "share of it that reaches the load; 100 % where the load runs straight from the battery"),
		measure("idle", units.Power, 0, maxWatts, "what the inverter itself draws while it is on; 0 W without one"),
		measure("lasts", units.Duration, 0.01, 24*365, "how long it runs what it feeds, as its maker states or you measured; goes before the reckoning"),
		listOf("feeds", "", "ids of the equipment it feeds", spec{form: name, afar: true, about: "id of a piece of equipment of this system, or system/id of another's"}),
		measure("fuel", units.Volume, 0, maxLitres, "fuel on hand"),
		measure("use", units.Flow, 0, 1e4, "fuel used per hour"),
		guards(),
	}})
	f.item.kinds, f.item.also = equipmentKinds(), equipmentRules
	return f
}

func equipmentKinds() []kindKeys {
	return []kindKeys{
		{string(Heater), []string{"power"}, nil},
		{string(Chiller), nil, []string{"power"}},
		{string(TopOff), []string{"reservoir", "flow"}, []string{"power"}},
		{string(Doser), []string{"doses", "reservoir", "strength", "flow"}, []string{"power"}},
		{string(Skimmer), []string{"overflow"}, []string{"power"}},
		{string(Circulation), []string{"power"}, nil},
		{string(Return), []string{"power"}, []string{"flow"}},
		{string(Air), []string{"power"}, nil},
		{string(Battery), []string{"energy", "feeds"}, []string{"usable", "inverter", "idle", "lasts"}},
		{string(Generator), []string{"power"}, []string{"fuel", "use", "feeds"}},
	}
}

func kindNames() []string {
	var out []string
	for _, k := range equipmentKinds() {
		out = append(out, k.kind)
	}
	return out
}
