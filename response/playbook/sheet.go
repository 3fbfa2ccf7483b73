package playbook

import (
	"tidehold/response/figure"
	"time"
)

// Sheet is a playbook joined with facts: numbered, resolved and ready to print.
// Every rendering prints this one value.
type Sheet struct {
	Name    string `json:"name"`
	Title   string `json:"title"`
	UseWhen string `json:"use_when"`
	NotWhen string `json:"not_when,omitempty"`
	Goal    string `json:"goal"`
	// Site, System and Event are empty on a sheet without a site.
	Site   string `json:"site"`
	System string `json:"system"`
	Event  string `json:"event"`
	// Version counts the editions of the text; Reviewed is when it was last read
	// through, ValidUntil a year later, Printed when this sheet was made.
	Version    int       `json:"version"`
	Reviewed   time.Time `json:"reviewed"`
	ValidUntil time.Time `json:"valid_until"`
	Printed    time.Time `json:"printed"`
	// Stock says for which water it was printed.
	Stock string `json:"stock"`
	// Notices stand at the top: no site, numbers that are blank, an old review.
	Notices []string `json:"notices"`
	// Blanks are the numbers that are not known, with what to measure.
	Blanks []Blank `json:"blanks"`
	// Groups in order; the first is the boxed block of immediate actions.
	Groups   []Group `json:"groups"`
	Complete string  `json:"complete"`
	// Footer is on every page.
	Footer []string `json:"footer"`
	// Hazards of the sheet and the library's cautions for them are kept for Score.
	Hazards []string `json:"hazards"`
	Unknown bool     `json:"unknown_cause"`
	Sitter  bool     `json:"sitter"`
	// Locked counts the steps that cannot be edited away.
	Locked int `json:"locked_steps"`
	// Curve is the fall of what is in the water, for the page; nil: not known.
	Curve []figure.Level `json:"curve"`
	// Aim is the share that may be left at the end of it.
	Aim float64 `json:"aim_left"`
}

// Blank is a number that is not known.
type Blank struct {
	Field   string `json:"field"`
	Shown   string `json:"shown"`
	Measure string `json:"measure"`
}

// Group is a block on a sheet.
type Group struct {
	ID      string `json:"id"`
	Heading string `json:"heading"`
	Boxed   bool   `json:"boxed"`
	Stage   Stage  `json:"stage"`
	Role    Role   `json:"role"`
	Lines   []Line `json:"lines"`
}

// LineKind says what a line of a sheet is.
type LineKind string

// The kinds of line. Steps and decisions are numbered and ticked.
const (
	StepLine     LineKind = "step"
	DecisionLine LineKind = "decision"
	CautionLine  LineKind = "caution"
	NoteLine     LineKind = "note"
	TableLine    LineKind = "table"
	// FigureLine is where a screen shows the curve; paper has the column "left".
	FigureLine LineKind = "figure"
)

// Line is one line of a group.
type Line struct {
	Kind LineKind `json:"kind"`
	ID   string   `json:"id,omitempty"`
	// Number counts steps and decisions through the whole sheet, from 1.
	Number int    `json:"number,omitempty"`
	Text   string `json:"text,omitempty"`
	// Yes and No are the steps a decision leads to; 0: the completion line. A
	// target that is not on the sheet is -1, which Score reports.
	Yes int `json:"yes,omitempty"`
	No  int `json:"no,omitempty"`
	// Caution of a CautionLine, Table of a TableLine.
	Caution *Caution `json:"caution,omitempty"`
	Table   *Table   `json:"table,omitempty"`

	By       string   `json:"by,omitempty"`
	Category Category `json:"category,omitempty"`
	Hazards  []string `json:"hazards,omitempty"`
	Locked   bool     `json:"locked,omitempty"`
	// Twice prints two boxes for initials.
	Twice     bool   `json:"twice,omitempty"`
	Wait      string `json:"wait,omitempty"`
	Meanwhile string `json:"meanwhile,omitempty"`
	Late      string `json:"late,omitempty"`
	// Measure says what to measure for the blanks of this line.
	Measure []string `json:"measure,omitempty"`
}

// Ticked says that the line has a box and a number.
func (l Line) Ticked() bool { return l.Kind == StepLine || l.Kind == DecisionLine }

// Table is a table with finished cells. Ticks gives every row a box; Blanks are
// rows to be filled in by hand.
type Table struct {
	Name   string     `json:"name"`
	Title  string     `json:"title"`
	Header []string   `json:"header"`
	Rows   [][]string `json:"rows"`
	Ticks  bool       `json:"ticks"`
}

// Spoken is the text as it is read aloud: a decision says first how it is settled.
func (l Line) Spoken() string {
	if l.Kind != DecisionLine {
		return l.Text
	}
	return upperFirst(l.By) + ": " + lowerFirst(l.Text)
}

// under are the small lines below a step: exits, what to measure, waiting,
// initials.
func (l Line) under() []string {
	var out []string
	if l.Kind == DecisionLine {
		out = append(out, "Yes: "+exit(l.Yes)+". No: "+exit(l.No)+".")
	}
	for _, m := range l.Measure {
		out = append(out, "Blank? "+upperFirst(m)+".")
	}
	if l.Wait != "" {
		out = append(out, l.waiting())
	}
	if l.Twice {
		out = append(out, initials)
	}
	return out
}

// waiting is how long, what meanwhile, and what if the time cannot be kept.
func (l Line) waiting() string {
	return "Wait: " + l.Wait + " Meanwhile: " + l.Meanwhile + " Too late? " + l.Late
}

// initials is the line of an independent verification.
const initials = "Second reading or second person. Initials: ____ ____"
