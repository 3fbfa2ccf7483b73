// Package refs holds what the rest of the tool rests on: values with their
// sources. Everything printed by this project that was not computed from the
// user's own numbers comes from here, with a source key, an edition and a basis.
package refs
