package refs

// Assumption is one default the tool took because the user did not say: what
// was assumed, the value taken with its unit, and the basis it rests on. Every
// result lists its assumptions.
type Assumption struct {
	What   string `json:"what"`
	Value  string `json:"value"`
	Source string `json:"source"`
}
