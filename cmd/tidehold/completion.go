package main

import (
	"io"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"tidehold/volumes/site"
)

// newCompletionCmd prints the script that lets a shell complete commands, flags, and
// the ids of the site.
func newCompletionCmd() *cobra.Command {
	shells := []string{"bash", "zsh", "fish", "powershell"}
	return &cobra.Command{
		Use:   "completion <shell>",
		Short: "let your shell complete commands, flags and the ids of your site",
		Long: `Prints a script for bash, zsh, fish or powershell. With it the tab key completes
commands, flags, formats and the ids of the events, systems, stores and salts of the
site file that the command line names.

  bash: source <(tidehold completion bash), or put that line into ~/.bashrc
  zsh: tidehold completion zsh > "${fpath[1]}/_tidehold"
  fish: tidehold completion fish > ~/.config/fish/completions/tidehold.fish
  powershell: tidehold completion powershell | Out-String | Invoke-Expression

` + exitHelp,
		Example:   "  tidehold completion bash\n  tidehold completion fish > ~/.config/fish/completions/tidehold.fish",
		Args:      cobra.ExactArgs(1),
		ValidArgs: shells,
		RunE: func(c *cobra.Command, args []string) error {
			root, out := c.Root(), c.OutOrStdout()
			write, ok := map[string]func(io.Writer) error{
				"bash":       func(w io.Writer) error { return root.GenBashCompletionV2(w, true) },
				"zsh":        root.GenZshCompletion,
				"fish":       func(w io.Writer) error { return root.GenFishCompletion(w, true) },
				"powershell": root.GenPowerShellCompletionWithDesc,
			}[args[0]]
			if !ok {
				return usagef("%q is not a shell; one of %s%s", args[0], listed(shells), meant(args[0], shells))
			}
			return write(out)
		},
	}
}

// completes says that a shell asks: a tenth of what starting takes is saved where none does.
func completes(args []string) bool {
	return len(args) > 0 && strings.HasPrefix(args[0], cobra.ShellCompRequestCmd)
}

// completeFlags gives every flag of the tree that takes an id, a format or a file the
// values it can have.
func (a *app) completeFlags(c *cobra.Command) {
	ids := map[string]func(*site.Site) []string{"event": eventIDs, "system": systemIDs, "store": storeIDs, "salt": saltIDs, "from": storeIDs}
	offer := func(f *pflag.Flag) {
		if words, ok := valueOf(f).(*choice); ok {
			a.register(c, f.Name, func() []string { return words.allowed })
			return
		}
		if list, ok := ids[f.Name]; ok && f.Value.Type() != "bool" {
			a.register(c, f.Name, func() []string { return a.siteIDs(list) })
		}
	}
	c.LocalNonPersistentFlags().VisitAll(offer)
	c.PersistentFlags().VisitAll(offer)
	for _, child := range c.Commands() {
		a.completeFlags(child)
	}
}

// register offers the values of one flag. A flag that takes a quantity of the same name
// (--from 35) keeps none.
func (a *app) register(c *cobra.Command, name string, values func() []string) {
	if f := c.Flag(name); f != nil {
		if _, quantity := valueOf(f).(*quantityFlag); quantity {
			return
		}
	}
	// It is refused only for a flag that is not there.
	_ = c.RegisterFlagCompletionFunc(name, func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return values(), cobra.ShellCompDirectiveNoFileComp
	})
}
