package playbook

import (
	"context"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
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
	t.Skip("no chromium on this machine: install Debian's package chromium to test the pages in a browser")
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

// The page model decides where pages break: it must never reckon a block lower
// than the browser sets it, nor so much higher that paper is wasted.
func TestPageModelAgainstTheBrowser(t *testing.T) {
	b := newBrowser(t)
	b.paper(t)
	for _, s := range []Sheet{demoSheet(t, "heater-break"), bareSheet(t, "outage")} {
		b.do(t, chromedp.Navigate(pageFile(t, mustHTML(t, s))))
		real := eval[[]float64](t, b, `[...document.querySelectorAll("section.block")].map(e => (e.getBoundingClientRect().height + parseFloat(getComputedStyle(e.querySelector("h2")).marginTop)) * 0.75)`)
		i := 0
		for _, p := range Printed.Pages(s) {
			for _, g := range p.Groups {
				model := Printed.groupHeight(g)
				t.Logf("%-30s model %6.1f real %6.1f", g.Heading, model, real[i])
				i++
			}
		}
		kinds := eval[[]string](t, b, `[...document.querySelectorAll("section.block")].flatMap(s => [...s.children]).map(e => e.tagName + "." + e.className + " " + Math.round(e.getBoundingClientRect().height*7.5)/10 + " " + e.textContent.slice(0,40).trim())`)
		for _, k := range kinds { t.Log(k) }
	}
}
