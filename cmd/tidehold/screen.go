package main

import (
	"bytes"
	"io"
	"slices"
	"strings"
	"unicode"
)

// A screen has this many lines and columns, and shows this many warnings where there
// is room.
const (
	screenLines, screenColumns = 24, 80
	mostWarnings               = 3
)

// renderScreen prints for a terminal: with as many warnings as leave the answer on one
// screen, set close before one is left out; where the answer alone is longer, with the
// usual number.
func (a *app) renderScreen(w io.Writer, ans answer) error {
	s := a.screen()
	for most := mostWarnings; most >= 0 && !a.all; most-- {
		blocks := a.onScreen(ans, most)
		if longTable(blocks) {
			break // no number of warnings makes it fit, and setting it takes seconds
		}
		for _, set := range [][]block{blocks, closeSet(blocks), closestSet(blocks), shortSet(blocks)} {
			var b bytes.Buffer
			if err := renderText(&b, set, s); err != nil {
				return err
			}
			if bytes.Count(b.Bytes(), []byte("\n")) <= screenLines {
				_, err := w.Write(b.Bytes())
				return err
			}
		}
	}
	blocks := a.onScreen(ans, mostWarnings)
	if !a.all && slices.ContainsFunc(blocks, func(b block) bool { return b.Short != "" }) {
		blocks = shortSet(blocks)
	}
	return renderText(w, blocks, s)
}

// closeSet is blocks whose paragraphs follow each other without a blank line; tables and
// figures keep theirs.
func closeSet(blocks []block) []block {
	out := slices.Clone(blocks)
	for i := range out {
		if i > 0 && out[i].Text != "" {
			out[i].Tight = true
		}
	}
	return out
}

// closestSet is blocks without any blank line between them: a table has its rule.
func closestSet(blocks []block) []block {
	out := slices.Clone(blocks)
	for i := range out {
		out[i].Tight = i > 0
	}
	return out
}

// shortSet is blocks set close, with the short form of those that have one: a table goes before a warning does.
func shortSet(blocks []block) []block {
	out := closestSet(blocks)
	for i, b := range out {
		if b.Short != "" {
			out[i] = line("%s", b.Short)
		}
	}
	return out
}

// longTable says whether a table alone is longer than a screen.
func longTable(blocks []block) bool {
	return slices.ContainsFunc(blocks, func(b block) bool { return b.Table != nil && len(b.Table.Rows) > screenLines })
}

// onScreen are the blocks of a terminal: the answer, what is asked for besides, the
// most warnings, what was assumed, the command to go on with.
func (a *app) onScreen(ans answer, most int) []block {
	out := slices.Clone(ans.Blocks)
	if a.all {
		out = append(withoutScreen(out), ans.More...)
	}
	shown := ans.Warnings
	if !a.all && len(shown) > most {
		shown = shown[:most]
	}
	for i, s := range shown {
		out = append(out, block{Text: "! " + s, Tight: i > 0})
	}
	n := len(ans.Warnings) - len(shown)
	them := "them"
	if n == 1 {
		them = "it"
	}
	switch {
	case n > 0 && len(shown) == 0:
		out = append(out, para("! %s: --all prints %s", counted(n, "warning"), them))
	case n > 0:
		out = append(out, line("! %s: --all prints %s", counted(n, "more warning"), them))
	}
	if a.assumed || ans.ListAssumed {
		out = append(out, assumptionBlocks(ans)...)
	} else if s := assumedLine(ans, a.here()); s != "" {
		out = append(out, para("%s", s))
	}
	if ans.Next != "" {
		out = append(out, block{Text: "Next: tidehold " + ans.Next + a.here() + a.then(), Command: true, Tight: !a.assumed && len(ans.Assumptions) > 0})
	}
	return out
}

// here are the flags by which a command that is named finds the same site again: what is printed
// is typed as it stands.
func (a *app) here() string {
	switch {
	case a.demo:
		return " --demo"
	case a.site != "":
		return " --site " + asTyped(a.site)
	}
	return ""
}

// then are the flags by which it asks the same question: the moment and the what-ifs.
func (a *app) then() string {
	s := ""
	if a.at != "" {
		s += " --at " + asTyped(a.at)
	}
	for _, set := range a.sets {
		s += " --set " + asTyped(set)
	}
	return s
}

// asTyped is an argument as a shell takes it.
func asTyped(arg string) string {
	plain := func(r rune) bool {
		return unicode.IsLetter(r) || unicode.IsDigit(r) || strings.ContainsRune("-_./:=,+@", r)
	}
	if arg != "" && !strings.ContainsFunc(arg, func(r rune) bool { return !plain(r) }) {
		return arg
	}
	return "'" + strings.ReplaceAll(arg, "'", `'\''`) + "'"
}
