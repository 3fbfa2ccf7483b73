package site

// preset is a default: its value, written as in a site file, and what it rests on.
type preset struct {
	text  string
	basis string
}

// The bases a default can have besides a published source.
const (
	thisTool = "assumption of this tool"
	custom   = "common practice"
)

// presets are all fixed defaults by path, lists without their index. A default
// that depends on other values has its words below.
func presets() map[string]preset {
	return map[string]preset{
		"name":      {"saltwater site", thisTool},
		"units":     {"metric", thisTool},
		"time_zone": {"UTC", thisTool},

		"systems.drawdown":     {"25 %", thisTool + ": pumps stay under water and most corals stay wet"},
		"systems.change_every": {"4 h", thisTool + ": time to drain, fill, and see how the animals take it"},
		"systems.lead":         {"30 min", thisTool + ": people, power and the first readings come before water"},
		"systems.least_change": {"5 %", thisTool + ": a smaller change is not worth what it disturbs"},
		"systems.unattended":   {"24 h", thisTool + ": someone looks once a day"},

		"systems.water.salinity":    {"35", "published: open ocean, practical salinity about 35 [teos10]"},
		"systems.water.temperature": {"25 C", "published: middle of 22 to 28 °C for tropical reef fish (Hadfield 2021)"},
		"systems.water.ph":          {"8.2", custom + ": middle of 8.0 to 8.4"},
		"systems.water.alkalinity":  {"8 dKH", custom + ": 7 to 11 dKH in reef systems"},
		"systems.water.calcium":     {"422 mg/L", "published: reference composition at salinity 35, 412.1 mg/kg at 25 °C [refcomp]"},
		"systems.water.magnesium":   {"1314 mg/L", "published: reference composition at salinity 35, 1283.7 mg/kg at 25 °C [refcomp]"},

		"systems.limits.temperature_step":    {"1 C", "published: a fall of 1 °C in 24 h is the most for tropical fish (veterinary handout on water quality)"},
		"systems.limits.temperature_per_day": {"2 C", custom + ": 1 to 2 °C a day in reef systems; published for a rise (veterinary handout on water quality)"},
		"systems.limits.salinity_step":       {"1", "published: 1 an hour is the most for fish (ICAR course on fish environmental diseases)"},
		"systems.limits.salinity_per_day":    {"2", custom + ": 1 to 2 a day in reef systems"},
		"systems.limits.alkalinity_per_day":  {"1 dKH", custom + ": 0.5 to 1 dKH a day"},
		"systems.limits.temperature_low":     {"22 C", "published: 22 to 28 °C for tropical reef fish (Hadfield 2021)"},
		"systems.limits.temperature_high":    {"28 C", "published: 22 to 28 °C for tropical reef fish (Hadfield 2021)"},
		"systems.limits.salinity_low":        {"32", "published: reef-building corals live at 32 to 40 (review of coral reef salinity)"},
		"systems.limits.salinity_high":       {"37", custom + ": reef systems are kept at 33 to 36, and one more for evaporation"},
		"systems.limits.oxygen_low":          {"4 mg/L", custom + ": stop-loss for reef systems; published: a branching coral takes up less below 3.7 mg/L"},

		"systems.ambient.usual":         {"20 C", thisTool},
		"systems.ambient.coldest":       {"15 C", thisTool},
		"systems.ambient.hottest":       {"30 C", thisTool},
		"systems.livestock.fish_mass":   {"0 kg", thisTool + ": no fish are counted until they are named"},
		"systems.livestock.fish_size":   {"50 g", "published: oxygen use is stated for a fish of 50 g (Clarke & Johnston 1999)"},
		"systems.livestock.reef_area":   {"0 m2", thisTool + ": no reef is counted until it is named"},
		"systems.livestock.sensitivity": {"coral", thisTool + ": the most delicate group"},
		"systems.equipment.usable":      {"50 %", custom + ": lead-acid batteries"},
		"systems.equipment.inverter":    {"80 %", custom + ": the low end of 80 to 95 %; write 100 % where nothing is converted"},
		"systems.equipment.idle":        {"10 W", custom + ": 1 to 12 W measured on small inverters, more on large ones; write 0 W without one"},

		"systems.parts.displaced.rock.density":  {"2.9 kg/L", "published: grains of aragonite 2.93 kg/L, open pores filled with water"},
		"systems.parts.displaced.rock.porosity": {"0 %", "goes with the density of the grains"},
		"systems.parts.displaced.sand.porosity": {"42 %", "published: sand of one grain size, packed wet, 42.4 % [beard1973]; measure yours in a cup"},

		"stores.heel":    {"0 L", thisTool + ": all of it can be reached"},
		"stores.max_age": {"28 d", custom + ": covered and circulated, 2 to 4 weeks"},
		"stores.heater":  {"0 W", thisTool + ": no heater until one is named"},

		"salts.on_hand":             {"0 kg", thisTool + ": what is not stated is not there"},
		"salts.dose":                {"40 g/L", custom + ": labels say 36 to 40 g/L, the most salt"},
		"salts.dose_at.salinity":    {"35", custom + ": labels are written for 33 to 35"},
		"salts.dose_at.temperature": {"25 C", thisTool},
		"salts.dose_at.per":         {"finished", thisTool},

		"purifier.rated_at":     {"25 C", "published: membrane tables are rated at 25 °C (77 °F)"},
		"purifier.feed":         {"10 C", thisTool + ": cold mains"},
		"mixing.time":           {"12 h", custom + ": overnight"},
		"mixing.cut_time":       {"15 min", custom + ": stirred until two readings agree"},
		"mixing.emergency_time": {"4 h", custom + ": 2 to 4 h until clear"},
		"reserve.saltwater":     {"0 L", thisTool + ": nothing is kept back"},
		"reserve.purified":      {"0 L", thisTool + ": nothing is kept back"},

		"kit.need":     {"1", thisTool},
		"kit.have":     {"0", thisTool + ": what is not stated is not there"},
		"drills.every": {"365 d", thisTool + ": once a year"},

		"events.playbook": {"unknown", thisTool},
		"events.within":   {"24 h", thisTool},
		"events.source":   {"0 mg/h", thisTool + ": nothing is still being added"},
	}
}

// BasisFishOnly is what the lowest salinity rests on where only fish are kept.
//
// Source: Hadfield 2021, in Hadfield & Clayton, Clinical Guide to Fish Medicine: many aquaria
// aim for 28 to 35, the lower end for fish; the reef default is what corals bear.
const BasisFishOnly = "published: fish systems are kept from 28 up (Hadfield 2021), and sensitivity: fish says that no corals are kept"

// fishPresets are the defaults that differ where the most delicate animals are fish.
func fishPresets() map[string]preset {
	return map[string]preset{"systems.limits.salinity_low": {"28", BasisFishOnly}}
}

// Words for the defaults that depend on other values.
const (
	basisOnlySystem    = "the only system"
	basisFirstSystem   = "as in the first system"
	basisPurifiedSalt  = "purified water"
	basisRoom          = thisTool + ": an unheated vat is as warm as the room usually is"
	basisNotThere      = thisTool + ": what is not stated is not there"
	basisNoRoom        = thisTool + ": no room above what is in it"
	basisBuckets       = "no pump is named"
	basisAsUsual       = "as usual: not stated"
	basisEveryVat      = "every saltwater store"
	basisNothingStated = "none is named"
	basisHalfWithin    = thisTool + ": without events, half of the water within a day"
	basisReportLimit   = "the reporting limit, in place of a value below it"
)

// attach hands every default to its key. prefix is the path of s.
func attach(s *spec, prefix string) {
	all, fish := presets(), fishPresets()
	var walk func(s *spec, prefix string)
	walk = func(s *spec, prefix string) {
		for i := range s.fields {
			f := &s.fields[i]
			path := f.key
			if prefix != "" {
				path = prefix + "." + f.key
			}
			if p, ok := all[path]; ok {
				f.preset = &p
			}
			if p, ok := fish[path]; ok {
				f.fish = &p
			}
			walk(&f.spec, path)
		}
		if s.item != nil {
			walk(s.item, prefix)
		}
	}
	walk(s, prefix)
}
