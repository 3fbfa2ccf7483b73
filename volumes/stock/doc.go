// Package stock keeps the record of what is on hand: every dip of a vat, every
// litre drawn or added, every kilogram of salt. The site file says where a site
// started and is never rewritten; the journal beside it, one JSON object a line,
// says what happened since. What is on hand now is the fold of the two.
//
// The journal is append-only: a mistake is taken back by an entry that undoes
// it. Each line carries a checksum over itself and the line before, so that a
// line torn by a crash, changed by hand or removed is noticed and named; the lock file
// keeps the number and sum of the last, so that a cut end or an older copy is too.
//
// Entries act in the order in which they were written, whatever the clock said; one
// that a keeper enters later, with its time, is marked Late and acts at its time. The
// amounts of an entry dated ahead of the clock count, its date does not. An entry that was
// refused or failed says what is in the journal: nothing was written, or look first.
//
//	question                               file
//	which kinds of entries are there?      kinds.go, entry.go, deeds.go, pours.go
//	what does an entry do to the stock?    apply.go, apply_deeds.go
//	in which order, and what is undone?    order.go
//	what is on hand; may an entry follow?  fold.go, status.go
//	how is the text read and written?      parse.go, scan.go, encode.go
//	what about files, locks and crashes?   journal.go, mark.go
//
// Reading, encoding and folding are pure: bytes in, values out. Files, locks and the
// disk are touched in journal.go alone, and the clock is passed in.
package stock
