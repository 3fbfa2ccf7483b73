package main

import (
	"fmt"
	"runtime/debug"
	"strings"

	"tidehold/refs"
)

// version says which build this is: version, commit, date, the Go it was built with, and
// how many sources the embedded tables rest on. Without build information it is "devel".
func version() string {
	name, commit, date, goVersion := "devel", "", "", ""
	if info, ok := debug.ReadBuildInfo(); ok {
		if v := info.Main.Version; v != "" && v != "(devel)" {
			name = v
		}
		goVersion = info.GoVersion
		for _, s := range info.Settings {
			switch s.Key {
			case "vcs.revision":
				commit = s.Value[:min(12, len(s.Value))]
			case "vcs.time":
				date = s.Value
			case "vcs.modified":
				if s.Value == "true" {
					commit += " with changes"
				}
			}
		}
	}
	lines := []string{name}
	if commit != "" {
		lines = append(lines, "commit "+commit+" of "+date)
	}
	if goVersion != "" {
		lines = append(lines, "built with "+goVersion)
	}
	return strings.Join(append(lines, fmt.Sprintf("tables of %s, from %s", refs.TablesDate, counted(len(refs.Sources()), "source"))), "\n")
}
