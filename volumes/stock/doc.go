// Package stock keeps the record of what is on hand: every dip of a vat, every
// litre drawn or added, every kilogram of salt. The site file says where a site
// started and is never rewritten; the journal beside it, one JSON object a line,
// says what happened since. What is on hand now is the fold of the two.
//
// The journal is append-only: a mistake is taken back by an entry that undoes
// it. Each line carries a checksum over itself and the line before, so that a
// line torn by a crash, changed by hand or removed is noticed and named.
//
// Reading text into entries (parse.go, scan.go), encoding them (encode.go) and folding
// them (fold.go, apply.go) are pure: bytes in, values out. Files, locks and the
// disk are touched in journal.go alone, and the clock is passed in.
package stock
