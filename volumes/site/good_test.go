package site_test

import (
	"os"
	"path/filepath"
	"testing"

	"tidehold/volumes/site"
)

// read returns a file of testdata at the top of the module.
func read(t testing.TB, parts ...string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(append([]string{"..", "..", "testdata"}, parts...)...))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func load(t testing.TB, name string) *site.Site {
	t.Helper()
	s, faults := site.Load(name, read(t, "sites", name))
	for _, f := range faults {
		t.Error(f)
	}
	if s == nil {
		t.FailNow()
	}
	return s
}

func TestEveryGoodSiteLoads(t *testing.T) {
	files, err := os.ReadDir(filepath.Join("..", "..", "testdata", "sites"))
	if err != nil || len(files) == 0 {
		t.Fatal("no good sites", err)
	}
	for _, f := range files {
		t.Run(f.Name(), func(t *testing.T) { load(t, f.Name()) })
	}
}
