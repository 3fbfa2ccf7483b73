package schedule

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/shopspring/decimal"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/response/plan"
	"tidehold/volumes/site"
)

// Purified water by hand: 80 L at 18 °C and 40 at 24 °C, 20 of a heel left, 15 in reserve;
// room only where the purifier fills.
func TestPurifiedStoresAddUp(t *testing.T) {
	one, two := pureOf("one", 100, 200), pureOf("two", 40, 90)
	one.Heel, one.Water.Temperature = 20, 18
	two.Water.Temperature, two.FilledBy = 24, ""
	s := placeOf(reef(400), vatOf("vat", 100, 440), one, two)
	s.Reserve.Purified = 15
	pl, err := New(s, noon)
	if err != nil {
		t.Fatal(err)
	}
	close2(t, "litres", pl.pureL, 80+40-15, 1e-12)
	close2(t, "warm", pl.pureC, (80*18+40*24)/120.0, 1e-12)
	close2(t, "room", pl.pureRoomL, 180+40-15, 1e-12)
	close2(t, "most", pl.roomForPure(), 180+90, 1e-12)
	// More is to be kept than the stores hold: no more than they can is owed.
	s.Reserve.Purified = 500
	if pl, err = New(s, noon); err != nil {
		t.Fatal(err)
	}
	close2(t, "owed", pl.pureL, -270+120, 1e-12)
	// Over its brim by the file, it is there all the same.
	two.Volume = decimal.NewFromInt(95)
	s = placeOf(reef(400), one, two)
	if pl, err = New(s, noon); err != nil {
		t.Fatal(err)
	}
	close2(t, "beyond the brim", pl.roomForPure(), 180+95, 1e-12)
	deep := pureOf("deep", 0, 5)
	deep.Heel = 8
	if more, err := New(placeOf(reef(400), one, two, deep), noon); err != nil || more.roomForPure() != pl.roomForPure() {
		t.Errorf("room for %g L with a store that is all heel, %g without (%v)", more.roomForPure(), pl.roomForPure(), err)
	}
	close2(t, "room beyond the brim", pl.pureRoomL, 180+95, 1e-12)
}

// What a remedy adds to the purified stores and what an earlier plan took of them.
func TestExtraPurifiedWater(t *testing.T) {
	s := placeOf(reef(400), vatOf("vat", 100, 440), pureOf("pure", 60, 200))
	s.Purifier = &site.Purifier{RateLH: 8, RatedAt: 25, Feed: 15}
	pl, err := New(s, noon)
	if err != nil {
		t.Fatal(err)
	}
	d := plan.Demand{System: &s.Systems[0], Aims: []plan.Aim{share(0.4, 24)}}
	lay := func(e Extra, used *taken) *problem {
		p, err := pl.problem(&d, Options{Extra: e}.withDefaults(s), used)
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	p := lay(Extra{}, nil)
	close2(t, "litres", p.start.pure.litres, 60, 0)
	close2(t, "rate", p.works.rateLH, 8*refs.PurifierFactors(15, 25).Lowest, 1e-12)
	close2(t, "feed", p.works.feedC, 15, 0)
	close2(t, "room", p.works.roomL, 200, 0)
	p = lay(Extra{StoreL: map[string]float64{"pure": 30, "vat": 7}, CapacityL: map[string]float64{"pure": 50, "vat": 9}, PurifierLH: 2, HeaterW: map[string]float64{"vat": 60}}, nil)
	close2(t, "litres with 30 more", p.start.pure.litres, 90, 0)
	close2(t, "rate with 2 more", p.works.rateLH, 10*refs.PurifierFactors(15, 25).Lowest, 1e-12)
	close2(t, "room with 50 more", p.works.roomL, 280, 0)
	if v, w := p.start.vats[0], p.vessels[0]; v.volL != 107 || w.capL != 449 || w.heaterW != 60 {
		t.Errorf("the vat with more: %+v %+v", v, w)
	}
	used := newTaken()
	used.pureNowL = 12
	close2(t, "litres that are left", lay(Extra{}, used).start.pure.litres, 48, 0)
	used.pureL, used.pureC, used.pureH = 5, 17, 3
	if got := lay(Extra{}, used).start.pure; got != (pool{5, 17, 3}) {
		t.Errorf("left at 3 h: %+v", got)
	}
	// A purifier that is bought has the rate it is rated at, and the system's temperature.
	s.Purifier = nil
	p = lay(Extra{PurifierLH: 6}, nil)
	close2(t, "a rate that is bought", p.works.rateLH, 6, 0)
	close2(t, "its feed", p.works.feedC, 25, 0)
}

// Systems, vats and deliveries as they are laid out for a search.
func TestHowAHouseIsLaidOut(t *testing.T) {
	v := vatOf("vat", 150, 300)
	v.Heel, v.HeaterW, v.HeatLossWK, v.Water.Salinity, v.Water.Temperature = 6, 80, ptr(2), 34, 22
	v.Background = map[string]float64{"copper": 2}
	bare := site.Store{ID: "bare", Holds: site.Saltwater, Capacity: 200, Volume: decimal.NewFromInt(90), Water: site.Chemistry{Salinity: 35, Temperature: 25}}
	s := placeOf(reef(400), v, bare)
	s.Systems[0].LeastChange, s.Systems[0].ChangeEveryH = 0.07, 3
	s.Systems[0].Ambient.Usual = 17
	salt := houseSalt(5)
	salt.Makes = site.Chemistry{AlkalinityDKH: ptr(9), CalciumMgL: ptr(430), MagnesiumMgL: ptr(1290), PH: ptr(8.4)}
	salt.Background = map[string]float64{"copper": 0.5}
	s.Salts = []site.Salt{salt}
	sal, c := units.Practical(36), units.Celsius(19)
	s.Deliveries = []site.Delivery{{AfterH: 7, Saltwater: 40, Salinity: &sal, Temperature: &c}, {AfterH: 2, Saltwater: 30, SaltKg: 1, Purified: 20}, {AfterH: 5, SaltKg: 3}}
	d := plan.Demand{Aims: []plan.Aim{{Contaminant: "copper", Start: 60, Target: 20, SourceMgH: 0.4, BoundRatio: 0.3, BoundRatePerH: 0.1}, share(0.3, 9)}, NotBeforeH: 1.5, Reheats: true,
		Now: &plan.State{Salinity: 34.8, Temperature: 24.5, CalciumMgL: ptr(410)}, Held: []plan.Held{{State: plan.State{Salinity: 35.1, Temperature: 25.2, AlkalinityDKH: ptr(7.5)}, UntilH: -3}}}
	p := laid(t, s, d)
	tank := p.tank
	if tank.volL != 400 || !(math.Abs(tank.mostL-180) <= 1e-9) || !(math.Abs(tank.leastL-28) <= 1e-9) || tank.everyH != 3 || !tank.hasAlk || !tank.reheats || !tank.awake.always || tank.own != (water{35, 25, 8, 420, 1300, 8.2}) {
		t.Errorf("the system %+v", tank)
	}
	if p.start.nextH != 1.5 || p.start.ask.change || p.start.water != (water{34.8, 24.5, 8, 410, 1300, 8.2}) || len(p.start.held) != 1 || p.start.held[0] != (held{35.1, 25.2, 7.5, -3}) {
		t.Errorf("it begins with %+v %+v", p.start.water, p.start.held)
	}
	if p.aims[0].dynamics.Inert() || !p.aims[1].inert || p.aims[0].dynamics.BoundRatio != 0.3 || p.aims[0].dynamics.Source.MgH != 0.4 || !math.IsInf(p.aims[0].withinH, 1) || p.aims[1].withinH != 9 {
		t.Errorf("aims %+v", p.aims)
	}
	find := func(id string, delivery int) (vessel, vat, []float64) {
		for k, w := range p.vessels {
			if w.id == id && w.delivery == delivery {
				return w, p.start.vats[k], p.start.levels[2*k : 2*k+2]
			}
		}
		t.Fatalf("no %s %d", id, delivery)
		return vessel{}, vat{}, nil
	}
	w, x, levels := find("vat", 0)
	if w.capL != 300 || w.heelL != 6 || w.heaterW != 80 || w.lossWK != 2 || w.roomC != 17 || w.pumpLH != 1200 || !w.mixes || x.volL != 150 || x.s != 34 || x.at(0) != 22 || x.alk != 8 || x.ph != 8.2 || levels[0] != 2 || levels[1] != 0 {
		t.Errorf("the vat %+v %+v %v", w, x, levels)
	}
	w, x, levels = find("bare", 0)
	if w.pumpLH != 0 || x.alk != 9 || x.ca != 430 || x.mg != 1290 || x.ph != 8.4 || levels[0] != 0.5 {
		t.Errorf("of the bare one, what the salt makes: %+v %+v %v", w, x, levels)
	}
	w, x, levels = find("", 1)
	if w.store != -1 || w.fromH != 7 || x.readyH != 7 || x.volL != 40 || x.s != 36 || x.at(0) != 19 || w.pumpLH != 1200 || !(math.Abs(x.alk-9*saltsIn(36)/saltsIn(35)) <= 1e-12) || levels[0] != 0.5 {
		t.Errorf("the first delivery %+v %+v %v", w, x, levels)
	}
	if _, x, _ = find("", 2); x.s != 35 || x.at(0) != 25 || x.readyH != 2 {
		t.Errorf("the second delivery %+v", x)
	}
	if got, want := p.works.comes, []arrival{{2, 1, 0, 0}, {2, 0, 20, 25}, {5, 3, 0, 0}}; !slices.Equal(got, want) {
		t.Errorf("comes %+v, want %+v", got, want)
	}
	none := *s
	none.Salts, none.Deliveries = nil, []site.Delivery{{AfterH: 1, SaltKg: 5}}
	if list := laid(t, &none, plan.Demand{Aims: []plan.Aim{share(0.3, 9)}}).works.comes; len(list) > 0 {
		t.Errorf("of no salt that is known comes %+v", list)
	}
	// What the first salt owes of earlier plans is paid by deliveries, in order of time.
	p.start.saltKg[0] = -2.5
	p.useSalt()
	if p.start.saltKg[0] != 0 || p.works.comes[0].saltKg != 0 || !(math.Abs(p.works.comes[2].saltKg-1.5) <= 1e-12) {
		t.Errorf("2.5 kg owed: %+v", p.works.comes)
	}
	close2(t, "of the slowest pump", func() float64 { pl, _ := New(s, noon); return pl.slowestPump() }(), 1200, 0)
	s.Stores[1].TransferLH = ptr(300)
	close2(t, "of the slower pump", func() float64 { pl, _ := New(s, noon); return pl.slowestPump() }(), 300, 0)
}

// Whatever two stores differ in, and whichever stands first in the file, they are laid out in
// one order.
func TestStoresAreLaidOutByWhatTheyAre(t *testing.T) {
	for name, edit := range map[string]func(*site.Store){
		"volume":      func(x *site.Store) { x.Volume = decimal.NewFromInt(120) },
		"capacity":    func(x *site.Store) { x.Capacity = 300 },
		"heel":        func(x *site.Store) { x.Heel = 3 },
		"salinity":    func(x *site.Store) { x.Water.Salinity = 34 },
		"saltier":     func(x *site.Store) { x.Water.Salinity = 36 },
		"temperature": func(x *site.Store) { x.Water.Temperature = 23 },
		"warmer":      func(x *site.Store) { x.Water.Temperature = 27 },
		"heater":      func(x *site.Store) { x.HeaterW = 50 },
		"loss":        func(x *site.Store) { x.HeatLossWK = ptr(3) },
		"pump":        func(x *site.Store) { x.TransferLH = ptr(500) },
		"alkalinity":  func(x *site.Store) { x.Water.AlkalinityDKH = ptr(9) },
		"less alkali": func(x *site.Store) { x.Water.AlkalinityDKH = ptr(7) },
		"pH":          func(x *site.Store) { x.Water.PH = ptr(8) },
		"copper":      func(x *site.Store) { x.Background = map[string]float64{"copper": 1} },
	} {
		var seen []string
		for _, turned := range []bool{false, true} {
			a, b := vatOf("a", 100, 440), vatOf("b", 100, 440)
			edit(&b)
			list := []site.Store{a, b}
			if turned {
				slices.Reverse(list)
			}
			p := laid(t, placeOf(reef(400), list...), plan.Demand{Aims: []plan.Aim{copperAim}})
			seen = append(seen, p.vessels[0].id+p.vessels[1].id)
		}
		if seen[0] != seen[1] {
			t.Errorf("%s: %v", name, seen)
		}
	}
	// Of many stores too, whatever they are called.
	for _, turned := range []bool{false, true} {
		var list []site.Store
		for k := range 60 {
			v := vatOf(fmt.Sprint("s", k), 5+float64(k%7), 50)
			v.Water.Temperature = units.Celsius(15 + float64(k)/6)
			list = append(list, v)
		}
		if turned {
			slices.Reverse(list)
		}
		p := laid(t, placeOf(reef(400), list...), plan.Demand{Aims: []plan.Aim{copperAim}})
		if len(p.vessels) > mostStores || len(p.vessels) < fewStores {
			t.Errorf("%d stores are looked at", len(p.vessels))
		}
		usable, coldest := 0.0, 99.0
		for k := range p.vessels {
			usable += p.start.vats[k].volL
			coldest = min(coldest, p.start.vats[k].at(0))
		}
		// The rest is outside, and no closer to 25 °C.
		all := 0.0
		for k := range list {
			all += list[k].Volume.InexactFloat64()
			if c := float64(list[k].Water.Temperature); math.Abs(c-25) < 25-coldest-0.5 && !slices.ContainsFunc(p.vessels, func(w vessel) bool { return w.id == list[k].ID }) {
				t.Errorf("%s at %g °C is left out, one at %g is in", list[k].ID, c, coldest)
			}
		}
		close2(t, "inside and outside", usable+p.outsideL, all, 1e-9)
	}
}

// Water counts in however many vats it is: of sixty alike, twelve were left out and the house was short.
func TestWaterInManyVatsIsAsMuchAsInFew(t *testing.T) {
	const litres = 2400.0
	for _, n := range []int{8, 48, 60, 240} {
		list := make([]site.Store, n)
		for k := range list {
			list[k] = vatOf(fmt.Sprint("s", k), litres/float64(n), litres/float64(n))
			list[k].Heel = 0
		}
		p := laid(t, placeOf(reef(400), list...), plan.Demand{Aims: []plan.Aim{copperAim}})
		usable := p.outsideL
		for k := range p.vessels {
			usable += p.start.vats[k].volL
		}
		close2(t, "inside and outside", usable, litres, 1e-6)
		if most := 20.0 * 400; p.outsideL > 0 && usable-p.outsideL < min(most, plenty*400) {
			t.Errorf("%d vats: %g L are looked at", n, usable-p.outsideL)
		}
	}
	var out Outcome
	many := make([]site.Store, mostStores+1)
	for k := range many {
		many[k] = vatOf(fmt.Sprint("s", k), 10, 10)
	}
	pl, err := New(placeOf(reef(400), many...), noon)
	if err != nil {
		t.Fatal(err)
	}
	if pl.explain(&out); len(out.Warnings) == 0 || !strings.Contains(out.Warnings[0], "of 251") {
		t.Errorf("%q", out.Warnings)
	}
}

// A file of events shares the effort.
func TestEffortIsShared(t *testing.T) {
	for events, want := range map[int][4]int{
		0: {4000, 16, 250_000, 250_000}, 1: {4000, 16, 250_000, 250_000}, 2: {2000, 16, 0, 125_000}, 3: {1000, 16, 0, 83_333},
		15: {1000, 16, 0, 16_666}, 16: {1000, 16, 0, 0}, 100: {1000, 5, 0, 0}, 2000: {750, 1, 0, 0}, 100_000: {500, 1, 0, 0},
	} {
		s := &site.Site{Events: make([]site.Event, events)}
		tried, shown, first := Options{}.withDefaults(s), Options{Note: true}.withDefaults(s), Options{Note: true, shared: true}.withDefaults(s)
		if got := first.finishing(s); events > 1 && got != 0 {
			t.Errorf("%d events: %d nodes for the first of two", events, got)
		}
		if got := [4]int{Budget(s), rounds(s), tried.finishing(s), shown.finishing(s)}; got != want {
			t.Errorf("%d events: %v, want %v", events, got, want)
		}
	}
	o := Options{}.withDefaults(&site.Site{})
	if o.Confidence != 0.9 || o.HorizonH != 90*24 || o.Nodes != fewNodes {
		t.Errorf("defaults %+v", o)
	}
	if o = (Options{Confidence: 0.8, HorizonH: 10, Nodes: 7}).withDefaults(&site.Site{}); o.Confidence != 0.8 || o.HorizonH != 10 || o.Nodes != 7 {
		t.Errorf("stated %+v", o)
	}
}

// Each limit's notch: where it stands, one looser, and what a plan is made with.
func TestNotches(t *testing.T) {
	s := placeOf(reef(405), vatOf("vat", 300, 440), pureOf("pure", 100, 200))
	s.Salts = []site.Salt{houseSalt(3)}
	pl, err := New(s, noon)
	if err != nil {
		t.Fatal(err)
	}
	l := s.Systems[0].Limits
	for _, c := range []struct {
		limit    plan.Limit
		from, to float64
		unit     string
		read     func(*site.System, *Options) float64
	}{
		{plan.TemperatureStep, 1, 2, "°C", func(x *site.System, _ *Options) float64 { return x.Limits.TemperatureStep }},
		{plan.TemperaturePerDay, 2, 3, "°C", func(x *site.System, _ *Options) float64 { return x.Limits.TemperaturePerDay }},
		{plan.TemperatureLow, 22, 21, "°C", func(x *site.System, _ *Options) float64 { return float64(x.Limits.TemperatureLow) }},
		{plan.TemperatureHigh, 29, 30, "°C", func(x *site.System, _ *Options) float64 { return float64(x.Limits.TemperatureHigh) }},
		{plan.SalinityStep, 1, 2, "", func(x *site.System, _ *Options) float64 { return x.Limits.SalinityStep }},
		{plan.SalinityPerDay, 2, 3, "", func(x *site.System, _ *Options) float64 { return x.Limits.SalinityPerDay }},
		{plan.SalinityLow, 32, 31, "", func(x *site.System, _ *Options) float64 { return float64(x.Limits.SalinityLow) }},
		{plan.SalinityHigh, 37, 38, "", func(x *site.System, _ *Options) float64 { return float64(x.Limits.SalinityHigh) }},
		{plan.AlkalinityPerDay, 1, 1.5, "dKH", func(x *site.System, _ *Options) float64 { return x.Limits.AlkalinityPerDay }},
		{plan.ByDrawdown, 45, 50, "%", func(x *site.System, _ *Options) float64 { return 100 * x.Drawdown }},
		{plan.ByInterval, 4, 3, "h", func(x *site.System, _ *Options) float64 { return x.ChangeEveryH }},
		{plan.ByMixing, 2, 1, "h", func(_ *site.System, o *Options) float64 { return o.mixH(pl) }},
		{plan.ByWater, 0, 41, "L more stored", func(_ *site.System, o *Options) float64 { return o.Extra.StoreL["vat"] }},
		{plan.ByPurifiedWater, 0, 41, "L more stored", func(_ *site.System, o *Options) float64 { return o.Extra.StoreL["pure"] }},
		{plan.BySalt, 0, 5, "kg more", func(_ *site.System, o *Options) float64 { return o.Extra.SaltKg["house"] }},
		{plan.ByWarming, 0, 100, "W more in each vat", func(_ *site.System, o *Options) float64 { return o.Extra.HeaterW["vat"] }},
	} {
		sys := s.Systems[0]
		d, o := plan.Demand{System: &sys}, Options{}.withDefaults(s)
		n, ok := pl.notch(c.limit, &d, o)
		if !ok || n.limit != c.limit || !(math.Abs(n.from-c.from) <= 1e-9) || !(math.Abs(n.to-c.to) <= 1e-9) || n.unit != c.unit {
			t.Errorf("%s: %v from %g to %g %s", c.limit, ok, n.from, n.to, n.unit)
			continue
		}
		n.apply(&d, &o)
		close2(t, string(c.limit), c.read(&sys, &o), c.to, 1e-9)
	}
	if l != s.Systems[0].Limits {
		t.Error("a notch has changed the site")
	}
	full := s.Systems[0]
	full.Drawdown = 1
	if _, ok := pl.notch(plan.ByDrawdown, &plan.Demand{System: &full}, Options{}.withDefaults(s)); ok {
		t.Error("more than all of it taken out")
	}
	full.Drawdown, full.ChangeEveryH = 0.98, 0.5
	if n, _ := pl.notch(plan.ByDrawdown, &plan.Demand{System: &full}, Options{}.withDefaults(s)); n.to != 100 {
		t.Errorf("from 98 %% to %g", n.to)
	}
	if n, _ := pl.notch(plan.ByInterval, &plan.Demand{System: &full}, Options{}.withDefaults(s)); n.to != 0.25 {
		t.Errorf("from half an hour to %g", n.to)
	}
	s.Mixing.EmergencyTimeH = 1
	if n, _ := pl.notch(plan.ByMixing, &plan.Demand{System: &full}, Options{}.withDefaults(s)); n.to != 0.5 {
		t.Errorf("from an hour of mixing to %g", n.to)
	}
	s.Mixing.EmergencyTimeH = 4
	if n, _ := pl.notch(plan.ByMixing, &plan.Demand{System: &full}, Options{}.withDefaults(s)); n.to != 3 {
		t.Errorf("from four hours of mixing to %g", n.to)
	}
	s.Mixing.EmergencyTimeH = 0
	if _, ok := pl.notch(plan.ByMixing, &plan.Demand{System: &full}, Options{}.withDefaults(s)); ok {
		t.Error("less than no mixing")
	}
	for _, kg := range []float64{22, 1} {
		s.Salts[0].BagKg = kg
		if n, _ := pl.notch(plan.BySalt, &plan.Demand{System: &full}, Options{}.withDefaults(s)); n.to != kg {
			t.Errorf("a bag of %g kg: %g", kg, n.to)
		}
	}
	if got := when(ptr(2.01)) + ", " + when(ptr(2)) + ", " + when(nil) + ", " + amount(1.5, "h") + ", " + amount(2, ""); got != "done in 2.1 h, done in 2 h, never done, 1.5 h, 2" {
		t.Error(got)
	}
}

// Which of two plans is sooner: by the time, then by a millionth of the exposure.
func TestSooner(t *testing.T) {
	a := func(done *float64, x float64) *plan.Plan { return &plan.Plan{DoneAtH: done, Exposure: x} }
	for _, c := range []struct {
		a, b *plan.Plan
		want bool
	}{
		{a(ptr(2), 5), a(ptr(3), 1), true}, {a(ptr(3), 1), a(ptr(2), 5), false}, {a(ptr(2), 5), a(nil, 1), true}, {a(nil, 1), a(ptr(2), 1), false},
		{a(nil, 1), a(nil, 2), true}, {a(nil, 2), a(nil, 1), false}, {a(ptr(2), 1), a(ptr(2), 1), false}, {a(ptr(2), 1), a(ptr(2), 1+1e-7), false},
	} {
		if got := sooner(c.a, c.b); got != c.want {
			t.Errorf("%+v %+v: %v", c.a, c.b, got)
		}
	}
}

// What a plan ran into: limits in the order met, each once; water where it waits for it.
func TestWhatAPlanRanInto(t *testing.T) {
	s := placeOf(reef(400), vatOf("vat", 300, 440), pureOf("pure", 100, 200))
	s.Salts = []site.Salt{houseSalt(3)}
	pl, err := New(s, noon)
	if err != nil {
		t.Fatal(err)
	}
	d := plan.Demand{System: &s.Systems[0]}
	names := func(p plan.Plan) string {
		var list []string
		for _, n := range pl.notches(&p, &d, Options{}.withDefaults(s)) {
			list = append(list, string(n.limit))
		}
		return strings.Join(list, ", ")
	}
	step := func(at float64, by plan.Limit, c float64) plan.Step {
		return plan.Step{AtH: at, LimitedBy: by, From: []plan.Draw{{StoreID: "vat", Temperature: c}}}
	}
	for _, c := range []struct {
		p    plan.Plan
		want string
	}{
		{plan.Plan{Reachable: true, DoneAtH: ptr(1), Steps: []plan.Step{step(0, plan.ToTarget, 25)}}, ""},
		{plan.Plan{Reachable: false, Steps: []plan.Step{step(0, plan.ByDrawdown, 25)}}, ""},
		{plan.Plan{Reachable: true, DoneAtH: ptr(5), Steps: []plan.Step{step(0, plan.ByDrawdown, 25), step(4, plan.ToTarget, 25)}}, "drawdown, change_every"},
		{plan.Plan{Reachable: true, DoneAtH: ptr(5), Steps: []plan.Step{step(0, plan.TemperatureStep, 21), step(2, plan.TemperatureStep, 21), step(4, plan.SalinityStep, 21)}}, "temperature_step, salinity_step, change_every"},
		{plan.Plan{Reachable: true, DoneAtH: ptr(5), Steps: []plan.Step{step(0, plan.ByWater, 25), step(4, plan.ToTarget, 25)}}, "volume, salt, purified water, change_every"},
		{plan.Plan{Reachable: true, DoneAtH: ptr(5), Steps: []plan.Step{step(1, plan.ToTarget, 21)}}, "volume, salt, purified water, warming"},
		{plan.Plan{Reachable: true, DoneAtH: ptr(5), Steps: []plan.Step{step(2, plan.ToTarget, 25)}, Batches: []plan.Batch{{MixedH: 2, WarmH: ptr(2)}}}, "volume, salt, purified water, mixing time"},
		{plan.Plan{Reachable: true, DoneAtH: ptr(5), Steps: []plan.Step{step(2, plan.ToTarget, 25)}, Batches: []plan.Batch{{MixedH: 2, WarmH: ptr(3)}}}, "volume, salt, purified water, mixing time, warming"},
		{plan.Plan{Reachable: true, DoneAtH: ptr(5), Steps: []plan.Step{step(2, plan.ToTarget, 25)}, Batches: []plan.Batch{{MixedH: 2}}}, "volume, salt, purified water, mixing time, warming"},
		{plan.Plan{Reachable: true}, "volume, salt, purified water"},
		{plan.Plan{Reachable: true, Steps: []plan.Step{step(0, plan.ByWater, 25)}}, "volume, salt, purified water"},
		{plan.Plan{Reachable: true, DoneAtH: ptr(5), Steps: []plan.Step{step(0, plan.ByWater, 24.9), step(4, plan.ToTarget, 25)}}, "volume, salt, purified water, warming, change_every"},
	} {
		if got := names(c.p); got != c.want {
			t.Errorf("%+v: %q, want %q", c.p, got, c.want)
		}
	}
}

// What is noted of a plan, and what its reader is warned of.
func TestWhatIsNoted(t *testing.T) {
	mixed := noon.Add(-24 * time.Hour)
	v := vatOf("vat", 150, 440)
	v.Mixed, v.HeaterW = &mixed, 1
	s := placeOf(reef(400), v, pureOf("pure", 250, 300))
	s.Salts = []site.Salt{houseSalt(40)}
	s.Purifier = &site.Purifier{RateLH: 5, RatedAt: 25, Feed: 15}
	s.Systems[0].NetVolumeU = 10
	notes := func() string {
		out, err := Run(s, noon, []plan.Demand{{System: &s.Systems[0], Aims: []plan.Aim{{Contaminant: "copper", Start: 60, Target: 25, WithinH: 48}}}}, Options{Note: true})
		if err != nil {
			t.Fatal(err)
		}
		var list []string
		for _, a := range out.Assumptions {
			list = append(list, a.What+": "+a.Value)
		}
		return strings.Join(append(list, out.Warnings...), "\n")
	}
	want := func(what string, is bool) {
		t.Helper()
		if got := notes(); strings.Contains(got, what) != is {
			t.Errorf("%q in it: %v\n%s", what, !is, got)
		}
	}
	want("chemistry of store vat", false)
	want("heat loss of store vat: none", true)
	want("copper in store vat: 0 ug/L", true)
	want("confidence of the litres: 90 %", true)
	want("purifier's rate at the feed's temperature: "+fmt.Sprintf("%.2f", refs.PurifierFactors(15, 25).Lowest), true)
	want("minutes for a 10 L bucket", false)
	want("over its age", false)
	for _, missing := range []func(*site.Chemistry){
		func(w *site.Chemistry) { w.AlkalinityDKH = nil }, func(w *site.Chemistry) { w.CalciumMgL = nil }, func(w *site.Chemistry) { w.MagnesiumMgL = nil }, func(w *site.Chemistry) { w.PH = nil },
	} {
		was := s.Stores[0].Water
		missing(&s.Stores[0].Water)
		want("chemistry of store vat: what the salt makes, else the system's own, in proportion to the salinity", true)
		s.Stores[0].Water = was
	}
	s.Stores[0].HeatLossWK, s.Stores[0].Background = ptr(1), map[string]float64{"copper": 0}
	want("heat loss", false)
	want("copper in store", false)
	s.Systems[0].NetVolumeU = 0
	want("confidence", false)
	s.Purifier = nil
	want("purifier's rate", false)
	// A delivery of which nothing is known.
	s.Stores[0].Volume = decimal.NewFromInt(0)
	s.Salts = nil
	s.Deliveries = []site.Delivery{{AfterH: 1, Saltwater: 300}}
	want("water of delivery 1: as the system's", true)
	sal, c := units.Practical(35), units.Celsius(25)
	s.Deliveries[0].Salinity = &sal
	want("water of delivery 1", true)
	s.Deliveries[0].Temperature = &c
	want("water of delivery 1", false)
	s.Stores[0].Water.PH = nil
	s.Stores[0].Volume = decimal.NewFromInt(200)
	want("chemistry of store vat: the system's own", true)
}

// The slow exchange is not offered where salinity would drift beyond its day, or the water
// does not last.
func TestNoSlowExchangeBeyondSalinityOrWater(t *testing.T) {
	sys := reef(400)
	duty := 0.4
	sys.HeatLoss.HeaterDuty = &duty
	sys.Equipment = []site.Equipment{{ID: "h", Kind: site.Heater, PowerW: 600}}
	sys.Limits.SalinityPerDay, sys.Limits.SalinityStep = 1, 1
	offered := func(sal, litres float64) bool {
		v := vatOf("vat", litres, 500)
		v.Water.Temperature, v.Water.Salinity = 21, units.Practical(sal)
		return planned(t, placeOf(sys, v), Options{Explain: true}, true, share(0.5, 24)).Continuous != nil
	}
	// Half of the water is exchanged: 1.9 apart it drifts by 0.95.
	for _, c := range []struct {
		sal, litres float64
		want        bool
	}{{35, 430, true}, {36.9, 430, true}, {37.1, 430, false}, {33.1, 430, true}, {32.9, 430, false}, {35, 278, true}, {35, 276, false}} {
		if got := offered(c.sal, c.litres); got != c.want {
			t.Errorf("salinity %g, %g L: offered %v", c.sal, c.litres, got)
		}
	}
}

// The ranges of density and heat capacity, their ends included.
func TestWaterInRange(t *testing.T) {
	for _, c := range []struct {
		s, t float64
		ok   bool
	}{{0, 0, true}, {42, 40, true}, {-0.01, 20, false}, {42.01, 20, false}, {35, -0.01, false}, {35, 40.01, false}, {math.NaN(), 20, false}, {35, math.NaN(), false}} {
		if err := inRange(units.Practical(c.s), units.Celsius(c.t)); (err == nil) != c.ok {
			t.Errorf("salinity %g at %g °C: %v", c.s, c.t, err)
		}
	}
}

// The point at which start and volume are worst together, by hand for four changes of 40 %
// (Σ x/(1 − x) is 4·0.4/0.6), for one and a half and for a single one of a sixth (0.2): at k standard deviations,
// in the proportion of what each does to the logarithm of the ratio.
func TestTheWorstOfStartAndVolume(t *testing.T) {
	const k = 1.2815515655446004 // of 90 %
	for _, c := range []struct{ left, slope, background float64 }{
		{0.6 * 0.6 * 0.6 * 0.6, 4 * 0.4 / 0.6, 0}, {math.Pow(0.6, 1.5), 1.5 * 0.4 / 0.6, 0}, {1 / 1.2, 0.2, 0}, {0.6 * 0.6 * 0.6 * 0.6, 4 * 0.4 / 0.6, 4}, {1 / 1.2, 0.2, 10},
	} {
		sys, v := reef(400), vatOf("vat", 300, 440)
		sys.NetVolumeU, sys.Drawdown = 40, 0.4
		v.Background = map[string]float64{"copper": c.background}
		excess := 60 - c.background
		p := laid(t, placeOf(sys, v), plan.Demand{Aims: []plan.Aim{{Contaminant: "copper", Start: 60, StartU: 8, Target: c.background + excess*c.left}}})
		ofStart, ofVolume := 4/excess, c.slope*20/400
		both := math.Hypot(ofStart, ofVolume)
		close2(t, "start", p.aims[0].startUgL, 60+k*4*ofStart/both, 1e-6)
		close2(t, "volume", p.aims[0].dynamics.VolumeL, 400+k*20*ofVolume/both, 1e-6)
	}
}

// Who asks for little confidence is given little on top, and none for half of the cases; a start
// or a volume that is uncertain by itself is allowed for in full.
func TestAllowanceByConfidence(t *testing.T) {
	for _, c := range []struct{ confidence, startU, volumeU, start, volume float64 }{
		{0.75, 8, 0, 4 * 0.6744897501960817, 0}, {0.75, 0, 40, 0, 20 * 0.6744897501960817}, {0.5, 8, 40, 0, 0}, {0.2, 8, 40, 0, 0},
		{0.9, 2, 0, 1.2815515655446004, 0}, {0.9, 0, 2, 0, 1.2815515655446004}, {0.9, 0, 0, 0, 0}, {0.99, 8, 0, 4 * 2.3263478740408408, 0},
	} {
		sys := reef(400)
		sys.NetVolumeU = units.Litres(c.volumeU)
		s := placeOf(sys, vatOf("vat", 300, 440))
		pl, err := New(s, noon)
		if err != nil {
			t.Fatal(err)
		}
		d := plan.Demand{System: &s.Systems[0], Aims: []plan.Aim{{Contaminant: "copper", Start: 60, StartU: c.startU, Target: 40}}}
		p, err := pl.problem(&d, Options{Confidence: c.confidence}.withDefaults(s), nil)
		if err != nil {
			t.Fatal(err)
		}
		close2(t, fmt.Sprintf("start for %+v", c), p.aims[0].startUgL, 60+c.start, 1e-9)
		close2(t, fmt.Sprintf("volume for %+v", c), p.aims[0].dynamics.VolumeL, 400+c.volume, 1e-9)
	}
}
