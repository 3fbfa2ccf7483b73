package hazards

import (
	"fmt"
	"math"
	"strings"

	"tidehold/volumes/site"
)

// eventWithinH is the time a pasted event allows, for the keeper to change.
const eventWithinH = 24

// Events prints the hazards that water undoes as YAML to paste under events: of the
// site's file, so that readiness covers what the equipment can really do. Shares are
// rounded up to a whole percent; no id is one that the site or an earlier line has.
func Events(s *site.Site, r Result) string {
	var b strings.Builder
	b.WriteString("# Paste under events: of the site file, each - below yours; then change within: to what your animals allow.\n")
	taken := map[string]bool{}
	n := 0
	for _, h := range r.Hazards {
		if h.WaterToUndoL == nil || h.RemoveShare == nil || h.Limit == "" || *h.RemoveShare <= 0 {
			continue
		}
		n++
		id := fmt.Sprintf("%s-%s", h.Equipment, h.Failure)
		if ev := s.EventByID(id); taken[id] || ev != nil && ev.System != h.System {
			id = h.System + "-" + id
		}
		for taken[id] {
			id += "-too"
		}
		taken[id] = true
		if s.EventByID(id) != nil {
			fmt.Fprintf(&b, "# %s is an event of this site already.\n", id)
			continue
		}
		share := math.Min(99, math.Ceil(*h.RemoveShare*100-1e-9))
		fmt.Fprintf(&b, "# %s %s: %s\n", h.Equipment, h.Failure, h.Detail)
		fmt.Fprintf(&b, "  - {id: %s, system: %s, playbook: %s, remove: %.0f %%, within: %d h}\n", id, h.System, h.Playbook, share, eventWithinH)
	}
	if n == 0 {
		b.WriteString("# No hazard of this site is one that new saltwater undoes.\n")
	}
	return b.String()
}
