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

// Stage is how urgent a block is; blocks stand on a card in this order.
type Stage string

// The stages of a card.
const (
	StageNow     Stage = "now"     // lives of people, power, source, oxygen
	StageSave    Stage = "save"    // samples and first readings
	StageTreat   Stage = "treat"   // changes, warming, dosing, moving
	StageWatch   Stage = "watch"   // stop rule, abort rule, re-tests
	StageRestore Stage = "restore" // repair, hand over, sign
)

var stages = []Stage{StageNow, StageSave, StageTreat, StageWatch, StageRestore}

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
	// Hazards it guards against: a card with any of them must carry it.
	Hazards []string `json:"hazards"`
	// Hazard, Consequence and Avoid are its three parts, each a sentence or two.
	Hazard      string `json:"hazard"`
	Consequence string `json:"consequence"`
	Avoid       string `json:"avoid"`
	// Basis is where the rule comes from.
	Basis string `json:"basis"`
}

// Words are the caution as it is printed.
func (c *Caution) Words() string { return c.Hazard + " " + c.Consequence + " " + c.Avoid }

// Item is one line of a block: exactly one of Do, Ask, Caution, Note and Table is
// set.
type Item struct {
	// ID names a step or question so that decisions and edits can point at it.
	ID string
	// Do is an instruction; it may hold {{fields}}.
	Do string
	// Ask is a yes/no question about something that By (look, read, smell, count,
	// feel) settles; Yes and No name the step to go on with: next, after (the first
	// one behind the block), done (the last line), or an id.
	Ask, By string
	Yes, No string
	// YesMeans and NoMeans are what an answer tells: see findings.
	YesMeans, NoMeans []string
	// Most is how often the backward answer of a question may be taken, and Then
	// where the card goes on after that. Most is rows where a table's rows bound it.
	Most string
	Then string
	// Until is the condition a step that stops waits for; it goes on at Then.
	Until string
	// Card is the shared card this step sends the reader to and back from.
	Card string
	// Caution is an id of the library.
	Caution string
	// Note is information without a tick box.
	Note string
	// Table is one of the tables filled from Facts.
	Table string

	Category Category
	// Effects are what the step does, from the closed vocabulary.
	Effects []Effect
	// Needs are what it cannot be done without; Lacking is the whole step where the
	// site has not got it, and LackingEffects what that does.
	Needs          []string
	Lacking        string
	LackingEffects []Effect
	// Only prints the line only at a site that has all of these, or is not known;
	// Unless drops it where the site has any of them.
	Only, Unless []string
	// Hazards this step exposes people to: a caution for each stands before it in
	// the same block, or is the card's line of danger.
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
	Items   []Item
}

// Playbook is one card as data: an event's own, or one that several events share.
type Playbook struct {
	Name     string
	Version  int
	Reviewed time.Time
	Title    string
	UseWhen  string
	NotWhen  string
	Goal     string
	// Shared says that it is no event of its own: other cards send people to it.
	Shared bool
	// Synonyms are the words people use for the event.
	Synonyms []string
	// Hazards that any use of this card brings.
	Hazards []string
	// Danger is the caution that stands above the box, by its id.
	Danger string
	// Phones are the roles of the three numbers of the front, the first of them the
	// emergency number.
	Phones []string
	// Water prints the first changes on the front.
	Water bool
	// Contaminant says that something is to be diluted: samples before and after.
	Contaminant bool
	// FastPoison says that clean water at once beats slow changes for animals in
	// trouble: only such a card may send them to a bin of new water.
	FastPoison bool
	// Failed is the device that failed, which is never switched on again: a word of
	// devices, "" where none did.
	Failed string
	// PowerOut says that the mains are off.
	PowerOut bool
	// Unknown marks the card for an unknown cause; Sitter the one without choices.
	Unknown, Sitter bool
	// Kit lists what the card uses; the needs of its steps are added.
	Kit []string
	// Basis says where the card's own numbers come from, for the last page.
	Basis  []string
	Box    []Item
	Blocks []Block
	// Complete is the last line of the card.
	Complete string
	// File the playbook was read from; "" for the built-in ones.
	File string
	// Adapts is the built-in playbook this one changes; "".
	Adapts string
}

// each visits every line of the card, the box first.
func (p *Playbook) each(visit func(*Item)) {
	for i := range p.Box {
		visit(&p.Box[i])
	}
	for b := range p.Blocks {
		for i := range p.Blocks[b].Items {
			visit(&p.Blocks[b].Items[i])
		}
	}
}

// sends lists the shared cards a card's steps send people to, in order, each once.
func (p *Playbook) sends() []string { return p.sendsAt(Profile{}) }

// sendsAt is sends without the lines that a site does not print.
func (p *Playbook) sendsAt(at Profile) []string {
	var out []string
	seen := map[string]bool{}
	p.each(func(it *Item) {
		gone := !at.shows(it) || it.Lacking != "" && at.lacks(it.Needs)
		if it.Card != "" && !seen[it.Card] && !gone {
			seen[it.Card] = true
			out = append(out, it.Card)
		}
	})
	return out
}
