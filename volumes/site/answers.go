package site

import (
	"fmt"
	"strings"

	"tidehold/refs/units"
)

// Answers are what a keeper is asked for a first site file. Zero where there is none
// of it.
type Answers struct {
	// Volume by the walls, up to the water's surface, L; the dry rock is taken off it.
	Volume units.Litres
	// US says that results are to be shown in gallons and °F.
	US     bool
	RockKg float64
	// Ready saltwater, and what its vat holds, L; no vat where that is zero.
	Ready, Vat units.Litres
	Salinity   units.Practical
	// PurifierLH is what the purifier makes, L/h.
	PurifierLH float64
	// HeaterW is the power of the heaters in the tank, W.
	HeaterW float64
	// SaltKg is the dry salt on hand, kg.
	SaltKg float64
	// Playbook of the event that is feared most; "" for what the starter has.
	Playbook string
}

// StarterFor is the starter with the answers in their places. What was not asked is
// commented out, so that nobody is told to be ready by an invented litre; the comments
// stay. It passes Load where the answers lie within what a site file may hold.
func StarterFor(a Answers) []byte {
	replacements := a.lines()
	lines := strings.Split(starterText, "\n")
	for i, l := range lines {
		for _, r := range replacements {
			if rest, is := strings.CutPrefix(l, r.line); is {
				lines[i] = r.with + rest
				if r.with == "" || r.gone {
					lines[i] = commentOut(l)
				}
			}
		}
		if strings.HasPrefix(l, "stores:") && a.Vat == 0 {
			lines[i] = "stores: []"
		}
		if strings.HasPrefix(l, "  - {item: ") { // nobody was asked what is there
			lines[i] = strings.Replace(strings.Replace(l, "have: 1}", "have: 0}", 1), "have: 2}", "have: 0}", 1)
		}
	}
	text := strings.TrimRight(strings.Join(lines, "\n"), "\n") + "\n"
	if !strings.Contains(text, "playbook: "+a.Playbook) {
		text += fmt.Sprintf("  - {id: feared-most, system: display, playbook: %s, remove: 50 %%, within: 12 h}\n", a.Playbook)
	}
	return []byte(text)
}

// starterLine is a line of the starter, by its beginning, and what stands there in its
// place; "" comments it out, as does an answer that there is none.
type starterLine struct {
	line, with string
	gone       bool
}

// lines are those of the starter that the answers, or their absence, change.
func (a Answers) lines() []starterLine {
	n := shortNumber
	net, rock := a.Volume, ""
	if a.RockKg > 0 {
		const grains = 2.9 // kg/L, as for systems.parts.displaced.rock.density
		net -= units.Litres(a.RockKg / grains)
		rock = fmt.Sprintf("   # %s L by the walls, less %s kg of rock", n(float64(a.Volume)), n(a.RockKg))
	}
	noVat, noHeater := a.Vat == 0, a.HeaterW == 0
	shown := "units: metric"
	if a.US {
		shown = "units: us    "
	}
	return []starterLine{
		{"units: metric", shown, false},
		{"    net_volume: 400 L ± 8 %", "    net_volume: " + n(float64(net)) + " L ± 8 %" + rock, false},
		{"    water: {salinity: 35,", "    water: {salinity: " + n(float64(a.Salinity)) + ",", false},
		{"    ambient: {", "", false},
		{"    equipment: ", "    equipment: ", noHeater},
		{"      - {id: heater-1, kind: heater, power: 200 W}", "      - {id: heater-1, kind: heater, power: " + n(a.HeaterW) + " W}", noHeater},
		{"  - id: vat ", "  - id: vat ", noVat},
		{"    holds: saltwater", "    holds: saltwater", noVat},
		{"    capacity: 200 L", "    capacity: " + n(float64(a.Vat)) + " L", noVat},
		{"    volume: 150 L", "    volume: " + n(float64(a.Ready)) + " L", noVat},
		{"    heel: 5 L", "", false},
		{"    salinity: 35", "    salinity: " + n(float64(a.Salinity)), noVat},
		{"    temperature: 20 C", "", false},
		{"  - {id: drum,", "", false},
		{"    on_hand: 15 kg", "    on_hand: " + n(a.SaltKg) + " kg", false},
		{"purifier: {rate: 8 L/h,", "purifier: {rate: " + n(a.PurifierLH) + " L/h,", a.PurifierLH == 0},
		{"reserve: {", "", false},
		{"routine: [", "", false},
	}
}

// commentOut makes a line a comment, where it stands.
func commentOut(l string) string {
	rest := strings.TrimLeft(l, " ")
	return l[:len(l)-len(rest)] + "# " + rest
}

// shortNumber writes a number with at most two decimals: a volume with exactly three
// would have two readings.
func shortNumber(x float64) string {
	return strings.TrimSuffix(strings.TrimRight(units.Fixed(x, 2), "0"), ".")
}
