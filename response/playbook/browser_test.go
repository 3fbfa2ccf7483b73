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
	"github.com/chromedp/cdproto/page"
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

// reload loads the page again and waits until the script of the new page is through, which is known by the clock: what
// is asked of a busy browser any sooner may be answered by the old page, or by boxes that are not ticked yet.
func (b *browser) reload(t *testing.T) {
	t.Helper()
	eval[bool](t, b, `window.old = true`)
	b.do(t, chromedp.Reload())
	for end := time.Now().Add(30 * time.Second); ; time.Sleep(20 * time.Millisecond) {
		there, err := chromedp.Run(b.ctx, chromedp.Evaluate[bool](`!window.old && document.readyState === "complete" && document.getElementById("elapsed").value !== ""`))
		if err == nil && there {
			return
		}
		if time.Now().After(end) {
			t.Fatalf("the page is not there after a reload: %v", err)
		}
	}
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
	path := filepath.Join(t.TempDir(), "card.html")
	if err := os.WriteFile(path, []byte(html), 0o600); err != nil {
		t.Fatal(err)
	}
	return "file://" + path
}

// everyCard is every shipped card, filled for the demo, then with blanks: each on a
// page of its own, since an id stands once.
func everyCard(t *testing.T) [][]Card {
	t.Helper()
	out := [][]Card{demoBinder(t), nil}
	for _, name := range everyName() {
		out[1] = append(out[1], bareCard(name))
	}
	return out
}

// fronts are cards of other houses, whose water tonight takes a line more in bold.
func fronts(t *testing.T) []Card {
	t.Helper()
	return []Card{printedFor(t, siteOf(t, quay4), "heater-break"), printedFor(t, siteOf(t, shop4), "heater-break")}
}

// The verdict of the water tonight is bold, and was measured as if it were not: at two houses of the fourth
// reading the front was a line higher in the browser than in the model.
func TestTheVerdictIsMeasuredBold(t *testing.T) {
	c := Card{Water: &Tonight{Verdict: "Enough, but LATE: done after 1 d 1 h, 1 d allowed. 94 L more would be in time."}}
	short := Card{Water: &Tonight{Verdict: "Enough."}}
	if more := Printed.frontHeight(c) - Printed.frontHeight(short); more < Printed.BodyPt {
		t.Errorf("%q takes %.1f pt more than one word", c.Water.Verdict, more)
	}
}

// pageHeight is the height of one page of a card in the model, with its foot, points.
func pageHeight(l Layout, c Card, i int) float64 {
	pages := l.Pages(c)
	h := l.footHeight(c)
	if i == 0 {
		h += l.headHeight(c)
	} else {
		h += runHeight
	}
	for _, g := range pages[i].Groups {
		h += l.groupHeight(g)
		if g.Boxed {
			h += l.frontHeight(c)
		}
	}
	if i == len(pages)-1 {
		h += l.tailHeight()
	}
	return h
}

// longPlan are the shared cards of the demo's longest plan, whose tables wrap.
func longPlan(t *testing.T) []Card {
	t.Helper()
	l := Builtin()
	f, err := Gather(demoSite(t), Request{Playbook: "heater-break", Event: "broken-heater"})
	if err != nil {
		t.Fatal(err)
	}
	var out []Card
	for _, name := range l.Shared() {
		out = append(out, l.Fill(l.Find(name), f))
	}
	return out
}

// The page model decides where pages break: what it puts on a page must fit the
// smaller paper in the browser, and a card has as many pages there as in the model.
func TestPageModelAgainstTheBrowser(t *testing.T) {
	b := newBrowser(t)
	b.paper(t)
	_, high := Printed.room()
	for _, cards := range append(everyCard(t), longPlan(t), fronts(t)) {
		b.do(t, chromedp.Navigate(pageFile(t, mustHTML(t, cards...))))
		pages := eval[[][]float64](t, b, `[...document.querySelectorAll("article")].map(a => [...a.querySelectorAll(".page")].map(e => e.getBoundingClientRect().height * 0.75))`)
		if len(pages) != len(cards) {
			t.Fatalf("%d cards in the browser, want %d", len(pages), len(cards))
		}
		under := eval[[]float64](t, b, `[...document.querySelectorAll("article")].map(a => a.querySelector(".when").getBoundingClientRect().height * 0.75)`)
		for k, c := range cards {
			if model := Printed.whenHeight(c); under[k] > model+1 {
				t.Errorf("%s (%s): the line under the title is %.1f pt high, %.1f in the model", c.Name, c.System, under[k], model)
			}
			if laid := Printed.Pages(c); len(pages[k]) != len(laid) {
				t.Errorf("%s: %d pages in the browser, %d in the model", c.Name, len(pages[k]), len(laid))
			}
			for i, h := range pages[k] {
				if !(h > 0 && h <= high) {
					t.Errorf("%s (%s): page %d is %.0f pt high; %.0f fit", c.Name, c.System, i+1, h, high)
				}
				// A page may be lower than the model has it, but not higher: another site's would run over.
				if model := pageHeight(Printed, c, i); h > model+2 || h < 0.9*model {
					t.Errorf("%s (%s): page %d is %.0f pt high, %.0f in the model", c.Name, c.System, i+1, h, model)
				}
			}
		}
	}
}

// The binder as it comes out of the printer, on the smaller paper: no page more than the model of the cards, one
// of index and two for whoever prints it.
func TestBinderOnPaper(t *testing.T) {
	b := newBrowser(t)
	cards := demoBinder(t)
	b.do(t, chromedp.Navigate(pageFile(t, mustHTML(t, cards...))))
	printed := call(t, b, page.PrintToPDF, page.PrintToPDFParams{PaperWidth: letterWide / 25.4, PaperHeight: letterHigh / 25.4})
	pages := len(regexp.MustCompile(`/Type\s*/Page\b`).FindAll(printed.Data, -1))
	sheets, _ := Printed.Sheets(cards)
	t.Logf("binder: %d pages of cards, %d in all", sheets, pages)
	if sheets > mostSheets || pages > binderPages || pages <= sheets {
		t.Errorf("%d pages of cards (at most %d), %d in all (at most %d)", sheets, mostSheets, pages, binderPages)
	}
}

// On a phone's first screen, 390 by 844, stand the fourth action and the first litres
// of every event's card, at the demo.
func TestFirstScreenOfAPhone(t *testing.T) {
	b := newBrowser(t)
	b.do(t, chromedp.EmulateViewport(390, 844, chromedp.EmulateMobile))
	for _, name := range order {
		c := demoCard(t, name)
		b.do(t, chromedp.Navigate(pageFile(t, mustHTML(t, c))))
		box := eval[float64](t, b, `document.querySelector(".boxed").getBoundingClientRect().bottom`)
		if box > 844 {
			t.Errorf("%s: the box ends at %.0f px", name, box)
		}
		if c.Water != nil && len(c.Water.Rows) > 0 {
			if first := eval[float64](t, b, `document.querySelector(".tonight li").getBoundingClientRect().bottom`); first > 844 {
				t.Errorf("%s: the first litres end at %.0f px", name, first)
			}
		}
	}
}

// A page loads without a complaint under its own security policy and asks the network
// for nothing.
func TestPageIsQuietAndSelfContained(t *testing.T) {
	b := newBrowser(t)
	file := pageFile(t, mustHTML(t, demoBinder(t)...))
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

// Ticks, answers and the clock are there again after a reload; the words of a step
// tick it; an answer jumps to its step, which no bar hides.
func TestTicksAndJumps(t *testing.T) {
	b := newBrowser(t)
	b.do(t, chromedp.EmulateViewport(390, 844, chromedp.EmulateMobile))
	b.do(t, chromedp.Navigate(pageFile(t, mustHTML(t, demoCard(t, "leak")))))
	if got := eval[string](t, b, `document.getElementById("elapsed").value`); !strings.Contains(got, "first tick") {
		t.Errorf("before the first tick the clock says %q", got)
	}
	b.do(t, chromedp.Click(chromedp.CSS("#leak-step-1 .what")), chromedp.Click(chromedp.CSS("#leak-step-3 .what")))
	b.do(t, chromedp.Click(chromedp.CSS("#leak-5-yes")))
	to := eval[string](t, b, `document.getElementById("leak-5-yes").getAttribute("data-to")`)
	if top := eval[float64](t, b, `document.getElementById("`+to+`").getBoundingClientRect().top - document.querySelector(".bar").getBoundingClientRect().bottom`); top < 0 || top > 700 {
		t.Errorf("the jump to %s ends %.0f px below the bar", to, top)
	}
	b.do(t, chromedp.Click(chromedp.CSS("#leak-5-no")))
	if eval[bool](t, b, `document.getElementById("leak-5-yes").checked`) {
		t.Error("Yes and No are both taken")
	}
	// The browser hands what a page stores to its own process a moment later.
	b.do(t, chromedp.Click(chromedp.CSS("#dark")), chromedp.Sleep(2*time.Second))
	const kept = `JSON.stringify([document.getElementById("elapsed").value, Object.entries(localStorage)])`
	before := eval[string](t, b, kept)
	b.reload(t)
	state := eval[[]bool](t, b, `[1,2,3,5].map(n => document.getElementById("leak-" + n).checked)`)
	if !state[0] || state[1] || !state[2] || !state[3] || !eval[bool](t, b, `document.getElementById("leak-5-no").checked`) {
		t.Errorf("after a reload the boxes are %v; kept before it: %s; now: %s", state, before, eval[string](t, b, kept))
	}
	if got := eval[string](t, b, `document.getElementById("elapsed").value`); !strings.Contains(got, "Elapsed 00:0") {
		t.Errorf("after a reload the clock says %q", got)
	}
	if !eval[bool](t, b, `document.documentElement.classList.contains("dark")`) {
		t.Error("after a reload the dark room is light")
	}
}

// On a phone 360 px wide nothing is wider than the screen, and targets are large; and
// what an accessibility checker asks first: every field has a name, every heading and
// list its place, one h1 an article, one main.
func TestPhoneAndNames(t *testing.T) {
	b := newBrowser(t)
	b.do(t, chromedp.EmulateViewport(360, 740, chromedp.EmulateMobile))
	b.do(t, chromedp.Navigate(pageFile(t, mustHTML(t, demoBinder(t)...))))
	if n := eval[int](t, b, `document.querySelectorAll(".line").length`); n < 300 {
		t.Fatalf("only %d steps on the page", n)
	}
	wide := eval[[]string](t, b, `[...document.querySelectorAll("body *")].filter(e => { const r = e.getBoundingClientRect(); return r.width > 1.5 && (r.right > 360.5 || r.left < -0.5) }).map(e => e.tagName + "." + e.className + ": " + e.textContent.trim().slice(0, 40))`)
	for _, w := range wide {
		t.Errorf("wider than the screen: %s", w)
	}
	// Nine lines of a record for a vat that a row has beside its first, six of them "-", were three screens of one night.
	for _, x := range eval[[]string](t, b, `[...document.querySelectorAll(".wide td")].filter(e => e.textContent.trim() === "-" && getComputedStyle(e).display !== "none").map(e => e.getAttribute("data-label"))`) {
		t.Errorf("a record says that there is no %s", x)
	}
	for _, small := range eval[[]string](t, b, `[...document.querySelectorAll(".line > label, .exits label, button, nav a")].filter(e => Math.round(e.getBoundingClientRect().height * 10) < 440).map(e => e.textContent + ": " + e.getBoundingClientRect().height)`) {
		t.Errorf("less than 44 px high: %s", small)
	}
	for _, x := range eval[[]string](t, b, `[...document.querySelectorAll("input")].filter(e => !(e.getAttribute("aria-label") || (e.labels.length && e.labels[0].textContent.trim().length > 2))).map(e => e.id)`) {
		t.Errorf("%s has no name", x)
	}
	for what, js := range map[string]string{
		"main":                  `document.querySelectorAll("main").length === 1`,
		"h1 of each article":    `[...document.querySelectorAll("article")].every(a => a.querySelectorAll("h1").length === 1)`,
		"headings in order":     `(() => { let last = 0; return [...document.querySelectorAll("h1,h2,h3")].every(h => { const n = +h.tagName[1], ok = n <= last + 1; last = n; return ok }) })()`,
		"lists of list items":   `[...document.querySelectorAll("ol,ul")].every(l => [...l.children].every(c => c.tagName === "LI"))`,
		"names of radio groups": `[...document.querySelectorAll("fieldset")].every(f => f.querySelector("legend").textContent.length > 3 && new Set([...f.querySelectorAll("input")].map(i => i.name)).size === 1)`,
		"language and title":    `document.documentElement.lang === "en" && document.title.length > 3`,
		"tables with headings":  `[...document.querySelectorAll("table")].every(t => t.querySelectorAll("th").length > 0)`,
	} {
		if !eval[bool](t, b, js) {
			t.Errorf("not so: %s", what)
		}
	}
}

// Every text stands out from its ground by at least 4.5 to 1, and all but the panels'
// words by 7 to 1, by day and in the dark room, as the browser computes the colours.
func TestContrastInTheBrowser(t *testing.T) {
	b := newBrowser(t)
	b.do(t, chromedp.Navigate(pageFile(t, mustHTML(t, demoCard(t, "chlorine"), demoCard(t, "carbon")))))
	for _, room := range []string{"light", "dark"} {
		pairs := eval[[]string](t, b, `[...new Set([...document.querySelectorAll("body *")].filter(e => e.textContent.trim() || e.placeholder).map(e => {
			let g = e; while (g && getComputedStyle(g).backgroundColor === "rgba(0, 0, 0, 0)") { g = g.parentElement }
			return getComputedStyle(e).color + "|" + getComputedStyle(g || document.body).backgroundColor + "|" + (e.closest(".caution b") ? "panel" : "") }))]`)
		if len(pairs) == 0 {
			t.Fatal("no text found")
		}
		for _, p := range pairs {
			part := strings.Split(p, "|")
			least := 7.0
			if part[2] == "panel" {
				least = 4.5
			}
			if c := contrast(hexColour(t, part[0]), hexColour(t, part[1])); c < least {
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
