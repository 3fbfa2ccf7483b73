package schedule

import (
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"tidehold/refs/outside"
	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/salinity/mixing"
	"tidehold/volumes/site"
)

var noon = time.Date(2026, 11, 20, 12, 0, 0, 0, time.UTC)

func ptr(x float64) *float64 { return &x }

// reef is a system whose limits nothing here breaks unless a test says so.
func reef(litres float64) site.System {
	return site.System{
		ID: "reef", NetVolume: units.Litres(litres), Drawdown: 0.45, ChangeEveryH: 4, LeastChange: 0.05,
		Water: site.Chemistry{Salinity: 35, Temperature: 25, PH: ptr(8.2), AlkalinityDKH: ptr(8), CalciumMgL: ptr(420), MagnesiumMgL: ptr(1300)},
		Limits: site.Limits{TemperatureStep: 1, TemperaturePerDay: 2, SalinityStep: 1, SalinityPerDay: 2, AlkalinityPerDay: 1,
			TemperatureLow: 22, TemperatureHigh: 29, SalinityLow: 32, SalinityHigh: 37},
		Ambient: site.Ambient{Usual: 20, Coldest: 15, Hottest: 28},
	}
}

// vatOf is a saltwater store that matches reef.
func vatOf(id string, litres, capacity float64) site.Store {
	return site.Store{
		ID: id, Holds: site.Saltwater, Capacity: units.Litres(capacity), Volume: decimal.NewFromFloat(litres),
		Water:      site.Chemistry{Salinity: 35, Temperature: 25, PH: ptr(8.2), AlkalinityDKH: ptr(8), CalciumMgL: ptr(420), MagnesiumMgL: ptr(1300)},
		TransferLH: ptr(1200),
	}
}

func pureOf(id string, litres, capacity float64) site.Store {
	return site.Store{ID: id, Holds: site.Purified, Capacity: units.Litres(capacity), Volume: decimal.NewFromFloat(litres),
		Water: site.Chemistry{Temperature: 25}, FilledBy: "purifier"}
}

func houseSalt(kg float64) site.Salt {
	return site.Salt{ID: "house", OnHand: decimal.NewFromFloat(kg), DoseGL: 38.4, DosePer: mixing.Finished, DoseSalinity: 35, DoseTemperature: 25}
}

func share(remove, withinH float64) plan.Aim {
	return plan.Aim{EventID: "e", Start: 1, Target: 1 - remove, WithinH: withinH}
}

func placeOf(sys site.System, stores ...site.Store) *site.Site {
	return &site.Site{Systems: []site.System{sys}, Stores: stores, Mixing: site.Mixing{TimeH: 12, EmergencyTimeH: 2, CutTimeH: 0.25}}
}

// planned runs one demand on the first system.
func planned(t testing.TB, s *site.Site, opt Options, reheats bool, aims ...plan.Aim) plan.Plan {
	t.Helper()
	out, err := Run(s, noon, []plan.Demand{{System: &s.Systems[0], Aims: aims, Reheats: reheats}}, opt)
	if err != nil {
		t.Fatal(err)
	}
	return out.Plans[0]
}

var close2 = outside.Near

func doneAt(t testing.TB, p plan.Plan, want, tol float64) {
	t.Helper()
	if p.DoneAtH == nil {
		t.Fatalf("never done, want %g h; steps %+v", want, p.Steps)
	}
	close2(t, "done at", *p.DoneAtH, want, tol)
}
