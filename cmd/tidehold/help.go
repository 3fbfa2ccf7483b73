package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"tidehold/refs/units"
	"tidehold/response/tabular"
)

// help prints what a command or a topic is for: what it answers, examples, the usage,
// the text, its own flags. The notation is one: <needed>, [<may be left out>], a|b.
func (a *app) help(c *cobra.Command) string {
	h := &helpPage{width: a.Width}
	switch {
	case !c.HasParent():
		h.root(c)
	case !c.Runnable() && !c.HasAvailableSubCommands():
		h.para(sentence(units.UpperFirst(c.Short)))
		h.text(c.Long)
	default:
		h.command(c)
	}
	return strings.TrimRight(h.b.String(), "\n") + "\n"
}

// helpPage collects one help text.
type helpPage struct {
	width int
	b     strings.Builder
}

func (h *helpPage) para(s string) { h.b.WriteString(tabular.Wrap(s, h.width) + "\n\n") }

func (h *helpPage) head(s string) { h.b.WriteString(s + "\n") }

// text prints paragraphs anew at the width; lines that begin with a blank stay.
func (h *helpPage) text(s string) {
	for _, block := range strings.Split(strings.Trim(s, "\n"), "\n\n") {
		lines := strings.Split(block, "\n")
		for len(lines) > 0 {
			n := slices.IndexFunc(lines, func(l string) bool { return strings.HasPrefix(l, " ") })
			if n < 0 {
				n = len(lines)
			}
			if n > 0 {
				h.b.WriteString(tabular.Wrap(strings.Join(lines[:n], " "), h.width) + "\n")
			} else {
				n = 1
				h.kept(lines[0])
			}
			lines = lines[n:]
		}
		h.b.WriteString("\n")
	}
}

// kept prints a line as it is, a longer one with the rest moved in below its beginning.
func (h *helpPage) kept(l string) {
	rest := strings.TrimLeft(l, " ")
	indent := l[:len(l)-len(rest)]
	rest = tabular.Wrap(rest, max(20, h.width-len(indent)-2))
	h.b.WriteString(indent + strings.ReplaceAll(rest, "\n", "\n"+indent+"  ") + "\n")
}

// entry is a word and what it means, in two columns.
type entry struct{ word, about string }

// entries prints a list in two columns; where the first would take half of the width,
// what it means stands on the next line.
func (h *helpPage) entries(list []entry) {
	wide := 0
	for _, e := range list {
		wide = max(wide, len([]rune(e.word)))
	}
	wide = min(wide, h.width/3)
	for _, e := range list {
		word := "  " + e.word
		if n := len([]rune(e.word)); n > wide {
			h.b.WriteString(word + "\n")
			word = "  " + strings.Repeat(" ", wide)
		} else {
			word += strings.Repeat(" ", wide-n)
		}
		indent := strings.Repeat(" ", wide+4)
		about := tabular.Wrap(e.about, max(20, h.width-wide-4))
		h.b.WriteString(strings.TrimRight(word+"  "+strings.ReplaceAll(about, "\n", "\n"+indent), " ") + "\n")
	}
	h.b.WriteString("\n")
}

// root is the help of the program: commands by what they are for, then topics.
func (h *helpPage) root(c *cobra.Command) {
	h.para(sentence(units.UpperFirst(c.Name()) + ": " + c.Short))
	h.text(c.Long)
	var commands, topics []entry
	for _, s := range c.Commands() {
		switch {
		case s.Hidden:
		case s.Runnable() || s.HasAvailableSubCommands():
			commands = append(commands, entry{s.Name(), s.Short})
		default:
			topics = append(topics, entry{s.Name(), s.Short})
		}
	}
	h.head("Commands (tidehold help <command>)")
	h.entries(commands)
	h.head("Topics (tidehold help <topic>)")
	h.entries(topics)
}

// unbroken stands for a blank at which no line may end.
const unbroken = "\x1f"

// quotedWhole keeps what is quoted on one line: a backslash in it would be part of it.
func quotedWhole(line string) string {
	parts := strings.Split(line, "'")
	for i := 1; i < len(parts); i += 2 {
		parts[i] = strings.ReplaceAll(parts[i], " ", unbroken)
	}
	return strings.Join(parts, "'")
}

// pasteable is a command that may be broken: it goes on after a backslash, so that it is pasted as one. Of an entry in two
// lines a shell took the first alone, without the salt and the water that went in.
func pasteable(command string, width int, indent string) string {
	rows := strings.Split(tabular.Wrap(quotedWhole(command), width), "\n")
	return strings.ReplaceAll(strings.Join(rows, " \\\n"+indent), unbroken, " ")
}

// command is the help of one command.
func (h *helpPage) command(c *cobra.Command) {
	h.para(sentence(c.CommandPath() + ": " + c.Short))
	if c.Example != "" {
		h.head("Examples")
		for _, l := range strings.Split(c.Example, "\n") {
			h.b.WriteString("  " + pasteable(strings.TrimSpace(l), h.width-8, "      ") + "\n")
		}
		h.b.WriteString("\n")
	}
	h.head("Usage")
	use := strings.TrimSuffix(c.Parent().CommandPath()+" "+c.Use, " ")
	h.b.WriteString("  " + strings.ReplaceAll(tabular.Wrap(use, h.width-6), "\n", "\n      ") + "\n\n")
	h.text(c.Long)
	var subs []entry
	for _, s := range c.Commands() {
		if !s.Hidden && s.IsAvailableCommand() {
			subs = append(subs, entry{s.Name(), s.Short})
		}
	}
	if len(subs) > 0 {
		h.head("Commands (" + c.CommandPath() + " <command> --help)")
		h.entries(subs)
	}
	if own := flagEntries(ownFlags(c)); len(own) > 0 {
		h.head("Flags")
		h.entries(own)
	}
	h.para("Flags of every command: tidehold help flags.")
}

// ownFlags are the flags of a command that not every command has.
func ownFlags(c *cobra.Command) *pflag.FlagSet {
	own := pflag.NewFlagSet(c.Name(), pflag.ContinueOnError)
	every := c.Root().PersistentFlags()
	add := func(f *pflag.Flag) {
		if f.Name != "help" && every.Lookup(f.Name) != f && own.Lookup(f.Name) == nil {
			own.AddFlag(f)
		}
	}
	c.LocalFlags().VisitAll(add)
	c.InheritedFlags().VisitAll(add)
	return own
}

// flagEntries are flags with the value they take, and what they are for.
func flagEntries(fs *pflag.FlagSet) []entry {
	var out []entry
	fs.VisitAll(func(f *pflag.Flag) {
		if f.Hidden {
			return
		}
		_, about := pflag.UnquoteUsage(f)
		word := "--" + f.Name
		if f.Shorthand != "" {
			word = "-" + f.Shorthand + ", " + word
		}
		if v := placeholder(f); v != "" {
			word += " <" + v + ">"
		}
		out = append(out, entry{word, about})
	})
	return out
}

// plainWords are what a flag takes, where its usage does not say: never the name of a
// type of the language it is written in.
var plainWords = map[string]string{
	"event": "id", "system": "id", "store": "id", "salt": "id", "at": "time", "sampled": "time", "pair": "pair", "with-pair": "pair", "of": "substance",
}

// placeholder is the word for what a flag takes; "" for a flag without a value.
func placeholder(f *pflag.Flag) string {
	kind := f.Value.Type()
	if kind == "bool" {
		return ""
	}
	name, _ := pflag.UnquoteUsage(f)
	if word, ok := plainWords[f.Name]; ok && (name == "string" || name == "strings") {
		return word
	}
	switch {
	case name == "string", name == "strings", name == "stringArray":
		return "text"
	case strings.HasPrefix(name, "int"), strings.HasPrefix(name, "uint"):
		return "number"
	}
	return strings.ToLower(name)
}

// flagsTopic is the help text on the flags that every command has.
func flagsTopic(a *app, root *cobra.Command) *cobra.Command {
	c := &cobra.Command{Use: "flags", Short: "the flags that every command has, and the environment"}
	c.SetHelpFunc(func(*cobra.Command, []string) {
		h := &helpPage{width: a.Width}
		h.para("Flags of every command.")
		h.entries(flagEntries(root.PersistentFlags()))
		h.head("Environment")
		h.entries([]entry{
			{"TIDEHOLD_SITE", "the site file, where --site does not name one"},
			{"COLUMNS", "the width of a line and of tables, where the screen's is not known"},
			{"PAGER", "shows an answer that is longer than the screen (default: less)"},
			{"NO_COLOR", "no bold type; FORCE_COLOR asks for it in a pipe"},
		})
		_, _ = fmt.Fprint(root.OutOrStdout(), strings.TrimRight(h.b.String(), "\n")+"\n")
	})
	return c
}

// sentence ends a text with a full stop, unless it is a question.
func sentence(s string) string {
	if strings.HasSuffix(s, "?") {
		return s
	}
	return s + "."
}
