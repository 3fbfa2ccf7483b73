package main

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"

	"tidehold/refs/outside"
)

// gallery are the pages with drawings, of the demo.
var gallery = []string{
	"ready --demo",
	"ready --demo --event halve-anything",
	"dilute --demo --event broken-heater",
	"stock --demo",
	"volume chart vat-a --demo",
	"mix new --demo --store vat-a --volume 300L",
	"hazards --demo",
	"assess REPORT --demo",
}

// pageFaults is run in the page and lists what is wrong with it: text of a drawing outside of
// its frame, over other text or smaller than 11 px; a page that scrolls sideways;
// contrast below 7 : 1 (WCAG 2.2, 1.4.6); a desk of which the right is empty though there are parts to put
// there; headings that skip a level (WCAG technique
// G141); a drawing without a name.
const pageFaults = `(() => {
  const out = [], width = document.documentElement.clientWidth;
  if (document.documentElement.scrollWidth > width + 1) out.push('scrolls sideways: ' + document.documentElement.scrollWidth + ' in ' + width);
  let level = 0;
  for (const h of document.querySelectorAll('h1,h2,h3,h4')) {
    const n = +h.tagName[1];
    if (n > level + 1) out.push('heading skips a level: ' + h.textContent);
    level = n;
  }
  if (document.querySelectorAll('main').length !== 1) out.push('no main');
  const rgb = s => s.match(/[\d.]+/g).slice(0, 3).map(Number);
  const lum = c => { const [r, g, b] = c.map(v => { v /= 255; return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4 }); return 0.2126 * r + 0.7152 * g + 0.0722 * b };
  const body = getComputedStyle(document.body), a = lum(rgb(body.color)), b = lum(rgb(body.backgroundColor));
  const contrast = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
  if (contrast < 7) out.push('contrast ' + contrast.toFixed(1));
  let drawings = 0;
  for (const svg of document.querySelectorAll('svg')) {
    drawings++;
    if (!svg.querySelector('title') || !svg.querySelector('title').textContent) out.push('a drawing without a name');
    const f = svg.getBoundingClientRect(), scale = svg.getScreenCTM().a, seen = [];
    for (const t of svg.querySelectorAll('text')) {
      const r = t.getBoundingClientRect(), px = parseFloat(getComputedStyle(t).fontSize) * scale;
      if (px < 11) out.push(px.toFixed(1) + ' px: ' + t.textContent);
      if (r.left < f.left - 1 || r.right > f.right + 1 || r.top < f.top - 1 || r.bottom > f.bottom + 1) out.push('outside the frame: ' + t.textContent);
      const box = {l: r.left + 1, r: r.right - 1, t: r.top + px * 0.25, b: r.bottom - px * 0.25, s: t.textContent};
      for (const o of seen) if (box.l < o.r && o.l < box.r && box.t < o.b && o.t < box.b) out.push('over each other: ' + o.s + ' / ' + box.s);
      seen.push(box);
    }
  }
  if (drawings === 0) out.push('no drawing');
  const parts = document.querySelectorAll('.rest > section');
  if (width >= 1000 && parts.length > 1) {
    const right = Math.max(...Array.from(document.querySelectorAll('.top > *, .rest > section'), e => e.getBoundingClientRect().right));
    if (right < 0.85 * width) out.push('empty from ' + Math.round(right) + ' of ' + width);
  }
  return out;
})()`

// TestGallery renders every page with a drawing in a real browser, on a phone and a
// desk, by day and in the dark. TIDEHOLD_GALLERY names a directory to keep pages and
// pictures in.
func TestGallery(t *testing.T) {
	if testing.Short() {
		t.Skip("a browser takes a few seconds; run without -short")
	}
	dir := os.Getenv("TIDEHOLD_GALLERY")
	if dir == "" {
		dir = t.TempDir()
	}
	ctx := startBrowser(t)
	report := filepath.Join(t.TempDir(), "report.csv")
	if err := os.WriteFile(report, []byte("analyte,value,unit,±\ncopper,21,ug/L,3\nzinc,<20,ug/L,\nnickel,6.1,ug/L,\ntin,12,ug/L,\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, command := range gallery {
		name := strings.Join(strings.Fields(strings.NewReplacer("--demo", "", "REPORT", "", "--", "").Replace(command)), "-")
		page := filepath.Join(dir, name+".html")
		code, html, errs := onlyReads(append(strings.Fields(strings.Replace(command, "REPORT", report, 1)), "--format", "html")...)
		if code != exitDone && code != exitNo {
			t.Fatalf("%s: exit %d: %s", command, code, errs)
		}
		if err := os.WriteFile(page, []byte(html), 0o644); err != nil {
			t.Fatal(err)
		}
		if err := chromedp.Do(ctx, chromedp.Navigate("file://"+page)); err != nil {
			t.Fatalf("%s: %v", command, err)
		}
		for _, screen := range []struct {
			name   string
			width  int64
			scheme string
		}{{"phone", 390, "light"}, {"desk", 1200, "dark"}} {
			if _, err := chromedp.Call(ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
				Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: screen.scheme}}}); err != nil {
				t.Fatal(err)
			}
			if err := chromedp.Do(ctx, chromedp.EmulateViewport(screen.width, 844)); err != nil {
				t.Fatalf("%s: %v", command, err)
			}
			faults, err := chromedp.Run(ctx, chromedp.Evaluate[[]string](pageFaults))
			if err != nil {
				t.Fatalf("%s: %v", command, err)
			}
			keepPicture(t, ctx, dir, name+"-"+screen.name)
			for _, f := range faults {
				t.Errorf("%s on a %s: %s", command, screen.name, f)
			}
		}
	}
}

// keepPicture saves what the browser shows, where somebody wants to look at it.
func keepPicture(t *testing.T, ctx context.Context, dir, name string) {
	t.Helper()
	if os.Getenv("TIDEHOLD_GALLERY") == "" {
		return
	}
	picture, err := chromedp.Run(ctx, chromedp.FullScreenshot(100))
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, name+".png"), picture, 0o644); err != nil {
		t.Fatal(err)
	}
}

// startBrowser starts Debian's browser with an empty profile.
func startBrowser(t *testing.T) context.Context {
	t.Helper()
	path, err := exec.LookPath("chromium")
	if err != nil {
		outside.Missing(t, "no chromium on this machine: install Debian's package chromium to look at the pages")
	}
	alloc, stop := chromedp.NewExecAllocator(t.Context(), chromedp.ExecPath(path), chromedp.UserDataDir(t.TempDir()), chromedp.Headless, chromedp.NoSandbox,
		chromedp.DisableGPU, chromedp.NoFirstRun, chromedp.Flag("hide-scrollbars", true), chromedp.Flag("disable-background-networking", true), chromedp.WSURLReadTimeout(60*time.Second))
	ctx, cancel := chromedp.NewContext(alloc)
	ctx, timeout := context.WithTimeout(ctx, time.Minute)
	t.Cleanup(func() { _ = chromedp.Cancel(ctx); timeout(); cancel(); stop() })
	return ctx
}

// The nights of a drawing are those of the site's awake, where it says when somebody is up.
func TestNightsAreThoseOfTheSite(t *testing.T) {
	night := func(sets ...string) string {
		_, out, errs := onlyReads(append([]string{"dilute", "--demo", "--event", "broken-heater", "--all"}, sets...)...)
		for _, l := range strings.Split(out, "\n") {
			if strings.HasPrefix(strings.TrimSpace(l), "night") {
				return l
			}
		}
		t.Fatalf("no night: %s%s", out, errs)
		return ""
	}
	usual, same, late := night(), night("--set", "awake.from=06:00", "--set", "awake.to=22:00"), night("--set", "awake.from=13:00", "--set", "awake.to=14:00")
	if usual != same || strings.Count(late, ":") <= strings.Count(usual, ":") {
		t.Errorf("nights\n%s\n%s\n%s", usual, same, late)
	}
}
