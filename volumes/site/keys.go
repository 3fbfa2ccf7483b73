package site

import (
	"tidehold/refs/units"
	"tidehold/salinity/mixing"
)

// Bounds that keep a slip of the pen from passing as a value. They are those of
// the relations a value feeds, or far outside anything a keeper owns.
const (
	maxLitres   = 1e7 // ten thousand cubic metres
	maxHours    = 24 * 366 * 10
	maxKg       = 1e6
	maxWatts    = 1e6
	maxSalinity = 42 // practical salinity: the upper end of PSS-78 [pss78]
	minAir      = -40
	maxAir      = 60
	maxWater    = 40 // °C: the upper end of the one-atmosphere equation of state [eos80]
)

// siteKeys is the whole site file.
func siteKeys() *spec {
	s := &spec{form: mapping, about: "a site: systems, stores, salt, and the events to be ready for", fields: []field{
		need(whole("format", 1, 1, "version of this file format")),
		plain("name", text, "name of the place, printed on sheets"),
		choose("units", "units of display; the file itself may mix units freely", "metric", "us"),
		plain("currency", text, "currency of prices"),
		plain("time_zone", text, "IANA time zone of printed clock times, as Atlantic/Azores; left out: that of the machine, where it keeps one"),
		need(systemKeys()),
		storeKeys(),
		saltKeys(),
		purifierKeys(),
		group("mixing", "how batches of saltwater are made",
			measure("time", units.Duration, 0, maxHours, "from all water and salt in, until use"),
			measure("emergency_time", units.Duration, 0, maxHours, "the same, when every hour counts"),
			measure("cut_time", units.Duration, 0, maxHours, "from purified water poured into saltwater, until use"),
			listOf("in", "", "the vats for batches; left out: every saltwater store", spec{form: name, about: "id of a store"})),
		group("reserve", "never planned away, in total",
			measure("saltwater", units.Volume, 0, maxLitres, "saltwater kept back"),
			measure("purified", units.Volume, 0, maxLitres, "purified water kept back"),
			plain("pour_away", yesNo, "no: good stored water is poured away only where a plan would be late without; left out: also so that the rest is fit or warm sooner")),
		listOf("routine", "system", "regular changes, so that readiness is judged just after one", spec{form: mapping, fields: []field{
			need(plain("system", name, "id of the system")),
			need(measure("volume", units.Volume, 0, maxLitres, "volume changed")),
			need(measure("every", units.Duration, 1, maxHours, "time from one to the next"))}}),
		listOf("deliveries", "", "water or salt that comes after an event has begun", spec{form: mapping,
			some: []string{"saltwater", "purified", "salt"}, hint: "write saltwater: 200 L, purified: 200 L or salt: 20 kg", fields: []field{
				need(measure("after", units.Duration, 0, maxHours, "time from the start of the event")),
				measure("saltwater", units.Volume, 0, maxLitres, "volume of saltwater"),
				measure("purified", units.Volume, 0, maxLitres, "volume of purified water"),
				measure("salt", units.Mass, 0, maxKg, "mass of salt mix"),
				measure("salinity", units.Salinity, 0, maxSalinity, "of the saltwater"),
				measure("temperature", units.Temperature, 0, maxWater, "of the water"),
				background("what its saltwater brings")}}),
		with(awakeRules, group("awake", "when changes and work on vats may be started, from and to a time of day; left out: at any hour. The first 4 h after discovery are always awake",
			need(plain("from", clock, "time of day")),
			need(plain("to", clock, "time of day")))),
		mediaKeys(),
		listOf("kit", "item", "tools and tests that must be to hand", spec{form: mapping, fields: []field{
			need(plain("item", text, "what it is")),
			whole("need", 0, 100_000, "how many are needed"),
			whole("have", 0, 100_000, "how many are there"),
			plain("expires", date, "day it expires")}}),
		listOf("drills", "what", "what is practised or inspected", spec{form: mapping, fields: []field{
			need(plain("what", text, "what is done")),
			measure("every", units.Duration, 1, maxHours, "time from one to the next"),
			plain("done", date, "day it was last done")}}),
		listOf("contacts", "role", "printed on sheets", spec{form: mapping, fields: []field{
			need(plain("role", text, "what for: veterinarian, landlord, electrician")),
			blank(plain("name", text, "name; blank: a line to fill in")),
			blank(plain("phone", text, "telephone number; blank: a line to fill in"))}}),
		eventKeys(),
		{key: "together", spec: spec{form: list, about: "events that must be survivable at once", item: &spec{form: list, least: 2, once: true, about: "events at once", item: &spec{form: name, about: "id of an event"}}}},
	}}
	s.also = siteRules
	attach(s, "")
	return s
}

// with adds rules of the schema about more than one key.
func with(rules func(*schemaMaker) []any, f field) field { f.also = rules; return f }

// exactly marks a quantity that no reporting limit can stand for.
func exactly(f field) field { f.noLimit = true; return f }

func blank(f field) field { f.blank = true; return f }

// chemistry are the keys that describe a water beyond its volume.
func chemistry() []field {
	return []field{
		measure("ph", units.Number, 6, 10, "pH"),
		measure("alkalinity", units.Alkalinity, 0, 40, "alkalinity"),
		measure("calcium", units.Concentration, 0, 2e6, "calcium"),
		measure("magnesium", units.Concentration, 0, 6e6, "magnesium"),
	}
}

// point is salinity and temperature.
func point() []field {
	return []field{
		measure("salinity", units.Salinity, 0, maxSalinity, "practical salinity, or specific gravity at its pair: 1.0264 sg@25C/25C; a float read at another temperature: find the salinity with tidehold salinity"),
		measure("temperature", units.Temperature, 0, maxWater, "temperature"),
	}
}

// background is what a water brings along, by substance.
func background(about string, named ...field) field {
	return field{key: "background", spec: spec{form: substances, about: about, named: named,
		item: &spec{form: quantity, dims: []units.Dimension{units.Concentration}, low: 0, high: 1e9, spread: true, about: "concentration"}}}
}

func guards() field {
	return listOf("guards", "kind", "protections that act independently of the part that fails", spec{form: mapping, fields: []field{
		need(plain("kind", text, "what it is")),
		plain("tested", date, "day of the last test; never tested does not count"),
		plain("shared_with", text, "what it fails together with: a power strip, a controller")}})
}

func storeKeys() field {
	fields := []field{
		need(plain("id", ident, "name used on the command line and in this file")),
		need(choose("holds", "what is in it", string(Saltwater), string(Purified))),
		plain("shape", shapeForm, "the vessel; or give its capacity"),
		measure("capacity", units.Volume, 0.1, maxLitres, "volume at the brim"),
		measure("level", units.Length, 0, 20_000, "level now, from the lowest point"),
		measure("volume", units.Volume, 0, maxLitres, "volume now"),
		measure("heel", units.Volume, 0, maxLitres, "what the pump cannot reach"),
	}
	fields = append(fields, point()...)
	fields = append(fields, chemistry()...)
	fields = append(fields,
		plain("mixed", date, "day it was mixed"),
		measure("max_age", units.Duration, 1, maxHours, "age up to which it counts"),
		measure("heater", units.Power, 0, maxWatts, "heater in the vat"),
		group("heat_loss", "of the vat, if known", need(measure("coefficient", units.HeatLoss, 0.001, 1e6, "heat lost per degree"))),
		measure("transfer", units.Flow, 1, 1e6, "pump for draining and filling; left out: buckets"),
		background("what this water itself brings", chemistry()...),
		choose("filled_by", "what fills it", "purifier"))
	f := listOf("stores", "id", "vats, drums and bins of water kept ready", spec{form: mapping, fields: fields,
		groups: [][]string{{"level", "volume"}, {"shape", "capacity"}}, beside: [][2]string{{"level", "shape"}}, also: storeRules})
	return f
}

func saltKeys() field {
	return listOf("salts", "id", "bagged sea-salt mixes", spec{form: mapping, also: saltRules, fields: []field{
		need(plain("id", ident, "name used on the command line and in this file")),
		measure("on_hand", units.Mass, 0, maxKg, "mass in the bags"),
		measure("dose", units.Dose, 1, 400, "salt per litre, as the label says"),
		group("dose_at", "what the dose is stated for",
			measure("salinity", units.Salinity, 1, maxSalinity, "salinity reached"),
			measure("temperature", units.Temperature, 0, maxWater, "temperature of the litre"),
			choose("per", "a litre of finished water or of purified water used", string(mixing.Finished), string(mixing.Purified))),
		measure("price", units.Number, 0, 1e6, "price per kilogram"),
		measure("bag", units.Mass, 0, 1e4, "mass of one bag"),
		group("makes", "the water it makes at the salinity of its dose", chemistry()...),
		background("what the water it makes brings")}})
}

func purifierKeys() field {
	return group("purifier", "makes purified water; left out: none",
		need(measure("rate", units.Flow, 0, 1e6, "product water at the rated temperature")),
		measure("rated_at", units.Temperature, 0, maxWater, "feed temperature the rate is stated for"),
		measure("feed", units.Temperature, 0, maxWater, "feed water now"),
		guards())
}

func mediaKeys() field {
	return listOf("media", "id", "filter media that take something out", spec{form: mapping, fields: []field{
		need(plain("id", ident, "name used on the command line and in this file")),
		need(plain("system", name, "id of the system")),
		need(measure("flow", units.Flow, 0, 1e6, "water through the medium")),
		need(field{key: "single_pass", spec: spec{form: substances, about: "share taken out in one pass, by substance",
			item: &spec{form: quantity, dims: []units.Dimension{units.Share}, low: 0, high: 1, about: "share"}}}),
		measure("capacity", units.Mass, 0, 1000, "measured mass it can hold; without it, readiness ignores the medium")}})
}

func eventKeys() field {
	return listOf("events", "id", "what this site wants to be ready for; left out: remove 50 % within 24 h, for each system", spec{form: mapping, also: eventRules,
		groups:   [][]string{{"remove", "contaminant"}, {"remove", "start"}, {"remove", "target"}},
		together: [][]string{{"contaminant", "start", "target"}},
		some:     []string{"remove", "contaminant"}, hint: "write remove: 50 %, or contaminant with start and target",
		fields: []field{
			need(plain("id", ident, "name used on the command line and in this file")),
			plain("system", name, "id of the system; may be left out if there is only one"),
			plain("playbook", text, "the checklist to follow"),
			measure("remove", units.Share, 0.001, 0.999, "share to remove, when no measurement is to be expected"),
			plain("contaminant", text, "the substance, as copper"),
			measured("start", units.Concentration, 0, 1e9, "concentration at the start"),
			exactly(measure("target", units.Concentration, 1e-6, 1e9, "concentration to get below")),
			measure("within", units.Duration, 0.01, maxHours, "time allowed"),
			plain("reheats", yesNo, "the system's own heaters bring the temperature back between changes"),
			measure("source", units.MassRate, 0, 1e9, "what is still being added"),
			whole("priority", 1, 1000, "1 is served first")}})
}
