package main

import (
	"cmp"
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"slices"
	"strings"
)

// helpers are compiled into the mutated package; which mistake is made is read from a file,
// so that every process of a test knows it. Packages that others import under a name
// of ours are named mut0, mut1 ….
const helpers = `package %s

import mutos "os"
import mutconv "strconv"

type mutNumber interface {
	~int | ~int8 | ~int16 | ~int32 | ~int64 | ~uint | ~uint8 | ~uint16 | ~uint32 | ~uint64 | ~float32 | ~float64
}

type mutInteger interface {
	~int | ~int8 | ~int16 | ~int32 | ~int64 | ~uint | ~uint8 | ~uint16 | ~uint32 | ~uint64
}

var mutNow = mutRead()

func mutRead() int {
	text, _ := mutos.ReadFile(%q)
	n, _ := mutconv.Atoi(string(text))
	return n
}

func mutIs(id int) bool { return mutNow == id }

func mutADD[T mutNumber](id int, a, b T) T { if mutNow == id { return a - b }; return a + b }
func mutSUB[T mutNumber](id int, a, b T) T { if mutNow == id { return a + b }; return a - b }
func mutMUL[T mutNumber](id int, a, b T) T { if mutNow == id { return a / b }; return a * b }
func mutQUO[T mutNumber](id int, a, b T) T { if mutNow == id { return a * b }; return a / b }
func mutREM[T mutInteger](id int, a, b T) T { if mutNow == id { return a * b }; return a %% b }

func mutLSS[T mutNumber | ~string](id int, a, b T) bool { switch mutNow { case id: return a <= b; case id + 1: return a >= b }; return a < b }
func mutLEQ[T mutNumber | ~string](id int, a, b T) bool { switch mutNow { case id: return a < b; case id + 1: return a > b }; return a <= b }
func mutGTR[T mutNumber | ~string](id int, a, b T) bool { switch mutNow { case id: return a >= b; case id + 1: return a <= b }; return a > b }
func mutGEQ[T mutNumber | ~string](id int, a, b T) bool { switch mutNow { case id: return a > b; case id + 1: return a < b }; return a >= b }

func mutLAND(id int, a bool, b func() bool) bool { if mutNow == id { return a || b() }; return a && b() }
func mutLOR(id int, a bool, b func() bool) bool { if mutNow == id { return a && b() }; return a || b() }
func mutFlip(id int, a bool) bool { return a != (mutNow == id) }
func mutNeg[T mutNumber](id int, a T) T { if mutNow == id { return a }; return -a }
func mutOne[T mutNumber](id int, a T) T { if mutNow == id { return a + 1 }; return a }
func mutPart[T ~float32 | ~float64](id int, a T) T { if mutNow == id { return a * 1.01 }; return a }
`

// edit puts text into a file: at an offset, in the place of cut characters. Of edits at one
// offset those that end something go first.
type edit struct {
	offset, cut, rank, order int
	text                     string
	mutant                   *mutant
}

const (
	ends = iota
	replaces
	begins
)

// switches are the edits of one file.
type switches struct {
	bench   *bench
	tree    *ast.File
	src     string
	edits   []edit
	imports map[string]string // alias by path
}

// put writes the switch of the mutants of one node, the last of those above it included;
// what has none is left to be compiled alone.
func (w *switches) put(above []ast.Node, here []*mutant) {
	if constant(above, w.bench.info) {
		return
	}
	m := here[0] // those of one place are switched by consecutive numbers
	from := len(w.edits)
	switch x := above[len(above)-1].(type) {
	case *ast.BinaryExpr:
		w.binary(x, m)
	case *ast.AssignStmt:
		if t, ok := w.number(x.Lhs[0]); ok && len(x.Lhs) == 1 {
			op := swaps[x.Tok]
			if len(op) == 0 {
				return
			}
			w.edit(m, x.TokPos, 2, replaces, fmt.Sprintf("= mut%s[%s](%d, %s, ", name(x.Tok), t, m.id, w.text(x.Lhs[0])))
			w.edit(m, x.End(), 0, ends, ")")
		}
	case *ast.IncDecStmt:
		if t, ok := w.number(x.X); ok {
			w.edit(m, x.TokPos, 2, replaces, fmt.Sprintf("= mut%s[%s](%d, %s, 1)", name(x.Tok), t, m.id, w.text(x.X)))
		}
	case *ast.UnaryExpr:
		if x.Op == token.NOT {
			w.around(m, x, fmt.Sprintf("mutFlip(%d, ", m.id))
		} else if t, ok := w.number(x); ok {
			w.edit(m, x.OpPos, 1, begins, fmt.Sprintf("mutNeg[%s](%d, ", t, m.id))
			w.edit(m, x.End(), 0, ends, ")")
		}
	case *ast.BasicLit:
		if t, ok := w.number(x); ok {
			f := "mutOne"
			if x.Kind == token.FLOAT {
				f = "mutPart"
			}
			w.around(m, x, fmt.Sprintf("%s[%s](%d, ", f, t, m.id))
		}
	case *ast.ExprStmt:
		if id, is := x.X.(*ast.CallExpr).Fun.(*ast.Ident); is && id.Name == "panic" {
			return
		}
		switch above[len(above)-2].(type) {
		case *ast.BlockStmt, *ast.CaseClause, *ast.CommClause:
		default: // at the head of an if or a for
			return
		}
		w.edit(m, x.Pos(), 0, begins, fmt.Sprintf("if !mutIs(%d) { ", m.id))
		w.edit(m, x.End(), 0, ends, " }")
	}
	if len(w.edits) > from {
		for _, m := range here {
			m.switched = true
		}
	}
}

func (w *switches) binary(x *ast.BinaryExpr, m *mutant) {
	switch x.Op {
	case token.LAND, token.LOR:
		w.edit(m, x.Pos(), 0, begins, fmt.Sprintf("mut%s(%d, ", name(x.Op), m.id))
		w.edit(m, x.OpPos, 2, replaces, ",")
		w.edit(m, x.Y.Pos(), 0, begins, "func() bool { return ")
		w.edit(m, x.End(), 0, ends, " })")
	case token.EQL, token.NEQ:
		w.around(m, x, fmt.Sprintf("mutFlip(%d, ", m.id))
	case token.LSS, token.LEQ, token.GTR, token.GEQ:
		t, ok := w.typed(x.X)
		if !ok {
			t, ok = w.typed(x.Y)
		}
		if ok {
			w.call(m, x, fmt.Sprintf("mut%s[%s](%d, ", name(x.Op), t, m.id))
		}
	default:
		if t, ok := w.number(x); ok {
			w.call(m, x, fmt.Sprintf("mut%s[%s](%d, ", name(x.Op), t, m.id))
		}
	}
}

// call makes a call of a binary expression, around puts one around an expression.
func (w *switches) call(m *mutant, x *ast.BinaryExpr, head string) {
	w.edit(m, x.Pos(), 0, begins, head)
	w.edit(m, x.OpPos, len(x.Op.String()), replaces, ",")
	w.edit(m, x.End(), 0, ends, ")")
}

func (w *switches) around(m *mutant, x ast.Node, head string) {
	w.edit(m, x.Pos(), 0, begins, head)
	w.edit(m, x.End(), 0, ends, ")")
}

func (w *switches) edit(m *mutant, pos token.Pos, cut, rank int, text string) {
	order := len(w.edits)
	if rank == ends {
		order = -order // what begins first ends last
	}
	w.edits = append(w.edits, edit{w.bench.fset.Position(pos).Offset, cut, rank, order, text, m})
}

func (w *switches) text(x ast.Node) string {
	return w.src[w.bench.fset.Position(x.Pos()).Offset:w.bench.fset.Position(x.End()).Offset]
}

// number is the type of an expression, if it is a number's and can be named.
func (w *switches) number(x ast.Expr) (string, bool) {
	t := w.bench.info.TypeOf(x)
	if t == nil {
		return "", false
	}
	if b, is := t.Underlying().(*types.Basic); !is || b.Info()&types.IsNumeric == 0 || b.Info()&types.IsComplex != 0 {
		return "", false
	}
	return w.typed(x)
}

// typed is the name of an expression's type in this file, if it has one that is no
// constant's without a type.
func (w *switches) typed(x ast.Expr) (string, bool) {
	t := w.bench.info.TypeOf(x)
	if t == nil {
		return "", false
	}
	if b, is := t.(*types.Basic); is && b.Info()&types.IsUntyped != 0 {
		return "", false
	}
	return types.TypeString(t, func(p *types.Package) string {
		if p == w.bench.pkg {
			return ""
		}
		if w.imports[p.Path()] == "" {
			w.imports[p.Path()] = fmt.Sprintf("mut%d", len(w.imports))
		}
		return w.imports[p.Path()]
	}), true
}

// source is the file with the edits of those mutants that have a switch.
func (w *switches) source() string {
	edits := slices.DeleteFunc(slices.Clone(w.edits), func(e edit) bool { return !e.mutant.switched })
	slices.SortStableFunc(edits, func(a, b edit) int {
		return cmp.Or(a.offset-b.offset, a.rank-b.rank, a.order-b.order)
	})
	var out strings.Builder
	at := 0
	for _, e := range edits {
		out.WriteString(w.src[at:e.offset])
		out.WriteString(e.text)
		at = e.offset + e.cut
	}
	out.WriteString(w.src[at:])
	var imports strings.Builder
	for path, alias := range w.imports {
		if strings.Contains(out.String(), alias+".") {
			fmt.Fprintf(&imports, "; import %s %q", alias, path)
		}
	}
	text := out.String()
	end := w.bench.fset.Position(w.tree.Name.End()).Offset // nothing is edited before it
	return text[:end] + imports.String() + text[end:]
}

// name is an operator's in the names of the helpers.
func name(t token.Token) string {
	return map[token.Token]string{
		token.ADD: "ADD", token.SUB: "SUB", token.MUL: "MUL", token.QUO: "QUO", token.REM: "REM", token.LSS: "LSS", token.LEQ: "LEQ", token.GTR: "GTR", token.GEQ: "GEQ",
		token.LAND: "LAND", token.LOR: "LOR", token.ADD_ASSIGN: "ADD", token.SUB_ASSIGN: "SUB", token.MUL_ASSIGN: "MUL", token.QUO_ASSIGN: "QUO", token.INC: "ADD", token.DEC: "SUB",
	}[t]
}

// constant says that a node stands where the language wants a constant.
func constant(above []ast.Node, info *types.Info) bool {
	for i, n := range above {
		var next ast.Node
		if i+1 < len(above) {
			next = above[i+1]
		}
		switch x := n.(type) {
		case *ast.GenDecl:
			if x.Tok == token.CONST {
				return true
			}
		case *ast.ArrayType:
			return true
		case *ast.KeyValueExpr:
			if lit, is := above[i-1].(*ast.CompositeLit); is && next == ast.Node(x.Key) {
				switch info.TypeOf(lit).Underlying().(type) {
				case *types.Array, *types.Slice:
					return true
				}
			}
		}
	}
	return false
}
