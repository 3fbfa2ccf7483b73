package playbook

// kitTable is what each event's card, and those it sends people to, use; a test holds
// it to the cards.
var kitTable = map[string][]string{
	"fire-or-smoke":    {"torch", "battery air pump", "carbon monoxide alarm", "goggles", "gloves", "thermometer", "salinity meter"},
	"heater-break":     {"torch", "gloves", "tongs", "battery air pump", "sample bottles", "salinity meter", "thermometer", "carbon monoxide alarm", "goggles", "hose", "transfer pump", "scale", "carbon", "metal resin", "bin"},
	"breaker-tripped":  {"torch", "battery air pump", "carbon monoxide alarm", "goggles", "gloves", "thermometer", "salinity meter"},
	"outage":           {"torch", "battery air pump", "carbon monoxide alarm", "thermometer", "goggles", "gloves", "salinity meter"},
	"too-hot":          {"torch", "battery air pump", "thermometer", "carbon monoxide alarm", "goggles", "gloves", "salinity meter"},
	"too-cold":         {"torch", "thermometer", "spare heater", "carbon monoxide alarm", "goggles", "gloves", "salinity meter"},
	"leak":             {"torch", "bin", "battery air pump", "gloves", "carbon monoxide alarm", "goggles", "thermometer", "salinity meter"},
	"vat-overflow":     {"torch", "salinity meter", "battery air pump", "carbon monoxide alarm", "goggles", "gloves", "thermometer"},
	"skimmer-overflow": {"torch", "salinity meter", "battery air pump", "carbon monoxide alarm", "goggles", "gloves", "thermometer", "hose", "transfer pump", "scale", "bin"},
	"top-off-overrun":  {"salinity meter", "carbon monoxide alarm", "goggles", "gloves", "thermometer", "hose", "transfer pump", "scale", "bin"},
	"dosing-overrun":   {"goggles", "gloves", "sample bottles", "alkalinity test", "pH test", "carbon monoxide alarm", "salinity meter", "thermometer", "hose", "transfer pump", "scale", "bin"},
	"gas-reactor":      {"pH test", "battery air pump", "carbon monoxide alarm", "goggles", "gloves", "thermometer", "salinity meter"},
	"ammonia":          {"ammonia test", "pH test", "gloves", "battery air pump", "sample bottles", "carbon monoxide alarm", "goggles", "torch", "salinity meter", "thermometer", "hose", "transfer pump", "scale", "bin"},
	"chlorine":         {"dechlorinator", "total-chlorine test", "goggles", "gloves", "sample bottles", "ammonia test", "salinity meter", "battery air pump", "carbon monoxide alarm", "torch", "thermometer", "hose", "transfer pump", "scale", "bin", "carbon", "metal resin"},
	"wrong-thing-in":   {"gloves", "goggles", "sample bottles", "carbon", "battery air pump", "carbon monoxide alarm", "torch", "salinity meter", "thermometer", "hose", "transfer pump", "scale", "bin", "metal resin"},
	"unknown":          {"thermometer", "salinity meter", "pH test", "ammonia test", "oxygen meter", "total-chlorine test", "sample bottles", "carbon", "battery air pump", "carbon monoxide alarm", "goggles", "gloves", "torch", "hose", "transfer pump", "scale", "bin", "metal resin"},
	"sitter":           {"torch", "carbon monoxide alarm", "goggles", "gloves"},
}

// phoneTable are the numbers of each front.
var phoneTable = map[string][]string{
	"fire-or-smoke":    {"emergency", "electrician", "power company"},
	"heater-break":     {"emergency", "keeper", "veterinarian"},
	"breaker-tripped":  {"emergency", "electrician", "power company"},
	"outage":           {"emergency", "power company", "veterinarian"},
	"too-hot":          {"emergency", "veterinarian", "electrician"},
	"too-cold":         {"emergency", "veterinarian", "electrician"},
	"leak":             {"emergency", "keeper", "veterinarian"},
	"vat-overflow":     {"emergency", "electrician", "floor below"},
	"skimmer-overflow": {"emergency", "electrician", "veterinarian"},
	"top-off-overrun":  {"emergency", "veterinarian", "electrician"},
	"dosing-overrun":   {"emergency", "poison control", "veterinarian"},
	"gas-reactor":      {"emergency", "gas supplier", "veterinarian"},
	"ammonia":          {"emergency", "veterinarian", "second person"},
	"chlorine":         {"emergency", "poison control", "veterinarian"},
	"wrong-thing-in":   {"emergency", "poison control", "veterinarian"},
	"unknown":          {"emergency", "veterinarian", "poison control"},
	"sitter":           {"emergency", "keeper", "veterinarian"},
}
