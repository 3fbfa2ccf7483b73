package playbook

import (
	"time"

	"tidehold/refs/yamlwalk"
)

// Category says what a step is for. In the boxed block the categories stand in
// the order of the constants.
type Category string

// The categories of a step. People to Oxygen are the order of immediate actions.
const (
	People  Category = "people"
	Power   Category = "power"
	Source  Category = "source"
	Oxygen  Category = "oxygen"
	Keep    Category = "sample"  // save water for the laboratory
	Measure Category = "measure" // read an instrument
	Water   Category = "water"   // drain, fill, mix
	Animals Category = "animals" // move, feed, remove
	Record  Category = "record"  // write down, phone, tidy
)

// categories in the order of urgency.
var categories = []Category{People, Power, Source, Oxygen, Keep, Measure, Water, Animals, Record}

// Stage is how urgent a block is; blocks stand on a sheet in this order.
type Stage string

// The stages of a sheet.
const (
	StageNow     Stage = "now"     // lives of people, power, source, oxygen
	StageSave    Stage = "save"    // samples and first readings
	StageTreat   Stage = "treat"   // changes, warming, dosing, moving
	StageWatch   Stage = "watch"   // stop rule, abort rule, re-tests
	StageRestore Stage = "restore" // repair, hand over, sign
)

var stages = []Stage{StageNow, StageSave, StageTreat, StageWatch, StageRestore}

// Role is who does a block.
type Role string

// The roles of a sheet: two people are enough.
const (
	Keeper Role = "keeper"
	Second Role = "second person"
)

var roles = []Role{Keeper, Second}

// Signal is a signal word as ANSI Z535.4 uses it: Danger will kill or badly
// injure a person, Warning could, CautionWord could injure slightly, Notice
// harms animals, equipment or the surroundings only.
type Signal string

// The four signal words.
const (
	Danger      Signal = "DANGER"
	Warning     Signal = "WARNING"
	CautionWord Signal = "CAUTION"
	Notice      Signal = "NOTICE"
)

var signals = []Signal{Danger, Warning, CautionWord, Notice}

// Caution is one entry of the library.
type Caution struct {
	ID     string `json:"id"`
	Signal Signal `json:"signal"`
	// Hazards it guards against: a sheet with any of them must carry it.
	Hazards []string `json:"hazards"`
	// Hazard, Consequence and Avoid are its three parts, each a sentence or two.
	Hazard      string `json:"hazard"`
	Consequence string `json:"consequence"`
	Avoid       string `json:"avoid"`
	// Basis is where the rule comes from.
	Basis string `json:"basis"`
}

// Item is one line of a block: exactly one of Do, Ask, Caution, Note, Table and
// Times is set.
type Item struct {
	// ID names a step or question so that decisions and edits can point at it.
	ID string
	// Do is an instruction; it may hold {{fields}}.
	Do string
	// Ask is a yes/no question about something that By (look, read, smell, count,
	// feel) settles; Yes and No name the step to go on with, or "next".
	Ask, By string
	Yes, No string
	// Caution is an id of the library.
	Caution string
	// Note is information without a tick box.
	Note string
	// Table is one of the tables filled from Facts.
	Table string
	// Times are re-test times after the start, printed as blanks to fill.
	Times []string

	Category Category
	// Hazards this step exposes people to: a caution for each stands before it in
	// the same block.
	Hazards []string
	// Locked items cannot be edited or removed by an adapted playbook.
	Locked bool
	// Twice asks for a second reading or a second person: two initials.
	Twice bool
	// Wait, Meanwhile and Late go with a step that waits: how long, what to do
	// until then, and what to do when the time cannot be kept.
	Wait, Meanwhile, Late string

	// node is where it was read, for faults found later.
	node *yamlwalk.Node
}

// Block is a group of at most seven lines under a short heading.
type Block struct {
	ID      string
	Heading string
	Stage   Stage
	Role    Role
	Items   []Item

	// use names the shared block this stands for, before it is resolved.
	use  string
	node *yamlwalk.Node
}

// Playbook is one emergency procedure as data.
type Playbook struct {
	Name     string
	Version  int
	Reviewed time.Time
	Title    string
	UseWhen  string
	NotWhen  string
	Goal     string
	// Hazards that any use of this sheet brings.
	Hazards []string
	// Unknown marks the sheet for an unknown cause; Sitter the one without choices.
	Unknown, Sitter bool
	Box             []Item
	Blocks          []Block
	// Words are the sheet's own words for what shared blocks leave open.
	Words map[string]string
	// Complete is the last line of the sheet.
	Complete string
	// File the playbook was read from; "" for the built-in ones.
	File string
	// Adapts is the built-in playbook this one changes; "".
	Adapts string
}
