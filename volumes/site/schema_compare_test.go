package site_test

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"tidehold/refs/outside"
	"tidehold/refs/yamlwalk"
	"tidehold/volumes/site"
)

const smallStore = "stores: [{id: vat, holds: saltwater, volume: 10 L}]\n"

// TestComparisonsRefuseNothingGood writes pairs of quantities near the steps at which the
// schema compares them, in any unit: what it refuses, Load refuses. And it refuses some.
func TestComparisonsRefuseNothingGood(t *testing.T) {
	outside.Alone(t)
	rules := schema(t)
	r := rand.New(rand.NewPCG(15, 8))
	pick := func(list ...string) string { return list[r.IntN(len(list))] }
	temp := func() string {
		c := 14 + 20*r.Float64()
		switch r.IntN(3) {
		case 0:
			return fmt.Sprintf("%.0f C", c)
		case 1:
			return fmt.Sprintf("%.1f F", c*9/5+32)
		}
		return fmt.Sprintf("%.1f C", c)
	}
	litres := func() string {
		l := []float64{10, 50, 100, 150, 300}[r.IntN(5)] * (0.9 + 0.2*r.Float64())
		return pick(fmt.Sprintf("%.0f L", l), fmt.Sprintf("%.1f L", l), fmt.Sprintf("%.2f gal", l/3.785411784))
	}
	cm := func() string {
		l := []float64{20, 50, 60, 100, 120}[r.IntN(5)] * (0.95 + 0.1*r.Float64())
		return pick(fmt.Sprintf("%.0f cm", l), fmt.Sprintf("%.0f mm", l*10), fmt.Sprintf("%.1f in", l/2.54), fmt.Sprintf("%.1f cm ± 1 mm", l))
	}
	salinity := func() string {
		return pick(fmt.Sprintf("%.0f", 26+16*r.Float64()), fmt.Sprintf("%.1f ppt", 26+16*r.Float64()))
	}
	system := func(more string) string {
		return "format: 1\nsystems: [{id: tank, net_volume: 400 L, " + more + "}]\n" + smallStore
	}
	shapes := []string{"box: {length: 100 cm, width: 100 cm, height: %s}", "upright_cylinder: {diameter: 75 cm, height: %s}", "cone_bottom: {diameter: 75 cm, height: %s, cone_height: 20 cm}"}
	families := map[string]func() string{
		"limits": func() string {
			return system("limits: {temperature_low: " + temp() + ", temperature_high: " + temp() + "}")
		},
		"one limit": func() string {
			return system("limits: {" + pick("temperature_low", "temperature_high") + ": " + temp() + "}")
		},
		"salinity limits": func() string {
			return system("limits: {salinity_low: " + salinity() + ", salinity_high: " + salinity() + "}")
		},
		"one of salinity": func() string {
			return system("limits: {" + pick("salinity_low", "salinity_high") + ": " + salinity() + "}" + pick("", ", livestock: {sensitivity: fish}", ", livestock: {sensitivity: coral}"))
		},
		"ambient": func() string {
			return system("ambient: {usual: " + temp() + ", coldest: " + temp() + ", hottest: " + temp() + "}")
		},
		"cooling": func() string {
			return system("heat_loss: {cooling_test: {from: " + temp() + ", to: " + temp() + ", in: 3 h}}")
		},
		"capacity": func() string {
			return "format: 1\nsystems: [{id: tank, net_volume: 400 L}]\nstores: [{id: vat, holds: saltwater, capacity: " + litres() + ", volume: " + litres() + ", heel: 1 L}]\n"
		},
		"level in a store": func() string {
			return "format: 1\nsystems: [{id: tank, net_volume: 400 L}]\nstores: [{id: vat, holds: saltwater, shape: {" + fmt.Sprintf(shapes[r.IntN(3)], cm()) + "}, level: " + cm() + "}]\n"
		},
		"level in a part": func() string {
			return "format: 1\nsystems: [{id: tank, parts: [{id: p, shape: {" + fmt.Sprintf(shapes[r.IntN(3)], cm()) + "}, level: " + cm() + ", brim: " + cm() + "}]}]\n" + smallStore
		},
		"walls": func() string {
			return "format: 1\nsystems: [{id: tank, net_volume: 400 L}]\nstores: [{id: vat, holds: saltwater, shape: {box: {length: " + cm() + ", width: 100 cm, height: 90 cm, wall: " + pick("10 cm", "25 cm", "29.4 cm", "300 mm", "12 in") + "}}, level: 5 cm}]\n"
		},
		"rock": func() string {
			return fmt.Sprintf("format: 1\nsystems: [{id: tank, parts: [{id: p, shape: {box: {length: 200 cm, width: 100 cm, height: 100 cm}}, level: 90 cm, displaced: {rock: {mass: 10 kg, density: %.2f kg/L, porosity: %d %%}}}]}]\n", 0.5+2.4*r.Float64(), r.IntN(90)) + smallStore
		},
		"dose": func() string {
			return system("drawdown: 40 %") + fmt.Sprintf("salts: [{id: s, dose: %.1f g/L%s}]\n", 33+5*r.Float64(), pick("", ", dose_at: {salinity: 33}", ", dose_at: {per: purified}"))
		},
		"awake": func() string {
			return system("drawdown: 40 %") + "awake: {from: " + pick("06:30", "07:00", "07:15") + ", to: " + pick("06:30", "07:00", "07:15", "23:00") + "}\n"
		},
	}
	n := 25
	if testing.Short() {
		n = 6
	}
	refusals := 0
	for name, write := range families {
		for range n {
			text := write()
			doc := yamlwalk.Parse("x.yaml", []byte(text))
			err := rules.Validate(asEditor(doc.Root))
			if err == nil {
				continue
			}
			refusals++
			if s, _ := site.Load("x.yaml", []byte(text)); s != nil {
				t.Errorf("%s: Load takes what the schema refuses:\n%s%.300v", name, text, err)
			}
		}
	}
	if refusals < n {
		t.Errorf("only %d refused", refusals)
	}
}

// TestSlipsRefuseNothingGood: of words one letter away from known ones, and of words of a
// keeper's own, the schema refuses only what Load refuses; every known word passes.
func TestSlipsRefuseNothingGood(t *testing.T) {
	outside.Alone(t)
	rules := schema(t)
	r := rand.New(rand.NewPCG(15, 9))
	known := []string{"copper", "nickel", "cadmium", "heater-break", "unknown", "ammonia", "leak", "Cu", "total-ammonia", "totalammonia", "wood-glue", "my-own-plan", "coppre", "zinc", "zink"}
	words := append([]string{}, known...)
	for range 60 {
		w := []byte(known[r.IntN(8)])
		i, c := r.IntN(len(w)), byte('a'+r.IntN(26))
		switch r.IntN(3) {
		case 0:
			w[i] = c
		case 1:
			w = append(w[:i:i], w[i+1:]...)
		default:
			w = append(w[:i:i], append([]byte{c}, w[i:]...)...)
		}
		words = append(words, string(w))
	}
	refusals := 0
	for _, w := range words {
		for _, text := range []string{
			"events: [{id: e, contaminant: " + w + ", start: 60 ug/L, target: 3 ug/L}]\n",
			"events: [{id: e, remove: 50 %, playbook: " + w + "}]\n",
			"salts: [{id: s, dose: 38 g/L, background: {" + w + ": 1 ug/L}}]\n",
		} {
			file := "format: 1\nsystems: [{id: tank, net_volume: 400 L}]\n" + smallStore + text
			if err := rules.Validate(asEditor(yamlwalk.Parse("x.yaml", []byte(file)).Root)); err != nil {
				refusals++
				if s, _ := site.Load("x.yaml", []byte(file)); s != nil {
					t.Errorf("Load takes what the schema refuses: %s%.200v", strings.TrimSpace(text), err)
				}
			}
		}
	}
	if refusals < 20 {
		t.Errorf("only %d of %d refused", refusals, len(words))
	}
}
