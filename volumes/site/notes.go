package site

// What the loader warns of about a store, behind its path ("stores.vat: "), when
// a later record may settle it.
const (
	// NoteUndated: saltwater is there and nobody said when it was mixed.
	NoteUndated = "no date of mixing: it is counted, but nobody knows how old it is; add mixed: or enter a test"
	// NoteEmpty: neither level nor volume is given.
	NoteEmpty = "neither level nor volume is given: it counts as empty"
)
