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
	TemperatureStep   Limit = "temperature_step"
	TemperaturePerDay Limit = "temperature_per_day"
	TemperatureLow    Limit = "temperature_low"
	TemperatureHigh   Limit = "temperature_high"
	SalinityStep      Limit = "salinity_step"
	SalinityPerDay    Limit = "salinity_per_day"
	SalinityLow       Limit = "salinity_low"
	SalinityHigh      Limit = "salinity_high"
	AlkalinityPerDay  Limit = "alkalinity_per_day"
)
