package refs

// Assumption is one default the tool took because the user did not say: what
// was assumed, the value taken with its unit, and the basis it rests on. Every
// result lists its assumptions.
type Assumption struct {
	What   string `json:"what"`
	Value  string `json:"value"`
	Source string `json:"source"`
	// Place is where in the site file the value would stand; the zero Place for an
	// assumption about anything else. What spells it for people.
	Place Place `json:"-"`
}

// Place is a place in the site file by the keys that matter to others: stores.vat.volume
// is {List: "stores", ID: "vat", Key: "volume"}. Key is the first key below the item:
// systems.reef.water.salinity has the Key "water". Outside a list of things with ids,
// List is the first key and ID is empty: reserve.saltwater is {"reserve", "", "saltwater"}.
// Places can be compared.
type Place struct{ List, ID, Key string }
