package main

// drawing is a picture: SVG in HTML, Text everywhere else. A picture without Text is
// for pages only.
type drawing struct {
	SVG  string
	Text string
	// Caption stands above the picture on a page.
	Caption string
}

// figureColumns is the width of a drawing on a terminal.
const figureColumns = 78

// pictured makes the block of a drawing that has both forms.
func pictured(d interface {
	SVG() (string, error)
	Text(columns int) (string, error)
}) []block {
	return drawnBy(d.SVG, func() (string, error) { return d.Text(figureColumns) })
}

// drawnBy makes the block of a drawing for pages and, if text is not nil, for screens. What
// cannot be drawn is a fault of ours, never a reason to withhold the answer: it is left out,
// and a line says so.
func drawnBy(svg, text func() (string, error)) []block {
	onPage, err := svg()
	onScreen := ""
	if err == nil && text != nil {
		onScreen, err = text()
	}
	if err != nil {
		return []block{para("A drawing is left out here: %v. Please report it with the command you ran.", err)}
	}
	return []block{picture(onPage, onScreen)}
}
