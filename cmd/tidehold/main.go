// Command tidehold keeps enough of the right saltwater ready and says what to do
// with it when something gets into the water.
package main

import (
	"os"
	"runtime/debug"
	_ "time/tzdata" // a site's time zone must be known where the system has no zone database
)

// memoryWanted is where the collector begins to trade time for memory: sites of ten
// thousand systems stay below 600 MiB, and others never come near.
const memoryWanted = 512 << 20

func main() {
	if os.Getenv("GOMEMLIMIT") == "" {
		debug.SetMemoryLimit(memoryWanted)
	}
	os.Exit(run(os.Args[1:], systemStreams()))
}
