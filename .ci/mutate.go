//go:build ignore

// Mutate plants small mistakes in a package, one at a time, and counts how many its
// tests catch. Nothing in the tree is touched: each mutant reaches the compiler through
// an overlay.
//
//	go run .ci/mutate.go -n 100 -seed 1 ./salinity ./cmd/tidehold
//
// mutates the first package and runs the tests of all that are named, its own first. A
// mutant that does not compile does not count; one that makes the tests hang is caught.
// Those listed in .ci/equivalent-mutants.txt, each with the argument why no input can
// tell it from the original, do not count either.
//
// (A kept tool was tried first: gremlins v0.6.0 calls 151 of 211 mutants of refs/units
// "timed out" and does not count them, can not draw a sample, and runs either one
// package's tests or all of the module's.)
package main

import (
	"bufio"
	"encoding/json"
	"flag"
	"fmt"
	"go/ast"
	"go/parser"
	"go/printer"
	"go/token"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// swaps are the mistakes planted in binary operators.
var swaps = map[token.Token][]token.Token{
	token.ADD: {token.SUB}, token.SUB: {token.ADD}, token.MUL: {token.QUO}, token.QUO: {token.MUL}, token.REM: {token.MUL},
	token.LSS: {token.LEQ, token.GEQ}, token.LEQ: {token.LSS, token.GTR}, token.GTR: {token.GEQ, token.LEQ}, token.GEQ: {token.GTR, token.LSS},
	token.EQL: {token.NEQ}, token.NEQ: {token.EQL}, token.LAND: {token.LOR}, token.LOR: {token.LAND},
	token.ADD_ASSIGN: {token.SUB_ASSIGN}, token.SUB_ASSIGN: {token.ADD_ASSIGN}, token.MUL_ASSIGN: {token.QUO_ASSIGN}, token.QUO_ASSIGN: {token.MUL_ASSIGN},
	token.INC: {token.DEC}, token.DEC: {token.INC},
}

// mutant is one planted mistake: apply puts it into the tree, undo takes it out.
type mutant struct {
	file        string
	line        int
	text, what  string
	apply, undo func()
	tree        *ast.File
	fset        *token.FileSet
}

// key names a mutant in the list of equivalent ones; line numbers move, lines do not.
func (m mutant) key() string { return m.file + " | " + m.text + " | " + m.what }

func main() {
	n := flag.Int("n", 100, "mutants to try, at most")
	seed := flag.Uint64("seed", 1, "seed of the sample")
	limit := flag.Duration("timeout", 90*time.Second, "time for the tests of one mutant")
	least := flag.Float64("least", 0, "exit 1 if fewer than this share, in per cent, are caught")
	flag.Parse()
	if flag.NArg() == 0 {
		fail("usage: go run .ci/mutate.go [-n N] [-seed N] [-least %] PACKAGE [MORE TESTS]")
	}
	all := places(flag.Arg(0))
	rng := rand.New(rand.NewPCG(*seed, 0))
	rng.Shuffle(len(all), func(a, b int) { all[a], all[b] = all[b], all[a] })
	equivalent := argued()
	dir, err := os.MkdirTemp("", "mutate")
	check(err)
	defer os.RemoveAll(dir)
	if !run(dir, "", flag.Args(), *limit).passed {
		fail("the tests fail without a mutant")
	}
	caught, lived, own := 0, 0, 0
	for _, m := range all {
		if caught+lived == *n {
			break
		}
		if equivalent[m.key()] {
			continue
		}
		overlay := m.write(dir)
		r := run(dir, overlay, flag.Args()[:1], *limit)
		switch {
		case r.unbuilt:
			continue
		case !r.passed:
			own++
			caught++
		case flag.NArg() > 1 && !run(dir, overlay, flag.Args()[1:], *limit).passed:
			caught++
		default:
			lived++
			fmt.Printf("lived  %s:%d: %s\n       %s\n", m.file, m.line, m.what, m.text)
		}
	}
	share := 100 * float64(caught) / float64(max(1, caught+lived))
	fmt.Printf("%s: %d places, %d tried, %d caught by its own tests, %d with all named: %.0f %%\n", flag.Arg(0), len(all), caught+lived, own, caught, share)
	if share < *least {
		os.Exit(1)
	}
}

// places lists every mutant of the package in a folder.
func places(dir string) []mutant {
	files, err := filepath.Glob(filepath.Join(dir, "*.go"))
	check(err)
	var all []mutant
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		src, err := os.ReadFile(name)
		check(err)
		lines := strings.Split(string(src), "\n")
		fset := token.NewFileSet()
		tree, err := parser.ParseFile(fset, name, src, parser.ParseComments)
		check(err)
		add := func(pos token.Pos, what string, apply, undo func()) {
			line := fset.Position(pos).Line
			all = append(all, mutant{filepath.ToSlash(filepath.Clean(name)), line, strings.TrimSpace(lines[line-1]), what, apply, undo, tree, fset})
		}
		ast.Inspect(tree, func(node ast.Node) bool { return visit(node, add) })
	}
	return all
}

// visit adds the mutants of one node and reports whether to go on below it.
func visit(node ast.Node, add func(token.Pos, string, func(), func())) bool {
	swap := func(pos token.Pos, op *token.Token) {
		old := *op
		for _, to := range swaps[old] {
			add(pos, fmt.Sprintf("%s -> %s", old, to), func() { *op = to }, func() { *op = old })
		}
	}
	switch x := node.(type) {
	case *ast.ImportSpec:
		return false
	case *ast.BinaryExpr:
		swap(x.OpPos, &x.Op)
	case *ast.AssignStmt:
		swap(x.TokPos, &x.Tok)
	case *ast.IncDecStmt:
		swap(x.TokPos, &x.Tok)
	case *ast.UnaryExpr:
		switch x.Op {
		case token.SUB:
			add(x.OpPos, "without -", func() { x.Op = token.ADD }, func() { x.Op = token.SUB })
		case token.NOT:
			inner := x.X
			add(x.OpPos, "without !", func() { x.X = &ast.UnaryExpr{Op: token.NOT, X: inner} }, func() { x.X = inner })
		}
	case *ast.BasicLit:
		if x.Kind == token.FLOAT || x.Kind == token.INT {
			old := x.Value
			to := "(" + old + "+1)"
			if x.Kind == token.FLOAT {
				to = "(" + old + "*1.01)"
			}
			add(x.ValuePos, old+" -> "+to, func() { x.Value = to }, func() { x.Value = old })
		}
	case *ast.BlockStmt:
		for i, s := range x.List {
			if call, ok := s.(*ast.ExprStmt); ok {
				add(call.Pos(), "call left out", func() { x.List[i] = &ast.EmptyStmt{Semicolon: s.Pos(), Implicit: true} }, func() { x.List[i] = s })
			}
		}
	}
	return true
}

// write puts the mutated file and its overlay into dir and restores the tree.
func (m mutant) write(dir string) string {
	m.apply()
	defer m.undo()
	path := filepath.Join(dir, "mutant.go")
	f, err := os.Create(path)
	check(err)
	check(printer.Fprint(f, m.fset, m.tree))
	check(f.Close())
	abs, err := filepath.Abs(m.file)
	check(err)
	b, err := json.Marshal(map[string]map[string]string{"Replace": {abs: path}})
	check(err)
	overlay := filepath.Join(dir, "overlay.json")
	check(os.WriteFile(overlay, b, 0o600))
	return overlay
}

type result struct{ passed, unbuilt bool }

func run(dir, overlay string, packages []string, limit time.Duration) result {
	args := []string{"test", "-short", "-count=1", "-failfast", "-vet=off", "-timeout", limit.String()}
	if overlay != "" {
		args = append(args, "-overlay", overlay)
	}
	c := exec.Command("go", append(args, packages...)...)
	c.Env = append(os.Environ(), "TMPDIR="+dir)
	out, err := c.CombinedOutput()
	return result{err == nil, strings.Contains(string(out), "[build failed]") || strings.Contains(string(out), "[setup failed]")}
}

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
			keys[strings.Join(slices.Clone(parts[:3]), " | ")] = true
		}
	}
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
