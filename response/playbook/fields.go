package playbook

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"tidehold/refs/units"
)

// placeholder is a field in a text: {{net_volume}}, or an amount to be shown in
// the reader's units: {{10 L}}.
var placeholder = regexp.MustCompile(`\{\{([^{}]*)\}\}`)

// field is one value a text can ask for.
type field struct {
	name string
	// blank stands where the value is not known, with its unit.
	blank string
	// measure says what to measure or read instead; "" for what is written down on
	// the night anyway.
	measure string
	value   func(*Facts) (string, bool)
}

// fieldList is every field, in the order of the list of blanks on a sheet.
var fieldList = []field{
	{"net_volume", "____ L", "water in the tank and sump: inside length, width and level; or the table of a measured exchange", func(f *Facts) (string, bool) { return f.volume(f.NetL, units.Down) }},
	{"start_time", "__:__", "", func(f *Facts) (string, bool) {
		if f.At == nil {
			return "", false
		}
		return f.clock(0), true
	}},
	{"waste_rule", "________________", "ask the sewer authority where salt or contaminated water may go", func(*Facts) (string, bool) { return "", false }},
	{"left_share", "____ %", "the share the keeper wants left, written before the day", planField(func(f *Facts, p *Plan) (string, bool) {
		left, _ := shares(p.AimLeft)
		return left, true
	})},
	{"target", "____ µg/L", "the target of the laboratory or of the keeper", planField(func(f *Facts, p *Plan) (string, bool) {
		if p.TargetUgL == nil {
			return "", false
		}
		return units.Dissolved(*p.TargetUgL), true
	})},
	{"plan_says", "The plan: remove ____ % within ____ h, in ____ changes.", "write the plan in this line before the day", planField((*Facts).planSays)},
	{"first_change", "____ L", "the most that may leave the tank at once, with pumps still under water", planField(func(f *Facts, p *Plan) (string, bool) {
		if len(p.Changes) == 0 {
			return "", false
		}
		return f.change(p.Changes[0]), true
	})},
	{"usable_now", "____ L", "the level in each vat with a dipstick", planField(func(f *Facts, p *Plan) (string, bool) {
		return f.amount(p.UsableNowL, units.Down), true
	})},
	{"missing", "____ L", "ask for all they can spare", planField(func(f *Facts, p *Plan) (string, bool) {
		if p.MissingL <= 0 {
			return "all they can spare", true
		}
		return f.amount(p.MissingL, units.Up), true
	})},
	{"batch_vat", "vat ______", "the name of the vat that is emptied first", batchField(func(f *Facts, b *Batch) string { return b.Vat })},
	{"batch_salt", "____ kg", "the dose on the salt bag, for the litres on the vat's mark", batchField(func(f *Facts, b *Batch) string { return f.Units.Mass(b.SaltKg, units.Up) })},
	{"batch_water", "____ L", "the litres at the vat's mark", batchField(func(f *Facts, b *Batch) string { return f.amount(b.PurifiedL, units.Up) })},
	{"batch_ready", "at __:__", "the mixing time on the salt bag", batchField(func(f *Facts, b *Batch) string { return f.when(b.ReadyH) })},
	{"vat_warming", "____ min for each degree", "time the vat heater over one degree on a quiet day", func(f *Facts) (string, bool) {
		if f.VatWarmingH == nil {
			return "", false
		}
		return units.Hours(units.Up.To(*f.VatWarmingH, 1.0/60)) + " for each " + f.Units.TempStep(1), true
	}},
	{"small_change", "____ L", "the most that changes the tank by one step of its temperature limit", func(f *Facts) (string, bool) { return f.volume(f.SmallChangeL, units.Down) }},
	{"salinity_band", "____ to ____ (practical salinity)", "the tank on a good day, one step to each side", func(f *Facts) (string, bool) {
		if f.Water == nil || f.Limits == nil {
			return "", false
		}
		s := float64(f.Water.Salinity)
		return fmt.Sprintf("%s to %s (practical salinity)", units.Fixed(s-f.Limits.SalinityStep, 1), units.Fixed(s+f.Limits.SalinityStep, 1)), true
	}},
	{"salinity_low", "____ (practical salinity)", "the lowest the keeper allows", limitField(func(f *Facts) string {
		return units.Fixed(float64(f.Limits.SalinityLow), 1) + " (practical salinity)"
	})},
	{"salinity_high", "____ (practical salinity)", "the highest the keeper allows", limitField(func(f *Facts) string {
		return units.Fixed(float64(f.Limits.SalinityHigh), 1) + " (practical salinity)"
	})},
	{"salt_step", "____ (practical salinity)", "the largest step the keeper allows", limitField(func(f *Facts) string { return units.Fixed(f.Limits.SalinityStep, 1) + " (practical salinity)" })},
	{"salt_day", "____ (practical salinity)", "the largest change in a day the keeper allows", limitField(func(f *Facts) string { return units.Fixed(f.Limits.SalinityPerDay, 1) + " (practical salinity)" })},
	{"temp_band", "____ to ____ °C", "the tank on a good day, one step to each side", func(f *Facts) (string, bool) {
		if f.Water == nil || f.Limits == nil {
			return "", false
		}
		t, step := float64(f.Water.Temperature), f.Limits.TemperatureStep
		return f.tempRange(t-step, t+step), true
	}},
	{"vat_band", "____ to ____ °C", "the tank's temperature, one step to each side", func(f *Facts) (string, bool) {
		if f.VatTemperature == nil {
			return "", false
		}
		return f.vatBand(*f.VatTemperature), true
	}},
	{"temp_low", "____ °C", "the lowest the keeper allows", limitField(func(f *Facts) string { return f.Units.Temperature(float64(f.Limits.TemperatureLow)) })},
	{"temp_high", "____ °C", "the highest the keeper allows", limitField(func(f *Facts) string { return f.Units.Temperature(float64(f.Limits.TemperatureHigh)) })},
	{"temp_step", "____ °C", "the largest step the keeper allows", limitField(func(f *Facts) string { return f.Units.TempStep(f.Limits.TemperatureStep) })},
	{"temp_day", "____ °C", "the largest change in a day the keeper allows", limitField(func(f *Facts) string { return f.Units.TempStep(f.Limits.TemperaturePerDay) })},
	{"oxygen_low", "____ mg/L", "the lowest the keeper allows", limitField(func(f *Facts) string { return units.Fixed(f.Limits.OxygenLow, 1) + " mg/L" })},
	{"switch_off", "heaters, pumps, skimmer, top-off and dosing", "", func(f *Facts) (string, bool) { return f.devices(), true }},
	{"keep_on", "pumps, skimmer, top-off, dosing and the good heaters", "", func(f *Facts) (string, bool) { return f.devicesBack(), true }},
	{"write_volume", "____ L", "", func(*Facts) (string, bool) { return "", false }},
	{"drain_how", "pump or {{10 L}} buckets", "", func(f *Facts) (string, bool) { return f.transfer(), true }},
	{"move_says", "Moving beats changing when the vats fill a bin, but not the tank.", "", func(f *Facts) (string, bool) { return f.moveSays(), true }},
	{"bin_volume", "____ L", "the litres of a clean bin, read on its side or filled by bucket", func(f *Facts) (string, bool) {
		if f.Move == nil || f.Move.BinL < 1 {
			return "", false // no clean water is ready: what is mixed or brought fills it
		}
		return f.amount(f.Move.BinL, units.Down), true
	}},
	{"bin_air", "____ min", "watch the fish: move on at the first gasp", func(f *Facts) (string, bool) {
		if f.Move == nil || f.Move.AirLowH == nil {
			return "", false
		}
		return hourRange(*f.Move.AirLowH, *f.Move.AirHighH), true
	}},
	{"alkalinity_band", "____ to ____ dKH", "the tank on a good day, one day's limit to each side", func(f *Facts) (string, bool) {
		if f.Water == nil || f.Water.AlkalinityDKH == nil || f.Limits == nil {
			return "", false
		}
		a, step := *f.Water.AlkalinityDKH, f.Limits.AlkalinityPerDay
		return units.Fixed(a-step, 1) + " to " + units.Fixed(a+step, 1) + " dKH", true
	}},
	{"ammonia_limit", "____ mg/L as N", "the total ammonia that the keeper's table gives for this pH and temperature", func(f *Facts) (string, bool) {
		if f.AmmoniaTotalMgL == nil {
			return "", false
		}
		return units.Significant(units.Down.To(*f.AmmoniaTotalMgL, 0.01), 2) + " mg/L as N", true
	}},
	{"hours_hot", "____ h", "read the thermometer every 30 min", hoursField("stuck-on", "")},
	{"hours_cold", "____ h", "read the thermometer every 30 min", hoursField("failed-off", "")},
	{"hours_outage_cold", "____ h", "read the thermometer every 30 min", hoursField("outage", "temperature")},
	{"hours_outage_air", "____ h", "watch the fish: gasping at the surface is the sign", hoursField("outage", "oxygen")},
	{"hours_battery", "____ h", "time a full battery on a quiet day", hoursField("outage", "battery")},
	{"hours_fresh", "____ h", "read the salinity meter every 30 min", hoursField("overrun", "salinity")},
	{"hours_dosed", "____ h", "read the alkalinity test at once and after 1 h", hoursField("overrun", "alkalinity")},
}

// planField is a field that needs the plan.
func planField(value func(*Facts, *Plan) (string, bool)) func(*Facts) (string, bool) {
	return func(f *Facts) (string, bool) {
		if f.Plan == nil {
			return "", false
		}
		return value(f, f.Plan)
	}
}

// batchField is a field that needs the first batch.
func batchField(value func(*Facts, *Batch) string) func(*Facts) (string, bool) {
	return func(f *Facts) (string, bool) {
		if len(f.Batches) == 0 {
			return "", false
		}
		return value(f, &f.Batches[0]), true
	}
}

// limitField is a field that needs the limits.
func limitField(value func(*Facts) string) func(*Facts) (string, bool) {
	return func(f *Facts) (string, bool) {
		if f.Limits == nil {
			return "", false
		}
		return value(f), true
	}
}

// hoursField is the shortest time to a limit by a way of failing; limit "" takes
// any limit.
func hoursField(failure, limit string) func(*Facts) (string, bool) {
	return func(f *Facts) (string, bool) {
		var best *LimitTime
		for i, t := range f.Hours {
			if t.Failure == failure && strings.HasPrefix(t.Limit, limit) && (best == nil || t.LowH < best.LowH) {
				best = &f.Hours[i]
			}
		}
		if best == nil {
			return "", false
		}
		return hourRange(best.LowH, best.HighH), true
	}
}

// fieldByName finds a field.
func fieldByName(name string) (*field, bool) {
	for i := range fieldList {
		if fieldList[i].name == name {
			return &fieldList[i], true
		}
	}
	return nil, false
}

func fieldNames() []string {
	out := make([]string, len(fieldList))
	for i, f := range fieldList {
		out[i] = f.name
	}
	return out
}

// metresPerFoot is exact.
const metresPerFoot = 0.3048

// literal is an amount written in the text, like 10 L, to be shown in the
// reader's units: L, kg, m and cm are known. In metric units it stands as written;
// a distance to keep is rounded up.
func literal(s string) (func(units.System) string, bool) {
	number, unit, ok := strings.Cut(s, " ")
	x, err := strconv.ParseFloat(number, 64)
	if !ok || err != nil || !(x > 0 && x < 1e6) {
		return nil, false
	}
	us := map[string]func() string{
		"L":  func() string { return units.US.Volume(x, units.Nearest) },
		"kg": func() string { return units.US.Mass(x, units.Nearest) },
		"cm": func() string { return units.US.Length(x, units.Up) },
		"m":  func() string { return units.Fixed(units.Up.To(x/metresPerFoot, 1), 0) + " ft" },
	}[unit]
	if us == nil {
		return nil, false
	}
	return func(u units.System) string {
		if u == units.US {
			return us()
		}
		return s
	}, true
}
