package playbook

import (
	"time"

	"tidehold/refs/units"
)

// Card is a playbook's card joined with facts: numbered, resolved and ready to
// print. Every rendering prints this one value.
type Card struct {
	Name    string `json:"name"`
	Title   string `json:"title"`
	UseWhen string `json:"use_when"`
	NotWhen string `json:"not_when,omitempty"`
	// OnlyFor is the tank the card is for, where the site has others; "" on a card for a house.
	OnlyFor string `json:"only_for,omitempty"`
	Goal    string `json:"goal"`
	// Shared says that other cards send people here.
	Shared bool `json:"shared"`
	// Site, System and Event are empty on a card without a site.
	Site   string `json:"site"`
	System string `json:"system"`
	Event  string `json:"event"`
	// Version counts the editions of the text; Reviewed is when it was last read
	// through, Due a year later, Printed when this card was made.
	Version  int       `json:"version"`
	Reviewed time.Time `json:"reviewed"`
	Due      time.Time `json:"review_due"`
	Printed  time.Time `json:"printed"`
	// Fault is what keeps the site's numbers off the card, or its rows from being followed; it stands at the top.
	Fault string `json:"fault,omitempty"`
	// Danger is the one line of danger above the box.
	Danger *Caution `json:"danger"`
	// Phones are the numbers of the front, the emergency number first.
	Phones []Phone `json:"phones"`
	// Water is the water tonight; nil where the event asks for none.
	Water *Tonight `json:"water_tonight"`
	// Groups in order; the first is the boxed block of immediate actions, where the
	// card has one.
	Groups   []Group `json:"groups"`
	Complete string  `json:"complete"`
	// Sends are the shared cards it sends people to.
	Sends []string `json:"sends"`
	// Kit is what the card uses.
	Kit []string `json:"kit"`
	// Missing is what of it the site's kit is known to lack.
	Missing []string `json:"kit_missing"`
	// Notices and Blanks are for whoever prints the card, Basis where its numbers
	// come from: all three stand on the last page.
	Notices []string `json:"notices"`
	Blanks  []Blank  `json:"blanks"`
	Basis   []string `json:"basis"`
	// Footer is on every page.
	Footer []string `json:"footer"`
	// Hazards of the card are kept for Score.
	Hazards []string `json:"hazards"`
	Unknown bool     `json:"unknown_cause"`
	Sitter  bool     `json:"sitter"`
	// Locked counts the steps that cannot be edited away.
	Locked int `json:"locked_steps"`
	// playbook is what it was made from.
	playbook *Playbook
}

// When is the line under the title: when to use the card and, where there are several tanks, for
// which. A neighbour at the cold tank held the card of the warm one.
func (c Card) When() string {
	if c.OnlyFor == "" {
		return c.UseWhen
	}
	return c.UseWhen + " For tank " + c.OnlyFor + " only."
}

// Blank is a number that is not known.
type Blank struct {
	Field   string `json:"field"`
	Shown   string `json:"shown"`
	Measure string `json:"measure"`
}

// Group is a block on a card.
type Group struct {
	ID      string `json:"id"`
	Heading string `json:"heading"`
	Boxed   bool   `json:"boxed"`
	Stage   Stage  `json:"stage"`
	Lines   []Line `json:"lines"`
}

// LineKind says what a line of a card is.
type LineKind string

// The kinds of line. Steps and decisions are numbered and ticked.
const (
	StepLine     LineKind = "step"
	DecisionLine LineKind = "decision"
	CautionLine  LineKind = "caution"
	NoteLine     LineKind = "note"
	TableLine    LineKind = "table"
)

// Line is one line of a group.
type Line struct {
	Kind LineKind `json:"kind"`
	ID   string   `json:"id,omitempty"`
	// Number counts steps and decisions through the whole card, from 1.
	Number int    `json:"number,omitempty"`
	Text   string `json:"text,omitempty"`
	// Lacking is the step where the site may lack what it needs; only a card without
	// a site prints both.
	Lacking string `json:"lacking,omitempty"`
	// Yes and No are the steps a decision leads to; 0: the completion line. A
	// target that is not on the card is -1, which Score reports.
	Yes int `json:"yes,omitempty"`
	No  int `json:"no,omitempty"`
	// Most is how often the way back may be taken, in words; Then the step after.
	Most string `json:"most,omitempty"`
	Then int    `json:"then,omitempty"`
	// Until is what a stop waits for; it goes on at Then.
	Until string `json:"until,omitempty"`
	// Card is the shared card the step sends people to.
	Card string `json:"card,omitempty"`
	// Caution of a CautionLine, Table of a TableLine.
	Caution *Caution `json:"caution,omitempty"`
	Table   *Table   `json:"table,omitempty"`

	By       string   `json:"by,omitempty"`
	Category Category `json:"category,omitempty"`
	Effects  []Effect `json:"effects,omitempty"`
	Needs    []string `json:"needs,omitempty"`
	Hazards  []string `json:"hazards,omitempty"`
	Locked   bool     `json:"locked,omitempty"`
	// Twice prints two boxes for initials.
	Twice     bool   `json:"twice,omitempty"`
	Wait      string `json:"wait,omitempty"`
	Meanwhile string `json:"meanwhile,omitempty"`
	Late      string `json:"late,omitempty"`
}

// Ticked says that the line has a box and a number.
func (l Line) Ticked() bool { return l.Kind == StepLine || l.Kind == DecisionLine }

// Table is a table with finished cells. Ticks gives every row a box.
type Table struct {
	Name   string     `json:"name"`
	Title  string     `json:"title"`
	Header []string   `json:"header"`
	Rows   [][]string `json:"rows"`
	Ticks  bool       `json:"ticks"`
	// Entries are what a tick on each row says to the record of an incident, as "incident
	// import" reads it; "" or none: the row is noted as it stands.
	Entries []string `json:"-"`
}

// Spoken is the text as it is read aloud: a decision says first how it is settled.
func (l Line) Spoken() string {
	text := l.Text
	if l.Kind == DecisionLine {
		text = units.UpperFirst(l.By) + ": " + lowerFirst(l.Text)
	}
	if l.Twice {
		text += initials
	}
	return text
}

// exits are the ways on from a decision, "" for another line.
func (l Line) exits() (yes, no string) {
	if l.Kind != DecisionLine {
		return "", ""
	}
	yes, no = exit(l.Yes), exit(l.No)
	if l.Most != "" {
		limit := " (" + l.Most + ", then " + exit(l.Then) + ")"
		if l.Most == everyRow {
			limit = ""
		}
		if l.Yes != 0 && l.Yes <= l.Number {
			yes += limit
		} else {
			no += limit
		}
	}
	return yes, no
}

// everyRow marks a loop that a table's rows bound.
const everyRow = "rows"

// under are the small lines below a step: exits, waiting.
func (l Line) under() []string {
	var out []string
	if yes, no := l.exits(); yes != "" {
		out = append(out, "Yes: "+yes+". No: "+no+".")
	}
	return append(out, l.small()...)
}

// stopMark begins the line of a step that stops.
const stopMark = "STOP."

// small are the small lines that are no exits.
func (l Line) small() []string {
	var out []string
	if l.Lacking != "" {
		out = append(out, "None here? "+l.Lacking)
	}
	if l.Until != "" {
		out = append(out, stopMark+" "+l.Until+" Then: "+exit(l.Then)+".")
	}
	if l.Wait != "" {
		out = append(out, "Wait: "+l.Wait+" Meanwhile: "+l.Meanwhile+" Too late? "+l.Late)
	}
	return out
}

// initials are the two blanks of an independent verification: two people, or one who
// looks twice.
const initials = " (two looks __ __)"

// exit is where a decision leads.
func exit(step int) string {
	switch step {
	case 0:
		return "last line"
	case -1:
		return "NOWHERE"
	}
	return "step " + itoa(step)
}
