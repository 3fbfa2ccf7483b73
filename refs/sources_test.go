package refs

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

func TestEverySourceHasKeyAndCitationOnce(t *testing.T) {
	seen := map[string]bool{}
	for _, s := range Sources() {
		if s.Key == "" || s.Citation == "" {
			t.Errorf("source %q has no key or no citation", s.Key)
		}
		if !regexp.MustCompile(`^[a-z0-9-]+$`).MatchString(s.Key) {
			t.Errorf("source key %q: use lower-case letters, digits and hyphens", s.Key)
		}
		if seen[s.Key] {
			t.Errorf("source %q is listed twice", s.Key)
		}
		seen[s.Key] = true
	}
	if len(seen) == 0 {
		t.Fatal("no sources")
	}
}

func TestLookup(t *testing.T) {
	s, ok := Lookup("eos80")
	if !ok || !strings.HasPrefix(s.Citation, "Millero, F. J. & Poisson, A. (1981).") || !strings.HasPrefix(s.Seen, "the abstract") {
		t.Errorf("Lookup(eos80) = %+v, %v", s, ok)
	}
	if s, ok := Lookup("no-such-key"); ok {
		t.Errorf("Lookup of an unknown key found %+v", s)
	}
}

func TestParagraphsOfOneSourceAreJoined(t *testing.T) {
	got := parseSources("# head\n\nintro\n\n## [a]\n\nOne.\nTwo.\n\nSeen: here,\nand there.\n\n## [b]\n\nThree.\n")
	want := []Source{{"a", "One. Two.", "here, and there."}, {"b", "Three.", ""}}
	if len(got) != len(want) || got[0] != want[0] || got[1] != want[1] {
		t.Errorf("parseSources = %+v, want %+v", got, want)
	}
}

var (
	sourceLine = regexp.MustCompile(`Source: +(.*)`)
	sourceKey  = regexp.MustCompile(`\[([a-z0-9][a-z0-9-]*)\]`)
)

// TestEverySourceNamedInCodeIsListed walks the Go files of the module: every
// comment that names a source must name one from the list.
func TestEverySourceNamedInCodeIsListed(t *testing.T) {
	named := 0
	err := filepath.WalkDir("..", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "sources_test.go") {
			return err
		}
		text, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		for i, line := range strings.Split(string(text), "\n") {
			m := sourceLine.FindStringSubmatch(line)
			if m == nil || !strings.HasPrefix(strings.TrimSpace(line), "//") {
				continue
			}
			for _, k := range sourceKey.FindAllStringSubmatch(m[1], -1) {
				named++
				if _, ok := Lookup(k[1]); !ok {
					t.Errorf("%s:%d: source [%s] is not in sources.md", path, i+1, k[1])
				}
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if named == 0 {
		t.Fatal("found no source named in any Go file")
	}
}
