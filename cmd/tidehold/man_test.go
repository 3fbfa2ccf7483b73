package main

import (
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/cobra/doc"
)

// TestManPages writes a manual page for every command from the command tree: into
// TIDEHOLD_MAN_DIR where that is set (.ci/release does), dated SOURCE_DATE_EPOCH, so
// that two builds of one commit are the same to the byte.
func TestManPages(t *testing.T) {
	dir := os.Getenv("TIDEHOLD_MAN_DIR")
	if dir == "" {
		dir = t.TempDir()
	}
	date := time.Unix(0, 0).UTC()
	if s, err := strconv.ParseInt(os.Getenv("SOURCE_DATE_EPOCH"), 10, 64); err == nil {
		date = time.Unix(s, 0).UTC()
	}
	root := newRoot(&app{})
	root.DisableAutoGenTag = true
	header := &doc.GenManHeader{Section: "1", Source: "tidehold", Manual: "tidehold manual", Date: &date}
	if err := doc.GenManTree(root, header, dir); err != nil {
		t.Fatal(err)
	}
	pages := 0
	var every func(c *cobra.Command)
	every = func(c *cobra.Command) {
		if c.IsAvailableCommand() && !c.IsAdditionalHelpTopicCommand() || !c.HasParent() {
			page, err := os.ReadFile(filepath.Join(dir, strings.ReplaceAll(c.CommandPath(), " ", "-")+".1"))
			if err != nil {
				t.Errorf("%s has no manual page: %v", c.CommandPath(), err)
			}
			if !strings.Contains(string(page), ".SH SYNOPSIS") {
				t.Errorf("the page of %s has no synopsis", c.CommandPath())
			}
			pages++
		}
		for _, child := range c.Commands() {
			every(child)
		}
	}
	every(root)
	if pages < 20 {
		t.Errorf("%d pages; the tool has more commands than that", pages)
	}
}
