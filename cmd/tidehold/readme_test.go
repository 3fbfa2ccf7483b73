package main

import (
	"os"
	"regexp"
	"strings"
	"testing"
)

// TestEverySystemCanCheckItsArchive: an archive for Windows was to be checked with sha256sum, which Windows has not.
func TestEverySystemCanCheckItsArchive(t *testing.T) {
	page, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	release, err := os.ReadFile("../../.ci/release")
	if err != nil {
		t.Fatal(err)
	}
	names := map[string]string{"linux": "Linux", "darwin": "macOS", "windows": "Windows"}
	tools := map[string]string{"linux": "sha256sum ", "darwin": "shasum -a 256 ", "windows": "certutil -hashfile "}
	targets := regexp.MustCompile(`(linux|darwin|windows)/amd64`).FindAllStringSubmatch(string(release), -1)
	if len(targets) < len(names) {
		t.Fatalf("the release builds for %v", targets)
	}
	for _, target := range targets {
		if !regexp.MustCompile(`(?m)^` + tools[target[1]] + `.*# ` + names[target[1]]).Match(page) {
			t.Errorf("%s has no line with %q", names[target[1]], strings.TrimSpace(tools[target[1]]))
		}
	}
}
