package refs_test

import (
	"fmt"
	"strings"
	"testing"

	"tidehold/refs"
)

func TestAFailedLookUpNamesWhatThereIs(t *testing.T) {
	var many []string
	for i := range 12 {
		many = append(many, fmt.Sprintf("vat-%02d", i))
	}
	for _, c := range []struct {
		err  refs.UnknownError
		want string
	}{
		{refs.UnknownError{What: "salt", Name: "reef", Where: "the site file"}, `salt "reef" is not in the site file, which has none`},
		{refs.UnknownError{What: "store", Name: "vatt", Where: "the site file", Known: []string{"drum", "vat"}}, `store "vatt" is not in the site file, which has drum, vat; did you mean "vat"?`},
		{refs.UnknownError{What: "store", Name: "zebra", Where: "the site file", Known: []string{"drum", "vat"}}, `store "zebra" is not in the site file, which has drum, vat`},
		{refs.UnknownError{What: "store", Name: "\x1b[31m", Where: "the site file", Known: many},
			`store "\x1b[31m" is not in the site file, which has vat-00, vat-01, vat-02, vat-03, vat-04, vat-05, vat-06, vat-07, vat-08, vat-09 and 2 more`},
		{refs.UnknownError{What: "store", Name: strings.Repeat("é", 70), Where: "the site file"}, `store "` + strings.Repeat("é", 60) + `…" is not in the site file, which has none`},
	} {
		if got := c.err.Error(); got != c.want {
			t.Errorf("got  %s\nwant %s", got, c.want)
		}
	}
}
