package mixing

import (
	"fmt"
	"strings"

	"tidehold/refs/units"
	"tidehold/salinity"
)

// NotationError says what is wrong with a water written as text.
type NotationError struct {
	Text string
	Why  error
}

func (e *NotationError) Error() string { return fmt.Sprintf("water %q: %v", e.Text, e.Why) }
func (e *NotationError) Unwrap() error { return e.Why }

// Limits of what can be written: as much as any public aquarium holds, and the
// range of the density relation.
const (
	largestLitres = 1e9
	saltiest      = 42
)

// ParseWater reads a parcel of water written as volume, salinity and
// temperature: "100L,35,25C". Solutes may follow, each as id=concentration:
// "100L,35,25C,copper=60ug/L". Blanks around the commas do not matter. The result
// is in range for Blend. Any other text is a *NotationError.
func ParseWater(text string) (Water, error) {
	w, err := parseWater(text)
	if err != nil {
		return Water{}, &NotationError{text, err}
	}
	return w, nil
}

const notationHelp = "write volume, salinity and temperature with commas between, as in 100L,35,25C"

func parseWater(text string) (Water, error) {
	parts := strings.Split(text, ",")
	if len(parts) < 3 {
		return Water{}, fmt.Errorf("it has %d of 3 parts; %s", len(parts), notationHelp)
	}
	var w Water
	volume, err := amount("volume", parts[0], units.Volume, 0, largestLitres)
	if err != nil {
		return w, err
	}
	s, err := amount("salinity", parts[1], units.Salinity, 0, saltiest)
	if err != nil {
		return w, err
	}
	t, err := amount("temperature", parts[2], units.Temperature, 0, float64(warmest))
	if err != nil {
		return w, err
	}
	w = Water{Volume: units.Litres(volume), Salinity: units.Practical(s), Temperature: units.Celsius(t)}
	for _, p := range parts[3:] {
		if err := w.parseSolute(p); err != nil {
			return w, err
		}
	}
	return w, nil
}

// amount reads one part; the uncertainty that a quantity may carry has no place
// in it, since the mixture does not report one.
func amount(what, text string, d units.Dimension, low, high float64) (float64, error) {
	parse := units.Parse
	if d == units.Salinity {
		parse = func(text string, _ units.Dimension) (units.Quantity, error) { return salinity.ParsePractical(text) }
	}
	q, err := parse(text, d)
	if err == nil {
		q, err = q.Within(strings.TrimSpace(text), low, high)
	}
	switch {
	case err != nil:
		return 0, fmt.Errorf("%s: %w; %s", what, err, notationHelp)
	case q.U != 0:
		return 0, fmt.Errorf("%s: %q has an uncertainty; leave out the ± here", what, text)
	case q.Below:
		return 0, fmt.Errorf("%s: %q is a reporting limit; leave out the <", what, text)
	}
	return q.Value, nil
}

// mostSolute is pure water's own weight in µg/L: more of anything is a slip.
const mostSolute = 1e9

func (w *Water) parseSolute(part string) error {
	id, value, found := strings.Cut(part, "=")
	id = strings.TrimSpace(id)
	if !found || id == "" {
		return fmt.Errorf("%q is one part too many; %s, and solutes after them as in copper=60ug/L; numbers have a point, not a comma", part, notationHelp)
	}
	c, err := amount(id, value, units.Concentration, 0, mostSolute)
	if err != nil {
		return err
	}
	if _, twice := w.Solutes[id]; twice {
		return fmt.Errorf("%s stands there twice; keep one", id)
	}
	if w.Solutes == nil {
		w.Solutes = map[string]float64{}
	}
	w.Solutes[id] = c
	return nil
}
