package stock

import (
	"fmt"
	"strings"

	"tidehold/refs"
)

// unknown says that the site has no store or salt of a name, and which it has.
func unknown(what, id string, known []string) error {
	if len(known) == 0 {
		return fmt.Errorf("%s %q is not in the site file, which has none", what, clip(id))
	}
	hint := ""
	if near, ok := refs.Nearest(id, known); ok {
		hint = fmt.Sprintf("; did you mean %q?", near)
	}
	return fmt.Errorf("%s %q is not in the site file, which has %s%s", what, clip(id), strings.Join(known, ", "), hint)
}
