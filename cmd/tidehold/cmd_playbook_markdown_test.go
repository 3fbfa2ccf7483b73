package main

import (
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// powers are names that do something where Markdown is shown: each begins with a word that is looked for.
var powers = []string{"![i](http://h.example/i.png)", "[x](javascript:alert(1))", "<script>alert(1)</script>", `\[x\](javascript:alert(1))`, "[x]: javascript:x", "a|b `c` &lt;d"}

// siteNamed has one text wherever the site file takes a free one that a card prints; with
// another id than tank the file has a fault, which the cards print.
func siteNamed(t *testing.T, text, id string) string {
	t.Helper()
	q := strconv.Quote(text)
	file := filepath.Join(t.TempDir(), "site.yaml")
	body := "format: 1\nname: " + q + "\nsystems: [{id: " + strconv.Quote(id) + ", net_volume: 300 L}]\n" +
		"stores: [{id: vat, holds: saltwater, volume: 150 L}]\n" +
		"kit: [{item: " + q + ", need: 2, have: 1}]\n" +
		"contacts: [{role: keeper, name: " + q + ", phone: " + q + "}, {role: " + q + ", name: " + q + ", phone: \"+351 000\"}]\n" +
		"drills: [{what: " + q + ", every: 365 d, done: 2026-03-01}]\n"
	if err := os.WriteFile(file, []byte(body), 0o600); err != nil {
		t.Fatal(err)
	}
	return file
}

// A name of the site file has no power on a card or in the binder's heading: what links is
// a telephone number of the card itself, and nothing is HTML.
func TestNamesHaveNoPowerOnCardsInMarkdown(t *testing.T) {
	for _, text := range powers {
		checkNoPower(t, text, siteNamed(t, text, "tank"), false)
		checkNoPower(t, text, siteNamed(t, text, text), true)
	}
}

func checkNoPower(t *testing.T, text, file string, fault bool) {
	t.Helper()
	for _, args := range [][]string{{"playbook", "--all"}, {"playbook", "leak"}, {"playbook", "contacts"}, {"playbook", "--sitter"}} {
		_, out, errs := tidehold(append(args, "--site", file, "--format", "markdown")...)
		if out == "" || strings.Contains(errs, "has a fault") != fault {
			t.Fatalf("%q, %v: %s", text, args, errs)
		}
		for n, line := range strings.Split(out, "\n") {
			bare := strings.ReplaceAll(line, `\\`, "") // a backslash that is shown
			bare = strings.NewReplacer(`\]`, "", `\[`, "", "](tel:", "").Replace(bare)
			for _, bad := range []string{"](", "]:", "<script", " &lt;d"} {
				if strings.Contains(bare, bad) {
					t.Errorf("%v, line %d: %q passes as %q", args, n+1, text, line)
				}
			}
		}
	}
}
