package main

import "testing"

// Colour is for terminals, or where FORCE_COLOR asks for it; --no-color, NO_COLOR and a dumb terminal have none.
func TestColourIsForTerminals(t *testing.T) {
	for _, c := range []struct {
		env           map[string]string
		off, terminal bool
		want          bool
	}{
		{nil, false, true, true}, {nil, false, false, false}, {nil, true, true, false},
		{map[string]string{"TERM": "dumb"}, false, true, false}, {map[string]string{"TERM": "xterm"}, false, true, true},
		{map[string]string{"NO_COLOR": "1"}, false, true, false}, {map[string]string{"NO_COLOR": "1", "FORCE_COLOR": "1"}, false, true, false},
		{map[string]string{"FORCE_COLOR": "1"}, false, false, true}, {map[string]string{"FORCE_COLOR": "0"}, false, false, false}, {map[string]string{"FORCE_COLOR": "0"}, false, true, true},
		{map[string]string{"FORCE_COLOR": "1"}, true, true, false},
	} {
		s := streams{OutTerminal: c.terminal, Getenv: func(name string) string { return c.env[name] }}
		if got := s.colour(c.off); got != c.want {
			t.Errorf("%+v: %v", c, got)
		}
	}
}
