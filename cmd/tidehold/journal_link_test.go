package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A site file that is a link has the journal beside the file it leads to, unless one stands beside the link alone; of
// two that differ neither is passed over without a word.
func TestTheJournalOfALinkedSiteFile(t *testing.T) {
	for _, c := range []struct {
		here, there, same bool
		want              string // the folder of the journal; "": refused
	}{
		{false, false, false, "there"}, {false, true, false, "there"}, {true, false, false, "here"}, {true, true, false, ""}, {false, true, true, "there"},
	} {
		dir := t.TempDir()
		in := func(parts ...string) string { return filepath.Join(append([]string{dir}, parts...)...) }
		write := func(path string) {
			if err := os.WriteFile(path, nil, 0o600); err != nil {
				t.Fatal(err)
			}
		}
		for _, folder := range []string{"here", "there"} {
			if err := os.Mkdir(in(folder), 0o700); err != nil {
				t.Fatal(err)
			}
		}
		write(in("there", "site.yaml"))
		if err := os.Symlink(in("there", "site.yaml"), in("here", "site.yaml")); err != nil {
			t.Skip(err)
		}
		if c.here {
			write(in("here", journalName))
		}
		if c.there {
			write(in("there", journalName))
		}
		if c.same { // one journal by two names
			if err := os.Symlink(in("there", journalName), in("here", journalName)); err != nil {
				t.Skip(err)
			}
		}
		j, err := journalOf(in("here", "site.yaml"))
		switch {
		case c.want == "" && (err == nil || !strings.Contains(err.Error(), "a journal stands beside each")):
			t.Errorf("%+v: %v", c, err)
		case c.want != "" && (err != nil || filepath.Base(filepath.Dir(j.Path())) != c.want):
			t.Errorf("%+v: %v, %v", c, j, err)
		}
	}
}

// What is no number is refused with what would be one.
func TestWhatIsNoNumberIsRefused(t *testing.T) {
	for _, c := range [][]string{
		{"dilute --volume 400L --remove 50% --drawdown 40% --trials many", `--trials: "many" is not allowed; write a whole number`},
		{"dilute --volume 400L --remove 50% --drawdown 40% --seed -3", `--seed: "-3" is not allowed; write a whole number, 0 or more`},
		{"dilute --volume 400L --remove 50% --drawdown 40% --continuous=perhaps", `--continuous: "perhaps" is not allowed; write a plain flag, without a value`},
		{"dilute -5", `"-5" is negative; zero or more is allowed`},
		{"dilute -v 400L", "flags are written with two dashes"},
	} {
		code, out, errs := tidehold(strings.Fields(c[0])...)
		if got := strings.Join(strings.Fields(errs), " "); code != exitUsage || out != "" || !strings.Contains(got, c[1]) {
			t.Errorf("%s: exit %d, %q, want %q", c[0], code, got, c[1])
		}
	}
}
