package main

import (
	"io"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

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
