package schedule

import (
	"tidehold/refs/units"
	"tidehold/response/dilution"
	"tidehold/response/plan"
)

// Ideal is a demand as a closed-form problem: full-size changes, the last one
// trimmed, with all the water at hand, matching the system and bringing background
// µg/L of each aim (none where it is shorter than the aims). It is what package
// dilution answers floors, levers and numbers of changes for; no limit on
// temperature or salinity, no stock and no media stand in it.
func Ideal(d plan.Demand, background []float64) dilution.Problem {
	sys := d.System
	volume := units.Measured{Value: float64(sys.NetVolume), U: float64(sys.NetVolumeU)}
	p := dilution.Problem{Volume: volume, ChangeL: sys.Drawdown * volume.Value, Trim: true, EveryH: sys.ChangeEveryH, Confidence: defaultConfidence}
	for i, a := range d.Aims {
		c := dilution.Contaminant{
			Name: a.Contaminant, Start: units.Measured{Value: a.Start, U: a.StartU}, Target: a.Target,
			Source: dilution.Source{MgH: a.SourceMgH}, BoundRatio: a.BoundRatio, BoundRatePerH: a.BoundRatePerH,
		}
		if i < len(background) {
			c.New.Value = background[i]
		}
		p.Contaminants = append(p.Contaminants, c)
	}
	return p
}
