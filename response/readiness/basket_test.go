package readiness

import (
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"tidehold/volumes/site"
)

// twoWaters is a house whose systems take water that is nothing for each other: reef water at 35 and
// 25 °C, brackish at 15 and 12 °C. Each has a vat with 100 L of the 150 L that half of it takes.
const twoWaters = `format: 1
systems:
  - {id: reef, net_volume: 300 L, drawdown: 50 %, water: {salinity: 35, temperature: 25 C}}
  - {id: creek, net_volume: 300 L, drawdown: 50 %, water: {salinity: 15, temperature: 12 C}}
stores:
  - {id: warm, holds: saltwater, volume: 100 L, capacity: 400 L, temperature: 25 C, salinity: 35, transfer: 1000 L/h}
  - {id: cool, holds: saltwater, volume: 100 L, capacity: 400 L, temperature: 12 C, salinity: 15, transfer: 1000 L/h}
salts: [{id: house, dose: 38.4 g/L, price: 3}]
events:
  - {id: e, system: reef, remove: 50 %, within: 2 h}
  - {id: f, system: creek, remove: 50 %, within: 2 h}
together: [[e, f]]
`

// TestTwoThingsWhereNoOneThingDoes: for both at once each vat wants more of its own water, as
// little as the limits on salinity and temperature let the waters help each other: at most the 50 L that
// each lacks by itself, and at least 10 L, which is far more than any rounding.
func TestTwoThingsWhereNoOneThingDoes(t *testing.T) {
	r := judged(t, twoWaters)
	if len(r.Shopping) != 2 {
		t.Fatalf("%+v", r.Shopping)
	}
	for _, p := range r.Shopping {
		if p.What != StoredSaltwater || p.Amount < 10 || p.Cost == nil || !slices.Contains(p.Covers, "e + f") {
			t.Errorf("%+v", p)
		}
	}
	if sum := r.Shopping[0].Amount + r.Shopping[1].Amount; sum > 100.6 {
		t.Errorf("%g L in all", sum)
	}
	bought := map[string]float64{}
	for _, p := range r.Shopping {
		bought[p.Where] += p.Amount
	}
	s := load(t, twoWaters)
	for i := range s.Stores {
		s.Stores[i].Volume = s.Stores[i].Volume.Add(decimal.NewFromFloat(bought[s.Stores[i].ID]))
	}
	if again, err := Judge(s, now, Options{}); err != nil || again.Verdict != Covered {
		t.Errorf("bought, it is %s, %v", again.Verdict, err)
	}
}

// TestThingsWithAPriceBeforeOneWithout: a new container would cover both, but what it costs is
// not known; the salt for one and the room in the vat for the other have a price.
func TestThingsWithAPriceBeforeOneWithout(t *testing.T) {
	r := judged(t, `format: 1
systems:
  - {id: tank, net_volume: 400 L, drawdown: 50 %, change_every: 4 h, water: {salinity: 35, temperature: 25 C}}
stores:
  - {id: vat, holds: saltwater, volume: 150 L, capacity: 210 L, temperature: 25 C, salinity: 35, transfer: 1000 L/h}
  - {id: tub, holds: saltwater, volume: 0 L, capacity: 300 L, temperature: 25 C, salinity: 35, transfer: 1000 L/h, heater: 2000 W}
  - {id: pure, holds: purified, volume: 400 L, capacity: 400 L, temperature: 25 C}
salts: [{id: house, on_hand: 2 kg, dose: 38.4 g/L, price: 3}]
mixing: {in: [tub]}
events:
  - {id: soon, system: tank, remove: 50 %, within: 2 h}
  - {id: much, system: tank, remove: 80 %, within: 48 h}
`)
	for _, p := range r.Shopping {
		if p.Cost == nil {
			t.Errorf("%+v has no price", p)
		}
	}
	if len(r.Shopping) == 0 {
		t.Fatal("nothing to buy")
	}
}

// TestBaskets: of the same thing there is more, another thing is put beside it, and
// the basket that was there is left as it was.
func TestBaskets(t *testing.T) {
	salt, water := way{what: MoreSalt, where: "house"}, way{what: StoredSaltwater, in: []int{1}}
	one := basket{}.add(amount{way: salt, x: 2})
	for _, c := range []struct {
		add  amount
		want []float64
	}{
		{amount{way: salt, x: 3}, []float64{5}}, {amount{way: salt, x: 1}, []float64{3}}, {amount{way: water, x: 50}, []float64{2, 50}},
		{amount{way: way{what: MoreSalt, where: "other"}, x: 5}, []float64{2, 5}},
	} {
		var got []float64
		for _, a := range one.add(c.add) {
			got = append(got, a.x)
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("with %g of %s: %v, want %v", c.add.x, c.add.what, got, c.want)
		}
	}
	if len(one) != 1 || one[0].x != 2 {
		t.Errorf("the first basket is now %+v", one)
	}
}

// TestNothingIsBoughtWhereNothingIsNeeded and a shelf of salt that is free has no price.
func TestNothingIsBoughtWhereNothingIsNeeded(t *testing.T) {
	r := judged(t, head+vat("300 L")+halve)
	if r.Verdict != Covered || len(r.Shopping)+len(r.PartSteps)+len(r.NotByPurchase) > 0 || r.Shopping == nil || r.PartSteps == nil || r.NotByPurchase == nil {
		t.Errorf("%s: %+v %+v %q", r.Verdict, r.Shopping, r.PartSteps, r.NotByPurchase)
	}
	if c := costOf([]site.Salt{{ID: "house"}}, "house", 3); c != nil {
		t.Errorf("%g without a price", *c)
	}
	if c := costOf(load(t, twoWaters).Salts, "house", 2.5); c == nil || *c != 7.5 {
		t.Errorf("2.5 kg at 3 cost %v", show(c))
	}
}

// TestRestockOfWhatWasDrawn: 100 L at 35 with 38.4 g/L take 3.84 kg; at half that salinity about
// half; where nothing was drawn there is nothing to do.
func TestRestockOfWhatWasDrawn(t *testing.T) {
	s := load(t, twoWaters)
	full, err := RestockFor(s, &s.Systems[0], 100, 35)
	if err != nil || full.SaltwaterL != 100 || full.SaltKg < 3.83 || full.SaltKg > 3.85 || full.ReadyAgainH != nil || full.Cost == nil {
		t.Errorf("%+v, %v", full, err)
	}
	half, err := RestockFor(s, &s.Systems[0], 100, 17.5)
	if err != nil || half.SaltKg < 0.45*full.SaltKg || half.SaltKg > 0.52*full.SaltKg {
		t.Errorf("%+v, %v", half, err)
	}
	if r, err := RestockFor(s, &s.Systems[0], 0, 35); r != nil || err != nil {
		t.Errorf("%+v, %v", r, err)
	}
}

// TestMediaMayBeLateOrNever beside the verdict too.
func TestMediaMayBeLateOrNever(t *testing.T) {
	for want, within := range map[Verdict]string{Covered: "72 h", Late: "1 h"} {
		r := judged(t, head+vat("20 L")+strings.ReplaceAll(`events: [{id: metal, system: tank, contaminant: copper, start: 60 ug/L, target: 6 ug/L, within: WITHIN}]
media: [{id: reactor, system: tank, flow: 400 L/h, single_pass: {copper: 60 %}, capacity: 300 mg}]
`, "WITHIN", within))
		if m := r.Events[0].WithMedia; m == nil || m.Verdict != want {
			t.Errorf("within %s: %+v, want %s", within, m, want)
		}
	}
}
