// Package look is how every page looks: the one style sheet of cards and answers. What is
// said of html.answer holds for answers alone; the sizes of cards come from their layout, as
// custom properties written before it.
package look

import _ "embed"

// Style is the style sheet.
//
//go:embed style.css
var Style string
