package main

import (
	"errors"
	"fmt"
	"io"
	"runtime/debug"
	"strconv"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"tidehold/refs"
	"tidehold/refs/units"
)

// app is what every command shares: the streams and the global flags.
type app struct {
	streams
	site    string
	sets    []string
	demo    bool
	format  *choice
	units   *choice
	at      string
	seed    uint64
	noColor bool
	// table is the table of CSV; all and assumed ask a screen for more.
	table        string
	all, assumed bool
	// out is the file the answer goes to; "" or "-" is standard output.
	out     string
	noPager bool
	// written is the number of the entry that this run has put into the journal: a
	// failure after that must not make anybody enter it twice.
	written int
	// filedOnly leaves the journal out when the site is loaded.
	filedOnly bool
}

const exitHelp = `Exit status: 0 done, the answer is yes; 1 failed; 2 bad input or usage; 3 computed, the answer is no.`

// newRoot builds the whole command tree on one app.
func newRoot(a *app) *cobra.Command {
	cobra.EnableCommandSorting = false // help shows them in the order of commands.go
	root := &cobra.Command{
		Use:   "tidehold",
		Short: "enough of the right saltwater ready, and what to do with it",
		Long: `Emergency water-change readiness and contamination response for captive
saltwater systems: is there enough of the right saltwater, how many changes of
what size and when, and what to do in which order.

Start with "tidehold init", then "tidehold ready". "tidehold ready --demo" needs
no file.

` + exitHelp,
		Args:          cobra.NoArgs,
		SilenceErrors: true, SilenceUsage: true,
		Version: version(),
	}
	root.CompletionOptions.DisableDefaultCmd = true // ours is listed, and refuses what is no shell
	root.SetVersionTemplate("tidehold {{.Version}}\n")
	root.SetFlagErrorFunc(flagError)
	// Unknown to cobra while it looks for the command, --version would swallow the word after it.
	root.InitDefaultHelpFlag()
	root.InitDefaultVersionFlag()
	a.globals(root.PersistentFlags())
	root.AddCommand(commands(a)...)
	root.AddCommand(topics()...)
	root.AddCommand(flagsTopic(a, root), jsonTopic(a, root))
	root.SetHelpFunc(func(c *cobra.Command, _ []string) { _, _ = io.WriteString(c.OutOrStdout(), a.help(c)) })
	root.SetUsageFunc(func(c *cobra.Command) error { _, err := io.WriteString(c.OutOrStderr(), a.help(c)); return err })
	root.SetHelpCommand(helpCommand(root))
	a.settle(root)
	return root
}

// helpCommand differs from cobra's own in that a topic that does not exist is
// bad usage, not help about something else.
func helpCommand(root *cobra.Command) *cobra.Command {
	return &cobra.Command{
		Use:   "help [<command>]",
		Short: "help about a command or a topic",
		Args:  cobra.ArbitraryArgs,
		RunE: func(_ *cobra.Command, args []string) error {
			c, rest, err := root.Find(args)
			if err != nil {
				return usage(err)
			}
			if len(rest) > 0 {
				return unknownCommand(c, rest[0])
			}
			return c.Help()
		},
	}
}

// globals declares the flags every command has.
func (a *app) globals(fs *pflag.FlagSet) {
	fs.StringVar(&a.site, "site", "", "site `file`, - for standard input (default $TIDEHOLD_SITE, then ./site.yaml)")
	fs.StringArrayVar(&a.sets, "set", nil, "what-if: replace one value of the site file, `path=value` by ids, e.g. stores.vat-a.volume=200L; repeatable")
	fs.BoolVar(&a.demo, "demo", false, "use the embedded demo site, at its own fixed date")
	a.format = choiceVar(fs, "format", "table", "rendering", "table", "json", "csv", "markdown", "html")
	fs.VarPF(jsonAlias{a.format}, "json", "", "the same as --format json").NoOptDefVal = "true"
	fs.StringVar(&a.table, "table", "", "which `table` of the answer --format csv prints")
	fs.StringVarP(&a.out, "out", "o", "", "write the answer to a `file`, whole or not at all")
	fs.BoolVar(&a.all, "all", false, "print the detail behind the answer too")
	fs.BoolVar(&a.assumed, "assumed", false, "print each assumed value with its basis")
	a.units = choiceVar(fs, "units", "", "units of display (default: the site's, else metric)", "metric", "us")
	fs.StringVar(&a.at, "at", "", "the moment to plan from or to enter: now, 03:00, \"2026-11-25 03:00\" in the site's time zone (\"01:30 (2nd)\" where the clock goes back), or RFC 3339")
	fs.Uint64Var(&a.seed, "seed", 1, "seed of the random trials")
	fs.BoolVar(&a.noColor, "no-color", false, "no bold type on a terminal (also NO_COLOR; FORCE_COLOR asks for it in a pipe)")
	fs.BoolVar(&a.noPager, "no-pager", false, "never hold a long answer back page by page (PAGER names the pager)")
}

// settle gives every command of the tree what cobra leaves out: an argument
// check, bad arguments as usage errors, and groups that refuse unknown words
// instead of printing help and exiting 0.
func (a *app) settle(c *cobra.Command) {
	inner := c.Args
	if inner == nil {
		inner = cobra.NoArgs
	}
	group := c.HasAvailableSubCommands() && c.Args == nil || !c.HasParent()
	c.Args = func(c *cobra.Command, args []string) error {
		if group && len(args) > 0 {
			return unknownCommand(c, args[0])
		}
		if inner(c, args) != nil {
			return wrongArguments(c, args)
		}
		return nil
	}
	if group && c.RunE == nil && c.Run == nil {
		c.RunE = a.groupHelp
	}
	c.DisableSuggestions = true
	for _, child := range c.Commands() {
		a.settle(child)
	}
}

// groupHelp is what a group prints that was given no command: its help, which is for
// people. A program that asked for another format is told so instead: it would take the
// help's exit status 0 for an answer.
func (a *app) groupHelp(c *cobra.Command, _ []string) error {
	if format := a.format.String(); format != "table" {
		return usagef("%q alone has no answer to print as %s: a command is missing; see %s --help", c.CommandPath(), format, c.CommandPath())
	}
	return c.Help()
}

func unknownCommand(c *cobra.Command, word string) error {
	return usagef("unknown command %q for %q%s; see %s --help", word, c.CommandPath(), meant(word, childNames(c)), c.CommandPath())
}

// wrongArguments says what a command takes, in the words of its usage line, and
// what it was given.
func wrongArguments(c *cobra.Command, args []string) error {
	var takes []string
	for _, word := range strings.Fields(c.Use)[1:] {
		if strings.HasPrefix(word, "--") || strings.HasPrefix(word, "(") {
			break // flags, which are no arguments
		}
		takes = append(takes, word)
	}
	given := "nothing"
	if len(args) > 0 {
		given = fmt.Sprintf("%q", strings.Join(args, " "))
	}
	if len(takes) == 0 {
		takes = []string{"no argument, only flags"}
	}
	words := strings.TrimPrefix(c.CommandPath(), c.Root().Name()+" ")
	hint := "see " + c.CommandPath() + " --help"
	if joined := oneWord(args); len(joined) < len(args) {
		hint = "an amount is one word: " + c.CommandPath() + " " + strings.Join(joined, " ")
	}
	return usagef("%s takes %s, but was given %s; %s", words, strings.Join(takes, " "), given, hint)
}

// oneWord joins a number and the unit after it, which the shell took apart: 5 gal.
func oneWord(args []string) []string {
	var out []string
	for i, w := range args {
		_, number := strconv.ParseFloat(w, 64)
		if n := len(out); i > 0 && w != "" && !strings.ContainsRune("+-.0123456789", rune(w[0])) {
			if _, err := strconv.ParseFloat(args[i-1], 64); err == nil && number != nil {
				out[n-1] += w
				continue
			}
		}
		out = append(out, asTyped(w))
	}
	return out
}

// childNames lists the subcommands one can type.
func childNames(c *cobra.Command) []string {
	var out []string
	for _, s := range c.Commands() {
		if !s.Hidden {
			out = append(out, s.Name())
		}
	}
	return out
}

// flagError turns pflag's messages into ours: the flag, what was found, what is
// allowed.
func flagError(c *cobra.Command, err error) error {
	var unknown *pflag.NotExistError
	var invalid *pflag.InvalidValueError
	var empty *pflag.ValueRequiredError
	switch {
	case errors.As(err, &unknown) && c.HasAvailableSubCommands() && c.Flags().NArg() > 0:
		// The flag belongs to a command that there is not.
		return unknownCommand(c, c.Flags().Arg(0))
	case errors.As(err, &unknown) && unknown.GetSpecifiedShortnames() != "":
		word := "-" + unknown.GetSpecifiedShortnames()
		if strings.ContainsAny(word[1:2], "0123456789.") {
			return usagef("%q is negative; zero or more is allowed", word)
		}
		return usagef("unknown flag %s; flags are written with two dashes; see %s --help", word, c.CommandPath())
	case errors.As(err, &unknown):
		var names []string
		c.Flags().VisitAll(func(f *pflag.Flag) { names = append(names, "--"+f.Name) })
		name := "--" + unknown.GetSpecifiedName()
		return usagef("unknown flag %s%s; see %s --help", name, meant(name, names), c.CommandPath())
	case errors.As(err, &invalid):
		f := invalid.GetFlag()
		var number *strconv.NumError
		if errors.As(err, &number) {
			return usagef("--%s: %q is not allowed; write a %s", f.Name, number.Num, numberWords(f.Value.Type()))
		}
		return usagef("--%s: %w", f.Name, invalid.Unwrap())
	}
	if errors.As(err, &empty) {
		f := empty.GetFlag()
		return usagef("--%s has no value; write --%s <%s>", f.Name, f.Name, placeholder(f))
	}
	return usage(err)
}

// numberWords says what a flag of a built-in type takes.
func numberWords(kind string) string {
	switch {
	case strings.HasPrefix(kind, "uint"):
		return "whole number, 0 or more"
	case strings.HasPrefix(kind, "int"):
		return "whole number"
	case kind == "bool":
		return "plain flag, without a value"
	}
	return "number"
}

// displayUnits is --units, else the fallback (the site's choice).
func (a *app) displayUnits(fallback units.System) units.System {
	if a.units.Value == "" {
		return fallback
	}
	s, err := units.ParseSystem(a.units.Value)
	if err != nil {
		return fallback
	}
	return s
}

// version says which build this is: version, commit, date, the Go it was built with, and
// how many sources the embedded tables rest on. Without build information it is "devel".
func version() string {
	name, commit, date, goVersion := "devel", "", "", ""
	if info, ok := debug.ReadBuildInfo(); ok {
		if v := info.Main.Version; v != "" && v != "(devel)" {
			name = v
		}
		goVersion = info.GoVersion
		for _, s := range info.Settings {
			switch s.Key {
			case "vcs.revision":
				commit = s.Value[:min(12, len(s.Value))]
			case "vcs.time":
				date = s.Value
			case "vcs.modified":
				if s.Value == "true" {
					commit += " with changes"
				}
			}
		}
	}
	lines := []string{name}
	if commit != "" {
		lines = append(lines, "commit "+commit+" of "+date)
	}
	if goVersion != "" {
		lines = append(lines, "built with "+goVersion)
	}
	return strings.Join(append(lines, fmt.Sprintf("tables of %s, from %s", refs.TablesDate, counted(len(refs.Sources()), "source"))), "\n")
}
