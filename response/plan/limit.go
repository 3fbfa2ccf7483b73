package plan

// Limit names what holds a change, or a plan, back.
type Limit string

// The limits, by the names of the site file where it has one.
const (
	ToTarget          Limit = "target" // trimmed: nothing held it back
	ByDrawdown        Limit = "drawdown"
	ByWater           Limit = "volume"
	BySalt            Limit = "salt"
	ByPurifiedWater   Limit = "purified water"
	ByMixing          Limit = "mixing time"
	ByWarming         Limit = "warming"
	ByDelivery        Limit = "delivery"
	ForLater          Limit = "kept for later" // a larger change now would make the next ones worse
	ByInterval        Limit = "change_every"
	ByLeastChange     Limit = "least_change" // what the other limits allow is less than is worth a change
	ByNight           Limit = "awake"        // a change waits for the morning
	TemperatureStep   Limit = "temperature_step"
	TemperaturePerDay Limit = "temperature_per_day"
	TemperatureLow    Limit = "temperature_low"
	TemperatureHigh   Limit = "temperature_high"
	SalinityStep      Limit = "salinity_step"
	SalinityPerDay    Limit = "salinity_per_day"
	SalinityLow       Limit = "salinity_low"
	SalinityHigh      Limit = "salinity_high"
	AlkalinityPerDay  Limit = "alkalinity_per_day"
	OxygenLow         Limit = "oxygen_low"
)

// limitWords are the limits in a keeper's words, as in "lowest temperature 22.0 °C"; the names
// of the site file stay in JSON.
var limitWords = map[Limit]string{
	ByDrawdown: "what may be out at once", ByWater: "water on hand", ByInterval: "time between changes", ByLeastChange: "smallest change planned", ByNight: "sleep at night",
	TemperatureStep: "temperature in one step", TemperaturePerDay: "temperature in a day", TemperatureLow: "lowest temperature", TemperatureHigh: "highest temperature",
	SalinityStep: "salinity in one step", SalinityPerDay: "salinity in a day", SalinityLow: "lowest salinity", SalinityHigh: "highest salinity",
	AlkalinityPerDay: "alkalinity in a day", "calcium_per_day": "calcium in a day", "magnesium_per_day": "magnesium in a day", OxygenLow: "lowest oxygen",
}

// Words is the limit in plain words.
func (l Limit) Words() string {
	if s, ok := limitWords[l]; ok {
		return s
	}
	return string(l)
}

// OfAnimals reports whether a limit is one of what animals bear: to loosen it is for who knows them.
func (l Limit) OfAnimals() bool {
	switch l {
	case TemperatureStep, TemperaturePerDay, TemperatureLow, TemperatureHigh, SalinityStep, SalinityPerDay, SalinityLow, SalinityHigh, AlkalinityPerDay, OxygenLow:
		return true
	}
	return false
}

// OfHouse reports whether a limit is one of water, stock, work or sleep: to loosen it asks nothing of the animals.
func (l Limit) OfHouse() bool {
	switch l {
	case ByWater, BySalt, ByPurifiedWater, ByMixing, ByWarming, ByDelivery, ByNight, ByLeastChange:
		return true
	}
	return false
}
