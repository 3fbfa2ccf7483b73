package schedule

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
	"sort"
	"time"

	"tidehold/refs/units"
	"tidehold/volumes/site"
)

// Planner plans for one site at one moment. It prepares what all plans share, so
// that thousands of runs do not look through all the stores each time. It is not
// safe for use by several goroutines at once.
type Planner struct {
	site  *site.Site
	start time.Time
	// stock lists the saltwater stores that hold usable water, spare those a batch
	// can be made in at once, both as indices of stores.
	stock, spare []int
	mixes        map[string]bool
	usable       []float64 // by store
	usableL      float64   // of all
	mixingL      float64   // of it in batches that are still being mixed
	pureL        float64   // usable purified water, less reserve
	pureC        float64
	pureRoomL    float64
	dry          []float64 // dry fraction by salt
	byMatch      map[matchKey][]int
	overAge      []int
	undated      []int
}

// matchKey tells systems apart, roughly, by the water they want: steps of half a
// degree and half a unit of salinity keep a site of a thousand unlike systems from
// sorting all its stores for each.
type matchKey struct{ halfC, halfS int }

// New prepares a planner for a site whose stores are as they are at start.
//
// Errors: water outside the range of the relations (salinity 0 to 42, 0 to 40 °C),
// a salt whose dose is impossible, a system without volume, drawdown or interval,
// each naming the system, store or salt.
func New(s *site.Site, start time.Time) (*Planner, error) {
	p := &Planner{site: s, start: start, byMatch: map[matchKey][]int{}, mixes: map[string]bool{}}
	for _, id := range s.Mixing.In {
		p.mixes[id] = true
	}
	p.usable = make([]float64, len(s.Stores))
	if err := p.checkSystems(); err != nil {
		return nil, err
	}
	if err := p.takeStores(); err != nil {
		return nil, err
	}
	for i := range s.Salts {
		w, err := s.Salts[i].Dose().DryFraction()
		if err != nil {
			return nil, fmt.Errorf("salt %s: %w", s.Salts[i].ID, err)
		}
		p.dry = append(p.dry, w)
	}
	return p, nil
}

func (p *Planner) checkSystems() error {
	for i := range p.site.Systems {
		s := &p.site.Systems[i]
		switch {
		case !(s.NetVolume > 0):
			return fmt.Errorf("system %s: net volume %g L; it must be above zero", s.ID, float64(s.NetVolume))
		case !(s.Drawdown > 0 && s.Drawdown <= 1):
			return fmt.Errorf("system %s: drawdown %g; a share above 0 and up to 1 is allowed", s.ID, s.Drawdown)
		case !(s.ChangeEveryH > 0):
			return fmt.Errorf("system %s: change_every %g h; it must be above zero", s.ID, s.ChangeEveryH)
		}
		if err := inRange(s.Water.Salinity, s.Water.Temperature); err != nil {
			return fmt.Errorf("system %s: %w", s.ID, err)
		}
	}
	return nil
}

// inRange checks water against the ranges of density and heat capacity.
func inRange(s units.Practical, t units.Celsius) error {
	switch {
	case !(s >= 0 && s <= saltiest):
		return fmt.Errorf("salinity %g; 0 to %d is allowed", float64(s), saltiest)
	case !(t >= coldest && t <= warmest):
		return fmt.Errorf("temperature %g °C; %d to %d °C is allowed", float64(t), coldest, warmest)
	}
	return nil
}

// byNature lists the stores in an order that depends on what they are, not on what they
// are called or where they stand in the file.
func byNature(stores []site.Store) []int {
	order := ascending(len(stores))
	slices.SortStableFunc(order, func(a, b int) int {
		x, y := &stores[a], &stores[b]
		return cmp.Or(x.Volume.Cmp(y.Volume), cmp.Compare(x.Capacity, y.Capacity), cmp.Compare(x.Heel, y.Heel),
			cmp.Compare(x.Water.Salinity, y.Water.Salinity), cmp.Compare(x.Water.Temperature, y.Water.Temperature),
			cmp.Compare(x.HeaterW, y.HeaterW), cmp.Compare(known(x.HeatLossWK), known(y.HeatLossWK)), cmp.Compare(known(x.TransferLH), known(y.TransferLH)),
			cmp.Compare(known(x.Water.AlkalinityDKH), known(y.Water.AlkalinityDKH)), cmp.Compare(known(x.Water.PH), known(y.Water.PH)),
			cmp.Compare(sumOf(x.Background), sumOf(y.Background)))
	})
	return order
}

func sumOf(m map[string]float64) float64 {
	sum := 0.0
	for _, k := range slices.Sorted(maps.Keys(m)) {
		sum += m[k]
	}
	return sum
}

// takeStores sorts the stores into what can be drawn, what can be mixed in, and
// purified water.
func (p *Planner) takeStores() error {
	var heat float64
	p.pureL, p.pureRoomL = -float64(p.site.Reserve.Purified), -float64(p.site.Reserve.Purified)
	pure := 0.0
	for _, i := range byNature(p.site.Stores) {
		s := &p.site.Stores[i]
		if err := inRange(s.Water.Salinity, s.Water.Temperature); err != nil {
			return fmt.Errorf("store %s: %w", s.ID, err)
		}
		x := float64(s.Usable())
		switch {
		case s.Holds == site.Purified:
			pure += x
			heat += x * float64(s.Water.Temperature)
			if s.FilledBy == "purifier" {
				p.pureRoomL += max(x, float64(s.Capacity-s.Heel))
			} else {
				p.pureRoomL += x
			}
			continue
		case x > 0 && s.OverAge(p.start):
			p.overAge = append(p.overAge, i)
			continue
		case x > 0:
			p.stock = append(p.stock, i)
			p.usable[i] = x
			p.usableL += x
			if s.BeingMixed(p.start) > 0 {
				p.mixingL += x
			}
			if s.Mixed == nil && s.Tested == nil {
				p.undated = append(p.undated, i)
			}
		case p.mayMix(s):
			p.spare = append(p.spare, i)
		}
	}
	// What no purified store can hold cannot be kept back in one.
	p.pureL = max(p.pureL, -p.roomForPure()) + pure
	p.pureRoomL = max(p.pureRoomL, p.pureL)
	p.pureC = heat / max(pure, math.SmallestNonzeroFloat64)
	sort.SliceStable(p.spare, func(a, b int) bool {
		return p.site.Stores[p.spare[a]].Room() > p.site.Stores[p.spare[b]].Room()
	})
	return nil
}

// roomForPure is what all purified stores hold when full, less heels.
func (p *Planner) roomForPure() float64 {
	sum := 0.0
	for i := range p.site.Stores {
		if s := &p.site.Stores[i]; s.Holds == site.Purified {
			sum += max(0, max(float64(s.Capacity-s.Heel), float64(s.Usable())))
		}
	}
	return sum
}

func (p *Planner) mayMix(s *site.Store) bool {
	return s.Holds == site.Saltwater && (len(p.mixes) == 0 || p.mixes[s.ID])
}

// matched lists the usable stores from the closest match to a system's water to the
// furthest; where there are few, in the order of their properties.
func (p *Planner) matched(sys *site.System) []int {
	if len(p.stock) <= fewStores {
		return p.stock
	}
	key := matchKey{int(math.Round(2 * float64(sys.Water.Temperature))), int(math.Round(2 * float64(sys.Water.Salinity)))}
	if list, ok := p.byMatch[key]; ok {
		return list
	}
	list := append([]int(nil), p.stock...)
	far := make([]float64, len(p.site.Stores))
	for _, i := range list {
		w := &p.site.Stores[i].Water
		far[i] = max(math.Abs(float64(w.Temperature)-float64(key.halfC)/2), math.Abs(float64(w.Salinity)-float64(key.halfS)/2))
	}
	sort.SliceStable(list, func(a, b int) bool { return far[list[a]] < far[list[b]] })
	p.byMatch[key] = list
	return list
}

// A plan looks at all stores where there are few; otherwise at the best matches,
// until they hold plenty, and at the roomiest spare vats. Of no house that is known are there
// so many that mostStores leaves one out; with 48 a house of 60 small vats was short of water that it had.
const (
	fewStores  = 16
	mostStores = 250
	plenty     = 2 // times the demand
	mostSpare  = 6
)

// known is a value that may be missing, 0 if it is.
func known(x *float64) float64 {
	if x == nil {
		return 0
	}
	return *x
}
