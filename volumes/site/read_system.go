package site

import (
	"errors"
	"strings"

	"tidehold/refs/units"
	"tidehold/refs/yamlwalk"
	"tidehold/salinity"
	"tidehold/volumes"
)

func (l *loader) readSystem(s scope) System {
	sys := System{ID: s.word("id")}
	l.readNetVolume(s, &sys)
	sys.Drawdown = s.number("drawdown")
	sys.ChangeEveryH = s.number("change_every")
	sys.LeadH = s.number("lead")
	sys.LeastChange = s.number("least_change")
	sys.Water = l.readWater(s.sub("water"))
	limits := s.sub("limits")
	limits.fish = s.sub("livestock").word("sensitivity") == string(Fish)
	sys.Limits = l.readLimits(limits)
	sys.Ambient = l.readAmbient(s.sub("ambient"))
	sys.HeatLoss = l.readHeatLoss(s.sub("heat_loss"))
	sys.SurfaceM2 = s.maybe("surface")
	sys.Livestock = readLivestock(s.sub("livestock"))
	sys.UnattendedH = s.number("unattended")
	l.readEquipment(s, &sys)
	l.judgeWater(s, &sys)
	if sys.LeastChange > sys.Drawdown && sys.Drawdown > 0 {
		least, most := units.Trimmed(100*sys.LeastChange, 4), units.Trimmed(100*sys.Drawdown, 4)
		s.note("", "least_change %s %% is more than drawdown %s %%, what may be out at once, so that no change is ever planned; write least_change: %s %% or less", least, most, most)
	}
	return sys
}

// judgeWater says when a system is outside its limits already.
func (l *loader) judgeWater(s scope, sys *System) {
	w, m, show := sys.Water, sys.Limits, l.site.Units
	if w.Salinity < m.SalinityLow || w.Salinity > m.SalinityHigh {
		s.outside("salinity", w.Salinity < m.SalinityLow, amount(float64(w.Salinity)), amount(float64(m.SalinityLow)), amount(float64(m.SalinityHigh)))
	}
	if w.Temperature < m.TemperatureLow || w.Temperature > m.TemperatureHigh {
		s.outside("temperature", w.Temperature < m.TemperatureLow, show.Temperature(float64(w.Temperature)), show.Temperature(float64(m.TemperatureLow)), show.Temperature(float64(m.TemperatureHigh)))
	}
	if room := float64(w.Temperature - m.TemperatureLow); room >= 0 && room < m.TemperatureStep && !s.sub("limits").has("temperature_low") {
		// A basin at 22 °C waited 19 h for its vat, or for ever, and nothing said why.
		s.sub("water").note("", "temperature %s is %s above the lowest assumed for it, less than one step: water from a colder vat is put off until it is warm; where its animals are kept so, write limits: {temperature_low: ...}",
			show.Temperature(float64(w.Temperature)), show.TempStep(room))
	}
	if alk := *w.AlkalinityDKH; s.sub("water").has("alkalinity") && (alk < leastAlkalinity || alk > mostAlkalinity) {
		s.sub("water").note("", "alkalinity %s dKH is not one that tanks are kept at (common practice: 7 to 11 dKH); is the unit right? 1 meq/L is 2.8 dKH", units.Fixed(alk, 1))
	}
	if m.TemperatureStep > m.TemperaturePerDay || m.SalinityStep > m.SalinityPerDay {
		s.sub("limits").note("", "a limit for one step is above the limit for a whole day, which then decides")
	}
}

// leastAlkalinity and mostAlkalinity, dKH, are where a unit is more likely wrong than the water: half and half as much
// again as is kept, a rule of this tool. 8.5 written as meq/L was 23.8 dKH, and no change fitted the limit of a day.
const leastAlkalinity, mostAlkalinity = 3.5, 16.5

// outside notes water beyond a limit; of a limit that was only assumed, what to write where the
// animals are kept so: a fault of the file is not one of the water.
func (s scope) outside(what string, below bool, is, low, high string) {
	key := what + "_high"
	if below {
		key = what + "_low"
	}
	if s.sub("limits").has(key) {
		s.sub("water").note("", "%s %s is outside its own limits, %s to %s", what, is, low, high)
		return
	}
	s.sub("water").note("", "%s %s is outside the limits assumed for it, %s to %s; where its animals are kept so, write limits: {%s: ...}", what, is, low, high, key)
}

// largeSpread is an uncertainty of the net volume, as a share, above which every
// dose is a guess.
const largeSpread = 0.25

// readNetVolume takes the stated volume, else builds it from the parts.
func (l *loader) readNetVolume(s scope, sys *System) {
	sys.Parts = l.readParts(s, sys)
	var built volumes.Net
	if len(sys.Parts) > 0 {
		built, _ = volumes.NetVolume(sys.Parts) // its errors were reported part by part
	}
	switch {
	case s.has("net_volume"):
		q := s.given("net_volume")
		sys.NetVolume, sys.NetVolumeU = units.Litres(q.Value), units.Litres(q.U)
		if gap := built.Volume - sys.NetVolume; s.sound("net_volume") && built.Volume > 0 && max(gap, -gap) > largeSpread*sys.NetVolume {
			s.note("", "the parts add up to %s, the net volume stated is %s; one of the two is wrong", l.site.Units.Volume(float64(built.Volume), units.Nearest), l.site.Units.Volume(q.Value, units.Nearest))
		}
	case len(s.items("parts")) > 0:
		sys.NetVolume, sys.NetVolumeU = built.Volume, built.U
	case s.sound("parts"):
		s.fault("parts", "an empty list, and no net_volume", "at least one part, or net_volume", "write net_volume: 400 L")
		return
	default:
		return // reported where the keys are checked
	}
	if sys.NetVolumeU > largeSpread*sys.NetVolume {
		s.note("", "the net volume is uncertain by %s %%; measure it with an exchange or a tracer before relying on any plan", units.Trimmed(100*float64(sys.NetVolumeU/sys.NetVolume), 3))
	}
}

func (l *loader) readParts(s scope, sys *System) []volumes.Part {
	var parts []volumes.Part
	sound := true
	s.each("parts", func(_ int, p scope) {
		part, ok := l.readPart(p)
		parts = append(parts, part)
		sound = sound && ok
		if v := p.maybe("drains_back"); v != nil {
			total := units.Litres(*v)
			if sys.DrainsBack != nil {
				total += *sys.DrainsBack
			}
			sys.DrainsBack = &total
		}
	})
	if !sound {
		return nil
	}
	return parts
}

// readPart reports false if the part has a fault.
func (l *loader) readPart(p scope) (volumes.Part, bool) {
	part := volumes.Part{ID: p.word("id"), LevelCm: p.given("level").Measured(), BrimCm: p.given("brim").Value, DrainsBackL: p.given("drains_back").Value}
	if !p.sound("shape") || !p.sound("level") {
		return part, false
	}
	v := p.v.get("shape").shape
	part.Shape, part.Dims = v.shape, v.dims
	part.Displaced = readDisplaced(p.sub("displaced"))
	if p.has("brim") && part.BrimCm > part.Shape.HeightCm() {
		p.fault("brim", yamlwalk.Quote(p.node("brim").Raw())+" is above the top of the shape", "at most "+amount(part.Shape.HeightCm())+" cm"+inBrackets(p.given("brim").InOwnUnit(part.Shape.HeightCm(), units.Down)), "")
		return part, false
	}
	if _, err := volumes.NetVolume([]volumes.Part{part}); err != nil {
		var out *volumes.RangeError
		if errors.As(err, &out) && out.What == "level" {
			refuse(p.node("level"), p.given("level"), err)
		} else {
			p.v.node.Mismatch(bare(err, part.ID))
		}
		return part, false
	}
	return part, true
}

// readDisplaced takes the defaults of rock and sand only where there are any.
func readDisplaced(s scope) volumes.Displaced {
	d := volumes.Displaced{OtherL: s.given("other").Measured()}
	if rock := s.sub("rock"); rock.v != nil {
		d.RockMassKg = rock.given("mass").Measured()
		density := rock.take("density").q
		d.RockDensity = density.Measured().Times(1 / units.LitresPerM3)
		if rock.has("density") || !rock.has("porosity") { // the half of the two is a fault of its own
			d.RockPorosity = rock.take("porosity").q.Measured()
		}
	}
	if sand := s.sub("sand"); sand.v != nil {
		d.SandDepthCm = sand.given("depth").Measured()
		d.SandPorosity = sand.take("porosity").q.Measured()
	}
	return d
}

// readWater fills every field: a system's water is never unknown. What is not stated of what salt brings is
// in proportion to the salinity.
func (l *loader) readWater(s scope) Chemistry {
	c := Chemistry{Salinity: units.Practical(s.number("salinity")), Temperature: units.Celsius(s.number("temperature"))}
	ph, alk, ca, mg := s.number("ph"), s.salted("alkalinity", c.Salinity), s.salted("calcium", c.Salinity)/units.UgPerMg, s.salted("magnesium", c.Salinity)/units.UgPerMg
	c.PH, c.AlkalinityDKH, c.CalciumMgL, c.MagnesiumMgL = &ph, &alk, &ca, &mg
	return c
}

// salted is a quantity that salt brings, given or by default: the default is that of salinity 35, in proportion.
// A quarantine tank at 18 that was taken to have the alkalinity of a reef waited a day between changes for its
// own water, cut.
func (s scope) salted(key string, sal units.Practical) float64 {
	share, err := salinity.Proportion(sal, 35)
	if share == 1 || err != nil || s.v.get(key) != nil {
		return s.number(key)
	}
	p := *s.presetOf(key)
	_, unit, _ := strings.Cut(p.text, " ")
	p.text = units.Trimmed(parsed(p.text, key)*share, 3) + " " + unit
	v := s.l.presetAnew(s.field(key), &p)
	s.assume(key, s.l.site.Units.Respell(p.text, v.q), p.basis+", in proportion to salinity "+amount(float64(sal)))
	return v.q.Value
}

func (l *loader) readLimits(s scope) Limits {
	m := Limits{
		TemperatureStep: s.number("temperature_step"), TemperaturePerDay: s.number("temperature_per_day"),
		SalinityStep: s.number("salinity_step"), SalinityPerDay: s.number("salinity_per_day"),
		AlkalinityPerDay: s.number("alkalinity_per_day"),
		TemperatureLow:   units.Celsius(s.number("temperature_low")), TemperatureHigh: units.Celsius(s.number("temperature_high")),
		SalinityLow: units.Practical(s.number("salinity_low")), SalinityHigh: units.Practical(s.number("salinity_high")),
		OxygenLow: s.number("oxygen_low") / units.UgPerMg,
	}
	s.below("temperature_low", "temperature_high")
	s.below("salinity_low", "salinity_high")
	return m
}

// below insists that one key is less than another; either may be a default.
func (s scope) below(low, high string) {
	a, b := s.limit(low), s.limit(high)
	if a == nil || b == nil || a.q.Value < b.q.Value {
		return
	}
	at, other := low, high
	if !s.has(low) {
		at, other = high, low
	}
	hint := ""
	if !s.has(other) {
		hint = "state " + other + " too, its default does not fit"
	}
	s.fault(at, low+" is "+a.node.Raw()+" and "+high+" is "+b.node.Raw(), low+" below "+high, hint)
}

// limit is a value given or by default, without listing it; nil if it is faulty.
func (s scope) limit(key string) *val {
	v := s.v.get(key)
	if v == nil {
		v = s.l.preset(s.field(key), s.presetOf(key))
	}
	if v.bad {
		return nil
	}
	return v
}

// readAmbient takes one value for all three, or the three.
func (l *loader) readAmbient(s scope) Ambient {
	if s.v != nil && s.v.kids == nil {
		t := units.Celsius(s.v.q.Value)
		return Ambient{t, t, t}
	}
	if s.v == nil {
		return Ambient{units.Celsius(s.number("usual")), units.Celsius(s.number("coldest")), units.Celsius(s.number("hottest"))}
	}
	usual := s.given("usual").Value
	side := func(key string) units.Celsius {
		if s.has(key) {
			return units.Celsius(s.given(key).Value)
		}
		if s.sound("usual") {
			s.assume(key, s.node("usual").Raw(), basisAsUsual)
		}
		return units.Celsius(usual)
	}
	a := Ambient{units.Celsius(usual), side("coldest"), side("hottest")}
	if s.sound("usual") && s.sound("coldest") && a.Coldest > a.Usual {
		s.fault("coldest", yamlwalk.Quote(s.node("coldest").Raw())+" is above the usual temperature", "at most "+s.node("usual").Raw(), "")
	}
	if s.sound("usual") && s.sound("hottest") && a.Hottest < a.Usual {
		s.fault("hottest", yamlwalk.Quote(s.node("hottest").Raw())+" is below the usual temperature", "at least "+s.node("usual").Raw(), "")
	}
	return a
}

func (l *loader) readHeatLoss(s scope) HeatLoss {
	h := HeatLoss{HeaterDuty: s.maybe("heater_duty"), Coefficient: s.maybe("coefficient")}
	test := s.sub("cooling_test")
	if test.sound("from") && test.sound("to") && test.sound("in") {
		h.CoolingTest = &CoolingTest{From: units.Celsius(test.given("from").Value), To: units.Celsius(test.given("to").Value), InH: test.given("in").Value}
		if h.CoolingTest.To >= h.CoolingTest.From {
			test.fault("to", yamlwalk.Quote(test.node("to").Raw())+" is no fall of temperature", "below "+test.node("from").Raw(), "")
		}
	}
	return h
}

func readLivestock(s scope) Livestock {
	const grams = 1000
	v := Livestock{FishMassKg: s.number("fish_mass"), ReefAreaM2: s.number("reef_area"), Sensitivity: Sensitivity(s.take("sensitivity").text)}
	if v.FishMassKg > 0 {
		v.FishSizeG = s.number("fish_size") * grams
	}
	return v
}
