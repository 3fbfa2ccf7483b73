package main

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"strconv"
	"strings"
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
	id          int
	file        string
	line        int
	text, what  string
	apply, undo func()
	tree        *ast.File
	// switched says that it is compiled in, behind its switch.
	switched bool
}

// key names a mutant in the list of equivalent ones; line numbers move, lines do not.
func (m *mutant) key() string { return m.file + " | " + m.text + " | " + m.what }

// places lists every mutant of a file, and writes a switch for each that can have one.
func (b *bench) places(name string, tree *ast.File, src string) {
	lines := strings.Split(src, "\n")
	w := &switches{bench: b, tree: tree, src: src, imports: map[string]string{}}
	b.switches[name] = w
	var above []ast.Node
	ast.Inspect(tree, func(node ast.Node) bool {
		if node == nil {
			above = above[:len(above)-1]
			return true
		}
		if _, is := node.(*ast.ImportSpec); is {
			return false
		}
		above = append(above, node)
		var here []*mutant
		add := func(pos token.Pos, what string, apply, undo func()) {
			line := b.fset.Position(pos).Line
			m := &mutant{id: len(b.mutants) + 1, file: name, line: line, text: strings.TrimSpace(lines[line-1]), what: what, apply: apply, undo: undo, tree: tree}
			b.mutants, here = append(b.mutants, m), append(here, m)
		}
		if !unread(above, b.info) {
			visit(node, add)
		}
		if len(here) > 0 {
			w.put(above, here)
		}
		return true
	})
}

// visit adds the mutants of one node.
func visit(node ast.Node, add func(token.Pos, string, func(), func())) {
	swap := func(pos token.Pos, op *token.Token) {
		old := *op
		for _, to := range swaps[old] {
			add(pos, fmt.Sprintf("%s -> %s", old, to), func() { *op = to }, func() { *op = old })
		}
	}
	switch x := node.(type) {
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
			if zero, err := strconv.ParseFloat(old, 64); x.Kind == token.FLOAT && err == nil && zero == 0 {
				break // a hundredth more of nothing
			}
			to := "(" + old + "+1)"
			if x.Kind == token.FLOAT {
				to = "(" + old + "*1.01)"
			}
			add(x.ValuePos, old+" -> "+to, func() { x.Value = to }, func() { x.Value = old })
		}
	case *ast.ExprStmt:
		if call, is := x.X.(*ast.CallExpr); is {
			add(call.Pos(), "call left out", func() { x.X = &ast.BadExpr{} }, func() { x.X = call })
		}
	}
}

// unread says that a number is not read: it stands beside an error or a false that is returned
// with it, or in math.Inf(±1) or math.IsInf(x, ±1).
func unread(above []ast.Node, info *types.Info) bool {
	number, is := above[len(above)-1].(*ast.BasicLit)
	if !is || len(above) < 2 {
		return false
	}
	around := above[len(above)-2]
	if minus, is := around.(*ast.UnaryExpr); is && minus.Op == token.SUB && len(above) > 2 {
		around = above[len(above)-3]
	}
	if call, is := around.(*ast.CallExpr); is && number.Value != "0" {
		switch types.ExprString(call.Fun) {
		case "math.Inf", "math.IsInf":
			return true // its sign alone counts
		}
	}
	ret, is := above[len(above)-2].(*ast.ReturnStmt)
	if !is || len(ret.Results) < 2 {
		return false
	}
	switch last := ret.Results[len(ret.Results)-1].(type) {
	case *ast.Ident:
		if last.Name == "false" {
			return true
		}
		return last.Name != "nil" && isError(info.TypeOf(last)) && after(last.Name+" != nil", above)
	case *ast.CallExpr, *ast.UnaryExpr:
		return isError(info.TypeOf(last)) && after("", above)
	}
	return false
}

func isError(t types.Type) bool {
	return t != nil && types.Implements(t, types.Universe.Lookup("error").Type().Underlying().(*types.Interface))
}

// after says that a node stands in the body of an if with this condition; "" for none.
func after(condition string, above []ast.Node) bool {
	if condition == "" {
		return true
	}
	for i, n := range above {
		if f, is := n.(*ast.IfStmt); is && i+1 < len(above) && above[i+1] == ast.Node(f.Body) {
			if c, is := f.Cond.(*ast.BinaryExpr); is && types.ExprString(c) == condition {
				return true
			}
		}
	}
	return false
}
