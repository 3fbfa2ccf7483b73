package main

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"tidehold/volumes/site"
)

// What a card's page kept on a phone is entered as it stands: the text it offers is taken by
// "incident import" and lands in the journal, the litres of a ticked row drawn from the
// vat; the same text again enters nothing.
func TestPageRecordIsImported(t *testing.T) {
	if testing.Short() {
		t.Skip("a browser takes a few seconds; run without -short")
	}
	dir := t.TempDir()
	siteFile, page, night := filepath.Join(dir, "site.yaml"), filepath.Join(dir, "binder.html"), filepath.Join(dir, "night.txt")
	if err := os.WriteFile(siteFile, site.Demo(), 0o600); err != nil {
		t.Fatal(err)
	}
	// The page keeps the browser's time, so that the journal must know the same.
	at := func(command string) (int, string) {
		var out strings.Builder
		code := run(append(strings.Fields(command), "--site", siteFile), streams{In: strings.NewReader(""), Out: &out, Err: &out, Width: 80, Now: time.Now, Getenv: func(string) string { return "" }})
		return code, out.String()
	}
	if code, out := at("playbook --all --format html -o " + page); code != exitDone {
		t.Fatal(code, out)
	}
	if code, out := at("incident open broken-heater"); code != exitDone {
		t.Fatal(code, out)
	}
	ctx := startBrowser(t)
	steps := []chromedp.Action[chromedp.Void]{
		chromedp.Navigate("file://" + page),
		chromedp.Sleep(1100 * time.Millisecond), // the incident was opened within this second
		chromedp.Click(chromedp.CSS("#heater-break-step-1 .what")),
		chromedp.Click(chromedp.CSS("main input[type=radio][id$='-no']")),
		chromedp.Click(chromedp.CSS("#change-water tr[data-entry] input[type=checkbox]")),
		chromedp.SendKeys(chromedp.CSS("#change-water tr[data-entry] input[type=text]"), "03:41; 2 °C <colder>"),
		chromedp.Click(chromedp.CSS("#record summary")), chromedp.Sleep(300 * time.Millisecond),
	}
	for _, s := range steps {
		if err := chromedp.Do(ctx, s); err != nil {
			t.Fatal(err)
		}
	}
	record, err := chromedp.Run(ctx, chromedp.Evaluate[string](`document.getElementById("record-text").value`))
	if err != nil {
		t.Fatal(err)
	}
	t.Log("\n" + record)
	for _, want := range []string{"# tidehold incident open broken-heater --at 20", "Z note Heater broken in the tank, step 1: ", " No\n", ", began: 03:41; 2 °C <colder>\n"} {
		if !strings.Contains(record, want) {
			t.Errorf("the record lacks %q", want)
		}
	}
	// The litres are those of the demo's water as old as it is on the day of the test.
	row := regexp.MustCompile(`Z change ([0-9]+)L from vat-[ab]\n`).FindStringSubmatch(record)
	if row == nil {
		t.Fatal("the record has no change")
	}
	if err := os.WriteFile(night, []byte(record), 0o600); err != nil {
		t.Fatal(err)
	}
	if code, out := at("incident import " + night); code != exitDone || !strings.Contains(out, "Entered 4 lines, numbers 2 to 5") {
		t.Fatal(code, out)
	}
	_, out := at("incident status --format json")
	for _, want := range []string{`"changes": 1,`, `"changed_l": ` + row[1] + ","} {
		if !strings.Contains(out, want) {
			t.Errorf("the status lacks %s", want)
		}
	}
	if code, out := at("incident import " + night); code != exitDone || !strings.Contains(out, "4 lines in the record already") {
		t.Error(code, out)
	}
}
