package main

import (
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/spf13/cobra"

	"tidehold/refs/outside"
)

// everyCommand visits the commands that help lists.
func everyCommand(visit func(c *cobra.Command)) {
	var walk func(c *cobra.Command)
	walk = func(c *cobra.Command) {
		if c.HasParent() && !c.Hidden && c.Name() != "help" {
			visit(c)
		}
		for _, child := range c.Commands() {
			walk(child)
		}
	}
	walk(newRoot(&app{streams: streams{Width: 80}}))
}

// goTypes are words of the language the program is written in, which no help may use.
var goTypes = regexp.MustCompile(`<(string|strings|stringArray|int|uint64|float64|bool)>|\b(uint64|stringArray)\b`)

func TestHelpFitsAndSpeaksPlainly(t *testing.T) {
	for _, width := range []int{80, 50} {
		everyCommand(func(c *cobra.Command) {
			if !c.Runnable() && !c.HasAvailableSubCommands() {
				return // a topic: below
			}
			s := streams{Width: width, Getenv: func(string) string { return "" }}
			text := (&app{streams: s}).help(c)
			for _, l := range strings.Split(text, "\n") {
				if utf8.RuneCountInString(l) > width && strings.Contains(strings.TrimSpace(l), " ") && !strings.HasPrefix(l, "  ") {
					t.Errorf("%s at %d: %d characters: %s", c.CommandPath(), width, utf8.RuneCountInString(l), l)
				}
			}
			if found := goTypes.FindString(text); found != "" {
				t.Errorf("%s: %q is a Go type", c.CommandPath(), found)
			}
			example, flags := strings.Index(text, "Examples\n"), strings.Index(text, "\nFlags\n")
			if example < 0 || flags >= 0 && flags < example {
				t.Errorf("%s: examples stand at %d, flags at %d", c.CommandPath(), example, flags)
			}
			if notation := regexp.MustCompile(`<[^>]*[A-Z][^>]*>|\[[A-Z]+\]`).FindString(c.Use); notation != "" && notation != "<pH>" {
				t.Errorf("%s: %q: what is to be replaced is written in small letters", c.CommandPath(), notation)
			}
		})
	}
}

func TestTopicsFit(t *testing.T) {
	for _, topic := range []string{"exit-codes", "quantities", "units", "site-file", "verdicts", "flags", "json"} {
		code, out, errs := tidehold("help", topic)
		if code != 0 || errs != "" || len(out) < 200 {
			t.Errorf("%s: exit %d, %d characters: %s", topic, code, len(out), errs)
		}
		for _, l := range strings.Split(out, "\n") {
			if utf8.RuneCountInString(l) > 86 {
				t.Errorf("%s: %d characters: %s", topic, utf8.RuneCountInString(l), l)
			}
		}
	}
}

// notRun are the commands whose examples write, or read a file of the user's.
var notRun = regexp.MustCompile(`tidehold (stock (dip|draw|add|mixed|tested|salt|kit|did|undo|log)|init|incident|assess|completion|schema >|ready --site)|site\.yaml|hall\.yaml|calendar`)

func TestExamplesRun(t *testing.T) {
	outside.Alone(t)
	t.Chdir(t.TempDir())
	ran := 0
	everyCommand(func(c *cobra.Command) {
		for _, l := range strings.Split(c.Example, "\n") {
			l, _, _ = strings.Cut(strings.TrimSpace(l), " > ")
			if !strings.HasPrefix(l, "tidehold ") || notRun.MatchString(l) || strings.Contains(l, "'") {
				continue
			}
			args := strings.Fields(l)[1:]
			if l == "tidehold check" || l == "tidehold ready" || l == "tidehold playbook" {
				args = append(args, "--demo")
			}
			if code, _, errs := onlyReads(args...); code != exitDone && code != exitNo {
				t.Errorf("%s: exit %d: %s", l, code, errs)
			}
			ran++
		}
	})
	if ran < 30 {
		t.Errorf("%d examples ran; the tool has more than that", ran)
	}
}

func TestCompletionKnowsTheIDsOfTheSite(t *testing.T) {
	for line, want := range map[string]string{
		"dilute --demo --event":            "broken-heater",
		"ready --demo --event":             "halve-anything",
		"assess x.csv --demo --system":     "touch-pool",
		"mix new --demo --store":           "pure-a",
		"mix new --demo --salt":            "house",
		"ready --format":                   "markdown",
		"salinity 35 --instrument":         "refractometer",
		"volume from-dose --demo --system": "hall-reef",
	} {
		code, out, _ := tidehold(append(append([]string{"__complete"}, strings.Fields(line)...), "")...)
		if code != 0 || !strings.Contains("\n"+out, "\n"+want+"\n") {
			t.Errorf("%s: %q is not offered, but %q", line, want, out)
		}
	}
	for line, want := range map[string]string{"stock draw --demo": "vat-b", "stock salt --demo": "house", "volume system --demo": "hall-reef", "completion": "fish"} {
		if _, out, _ := tidehold(append(append([]string{"__complete"}, strings.Fields(line)...), "")...); !strings.Contains("\n"+out, "\n"+want+"\n") {
			t.Errorf("%s: %q is not offered, but %q", line, want, out)
		}
	}
	for _, shell := range []string{"bash", "zsh", "fish", "powershell"} {
		if code, out, _ := tidehold("completion", shell); code != 0 || len(out) < 1000 {
			t.Errorf("%s: exit %d, %d characters", shell, code, len(out))
		}
	}
	if code, _, errs := tidehold("completion", "bsh"); code != exitUsage || !strings.Contains(errs, `did you mean "bash"`) {
		t.Errorf("exit %d: %s", code, errs)
	}
}

// TestTheTopicOfVerdictsHasThemAll: each word that assess prints, and the one of JSON.
func TestTheTopicOfVerdictsHasThemAll(t *testing.T) {
	_, out, _ := tidehold("help", "verdicts")
	for word, shown := range judgementWords {
		if !regexp.MustCompile(`(?m)^  ` + shown + ` +` + string(word) + ` `).MatchString(out) {
			t.Errorf("%s, %s in JSON, is not in:\n%s", shown, word, out)
		}
	}
}
