package site

import "tidehold/refs"

// Note is something a keeper should know that is no fault.
type Note struct {
	// Place is what it is about; the zero Place for the whole.
	Place refs.Place
	// Path spells the place for people, "" for the whole.
	Path string
	// Code tells notes apart for programs; "" for those that nothing acts on.
	Code NoteCode
	// Text is the note itself, without the path.
	Text string
}

// String is the note as it is printed.
func (n Note) String() string {
	if n.Path == "" {
		return n.Text
	}
	return n.Path + ": " + n.Text
}

// NoteCode names a kind of note.
type NoteCode string

// The notes that others act on.
const (
	// NoteUndated: saltwater is there and nobody said when it was mixed.
	NoteUndated NoteCode = "undated"
	// NoteEmpty: neither level nor volume is given.
	NoteEmpty NoteCode = "empty"
	// NoteDose: a label's dose cannot be, and the least that can is counted.
	NoteDose NoteCode = "dose"
	// NoteFuture: a date is in the future and does not count.
	NoteFuture NoteCode = "future"
	// NoteJournal: the journal has something that a keeper should put right.
	NoteJournal NoteCode = "journal"
)

const (
	undatedText = "no date of mixing: it is counted, but nobody knows how old it is; add mixed: or enter a test"
	emptyText   = "neither level nor volume is given: it counts as empty"
)

// Texts are notes as they are printed.
func Texts(notes []Note) []string {
	out := make([]string, len(notes))
	for i, n := range notes {
		out[i] = n.String()
	}
	return out
}
