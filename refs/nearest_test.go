package refs

import "testing"

func TestNearest(t *testing.T) {
	words := []string{"net_volume", "drawdown", "change_every", "water"}
	for _, c := range []struct {
		word, want string
		ok         bool
	}{
		{"net_volum", "net_volume", true},
		{"drawdwon", "drawdown", true},
		{"Water", "water", true},
		{"quux", "", false},
		{"x", "", false},
		{"ab", "", false},
	} {
		if got, ok := Nearest(c.word, words); ok != c.ok || ok && got != c.want {
			t.Errorf("Nearest(%q) = %q, %v", c.word, got, ok)
		}
	}
}
