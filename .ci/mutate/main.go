// Mutate plants small mistakes in a package, one at a time, and counts how many its
// tests catch.
//
//	go run ./.ci/mutate -n 100 -seed 1 ./salinity ./cmd/tidehold
//
// mutates the first package and runs the short tests of all that are named, its own first.
// -n 0 tries every mistake there is; -at float.go:31,gravity.go:12 those of some lines, -files
// float.go those of some files, and -skip REGEXP leaves out tests that take long: what lives is then
// tried again by all of them, with -at; -last REGEXP tries those only on what the others let live.
//
// Nothing in the tree is touched: what is compiled reaches the compiler through an overlay. Most
// mistakes are compiled in at once, each behind a switch, and the test binary is
// told which one to make; those that have no switch (constants) are compiled one by one. A
// mistake that does not compile does not count; one that makes the tests hang is caught.
//
// Two kinds do not count, since no test can tell them: those listed in
// .ci/equivalent-mutants.txt, each with the argument why no input can tell it from the original (one whose
// line is no longer there is reported, and ends in 1), and
// a number that nobody may read (returned beside an error or a false) or whose sign alone
// counts (math.Inf, math.IsInf), or that is 0.0, of which a hundredth more is the same.
//
// (A kept tool was tried first: gremlins v0.6.0 calls 151 of 211 mutants of refs/units
// "timed out" and does not count them, can not draw a sample, and runs either one
// package's tests or all of the module's.)
package main

import (
	"bufio"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

func main() {
	n := flag.Int("n", 100, "mutants to try, at most; 0: all")
	seed := flag.Uint64("seed", 1, "seed of the sample")
	at := flag.String("at", "", "try only those of these lines: file.go:31,file.go:40")
	files := flag.String("files", "", "try only those of these files: float.go,gravity.go")
	list := flag.Bool("list", false, "list the sample's order and try none")
	skip := flag.String("skip", "", "leave out the tests that match")
	last := flag.String("last", "", "try the tests that match only on what the others let live")
	limit := flag.Duration("timeout", 90*time.Second, "the longest that the tests of one mutant may take")
	least := flag.Float64("least", 0, "exit 1 if fewer than this share, in per cent, are caught")
	flag.Parse()
	if flag.NArg() == 0 {
		fail("usage: go run ./.ci/mutate [-n N] [-seed N] [-at LINES] [-least %] PACKAGE [MORE TESTS]")
	}
	work, err := os.MkdirTemp("", "mutate")
	check(err)
	defer os.RemoveAll(work)
	b := newBench(work, flag.Args(), *limit, *skip, *last)
	all := slices.Clone(b.mutants)
	rng := rand.New(rand.NewPCG(*seed, 0))
	rng.Shuffle(len(all), func(a, b int) { all[a], all[b] = all[b], all[a] })
	equivalent := argued()
	stale := leftOver(equivalent, b.mutants)
	for _, key := range stale {
		fmt.Printf("argued, but no longer there: %s\n", key)
	}
	all = slices.DeleteFunc(all, func(m *mutant) bool {
		name := filepath.Base(m.file)
		return equivalent[m.key()] || *at != "" && !listed(*at, fmt.Sprintf("%s:%d", name, m.line)) || *files != "" && !listed(*files, name)
	})
	if *list {
		for i, m := range all {
			fmt.Printf("%d %s:%d: %s\n", i+1, m.file, m.line, m.what)
		}
		return
	}
	caught, lived, own := 0, 0, 0
	for _, m := range all {
		if *n > 0 && caught+lived == *n {
			break
		}
		switch b.try(m) {
		case unbuilt:
		case caughtByOwn:
			own++
			caught++
		case caughtByOthers:
			caught++
		case notCaught:
			lived++
			fmt.Printf("lived  %s:%d: %s (number %d)\n       %s\n", m.file, m.line, m.what, caught+lived, m.text)
		}
	}
	share := 100 * float64(caught) / float64(max(1, caught+lived))
	fmt.Printf("%s: %d places, %d tried, %d caught by its own tests, %d with all named: %.0f %%\n", flag.Arg(0), len(b.mutants), caught+lived, own, caught, share)
	if share < *least || len(stale) > 0 {
		os.Exit(1)
	}
}

// listed says that a word stands in a list with commas.
func listed(list, word string) bool { return slices.Contains(strings.Split(list, ","), word) }

// argued reads the keys of the mutants argued to be equivalent.
func argued() map[string]bool {
	keys := map[string]bool{}
	f, err := os.Open(".ci/equivalent-mutants.txt")
	if err != nil {
		return keys
	}
	defer f.Close()
	for in := bufio.NewScanner(f); in.Scan(); {
		if parts := strings.SplitN(in.Text(), " | ", 4); len(parts) == 4 && !strings.HasPrefix(in.Text(), "#") {
			keys[strings.Join(parts[:3], " | ")] = true
		}
	}
	return keys
}

// leftOver lists the arguments about mutants of the package's files that are not among them: their line
// was changed, and what was argued may hold no more.
func leftOver(argued map[string]bool, mutants []*mutant) (keys []string) {
	files, there := map[string]bool{}, map[string]bool{}
	for _, m := range mutants {
		files[m.file], there[m.key()] = true, true
	}
	for key := range argued {
		file, _, _ := strings.Cut(key, " | ")
		if files[file] && !there[key] {
			keys = append(keys, key)
		}
	}
	slices.Sort(keys)
	return keys
}

func check(err error) {
	if err != nil {
		fail(err.Error())
	}
}

func fail(text string) {
	fmt.Fprintln(os.Stderr, "mutate: "+text)
	os.Exit(2)
}
