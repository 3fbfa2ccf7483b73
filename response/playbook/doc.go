// Package playbook turns emergency procedures, written as data, into checklists
// filled with one site's own numbers.
//
// A Playbook is read from YAML (sheets/, or a keeper's own file beside the site
// file); Fill joins it with Facts, which the planner, readiness and hazards
// computed, into a Sheet: numbered steps, resolved decisions, cautions before
// the steps they protect, and blanks where a number is not known. Score measures
// a Sheet against published criteria for emergency checklists; Text, Markdown,
// HTML and JSON print it.
//
// The order never changes: people, electricity, the source, oxygen, and only then
// water. Cautions come from one library and cannot be edited away.
package playbook
