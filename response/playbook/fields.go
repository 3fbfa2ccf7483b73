package playbook

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/volumes/site"
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
	// the night anyway, or where the words without the number are enough.
	measure string
	value   func(*Facts) (string, bool)
}

// fieldList is every field, in the order of the list of blanks.
var fieldList = []field{
	{"net_volume", "____ L", "water in the tank and sump: inside length, width and level; or a measured exchange", func(f *Facts) (string, bool) { return f.volume(f.NetL, units.Down) }},
	{"waste_rule", "________________", "ask the sewer authority where salt or contaminated water may go", func(*Facts) (string, bool) { return "", false }},
	{"left_share", "____ %", "the share the keeper wants left, written before the day", func(f *Facts) (string, bool) {
		if f.Plan == nil {
			return "", false
		}
		left, _ := shares(f.aimLeft())
		return left, true
	}},
	{"left_says", "At most {{left_share}} of what came out is left", "", func(f *Facts) (string, bool) {
		if f.Plan == nil || f.Plan.Demand.Aims[0].Share() {
			return "", false
		}
		return units.UpperFirst(f.substance()) + " " + f.dissolved(f.Plan.Demand.Aims[0].Target) + " or lower", true
	}},
	{"target", "the front's goal", "", func(f *Facts) (string, bool) {
		if f.Plan == nil || f.Plan.Demand.Aims[0].Share() {
			return "", false
		}
		return f.dissolved(f.Plan.Demand.Aims[0].Target), true
	}},
	{"analytes", "metals, ammonia, alkalinity and what was poured", "", func(f *Facts) (string, bool) {
		if f.Plan == nil || f.Plan.Demand.Aims[0].Share() {
			return "", false
		}
		return f.Plan.Demand.Aims[0].Contaminant + ", nickel, zinc and iron", f.Plan.Demand.Aims[0].Contaminant == "copper"
	}},
	{"plan_says", "No plan is known: a quarter of the tank at once, then every 4 h, as far as the vats go.", "write the plan in this line before the day", (*Facts).planSays},
	{"missing", "all they can spare", "", func(f *Facts) (string, bool) {
		litres, ok := f.volume(f.LackingL, units.Up)
		if ok && f.Water != nil { // whoever is phoned keeps another tank
			litres += " at " + units.Fixed(float64(f.Water.Salinity), 1) + " salinity"
		}
		return litres, ok
	}},
	{"backups", "pumps from battery, UPS and generator", "", backupField(Backup.unplugged)},
	{"feeders", "the top-off and the dosing pumps", "", func(f *Facts) (string, bool) {
		var words []string
		for need, word := range map[string]string{"top-off": "the top-off", "doser": "the dosing pumps"} {
			if f.Profile.Known && f.Profile.Has[need] {
				words = append(words, word)
			}
		}
		slices.Sort(words)
		return units.List(words, ""), len(words) > 0
	}},
	{"batteries", "pumps from battery and UPS", "", batteryField(Backup.unplugged)},
	{"batteries_running", "every battery and UPS", "", batteryField(Backup.running)},
	{"battery_says", "; the battery's hours are not known", "", func(f *Facts) (string, bool) {
		if has, known := f.Profile.has("battery"); known && !has {
			return "", true
		}
		hours, ok := hoursField("outage", "battery")(f)
		return "; the battery " + hours, ok
	}},
	{"generator_says", "hours by the gauge; one heater at a time.", "", func(f *Facts) (string, bool) {
		return strings.Join(f.Generators, ". ") + ".", len(f.Generators) > 0
	}},
	{"vat_warming", "1 h a degree in a small vat", "", func(f *Facts) (string, bool) {
		if f.VatWarmingH == nil {
			return "", false
		}
		return units.Hours(units.Up.To(*f.VatWarmingH, 1.0/60)) + " for each " + f.Units.TempStep(1), true
	}},
	{"small_change", "____ L (a tenth of the tank)", "the most that changes the tank by one step of its temperature limit", (*Facts).smallChange},
	{"salinity_band", "____ to ____ salinity", "the tank on a good day, one step to each side", func(f *Facts) (string, bool) {
		if f.Water == nil || f.Limits == nil {
			return "", false
		}
		s := float64(f.Water.Salinity)
		return fmt.Sprintf("%s to %s salinity", units.Fixed(s-f.Limits.SalinityStep, 1), units.Fixed(s+f.Limits.SalinityStep, 1)), true
	}},
	{"vat_salts", "0.0 salinity if purified (NO salt), else {{salinity_band}}", "", (*Facts).vatSalts},
	{"salinity_low", "____ salinity", "the lowest the keeper allows", limitField(func(f *Facts) string { return units.Fixed(float64(f.Limits.SalinityLow), 1) + " salinity" })},
	{"salinity_high", "____ salinity", "the highest the keeper allows", limitField(func(f *Facts) string { return units.Fixed(float64(f.Limits.SalinityHigh), 1) + " salinity" })},
	{"salt_step", "____ salinity", "the largest step the keeper allows", limitField(func(f *Facts) string { return units.Fixed(f.Limits.SalinityStep, 1) + " salinity" })},
	{"salt_day", "____ salinity", "the largest change in a day the keeper allows", limitField(func(f *Facts) string { return units.Fixed(f.Limits.SalinityPerDay, 1) + " salinity" })},
	{"temp_band", "____ to ____ °C", "the tank on a good day, one step to each side", func(f *Facts) (string, bool) {
		if f.Water == nil || f.Limits == nil {
			return "", false
		}
		t, step := float64(f.Water.Temperature), f.Limits.TemperatureStep
		return f.tempRange(t-step, t+step), true
	}},
	{"temp_set", "____ °C", "the tank on a good day", func(f *Facts) (string, bool) {
		if f.Water == nil {
			return "", false
		}
		return f.Units.Temperature(float64(f.Water.Temperature)), true
	}},
	{"temp_low", "____ °C", "the lowest the keeper allows", limitField(func(f *Facts) string { return f.Units.Temperature(float64(f.Limits.TemperatureLow)) })},
	{"temp_high", "____ °C", "the highest the keeper allows", limitField(func(f *Facts) string { return f.Units.Temperature(float64(f.Limits.TemperatureHigh)) })},
	{"temp_limits", "____ to ____ °C", "the lowest and the highest the keeper allows", limitField(func(f *Facts) string {
		return f.tempRange(float64(f.Limits.TemperatureLow), float64(f.Limits.TemperatureHigh))
	})},
	{"temp_day", "____ °C", "the largest change in a day the keeper allows", limitField(func(f *Facts) string { return f.Units.TempStep(f.Limits.TemperaturePerDay) })},
	{"oxygen_low", "____ mg/L", "the lowest the keeper allows", limitField(func(f *Facts) string { return units.Fixed(f.Limits.OxygenLow, 1) + " mg/L" })},
	{"switch_off", "heaters, pumps, skimmer, top-off and dosing", "", func(f *Facts) (string, bool) { return f.devices(), true }},
	{"keep_on", "good ones, never a tagged one", "", func(f *Facts) (string, bool) { return f.devicesBack(), true }},
	{"drain_how", "with pump, siphon OR jug into {{10 L}} buckets, no hand in", "", func(f *Facts) (string, bool) { return f.transfer(), true }},
	{"drain_from", "", "", func(f *Facts) (string, bool) { return ", the same depth from each tank", f.OneSump }},
	{"fill_to", "", "", func(f *Facts) (string, bool) { return ", each tank as it was", f.OneSump }},
	{"pure_vat", "the vat for purified water", "", func(f *Facts) (string, bool) {
		var ids []string
		for _, st := range f.Stores {
			if st.Holds == site.Purified && len(ids) < 3 {
				ids = append(ids, st.ID)
			}
		}
		return strings.Join(ids, " OR "), len(ids) > 0
	}},
	{"purifier_full", "shut it before it is full", "", func(f *Facts) (string, bool) {
		if f.PurifierFullH == nil || *f.PurifierFullH < 0.25 {
			return "", false // whoever starts it pours first
		}
		return "shut it before it is full (in " + units.Hours(units.Down.To(*f.PurifierFullH, 1.0/12)) + ")", true
	}},
	{"torch", "a torch", "", func(f *Facts) (string, bool) { return "a telephone lamp", f.Profile.lacks([]string{"kit: torch"}) }},
	{"mend_of", "100 L", "", func(f *Facts) (string, bool) { return f.mendOf() }},
	{"cut_litres", "____ L", "what is mended, over the tank's salinity and one more", func(f *Facts) (string, bool) {
		if f.CutL == nil {
			return "", false
		}
		return f.amount(*f.CutL*f.mendL()/100, units.Nearest), true
	}},
	{"lift_salt", "____ kg (110 g)", "the salt's dose for what is mended, over its salinity", func(f *Facts) (string, bool) {
		if f.LiftKg == nil {
			return "", false
		}
		return f.Units.Mass(*f.LiftKg*f.mendL()/100, units.Nearest), true
	}},
	{"vat_usable", "25 to 45 salinity, 15 to 29 °C", "", func(f *Facts) (string, bool) { return f.vatUsable(math.Inf(1)) }},
	// Half a tank of it, hour by hour, moves the salt by a day's limit.
	{"vat_refill", "31 to 39 salinity, 15 to 29 °C", "", func(f *Facts) (string, bool) {
		if f.Limits == nil {
			return "", false
		}
		return f.vatUsable(2 * f.Limits.SalinityPerDay)
	}},
	// A rest without a time was done at once, beside the row it was cut from.
	{"between_rows", "4 h", "", func(f *Facts) (string, bool) { return units.Hours(f.EveryH), f.EveryH > 0 }},
	{"salt_lift", "____ g (110 g per 100 L)", "what lifts the tank by one step: the salt's dose for its litres, over its salinity", func(f *Facts) (string, bool) {
		kg, ok := f.saltLiftKg()
		return f.Units.Mass(kg, units.Nearest), ok
	}},
	{"salt_buckets", "a bucket", "", func(f *Facts) (string, bool) {
		kg, ok := f.saltLiftKg()
		n := int(math.Ceil(kg / bucketSaltKg))
		return units.Count(n, "bucket"), ok && n > 1
	}},
	{"bin_says", "", "", func(f *Facts) (string, bool) { return f.binSays(), true }},
	{"bin_volume", "all the bins hold", "the litres of a clean bin, read on its side or filled by bucket", func(f *Facts) (string, bool) {
		if f.binsTooSmall() {
			return "all they hold", true
		}
		if f.BinL == nil {
			return "", false
		}
		return f.bins(), true
	}},
	{"bin_air", "____ min", "watch the fish: move on at the first gasp", func(f *Facts) (string, bool) {
		return units.Hours(binAirH), f.BinL != nil
	}},
	{"ice_kg", "____ kg (1 kg per 100 L)", "1 kg for each 100 L takes about 1 °C", func(f *Facts) (string, bool) {
		if f.IceKg == nil {
			return "", false
		}
		return f.ice(), true
	}},
	{"ice_says", "About 1 kg of ice for each 100 L takes 1 °C. Melt water stays in the bag.", "", (*Facts).iceSays},
	{"heat_says", "Time the heater: minutes for {{1 °C}}.", "", (*Facts).heatSays},
	{"dose_says", "Missing mL times the label's strength went in: read both to the veterinarian.", "", (*Facts).doseSays},
	{"dose_safe", "one day's dose by its label", "what the label says one day's dose is", func(f *Facts) (string, bool) {
		if f.Dose == nil || f.Dose.SafeML == nil {
			return "", false
		}
		return units.Fixed(units.Down.To(*f.Dose.SafeML, 1), 0) + " mL", true
	}},
	{"alkalinity_band", "____ to ____ dKH", "the tank on a good day, one day's limit to each side", func(f *Facts) (string, bool) {
		if f.Water == nil || f.Water.AlkalinityDKH == nil || f.Limits == nil {
			return "", false
		}
		a, step := *f.Water.AlkalinityDKH, f.Limits.AlkalinityPerDay
		return units.Fixed(a-step, 1) + " to " + units.Fixed(a+step, 1) + " dKH", true
	}},
	{"ph_goal", "pH 7.9", "", func(f *Facts) (string, bool) {
		if f.Water == nil || f.Water.PH == nil {
			return "", false
		}
		return "pH " + units.Fixed(*f.Water.PH-0.2, 1), true
	}},
	{"ammonia_limit", "____ mg/L", "the total ammonia that the keeper's table gives for this pH and temperature", ammoniaField(func(f *Facts) *float64 { return f.AmmoniaChronicMgL })},
	// What the rows were planned for, where that is stricter: the front stopped at one figure and
	// the results at another.
	{"ammonia_goal", "under ____ mg/L", "the total ammonia that the keeper's table gives for this pH and temperature", func(f *Facts) (string, bool) {
		limit, ok := ammoniaField(func(f *Facts) *float64 { return f.AmmoniaChronicMgL })(f)
		if f.Plan == nil {
			return "under " + limit, ok
		}
		if aim := f.Plan.Demand.Aims[0]; aim.Contaminant == plan.TotalAmmonia && (!ok || aim.Target <= *f.AmmoniaChronicMgL*1000) {
			return f.dissolved(aim.Target) + " or lower", true
		}
		return "under " + limit, ok
	}},
	{"ammonia_move", "____ mg/L", "six times the limit above", ammoniaField(func(f *Facts) *float64 { return f.AmmoniaAcuteMgL })},
	{"ammonia_colour", "0.25 mg/L", "", func(*Facts) (string, bool) { return "0.25 mg/L", true }},
	{"dechlor_first", "____ mL (28 mL per 100 L)", "28 mL for each 100 L", func(f *Facts) (string, bool) {
		return f.firstDose(thiosulfatePerChlorine*10, "mL") // of a bottle with 100 g/L
	}},
	{"vitamin_c", "____ g (1 g per 100 L, 4 g a level teaspoon)", "1 g for each 100 L", func(f *Facts) (string, bool) {
		ratio, ok := refs.RatioByID("field_ascorbic_acid")
		if !ok || f.NetL == nil {
			return "", false
		}
		grams, _ := f.firstDose(ratio.Value, "g")
		return grams + " (" + teaspoons(firstDoseMgL*ratio.Value**f.NetL/1000) + ")", true
	}},
	{"dechlor_first_g", "____ g (2.8 g per 100 L)", "2.8 g for each 100 L", func(f *Facts) (string, bool) {
		return f.firstDose(thiosulfatePerChlorine, "g")
	}},
	{"hours_cold", "____ h", "read the thermometer every 30 min", func(f *Facts) (string, bool) {
		if text, ok := hoursField("failed-off", "temperature_low")(f); ok {
			return text, true
		}
		return hoursField("outage", "temperature_low")(f)
	}},
	{"hours_outage_cold", "watch the thermometer", "", hoursField("outage", "temperature_low")},
	{"room_cold", "____ °C", "", func(f *Facts) (string, bool) {
		if f.RoomC == nil {
			return "", false
		}
		return f.Units.Temperature(*f.RoomC), true
	}},
	{"room_says", "Cold: watch the thermometer", "", (*Facts).roomSays},
	{"hours_outage_air", "an unknown time: watch the fish", "", hoursField("outage", "oxygen")},
	{"chiller_off", "unplug any chiller, ", "", func(f *Facts) (string, bool) {
		if has, known := f.Profile.has("chiller"); known && !has {
			return "", true
		}
		return "unplug the chiller, ", f.Profile.Known
	}},
	{"stop_heat", "unplug heaters until cooler, look that a chiller runs", "", (*Facts).stopHeat},
	{"hours_fresh", "some hours", "", hoursField("overrun", "salinity")},
}

// teaspoonG is a level teaspoon of vitamin C powder, g. Source: common practice, from memory.
const teaspoonG = 4.0

// teaspoons are so many grams of vitamin C by the level spoon, rounded up to a quarter, a half or a
// whole one: a whole one for one gram was four times the dose.
func teaspoons(grams float64) string {
	switch spoons := grams / teaspoonG; {
	case spoons <= 0.25:
		return "a quarter level teaspoon"
	case spoons <= 0.5:
		return "half a level teaspoon"
	default:
		return units.Count(int(math.Ceil(spoons)), "level teaspoon")
	}
}

// bucketSaltKg is the salt that a bucket of tank water takes in within minutes of stirring, kg: a third of what
// it can hold. Source: common practice, from memory; sodium chloride dissolves to 0.36 kg/L of water at 20 °C.
const bucketSaltKg = 1.0

// saltLiftKg is what lifts the tank by one step of salinity.
func (f *Facts) saltLiftKg() (float64, bool) {
	if f.LiftKg == nil || f.NetL == nil || f.Limits == nil {
		return 0, false
	}
	return *f.LiftKg * *f.NetL / 100 * f.Limits.SalinityStep, true
}

// stopHeat is what is done first to a tank that is too warm: a chilled one was searched for heaters.
func (f *Facts) stopHeat() (string, bool) {
	var acts []string
	if f.Profile.Has["heater"] {
		acts = append(acts, "unplug heaters until cooler")
	}
	if f.Profile.Has["chiller"] {
		acts = append(acts, "look that the chiller runs: plug, dial, dust")
	}
	return strings.Join(acts, ", "), f.Profile.Known && len(acts) > 0
}

// firstDose is so much of something for each mg of the chlorine that is there before any test,
// rounded up.
func (f *Facts) firstDose(perMg float64, unit string) (string, bool) {
	if f.NetL == nil {
		return "", false
	}
	return units.Fixed(units.Up.To(firstDoseMgL*perMg**f.NetL/1000, 1), 0) + " " + unit, true
}

// backupField joins a phrase of each battery and generator.
func backupField(phrase func(Backup) string) func(*Facts) (string, bool) {
	return func(f *Facts) (string, bool) { return joinedBackups(f.Backups, phrase) }
}

// batteryField joins a phrase of each battery and UPS: in a power cut the generator is
// another matter, and what it feeds is not unplugged because a battery is empty.
func batteryField(phrase func(Backup) string) func(*Facts) (string, bool) {
	return func(f *Facts) (string, bool) {
		return joinedBackups(slices.DeleteFunc(slices.Clone(f.Backups), func(b Backup) bool { return b.Kind != site.Battery }), phrase)
	}
}

// joinedBackups joins a phrase of each of these.
func joinedBackups(list []Backup, phrase func(Backup) string) (string, bool) {
	words := make([]string, len(list))
	for i, b := range list {
		words[i] = phrase(b)
	}
	return units.List(words, ""), len(words) > 0
}

// ammoniaField prints a total, rounded down.
func ammoniaField(value func(*Facts) *float64) func(*Facts) (string, bool) {
	return func(f *Facts) (string, bool) {
		x := value(f)
		if x == nil {
			return "", false
		}
		return units.Significant(units.Down.To(*x, 0.01), 2) + " mg/L", true
	}
}

// roomSays is which way a tank goes without power, how fast where that is known, and in which
// room: cold, heat where the room is never cooler than the tank, both where a chilled tank's room
// passes its limit.
func (f *Facts) roomSays() (string, bool) {
	if f.RoomC == nil || f.Water == nil {
		return "", false
	}
	cold := *f.RoomC < float64(f.Water.Temperature)
	if f.HotRoomC == nil || cold && !(f.Profile.Has["chiller"] && *f.HotRoomC > float64(f.Limits.TemperatureHigh)) {
		return "Cold: " + f.withoutPower("temperature_low", *f.RoomC), true
	}
	heat := "Heat: " + f.withoutPower("temperature_high", *f.HotRoomC)
	if !cold {
		return heat, true
	}
	return "Cold: " + f.withoutPower("temperature_low", *f.RoomC) + ". " + heat, true
}

// withoutPower is how long a tank takes to a limit in a room without power.
func (f *Facts) withoutPower(limit string, room float64) string {
	hours, ok := hoursField("outage", limit)(f)
	if !ok {
		hours = "watch the thermometer"
	}
	return hours + " in a room of " + f.Units.Temperature(room)
}

// vatSalts is what each vat should read, its own salinity as a row's band has it: of six vats one
// of 35.5 was called spoilt by the tank's 33 to 35, and one of 34.5 that ran over with purified
// water was not.
func (f *Facts) vatSalts() (string, bool) {
	if len(f.Stores) > mostSalts {
		return "0.0 salinity if purified (NO salt), else what is written on it, " + units.Fixed(saltBand, 1) + " either way", true
	}
	var bands []string
	vats := map[string][]string{}
	for _, st := range f.Stores {
		s := float64(st.Water.Salinity)
		band := units.Fixed(s, 1)
		if st.Holds == site.Saltwater {
			band = units.Fixed(s-saltBand, 1) + " to " + units.Fixed(s+saltBand, 1)
		}
		if vats[band] == nil {
			bands = append(bands, band)
		}
		vats[band] = append(vats[band], st.ID)
	}
	for i, band := range bands {
		bands[i] = band + " salinity (" + strings.Join(vats[band], ", ") + ")"
	}
	return units.List(bands, ""), len(bands) > 0
}

// mostSalts is how many vats are told one by one.
const mostSalts = 6

// vatUsable is what a vat outside its row's band may read for a small row: that much of
// it moves the tank by one step at most, and none of it is warmer than the tank may be or a vat is; its
// salinity is within so much of the tank's.
func (f *Facts) vatUsable(within float64) (string, bool) {
	if f.Water == nil || f.Limits == nil {
		return "", false
	}
	share := 0.1 // the blank of small_change: a tenth of the tank
	if f.SmallChangeL != nil && f.NetL != nil && *f.NetL > 0 {
		share = *f.SmallChangeL / *f.NetL
	}
	s, t := float64(f.Water.Salinity), float64(f.Water.Temperature)
	bySalt, byC := min(within, f.Limits.SalinityStep/share), f.Limits.TemperatureStep/share
	low, high := units.Up.To(max(0, s-bySalt), 0.1), units.Down.To(s+bySalt, 0.1)
	// In the reader's own unit: a vat of 58.0 °F in a room of 58.0 was refused for 58.1, 14.5 °C.
	shown := func(c float64, r units.Rounding) float64 {
		if f.Units == units.US {
			return (r.To(c*9/5+32, 0.1) - 32) * 5 / 9
		}
		return r.To(c, 0.1)
	}
	hot := float64(f.Limits.TemperatureHigh)
	for _, st := range f.Stores {
		if st.Holds == site.Saltwater {
			hot = max(hot, float64(st.Water.Temperature)+1) // what the rows pour
		}
	}
	return fmt.Sprintf("%s to %s salinity, %s", units.Fixed(low, 1), units.Fixed(high, 1),
		f.tempRange(shown(t-byC, units.Up), shown(min(t+byC, hot), units.Down))), true
}

// ice is the ice for a degree as bags are weighed, rounded down: 6.69 kg is 6.5 kg, and a
// pound is near enough.
func (f *Facts) ice() string {
	step := 0.5
	switch {
	case f.Units == units.US:
		step = units.KgPerPound
	case *f.IceKg < 2:
		step = 0.1
	}
	if *f.IceKg < 2*step {
		return f.Units.Mass(*f.IceKg, units.Down)
	}
	number, unit, _ := strings.Cut(f.Units.Mass(units.Down.To(*f.IceKg, step), units.Nearest), " ")
	if strings.Contains(number, ".") {
		number = strings.TrimSuffix(strings.TrimRight(number, "0"), ".")
	}
	return number + " " + unit
}

// iceSays is the ice for a degree.
func (f *Facts) iceSays() (string, bool) {
	if f.IceKg == nil {
		return "", false
	}
	return fmt.Sprintf("%[1]s of ice takes %[2]s here. Melt water stays in the bag. Warm or cool it by %[2]s an hour at most until it is inside the limit.", f.ice(), f.degreeStep()), true
}

// heatSays is what the good heaters need for a degree.
func (f *Facts) heatSays() (string, bool) {
	if f.HeatHours == nil {
		return "", false
	}
	return fmt.Sprintf("%s of good heaters take %s or more for each %s here.", units.Watts(f.HeaterW), units.Hours(units.Up.To(*f.HeatHours, 1.0/12)), f.degreeStep()), true
}

// doseSays is what 100 mL of the bottle does.
func (f *Facts) doseSays() (string, bool) {
	if f.Dose == nil {
		return "", false
	}
	return fmt.Sprintf("Each 100 mL missing from %s is +%s %s of %s here.", f.Dose.Equipment, units.Significant(f.Dose.Per100mL, 2), f.Dose.Unit, f.Dose.What), true
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
// reader's units: L, kg, m, cm and °C (a difference) are known. In metric units it stands
// as written; a distance to keep is rounded up.
func literal(s string) (func(units.System) string, bool) {
	number, unit, ok := strings.Cut(s, " ")
	x, err := strconv.ParseFloat(number, 64)
	if !ok || err != nil || !(x > 0 && x < 1e6) {
		return nil, false
	}
	us := map[string]func() string{
		"L":  func() string { return units.US.Volume(x, units.Nearest) },
		"kg": func() string { return units.US.Mass(x, units.Nearest) },
		"cm": func() string {
			inches, unit := units.US.LengthIn(x)
			return units.Fixed(units.Up.To(inches, 1), 0) + " " + unit
		},
		"°C": func() string { return units.US.TempStep(x) },
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
