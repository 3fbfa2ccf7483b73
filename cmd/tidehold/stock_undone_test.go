package main

import (
	"strings"
	"testing"
)

// What is taken back is named with what it was about, and with what that leaves.
func TestWhatIsTakenBackIsNamed(t *testing.T) {
	siteFile := nightAt(t)
	for _, c := range []struct {
		entry        []string
		said, undone string
	}{
		{[]string{"salt", "house", "38.5kg"}, "salt counted: house 41.5 kg -> 38.5 kg.", "(salt 38.5 kg house on hand): house 38.5 kg -> 41.5 kg."},
		{[]string{"salt", "house", "20kg", "--bought"}, "salt 20.0 kg bought: house 41.5 kg -> 61.5 kg.", "(salt 20.0 kg house bought): house 61.5 kg -> 41.5 kg."},
		{[]string{"salt", "house", "2kg", "--used"}, "salt 2.00 kg used: house 41.5 kg -> 39.5 kg.", "(salt 2.00 kg house used): house 39.5 kg -> 41.5 kg."},
		{[]string{"kit", "copper test", "2"}, "copper test: 1 -> 2 (1 needed, expires 2026-09-30).", "(kit 2 copper test)."},
		{[]string{"did", "leak shutoff"}, "done: test of the leak shutoff of the purifier.", "(did test of the leak shutoff of the purifier)."},
		{[]string{"draw", "vat-a", "40L"}, "40 L out of vat-a: 344 L -> 304 L (292 L usable, 68.9 cm). Usable in all 232 L.", "(draw 40 L vat-a): vat-a 304 L -> 344 L (332 L usable, 78 cm). Usable in all 272 L."},
		{[]string{"dip", "vat-a", "70cm"}, "vat-a dipped: 344 L -> 309 L (297 L usable, 70 cm). Usable in all 237 L.", "(dip vat-a at 70 cm): vat-a 309 L -> 344 L (332 L usable, 78 cm). Usable in all 272 L."},
		{[]string{"tested", "vat-b", "--salinity", "35.1", "--temp", "21C"}, "vat-b tested and found good, salinity 35.1, 21.0 °C.",
			"(tested vat-b, salinity 35.1, 21.0 °C): vat-b 141.3 L -> 141.3 L (137.3 L usable, 60 cm, salinity 35.0). Usable in all 272 L."},
	} {
		for k, args := range [][]string{append([]string{"stock"}, c.entry...), {"stock", "undo"}} {
			code, out, errs := tidehold(append(args, "--site", siteFile)...)
			want := []string{c.said + " undo: tidehold stock undo", " is taken back " + c.undone}[k]
			if out = strings.Join(strings.Fields(out), " "); code != exitDone || !strings.Contains(out, want) {
				t.Errorf("%v: exit %d, %q%s, want %q", args, code, out, errs, want)
			}
		}
	}
}
