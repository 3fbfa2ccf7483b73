package playbook

// kitTable is what each event's card, and those it sends people to, use; a test holds
// it to the cards.
var kitTable = map[string][]string{
	"fire-or-smoke":    []string{"torch", "battery air pump", "carbon monoxide alarm", "goggles", "gloves", "thermometer", "salinity meter"},
	"heater-break":     []string{"torch", "gloves", "tongs", "battery air pump", "sample bottles", "salinity meter", "thermometer", "carbon monoxide alarm", "goggles", "hose", "transfer pump", "scale", "carbon", "metal resin", "bin"},
	"breaker-tripped":  []string{"torch", "battery air pump", "carbon monoxide alarm", "goggles", "gloves", "thermometer", "salinity meter"},
	"outage":           []string{"torch", "battery air pump", "carbon monoxide alarm", "thermometer", "goggles", "gloves", "salinity meter"},
	"too-hot":          []string{"torch", "battery air pump", "thermometer", "carbon monoxide alarm", "goggles", "gloves", "salinity meter"},
	"too-cold":         []string{"torch", "thermometer", "spare heater", "carbon monoxide alarm", "goggles", "gloves", "salinity meter"},
	"leak":             []string{"torch", "bin", "battery air pump", "gloves", "carbon monoxide alarm", "goggles", "thermometer", "salinity meter"},
	"vat-overflow":     []string{"torch", "salinity meter", "carbon monoxide alarm", "goggles", "gloves", "thermometer"},
	"skimmer-overflow": []string{"torch", "salinity meter", "battery air pump", "carbon monoxide alarm", "goggles", "gloves", "thermometer", "hose", "transfer pump", "scale", "bin"},
	"top-off-overrun":  []string{"salinity meter", "carbon monoxide alarm", "goggles", "gloves", "thermometer", "hose", "transfer pump", "scale", "bin"},
	"dosing-overrun":   []string{"goggles", "gloves", "sample bottles", "alkalinity test", "pH test", "carbon monoxide alarm", "salinity meter", "thermometer", "hose", "transfer pump", "scale", "bin"},
	"gas-reactor":      []string{"pH test", "battery air pump", "carbon monoxide alarm", "goggles", "gloves", "thermometer", "salinity meter"},
	"ammonia":          []string{"ammonia test", "pH test", "gloves", "battery air pump", "sample bottles", "carbon monoxide alarm", "goggles", "torch", "salinity meter", "thermometer", "hose", "transfer pump", "scale", "bin"},
	"chlorine":         []string{"dechlorinator", "total-chlorine test", "goggles", "gloves", "sample bottles", "ammonia test", "salinity meter", "battery air pump", "carbon monoxide alarm", "torch", "thermometer", "hose", "transfer pump", "scale", "bin", "carbon", "metal resin"},
	"wrong-thing-in":   []string{"gloves", "goggles", "sample bottles", "carbon", "battery air pump", "carbon monoxide alarm", "torch", "salinity meter", "thermometer", "hose", "transfer pump", "scale", "bin", "metal resin"},
	"unknown":          []string{"thermometer", "salinity meter", "pH test", "ammonia test", "oxygen meter", "total-chlorine test", "sample bottles", "carbon", "battery air pump", "carbon monoxide alarm", "goggles", "gloves", "torch", "hose", "transfer pump", "scale", "bin", "metal resin"},
	"sitter":           []string{"torch", "carbon monoxide alarm", "goggles", "gloves"},
}

// phoneTable are the numbers of each front.
var phoneTable = map[string][]string{
	"fire-or-smoke":    []string{"emergency", "electrician", "power company"},
	"heater-break":     []string{"emergency", "electrician", "veterinarian"},
	"breaker-tripped":  []string{"emergency", "electrician", "power company"},
	"outage":           []string{"emergency", "power company", "veterinarian"},
	"too-hot":          []string{"emergency", "veterinarian", "electrician"},
	"too-cold":         []string{"emergency", "veterinarian", "electrician"},
	"leak":             []string{"emergency", "electrician", "veterinarian"},
	"vat-overflow":     []string{"emergency", "electrician", "floor below"},
	"skimmer-overflow": []string{"emergency", "electrician", "veterinarian"},
	"top-off-overrun":  []string{"emergency", "veterinarian", "electrician"},
	"dosing-overrun":   []string{"emergency", "poison control", "veterinarian"},
	"gas-reactor":      []string{"emergency", "gas supplier", "veterinarian"},
	"ammonia":          []string{"emergency", "veterinarian", "second person"},
	"chlorine":         []string{"emergency", "poison control", "veterinarian"},
	"wrong-thing-in":   []string{"emergency", "poison control", "veterinarian"},
	"unknown":          []string{"emergency", "veterinarian", "poison control"},
	"sitter":           []string{"emergency", "keeper", "veterinarian"},
}
