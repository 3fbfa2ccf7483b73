package main

import (
	_ "embed"
	"io"
	"strings"

	"github.com/spf13/cobra"
)

// jsonReference is every key of every result; a test makes it from the types.
//
//go:embed json_reference.txt
var jsonReference string

const jsonHelp = `Every answer in JSON is one object:

  format: 1, the version of this shape; keys may be added, none goes away
  command: the words of the command
  result: below, by command
  assumptions[]: each value the tool took because the input did not say: what, value, source
  warnings[]: text

A refusal is {"format": 1, "command": …, "error": {…}} on standard output, beside the
text on standard error, with exit status 1 or 2:

  error.code: site (a fault of the site file), input (of a flag, an argument or a report)
    or failed
  error.message: the text
  error.file, line, column: where; line 0 where there is none
  error.allowed, fix: what may stand there, and the nearest mend
  error.faults[]: all faults of a file, the first of which is this one

The ending of a key is its unit: _l litres, _kg, _g_kg, _c degrees Celsius, _h hours,
_min minutes, _ug_l and _mg_l, _cm, _w watts, _dkh, _ms_cm. Numbers are not rounded for
display; a time that never comes is null. [] is a list, {} an object by names.
CSV has the same keys: --table picks a list by its path, as events or events.steps.

`

// jsonTopic is the help text on the keys of JSON.
func jsonTopic(a *app, root *cobra.Command) *cobra.Command {
	c := &cobra.Command{Use: "json", Short: "every key of --format json, by command"}
	c.SetHelpFunc(func(*cobra.Command, []string) {
		h := &helpPage{width: a.Width}
		h.text(jsonHelp)
		for _, part := range strings.Split(jsonReference, "\n\n") {
			command, keys, _ := strings.Cut(part, "\n")
			h.head(command)
			h.text(strings.TrimRight(keys, "\n"))
		}
		_, _ = io.WriteString(root.OutOrStdout(), strings.TrimRight(h.b.String(), "\n")+"\n")
	})
	return c
}
