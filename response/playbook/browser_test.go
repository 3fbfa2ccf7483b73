package playbook

import (
	"context"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"

	"tidehold/refs/outside"
)

// browser is one headless browser for a test, with what it complained about and
// asked for.
type browser struct {
	ctx context.Context

	mu       sync.Mutex
	problems []string
	requests []string
}

// browserPath finds Debian's browser; the test is skipped where there is none.
func browserPath(t *testing.T) string {
	t.Helper()
	for _, name := range []string{"chromium", "chromium-browser"} {
		if p, err := exec.LookPath(name); err == nil {
			return p
		}
	}
	outside.Missing(t, "no chromium on this machine: install Debian's package chromium to test the pages in a browser")
	return ""
}

// newBrowser starts a browser with an empty profile that can reach no network.
func newBrowser(t *testing.T) *browser {
	t.Helper()
	if testing.Short() {
		t.Skip("browser tests take a few seconds; run without -short")
	}
	opts := []chromedp.ExecAllocatorOption{
		chromedp.ExecPath(browserPath(t)), chromedp.UserDataDir(t.TempDir()), chromedp.Headless, chromedp.NoSandbox, chromedp.DisableGPU, chromedp.NoFirstRun,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-background-networking", true),
		chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true),
		chromedp.Flag("hide-scrollbars", true), chromedp.WSURLReadTimeout(60 * time.Second),
	}
	alloc, stop := chromedp.NewExecAllocator(t.Context(), opts...)
	ctx, cancel := chromedp.NewContext(alloc)
	ctx, timeout := context.WithTimeout(ctx, 2*time.Minute)
	// The browser is gone before its profile is removed.
	t.Cleanup(func() { _ = chromedp.Cancel(ctx); timeout(); cancel(); stop() })
	b := &browser{ctx: ctx}
	if err := chromedp.Listen(ctx, b.note); err != nil {
		t.Fatal(err)
	}
	call(t, b, network.Enable, network.EnableParams{})
	call(t, b, runtime.Enable, cdp.Empty{})
	call(t, b, log.Enable, cdp.Empty{})
	return b
}

// note keeps console errors, exceptions and requests.
func (b *browser) note(ev any) {
	b.mu.Lock()
	defer b.mu.Unlock()
	switch e := ev.(type) {
	case *runtime.EventConsoleAPICalled:
		b.problems = append(b.problems, fmt.Sprintf("console: %s", e.Type))
	case *runtime.EventExceptionThrown:
		b.problems = append(b.problems, e.ExceptionDetails.Text)
	case *log.EventEntryAdded:
		b.problems = append(b.problems, e.Entry.Text)
	case *network.EventRequestWillBeSent:
		b.requests = append(b.requests, e.Request.URL)
	}
}

// call runs one command of the browser's protocol.
func call[P, R any](t *testing.T, b *browser, cmd cdp.Command[P, R], params P) R {
	t.Helper()
	r, err := chromedp.Call(b.ctx, cmd, params)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// do runs actions without a value.
func (b *browser) do(t *testing.T, steps ...chromedp.Action[chromedp.Void]) {
	t.Helper()
	if err := chromedp.Do(b.ctx, steps...); err != nil {
		t.Fatal(err)
	}
}

// eval is the value of a JavaScript expression.
func eval[T any](t *testing.T, b *browser, js string) T {
	t.Helper()
	v, err := chromedp.Run(b.ctx, chromedp.Evaluate[T](js))
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// paper shows the page as it is set for print, in a window as wide as the
// printable part of the smaller paper.
func (b *browser) paper(t *testing.T) {
	t.Helper()
	wide, _ := Printed.room()
	call(t, b, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"})
	b.do(t, chromedp.EmulateViewport(int64(math.Round(wide*96/72)), 1000))
}

// pageFile writes a page to a file and returns its address.
func pageFile(t *testing.T, html string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "sheet.html")
	if err := os.WriteFile(path, []byte(html), 0o600); err != nil {
		t.Fatal(err)
	}
	return "file://" + path
}

// everySheet is every shipped sheet, filled for the demo and with blanks.
func everySheet(t *testing.T) []Sheet {
	t.Helper()
	var out []Sheet
	for _, name := range Builtin().Names() {
		out = append(out, demoSheet(t, name), bareSheet(t, name))
	}
	return out
}

// The page model decides where pages break: what it puts on a page must fit the
// smaller paper in the browser, and a block must not be reckoned so high that
// paper is wasted.
func TestPageModelAgainstTheBrowser(t *testing.T) {
	b := newBrowser(t)
	b.paper(t)
	_, high := Printed.room()
	sheets := everySheet(t)
	b.do(t, chromedp.Navigate(pageFile(t, mustHTML(t, sheets...))))
	pages := eval[[][]float64](t, b, `[...document.querySelectorAll("article")].map(a => [...a.querySelectorAll(".page")].map(e => { e.style.minHeight = "0"; return e.getBoundingClientRect().height * 0.75 }))`)
	blocks := eval[[][]float64](t, b, `[...document.querySelectorAll("article")].map(a => [...a.querySelectorAll("section.block")].map(e => (e.getBoundingClientRect().height + parseFloat(getComputedStyle(e.querySelector("h2")).marginTop)) * 0.75))`)
	if len(pages) != len(sheets) {
		t.Fatalf("%d sheets in the browser, want %d", len(pages), len(sheets))
	}
	for k, s := range sheets {
		laid := Printed.Pages(s)
		if len(pages[k]) != len(laid) {
			t.Errorf("%s: %d pages in the browser, %d in the model", s.Name, len(pages[k]), len(laid))
		}
		for i, h := range pages[k] {
			if !(h > 0 && h <= high) {
				t.Errorf("%s (%s): page %d is %.0f pt high; %.0f fit", s.Name, s.System, i+1, h, high)
			}
		}
		i := 0
		for _, p := range laid {
			for _, g := range p.Groups {
				if model := Printed.groupHeight(g); model < 0.9*blocks[k][i]-8 || model > 1.3*blocks[k][i]+12 {
					t.Errorf("%s: %s is %.0f pt high, the model says %.0f", s.Name, g.Heading, blocks[k][i], model)
				}
				i++
			}
		}
	}
}

// Paper: the PDF has as many pages as the sheet says, on A4 and US Letter. With
// every page no higher than the paper (above), no step is cut in two.
func TestPrintedPages(t *testing.T) {
	b := newBrowser(t)
	sheets := []Sheet{demoSheet(t, "heater-break"), bareSheet(t, "leak"), demoSheet(t, "sitter")}
	want := 1 // the index
	for _, s := range sheets {
		want += len(Printed.Pages(s))
	}
	b.do(t, chromedp.Navigate(pageFile(t, mustHTML(t, sheets...))))
	for name, paper := range map[string]chromedp.PaperSize{"A4": chromedp.PaperA4, "US Letter": chromedp.PaperLetter} {
		pdf, err := chromedp.Run(b.ctx, chromedp.PrintToPDF(chromedp.PDFPaper(paper)))
		if err != nil {
			t.Fatal(err)
		}
		if got := len(pdfPage.FindAll(pdf, -1)); got != want {
			t.Errorf("%s: %d pages, want %d", name, got, want)
		}
	}
}

var pdfPage = regexp.MustCompile(`/Type\s*/Page[^s]`)

// A page loads without a complaint and asks the network for nothing.
func TestPageIsQuietAndSelfContained(t *testing.T) {
	b := newBrowser(t)
	file := pageFile(t, mustHTML(t, everySheet(t)[:6]...))
	b.do(t, chromedp.Navigate(file), chromedp.Click(chromedp.CSS("#dark")))
	b.mu.Lock()
	defer b.mu.Unlock()
	for _, p := range b.problems {
		t.Error(p)
	}
	if len(b.requests) == 0 {
		t.Error("no request was seen, not even the file's own")
	}
	for _, r := range b.requests {
		if r != file && !strings.HasPrefix(r, "data:") {
			t.Errorf("the page asked for %s", r)
		}
	}
}

// Ticks, notes and the clock are there again after a reload.
func TestTicksPersist(t *testing.T) {
	b := newBrowser(t)
	s := demoSheet(t, "heater-break")
	b.do(t, chromedp.Navigate(pageFile(t, mustHTML(t, s))))
	if got := eval[string](t, b, `document.getElementById("elapsed").value`); !strings.Contains(got, "first tick") {
		t.Errorf("before the first tick the clock says %q", got)
	}
	b.do(t, chromedp.Click(chromedp.CSS("#heater-break-1")), chromedp.Click(chromedp.CSS("#heater-break-3")),
		chromedp.SendKeys(chromedp.CSS("td input[type=text]"), "555"), chromedp.Click(chromedp.CSS("#dark")), chromedp.Reload())
	state := eval[[]bool](t, b, `[1,2,3].map(n => document.getElementById("heater-break-" + n).checked)`)
	if !state[0] || state[1] || !state[2] {
		t.Errorf("after a reload the first three boxes are %v", state)
	}
	if got := eval[string](t, b, `document.querySelector("td input[type=text]").value`); got != "555" {
		t.Errorf("after a reload the first note is %q", got)
	}
	if got := eval[string](t, b, `document.getElementById("elapsed").value`); !strings.Contains(got, "Elapsed 00:0") {
		t.Errorf("after a reload the clock says %q", got)
	}
	if !eval[bool](t, b, `document.documentElement.classList.contains("dark")`) {
		t.Error("after a reload the dark room is light")
	}
}

// On a phone 360 px wide nothing is wider than the screen, and boxes are large.
func TestPhone(t *testing.T) {
	b := newBrowser(t)
	b.do(t, chromedp.EmulateViewport(360, 740, chromedp.EmulateMobile))
	b.do(t, chromedp.Navigate(pageFile(t, mustHTML(t, everySheet(t)...))))
	if n := eval[int](t, b, `document.querySelectorAll(".line").length`); n < 1000 {
		t.Fatalf("only %d steps on the page", n)
	}
	wide := eval[[]string](t, b, `[...document.querySelectorAll("body *")].filter(e => { const r = e.getBoundingClientRect(); return r.width > 0 && (r.right > 360.5 || r.left < -0.5) }).map(e => e.tagName + "." + e.className + ": " + e.textContent.trim().slice(0, 40))`)
	for _, w := range wide {
		t.Errorf("wider than the screen: %s", w)
	}
	if got := eval[float64](t, b, `document.documentElement.scrollWidth`); got > 360 {
		t.Errorf("the page is %g px wide", got)
	}
	for _, small := range eval[[]string](t, b, `[...document.querySelectorAll(".line > label, .exits label, button, nav a")].filter(e => Math.round(e.getBoundingClientRect().height * 10) < 440).map(e => e.textContent + ": " + e.getBoundingClientRect().height)`) {
		t.Errorf("less than 44 px high: %s", small)
	}
}

// Every text stands out from its ground by at least 7 to 1, by day and in the
// dark room, as the browser computes the colours.
func TestContrastInTheBrowser(t *testing.T) {
	b := newBrowser(t)
	b.do(t, chromedp.Navigate(pageFile(t, mustHTML(t, demoSheet(t, "chlorine")))))
	for _, room := range []string{"light", "dark"} {
		pairs := eval[[]string](t, b, `[...new Set([...document.querySelectorAll("body *")].filter(e => e.textContent.trim() || e.placeholder).map(e => {
			let g = e; while (g && getComputedStyle(g).backgroundColor === "rgba(0, 0, 0, 0)") { g = g.parentElement }
			return getComputedStyle(e).color + "|" + getComputedStyle(g || document.body).backgroundColor }))]`)
		if len(pairs) == 0 {
			t.Fatal("no text found")
		}
		for _, p := range pairs {
			ink, paper, _ := strings.Cut(p, "|")
			if c := contrast(hexColour(t, ink), hexColour(t, paper)); c < 7 {
				t.Errorf("%s room: %s has contrast %.1f", room, p, c)
			}
		}
		b.do(t, chromedp.Click(chromedp.CSS("#dark")))
	}
}

// hexColour turns rgb(r, g, b) into #rrggbb.
func hexColour(t *testing.T, rgb string) string {
	t.Helper()
	var r, g, b int
	if _, err := fmt.Sscanf(rgb, "rgb(%d, %d, %d)", &r, &g, &b); err != nil {
		t.Fatalf("%q is no plain colour", rgb)
	}
	return fmt.Sprintf("#%02x%02x%02x", r, g, b)
}
