package refs

import (
	"strings"
	"testing"
)

func TestEmbeddedTableIsReadByItsHeadings(t *testing.T) {
	rows := embedded("t.csv", "b,a\n,1.5\nx,\n")
	if rows[0].number("a") != 1.5 || rows[0].optional("b") != nil || rows[1].text("b") != "x" || rows[1].optional("a") != nil || *rows[0].optional("a") != 1.5 {
		t.Errorf("%+v", rows)
	}
}

// A table that cannot be read stops the program with the name of its file.
func TestEmbeddedTableThatCannotBeReadNamesItsFile(t *testing.T) {
	for name, read := range map[string]func(){
		"a row too short": func() { embedded("t.csv", "a,b\n1\n") },
		"no such column":  func() { embedded("t.csv", "a\n1\n")[0].text("c") },
		"no number":       func() { embedded("t.csv", "a\nx\n")[0].number("a") },
	} {
		func() {
			defer func() {
				if said, _ := recover().(string); !strings.HasPrefix(said, "embedded t.csv: ") {
					t.Errorf("%s: %q", name, said)
				}
			}()
			read()
		}()
	}
}
