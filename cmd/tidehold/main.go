// Command tidehold keeps enough of the right saltwater ready and says what to do
// with it when something gets into the water.
package main

import (
	"os"
	"runtime"
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
	if os.Getenv("GOGC") == "" {
		collectLate()
	}
	os.Exit(run(os.Args[1:], systemStreams()))
}

// Per cent of the memory in use that may be added between two collections: lately is for the
// first one, which then comes at 80 MiB, when a thousand systems have been read and what their
// file was is garbage: at 40 MiB it was not yet, and a third collection followed. usually is
// thrice Go's own.
const lately, usually, goOwn = 2000, 300, 100

// collectLate puts the first garbage collection off: a command on one house is done before it,
// and saves a tenth of its time. What needs more is collected as usual from then on.
func collectLate() {
	debug.SetGCPercent(lately)
	first := new(*byte) // found dead by the first collection
	runtime.AddCleanup(first, func(percent int) {
		if was := debug.SetGCPercent(percent); was != lately {
			debug.SetGCPercent(was) // a long journal is being read: see spareMemory
		}
	}, usually)
}
