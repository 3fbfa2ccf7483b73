package outside

import (
	"flag"
	"os"
	"strconv"
	"testing"
)

// long asks for as many cases as a test has ever been tried on: TIDEHOLD_TEST_LONG=1.
const long = "TIDEHOLD_TEST_LONG"

// raced is how few of the cases of a short test are tried under the race detector: one in four.
const raced = 4

// Cases is how many cases a test tries, and by the same measure how many of a kind it expects
// among them: most of them when asked by TIDEHOLD_TEST_LONG=1, usual as a rule, short in short
// tests, and a few of those under the race detector.
func Cases(most, usual, short int) int {
	n := usual
	switch {
	case os.Getenv(long) != "":
		n = most
	case testing.Short():
		n = short
	}
	if UnderRace {
		n = (n + raced - 1) / raced
	}
	return n
}

// Checks has the properties of a test tried on so many cases, if -rapid.checks does not say how
// many; rapid itself tries a fifth of them in short tests, which is one at the least.
func Checks(t testing.TB, most, usual int) {
	t.Helper()
	checks := flag.Lookup("rapid.checks")
	was := checks.Value.String()
	if was != checks.DefValue {
		return
	}
	if err := checks.Value.Set(strconv.Itoa(max(5, Cases(most, usual, usual)))); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = checks.Value.Set(was) })
}

// Tried says whether the k-th of a list of cases is tried: each as a rule, each part-th in short
// tests, and of these one in eight under the race detector.
func Tried(k, part int) bool {
	if UnderRace {
		part *= 8
	} else if !testing.Short() {
		part = 1
	}
	return k%part == 0
}

// Alone skips a long test under the race detector: nothing in it runs beside anything else.
func Alone(t testing.TB) {
	t.Helper()
	if UnderRace {
		t.Skip("nothing runs beside it")
	}
}
