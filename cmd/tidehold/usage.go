package main

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// settle gives every command of the tree what cobra leaves out: an argument
// check, bad arguments as usage errors, flags that refuse a second value, and groups that refuse
// unknown words instead of printing help and exiting 0.
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
	takeOneValue(c.Flags())
	takeOneValue(c.PersistentFlags())
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

// sister is the command of that name beside a command; nil: there is none.
func sister(c *cobra.Command, name string) *cobra.Command {
	if !c.HasParent() {
		return nil
	}
	for _, s := range c.Parent().Commands() {
		if s != c && s.Name() == name && !s.Hidden {
			return s
		}
	}
	return nil
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
		if s := sister(c, unknown.GetSpecifiedName()); s != nil {
			return usagef("unknown flag %s; that is a command of its own: %s", name, strings.TrimSuffix(s.UseLine(), " [flags]"))
		}
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
