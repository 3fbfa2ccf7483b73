// Package figure draws what a plan, a store or a hazard looks like: as SVG for a page
// and as plain characters for a terminal. There is one shell for every drawing
// (shell.go) and one home for axes (axis.go).
//
// A drawing is 400 units wide with letters of 12.5, so that on a phone of 390 pixels no
// letter is smaller than 11 pixels. It has a title and a description for those who do
// not see it, takes the colour of the text around it, by day and in the dark, and tells
// by dash, hatching, shape and word, never by colour.
//
//	Supply    water there is against water needed, hour by hour
//	Fall      a concentration or share over the hours
//	Measured  what was predicted of it, as a band, against what was measured
//	Events    each event as bars of time taken on time allowed and water on need
//	Timeline  a lane for each vat: mixing, warming, ready, drawn; changes and nights
//	Vats      vats to scale with level, bottom and brim
//	Strip     a strip to scale to tape on a dipstick, for A4 and Letter
//	Limits    hours to a limit on a logarithmic scale, with guards as marks
//	Results   laboratory results on a line between natural and criterion
package figure
