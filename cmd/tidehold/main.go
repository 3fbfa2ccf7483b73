// Command tidehold keeps enough of the right saltwater ready and says what to do
// with it when something gets into the water.
package main

import (
	"os"
	_ "time/tzdata" // a site's time zone must be known where the system has no zone database
)

func main() { os.Exit(run(os.Args[1:], systemStreams())) }
