package hazards

import (
	"fmt"

	"tidehold/refs/units"
	"tidehold/salinity"
	"tidehold/volumes"
	"tidehold/volumes/site"
)

// The usual design loads of floors in dwellings, averaged over the room: 40 lb/ft²
// in general, 30 in sleeping rooms. Water 20 cm deep is the first of them already.
// Source: [asce-floor].
const (
	floorKgM2    = 40 * units.KgM2PerLbFt2
	sleepingKgM2 = 30 * units.KgM2PerLbFt2
)

// loads are the weights of the systems and vats over what they stand on.
func loads(s *site.Site, u units.System) ([]Load, error) {
	out := []Load{}
	for i := range s.Systems {
		list, err := systemLoads(&s.Systems[i], u)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", s.Systems[i].ID, err)
		}
		out = append(out, list...)
	}
	for i := range s.Stores {
		st := &s.Stores[i]
		area := footprintM2(st.Shape)
		if area <= 0 {
			continue
		}
		sal := st.Water.Salinity
		if st.Holds == site.Purified {
			sal = 0
		}
		rho, err := salinity.Density(sal, st.Water.Temperature)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", st.ID, err)
		}
		l := Load{Store: st.ID, MassKg: float64(rho) / 1000 * float64(st.Capacity)}
		out = append(out, l.over(area, u))
	}
	return out, nil
}

// systemLoads are the loads of a system's parts, or of all its water over its surface
// where the file names no parts; nothing where it does not say what it stands on.
func systemLoads(sys *site.System, u units.System) ([]Load, error) {
	rho, err := salinity.Density(sys.Water.Salinity, sys.Water.Temperature)
	if err != nil {
		return nil, err
	}
	perLitre := float64(rho) / 1000
	if len(sys.Parts) == 0 {
		if sys.SurfaceM2 == nil || !(*sys.SurfaceM2 > 0) {
			return nil, nil
		}
		l := Load{System: sys.ID, MassKg: perLitre * float64(sys.NetVolume)}
		return []Load{l.over(*sys.SurfaceM2, u)}, nil
	}
	var out []Load
	for _, p := range sys.Parts {
		area := footprintM2(p.Shape)
		if area <= 0 {
			continue
		}
		gross, err := p.Shape.VolumeAt(p.LevelCm.Value)
		if err != nil {
			return nil, err
		}
		// Rock counts with what it weighs beyond the water it displaces; sand, which
		// is heavier too, as if it were water.
		rock := p.Displaced.RockMassKg.Value - perLitre*p.Displaced.RockL()
		l := Load{System: sys.ID, Part: p.ID, MassKg: perLitre*float64(gross) + max(0, rock)}
		out = append(out, l.over(area, u))
	}
	return out, nil
}

// footprintM2 is the mean horizontal section, which stands for the footprint: exact
// for prisms, and smaller than the foot of nothing that stands on its wide end; 0
// where there is no shape to tell it by.
func footprintM2(s volumes.Shape) float64 {
	if s == nil || !(s.HeightCm() > 0) {
		return 0
	}
	return float64(s.Full()) * 1000 / s.HeightCm() / 1e4
}

// over spreads the load over an area in m² and cautions above a dwelling's floor.
func (l Load) over(m2 float64, u units.System) Load {
	l.KgPerM2 = l.MassKg / m2
	if l.KgPerM2 > floorKgM2 {
		l.Caution = fmt.Sprintf("floors of dwellings are usually designed for %s (sleeping rooms %s), averaged over the whole room; have a structural engineer look, or stand it on ground or over a wall", u.PerArea(floorKgM2), u.PerArea(sleepingKgM2))
	}
	return l
}
