package playbook

import (
	"fmt"

	"tidehold/response/figure"
)

// CurveSVG draws how the share left falls over the sheet's changes; "" where there
// are none.
func (s Sheet) CurveSVG() (string, error) {
	if len(s.Curve) < 2 {
		return "", nil
	}
	last := s.Curve[len(s.Curve)-1]
	c := figure.Fall{
		Head: figure.Head{ID: s.Name + "-curve", Title: "Share left of what went in",
			Description: fmt.Sprintf("Falls with each change to %.0f %% after %.0f h.", last.C*100, last.H)},
		Unit: "% left", Target: s.Aim * 100,
	}
	for i, p := range s.Curve {
		c.Points = append(c.Points, figure.Level{H: p.H, C: p.C * 100})
		if i > 0 && p.C < s.Curve[i-1].C {
			c.ChangesAtH = append(c.ChangesAtH, s.Curve[i-1].H)
		}
	}
	svg, err := c.SVG()
	if err != nil {
		return "", fmt.Errorf("drawing the fall: %w", err)
	}
	return svg, nil
}
