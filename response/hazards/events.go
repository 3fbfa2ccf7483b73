package hazards

import (
	"fmt"
	"math"
	"strings"
)

// eventWithinH is the time a pasted event allows, for the keeper to change.
const eventWithinH = 24

// Events prints the hazards that water undoes as YAML to paste under events: of a
// site file, so that readiness covers what the equipment can really do. Shares
// are rounded up to a whole percent.
func Events(r Result) string {
	var b strings.Builder
	b.WriteString("# Paste under events: of the site file, then change within: to what your animals allow.\n")
	n := 0
	for _, h := range r.Hazards {
		if h.WaterToUndoL == nil || h.RemoveShare == nil || h.Limit == "" || *h.RemoveShare <= 0 {
			continue
		}
		share := math.Min(99, math.Ceil(*h.RemoveShare*100-1e-9))
		fmt.Fprintf(&b, "# %s %s: %s\n", h.Equipment, h.Failure, h.Detail)
		fmt.Fprintf(&b, "- {id: %s-%s, system: %s, playbook: %s, remove: %.0f %%, within: %d h}\n", h.Equipment, h.Failure, h.System, h.Playbook, share, eventWithinH)
		n++
	}
	if n == 0 {
		b.WriteString("# No hazard of this site is one that new saltwater undoes.\n")
	}
	return b.String()
}
