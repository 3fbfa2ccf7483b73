package playbook

import (
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// oneVat is a vat that two systems are in need of at once, with the same deadline and no priority.
const oneVat = `
systems:
  - {id: reef, net_volume: 400 L, water: {salinity: 35, temperature: 25 C}}
  - {id: brack, net_volume: 150 L, water: {salinity: 15, temperature: 25 C}, limits: {salinity_low: 12, salinity_high: 20, salinity_step: 1}}
stores:
  - {id: vat, holds: saltwater, capacity: 400 L, volume: 250 L, heel: 8 L, salinity: 35, temperature: 22 C, mixed: 2026-11-20, heater: 200 W}
  - {id: pure, holds: purified, volume: 200 L, heel: 5 L, temperature: 18 C}
salts: [{id: s, on_hand: 6 kg, dose: 38 g/L}]
purifier: {rate: 5 L/h}
events:
  - {id: r, system: reef, contaminant: copper, start: 20 ug/L, target: 8 ug/L, within: 1 d}
  - {id: b, system: brack, contaminant: copper, start: 20 ug/L, target: 8 ug/L, within: 1 d}
  - {id: r2, system: reef, contaminant: zinc, start: 100 ug/L, target: 50 ug/L, within: 1 d}
`

// cardOf is what the card of an event says of the water where others have struck too.
func cardOf(t *testing.T, s *site.Site, event string, beside ...string) *Facts {
	t.Helper()
	at := time.Date(2026, 11, 25, 8, 0, 0, 0, time.UTC)
	f, err := Gather(s, Request{Event: event, Beside: beside, Printed: at, At: &at})
	if err != nil || f.Plan == nil {
		t.Fatal(err, f)
	}
	return f
}

// Two cards printed for one night, each with the other beside it, each gave its own system the vat first:
// together they poured it out twice. They are the rows of one plan.
func TestTwoCardsOfANightShareOneVat(t *testing.T) {
	s := siteOf(t, oneVat)
	one, other := cardOf(t, s, "r", "b"), cardOf(t, s, "b", "r")
	if !reflect.DeepEqual(one.Plan.Steps, other.Others[0].Steps) || !reflect.DeepEqual(other.Plan.Steps, one.Others[0].Steps) {
		t.Fatal("the cards are not of one plan")
	}
	in := map[string]float64{}
	for _, st := range s.Stores {
		in[st.ID] = float64(st.Usable())
	}
	for _, f := range []*Facts{one, other} {
		for _, q := range f.Plan.Prepared {
			in[q.StoreID] += q.AddL - q.RemoveL
		}
		for _, b := range f.Plan.Batches {
			in[b.StoreID] += b.Litres
		}
		for _, step := range f.Plan.Steps {
			for _, d := range step.From {
				in[d.StoreID] -= d.Litres
			}
		}
	}
	if in["vat"] < -0.5 {
		t.Errorf("both cards draw %.1f L more of the vat than it ever holds", -in["vat"])
	}
	if a, b := one.LackingL, other.LackingL; a != nil && b != nil && math.Abs(*a-*b) > 0.1 {
		t.Errorf("%g L are lacking by one card, %g L by the other", *a, *b)
	}
}

// The card of who is served said that the other has water of its own: it had not enough. And another event
// in the same tank has no water of its own at all: the same rows serve it, and who does its card too
// changes twice.
func TestACardSaysHowTheOthersFare(t *testing.T) {
	s := siteOf(t, oneVat)
	for _, c := range []struct {
		event        string
		beside       []string
		wants, never []string
	}{
		{"r", []string{"b"}, []string{"ENOUGH: ", "b is LATE with what is left"}, []string{"of its own"}},
		{"r", []string{"r2"}, []string{"These rows serve r2 too: do not do them twice"}, []string{"of its own"}},
		{"b", []string{"r2"}, nil, nil},
	} {
		f := cardOf(t, s, c.event, c.beside...)
		says := f.verdict()
		for _, want := range c.wants {
			if !strings.Contains(says, want) {
				t.Errorf("%s beside %v: %q does not say %q", c.event, c.beside, says, want)
			}
		}
		for _, never := range c.never {
			if strings.Contains(says, never) {
				t.Errorf("%s beside %v: %q", c.event, c.beside, says)
			}
		}
		late := slices.ContainsFunc(f.Others, func(o plan.Plan) bool { return !o.InTime })
		if own := strings.Contains(says, "of its own"); own && late {
			t.Errorf("%s beside %v: %q, and it is late", c.event, c.beside, says)
		}
	}
}
