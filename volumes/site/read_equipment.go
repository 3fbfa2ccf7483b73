package site

import (
	"slices"
	"strings"

	"tidehold/refs/units"
	"tidehold/refs/yamlwalk"
)

// readEquipment reads a system's devices and checks what they say of each other.
func (l *loader) readEquipment(s scope, sys *System) {
	ids := registerOf(s.idsOf("equipment"))
	s.each("equipment", func(_ int, e scope) { sys.Equipment = append(sys.Equipment, l.readDevice(e, ids)) })
	heater := slices.ContainsFunc(sys.Equipment, func(e Equipment) bool { return e.Kind == Heater })
	if sys.HeatLoss.HeaterDuty != nil && !heater {
		s.note("", "heat_loss is given as the duty of the heaters, but no heater is named: the heat loss stays unknown")
	}
}

func (l *loader) readDevice(s scope, ids register) Equipment {
	e := Equipment{
		ID: s.word("id"), Kind: EquipmentKind(s.word("kind")),
		PowerW: s.given("power").Value, Reservoir: units.Litres(s.given("reservoir").Value), FlowLH: s.given("flow").Value,
		Doses: Dosed(s.word("doses")), Strength: s.given("strength").Value, OverflowLH: s.given("overflow").Value,
		EnergyWh: s.given("energy").Value, FuelL: s.given("fuel").Value, UsePerHourL: s.given("use").Value,
		Guards: readGuards(s),
	}
	if e.Kind == Battery {
		e.Usable, e.Inverter, e.IdleW, e.LastsH = s.number("usable"), s.number("inverter"), s.number("idle"), s.maybe("lasts")
	}
	for _, v := range s.items("feeds") {
		if !v.bad && l.feeds(v, ids) {
			e.Feeds = append(e.Feeds, v.text)
		}
	}
	l.checkStrength(s, e)
	return e
}

// feeds insists that what is fed exists, in this system or, as system/id, in another.
func (l *loader) feeds(v *val, own register) bool {
	if !strings.Contains(v.text, "/") {
		return l.known(v.node, v.text, "piece of equipment in this system", own)
	}
	if l.devices.at == nil {
		l.devices = registerOf(l.deviceIDs())
	}
	return l.known(v.node, v.text, "piece of equipment in another system", l.devices)
}

// checkStrength: alkalinity is dosed in equivalents, the ions by mass.
func (l *loader) checkStrength(s scope, e Equipment) {
	if e.Kind != Doser || !s.sound("strength") || !s.sound("doses") {
		return
	}
	want := units.IonStrength
	if e.Doses == Alkalinity {
		want = units.AlkStrength
	}
	if s.given("strength").Dim != want {
		s.fault("strength", yamlwalk.Quote(s.node("strength").Raw())+" is not a strength of "+string(e.Doses), "a number with "+want.Units()[0], "")
	}
}

func readGuards(s scope) []Guard {
	var out []Guard
	s.each("guards", func(_ int, g scope) {
		out = append(out, Guard{Kind: g.word("kind"), Tested: g.day("tested"), SharedWith: g.word("shared_with")})
	})
	return out
}
