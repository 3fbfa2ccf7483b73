// Package outside is what tests alone use: how many cases they try, and what they do where they set
// tidehold beside something that is not on this machine: a reference library, a browser, another
// interpreter.
package outside

import (
	"os"
	"testing"
)

// Missing ends a test whose outside half is not on this machine: skipped at a desk,
// failed where CI is set, because a check that silently does not run proves nothing.
func Missing(t testing.TB, format string, args ...any) {
	t.Helper()
	if os.Getenv("CI") != "" {
		t.Fatalf("CI must have it: "+format, args...)
	}
	t.Skipf(format, args...)
}
