package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"go/ast"
	"go/importer"
	"go/parser"
	"go/printer"
	"go/token"
	"go/types"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"time"
)

// bench holds a package with all its mutants, and the test binaries that have most of them.
type bench struct {
	work     string
	packages []string
	dirs     []string // of the packages
	limit    time.Duration
	skip     string // tests that are left out; "": none
	last     string // tests that are tried on what the others let live; "": none
	fset     *token.FileSet
	pkg      *types.Package
	info     *types.Info
	mutants  []*mutant
	switches map[string]*switches // by file
	flags    map[string][]string  // of a test binary beside the usual
}

// verdict is what the tests said of a mutant.
type verdict int

const (
	unbuilt verdict = iota
	notCaught
	caughtByOwn
	caughtByOthers
)

// newBench finds the mutants of the first package and builds the tests of all.
func newBench(work string, packages []string, limit time.Duration, skip, last string) *bench {
	b := &bench{work: work, packages: packages, limit: limit, skip: skip, last: last, fset: token.NewFileSet(), switches: map[string]*switches{},
		info: &types.Info{Types: map[ast.Expr]types.TypeAndValue{}, Uses: map[*ast.Ident]types.Object{}, Defs: map[*ast.Ident]types.Object{}}}
	var listed struct {
		Dir, Name string
		GoFiles   []string
	}
	for i, p := range packages {
		check(json.Unmarshal(b.output("go", "list", "-json=Dir,Name,GoFiles", p), &listed))
		b.dirs = append(b.dirs, listed.Dir)
		if i == 0 {
			b.read(listed.Dir, listed.GoFiles)
		}
	}
	check(os.WriteFile(filepath.Join(work, "helpers.go"), fmt.Appendf(nil, helpers, b.pkg.Name(), filepath.Join(work, "now")), 0o600))
	b.build()
	start := time.Now()
	b.now(0)
	for i := range packages {
		if !b.run(i, b.binary(i)) {
			fail("the tests of " + packages[i] + " fail without a mutant")
		}
	}
	b.limit = min(limit, 10*time.Second+8*time.Since(start))
	return b
}

// read parses and checks the package, and finds its mutants.
func (b *bench) read(dir string, names []string) {
	exports := map[string]string{}
	for d := json.NewDecoder(bytes.NewReader(b.output("go", "list", "-export", "-deps", "-json=ImportPath,Export", b.packages[0]))); ; {
		var p struct{ ImportPath, Export string }
		if err := d.Decode(&p); err == io.EOF {
			break
		} else {
			check(err)
		}
		exports[p.ImportPath] = p.Export
	}
	var files []*ast.File
	var sources []string
	for _, name := range names {
		src, err := os.ReadFile(filepath.Join(dir, name))
		check(err)
		f, err := parser.ParseFile(b.fset, filepath.Join(dir, name), src, parser.ParseComments)
		check(err)
		files, sources = append(files, f), append(sources, string(src))
	}
	look := func(path string) (io.ReadCloser, error) { return os.Open(exports[path]) }
	var err error
	b.pkg, err = (&types.Config{Importer: importer.ForCompiler(b.fset, "gc", look)}).Check(b.packages[0], b.fset, files, b.info)
	check(err)
	here, err := os.Getwd()
	check(err)
	for i, f := range files {
		name, err := filepath.Rel(here, filepath.Join(dir, names[i]))
		check(err)
		b.places(filepath.ToSlash(name), f, sources[i])
	}
}

var complaint = regexp.MustCompile(`(?m)^(\S+\.go):(\d+):\d+: `)

// build compiles the tests with all switches. Where the compiler does not take a line with
// its switches, its mutants are left to be compiled alone.
func (b *bench) build() {
	for range 20 {
		replace := map[string]string{filepath.Join(b.dirs[0], "zz_mutate_helpers.go"): filepath.Join(b.work, "helpers.go")}
		for name, w := range b.switches {
			path := filepath.Join(b.work, "switched-"+filepath.Base(name))
			check(os.WriteFile(path, []byte(w.source()), 0o600))
			replace[filepath.Join(b.dirs[0], filepath.Base(name))] = path
		}
		out, err := b.compile(replace, "-gcflags=-e")
		if err == nil {
			return
		}
		dropped := 0
		for _, at := range complaint.FindAllStringSubmatch(out, -1) {
			for _, m := range b.mutants {
				if m.switched && filepath.Base(m.file) == filepath.Base(at[1]) && strconv.Itoa(m.line) == at[2] {
					m.switched = false
					dropped++
				}
			}
		}
		if dropped == 0 {
			fail("cannot build the tests with switches:\n" + out)
		}
	}
	fail("cannot build the tests with switches")
}

// compile builds the test binaries with some files replaced.
func (b *bench) compile(replace map[string]string, flags ...string) (string, error) {
	text, err := json.Marshal(map[string]any{"Replace": replace})
	check(err)
	overlay := filepath.Join(b.work, "overlay.json")
	check(os.WriteFile(overlay, text, 0o600))
	for i, p := range b.packages {
		args := append([]string{"test", "-c", "-vet=off", "-overlay", overlay, "-o", b.binary(i)}, flags...)
		if out, err := exec.Command("go", append(args, p)...).CombinedOutput(); err != nil {
			return string(out), err
		}
	}
	return "", nil
}

func (b *bench) binary(i int) string { return filepath.Join(b.work, fmt.Sprintf("test%d", i)) }

// now says which mistake is to be made.
func (b *bench) now(id int) {
	check(os.WriteFile(filepath.Join(b.work, "now"), []byte(strconv.Itoa(id)), 0o600))
}

// try makes one mistake and runs the tests.
func (b *bench) try(m *mutant) verdict {
	if !m.switched {
		return b.alone(m)
	}
	b.now(m.id)
	return b.tests()
}

func (b *bench) tests() verdict {
	for i := range b.packages {
		if !b.run(i, b.binary(i)) {
			if i == 0 {
				return caughtByOwn
			}
			return caughtByOthers
		}
	}
	return notCaught
}

// alone compiles one mutant by itself.
func (b *bench) alone(m *mutant) verdict {
	path := filepath.Join(b.work, "mutant.go")
	f, err := os.Create(path)
	check(err)
	m.apply()
	err = printer.Fprint(f, b.fset, m.tree)
	m.undo()
	check(err)
	check(f.Close())
	one := &bench{work: filepath.Join(b.work, "alone"), packages: b.packages, dirs: b.dirs, limit: b.limit, skip: b.skip, last: b.last}
	check(os.MkdirAll(one.work, 0o700))
	if _, err := one.compile(map[string]string{filepath.Join(b.dirs[0], filepath.Base(m.file)): path}); err != nil {
		return unbuilt
	}
	return one.tests()
}

// run runs one package's tests, those that take long after the others.
func (b *bench) run(i int, binary string) bool {
	if b.last == "" {
		return b.part(i, binary, "-test.skip="+b.skip)
	}
	first := b.last
	if b.skip != "" {
		first += "|" + b.skip
	}
	return b.part(i, binary, "-test.skip="+first) && b.part(i, binary, "-test.skip="+b.skip, "-test.run="+b.last)
}

// part runs some of a package's tests; what takes too long or too much memory has failed.
func (b *bench) part(i int, binary string, which ...string) bool {
	const limited = `ulimit -v 12000000; exec "$0" "$@"`
	args := append([]string{"-c", limited, binary, "-test.short", "-test.failfast", "-test.paniconexit0", "-test.timeout=" + b.limit.String()}, append(which, b.memoryless(binary)...)...)
	c := exec.Command("sh", args...)
	c.Dir = b.dirs[i]
	tmp := filepath.Join(b.work, "tmp")
	check(os.MkdirAll(tmp, 0o700))
	c.Env = append(os.Environ(), "TMPDIR="+tmp)
	return c.Run() == nil
}

// memoryless are the flags that make property tests the same for every mutant: one draw, and
// no input that failed under another is left to be tried again.
func (b *bench) memoryless(binary string) []string {
	if b.flags == nil {
		b.flags = map[string][]string{}
	}
	if _, known := b.flags[binary]; !known {
		b.flags[binary] = []string{}
		if flags := []string{"-rapid.nofailfile", "-rapid.seed=1"}; exec.Command(binary, append(flags, "-test.list=^$")...).Run() == nil {
			b.flags[binary] = flags
		}
	}
	return b.flags[binary]
}

func (b *bench) output(name string, args ...string) []byte {
	c := exec.Command(name, args...)
	c.Stderr = os.Stderr
	out, err := c.Output()
	check(err)
	return out
}
