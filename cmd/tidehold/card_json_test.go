package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A card as JSON warns of what is the matter with it, the site's fault first, and of nothing where nothing is.
func TestACardAsJSONWarnsOfTheSitesFault(t *testing.T) {
	warnings := func(site string) (list []string) {
		file := filepath.Join(t.TempDir(), "site.yaml")
		if err := os.WriteFile(file, []byte(site), 0o600); err != nil {
			t.Fatal(err)
		}
		code, out, errs := tidehold("playbook", "leak", "--site", file, "--format", "json")
		var top struct{ Warnings []string }
		if err := json.Unmarshal([]byte(out), &top); err != nil || code != exitDone {
			t.Fatalf("exit %d, %v: %s", code, err, errs)
		}
		return top.Warnings
	}
	const whole = "format: 1\nsystems: [{id: tank, net_volume: 400 L}]\nstores: [{id: vat, holds: saltwater, volume: 150 L}]\n"
	const fault = "The site file has a fault, so this card has no numbers of its own: "
	for _, w := range warnings(whole) {
		if w == "" || strings.HasPrefix(w, fault) {
			t.Errorf("of a whole site: %q", w)
		}
	}
	if list := warnings(whole + "sytems: []\n"); len(list) == 0 || !strings.HasPrefix(list[0], fault) || !strings.Contains(list[0], "sytems") {
		t.Errorf("of a faulty one: %q", list)
	}
}
