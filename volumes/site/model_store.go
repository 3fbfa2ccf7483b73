package site

import (
	"math"
	"time"

	"github.com/shopspring/decimal"

	"tidehold/refs"
	"tidehold/refs/units"
	"tidehold/salinity/mixing"
	"tidehold/volumes"
)

// Holds is what a store contains.
type Holds string

// The two kinds of store.
const (
	Saltwater Holds = "saltwater"
	Purified  Holds = "purified"
)

// MaxPurified is the practical salinity up to which water counts as purified: the
// upper end of fresh water in the Venice System (1958; memory). More than that
// is a slip, or no longer water to mix from.
const MaxPurified = 0.5

// Store is a vat, drum or bin of water kept ready.
type Store struct {
	ID    string
	Holds Holds
	// Shape is nil when only a capacity is known.
	Shape    volumes.Shape
	Capacity units.Litres
	// Volume on hand in litres, exact: what is counted adds up.
	Volume decimal.Decimal
	// Heel is what the pump cannot reach, litres.
	Heel  units.Litres
	Water Chemistry
	// Mixed is when it was mixed; nil: undated. Tested restarts the age.
	Mixed, Tested *time.Time
	// DatedAhead says that a date of mixing was written and lies in the future: Mixed is nil, and nobody
	// knows how old the water is, but to say that it has no date would be untrue.
	DatedAhead bool
	MaxAgeH    float64
	// UsableFrom is until when a batch in it is still being mixed: none of it may be drawn before, and
	// nothing else be done to it. The journal says it; nil: it may be used.
	UsableFrom *time.Time
	// HeaterW is the vat's heater, 0 for none. HeatLossWK nil: unknown.
	HeaterW    float64
	HeatLossWK *float64
	// TransferLH is the pump for draining and filling, L/h; nil: buckets.
	TransferLH *float64
	// Background in µg/L by contaminant id: what this water itself brings.
	Background map[string]float64
	// BackgroundU are expanded uncertainties (k = 2) of Background; a missing key
	// is none stated.
	BackgroundU map[string]float64
	// FilledBy is "purifier" or "".
	FilledBy string
}

// Usable is what can be drawn from the store: its volume less the heel, never
// below zero. Reserve and age are the planner's business.
func (s Store) Usable() units.Litres {
	v := units.Litres(s.Volume.InexactFloat64()) - s.Heel
	return max(0, v)
}

// BeingMixed is how many hours it is until what the store holds may be used; 0: now.
func (s Store) BeingMixed(now time.Time) float64 {
	if s.UsableFrom == nil {
		return 0
	}
	return max(0, s.UsableFrom.Sub(now).Hours())
}

// FreshSince is the moment the age of the water counts from: when it was last
// found good, else when it was mixed; nil if neither is known.
func (s Store) FreshSince() *time.Time {
	if s.Tested != nil && (s.Mixed == nil || s.Tested.After(*s.Mixed)) {
		return s.Tested
	}
	return s.Mixed
}

// OverAge says that the water is older at now than it may be to count. Purified
// water and saltwater without a date never are.
func (s Store) OverAge(now time.Time) bool {
	since := s.FreshSince()
	return s.Holds == Saltwater && since != nil && s.MaxAgeH > 0 && now.Sub(*since).Hours() > s.MaxAgeH
}

// Room is what can still be added before the brim.
func (s Store) Room() units.Litres {
	return max(0, s.Capacity-units.Litres(s.Volume.InexactFloat64()))
}

// Salt is a bagged sea-salt mix.
type Salt struct {
	ID string
	// OnHand in kilograms, exact.
	OnHand decimal.Decimal
	// DoseGL grams per litre, finished or purified by DosePer, to reach
	// DoseSalinity at DoseTemperature.
	DoseGL          float64
	DosePer         mixing.Basis
	DoseSalinity    units.Practical
	DoseTemperature units.Celsius
	// PricePerKg in Site.Currency; nil: unknown.
	PricePerKg *decimal.Decimal
	BagKg      float64 // 0: unknown
	// Makes is the chemistry of the water it makes at DoseSalinity (Salinity and Temperature unused).
	Makes      Chemistry
	Background map[string]float64 // µg/L in the water it makes
	// BackgroundU are expanded uncertainties (k = 2) of Background, µg/L.
	BackgroundU map[string]float64
}

// Dose is the dose as the mixing relations take it.
func (s Salt) Dose() mixing.Dose {
	return mixing.Dose{GPerL: s.DoseGL, Per: s.DosePer, Salinity: s.DoseSalinity, Temperature: s.DoseTemperature}
}

// Purifier makes purified water.
type Purifier struct {
	// RateLH at RatedAt, L/h; Feed is the feed-water temperature now.
	RateLH  float64
	RatedAt units.Celsius
	Feed    units.Celsius
	Guards  []Guard
}

// Factors are what the published tables make of the purifier's rate with its feed water.
func (p *Purifier) Factors() refs.PurifierSpread {
	return refs.PurifierFactors(float64(p.Feed), float64(p.RatedAt))
}

// LowestLH is what it makes at least with its feed water, L/h: for water that is counted on.
func (p *Purifier) LowestLH() float64 { return p.RateLH * p.Factors().Lowest }

// HighestLH is the most it makes, L/h, the rated flow or that of warmer feed: for a vat that may run over.
func (p *Purifier) HighestLH() float64 { return p.RateLH * math.Max(1, p.Factors().Highest) }

// Mixing is how batches are made.
type Mixing struct {
	TimeH          float64
	EmergencyTimeH float64
	// CutTimeH is how long saltwater is stirred after purified water was poured in.
	CutTimeH float64
	// In names the vats allowed for batches.
	In []string
}

// Reserve is never planned away, litres in total. KeepsStored says that good stored water is poured away only where a
// plan would be late without: another system may want it the same night.
type Reserve struct {
	Saltwater, Purified units.Litres
	KeepsStored         bool
}

// Delivery is water or salt that comes AfterH hours after the event starts.
type Delivery struct {
	AfterH      float64
	Saltwater   units.Litres
	Purified    units.Litres
	SaltKg      float64
	Salinity    *units.Practical
	Temperature *units.Celsius
	// Background in µg/L by contaminant id: what its saltwater brings; what is not named, as the first salt
	// makes it.
	Background map[string]float64
}
