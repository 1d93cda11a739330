package book

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// browser starts a headless browser, or skips where there is none.
func browser(t *testing.T) context.Context {
	t.Helper()
	path := ""
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if p, err := exec.LookPath(name); err == nil {
			path = p
			break
		}
	}
	if path == "" {
		t.Skip("no browser (chromium) found: the report is not looked at in one")
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(path),
		chromedp.NoSandbox, chromedp.DisableGPU, chromedp.Flag("disable-background-networking", true))
	ctx, cancel := context.WithTimeout(t.Context(), 60*time.Second)
	t.Cleanup(cancel)
	ctx, cancel = chromedp.NewExecAllocator(ctx, options...)
	t.Cleanup(cancel)
	ctx, cancel = chromedp.NewContext(ctx)
	t.Cleanup(cancel)
	return ctx
}

// seen is what a browser makes of a page.
type seen struct {
	Overflow  int    `json:"overflow"`  // pixels the page is wider than the screen
	Images    int    `json:"images"`    // pictures on it
	Broken    int    `json:"broken"`    // pictures not loaded, without words, or wider than the screen
	Scrolling int    `json:"scrolling"` // tables that scroll by themselves
	Requests  int    `json:"requests"`  // things loaded from elsewhere
	Paper     string `json:"paper"`     // the background
}

const look = `(() => ({
	overflow: document.documentElement.scrollWidth - document.documentElement.clientWidth,
	images: document.images.length,
	broken: [...document.images].filter(i => !i.complete || i.naturalWidth < 100 || i.alt === "" || i.width > innerWidth).length,
	scrolling: [...document.querySelectorAll(".scroll")].filter(d => d.scrollWidth > d.clientWidth).length,
	requests: performance.getEntriesByType("resource").filter(r => !r.name.startsWith("data:")).length,
	paper: getComputedStyle(document.body).backgroundColor,
}))()`

// In a browser the page is never wider than the screen, a wide table scrolls by
// itself, and every picture is there with words for those who cannot see it.
// Screenshots go to the folder BREAKBOOK_SCREENSHOTS, if that is set.
func TestReportInABrowser(t *testing.T) {
	ctx := browser(t)
	path := filepath.Join(t.TempDir(), "report.html")
	if err := Report(t.Context(), path, sampleDocument()); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name   string
		width  int64
		scheme string
		paper  string
	}{{"phone", 390, "light", "rgb(252, 251, 248)"}, {"phone", 390, "dark", "rgb(27, 26, 24)"},
		{"desk", 1200, "light", "rgb(252, 251, 248)"}, {"desk", 1200, "dark", "rgb(27, 26, 24)"}} {
		got, shot := open(t, ctx, path, c.width, c.scheme)
		if got.Overflow > 0 {
			t.Errorf("%s %s: the page is %d px wider than the screen", c.name, c.scheme, got.Overflow)
		}
		if got.Images != 1 || got.Broken != 0 {
			t.Errorf("%s %s: %d pictures, want 1; %d broken", c.name, c.scheme, got.Images, got.Broken)
		}
		if c.width == 390 && got.Scrolling == 0 {
			t.Errorf("%s %s: no table scrolls, so the sample is too narrow to test that", c.name, c.scheme)
		}
		if got.Requests != 0 {
			t.Errorf("%s %s: the page loads %d other things", c.name, c.scheme, got.Requests)
		}
		if got.Paper != c.paper {
			t.Errorf("%s %s: paper is %s, want %s", c.name, c.scheme, got.Paper, c.paper)
		}
		if dir := os.Getenv("BREAKBOOK_SCREENSHOTS"); dir != "" {
			if err := os.WriteFile(filepath.Join(dir, c.name+"-"+c.scheme+".png"), shot, 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
}

// open shows the page at path on a screen of that width and looks at it.
func open(t *testing.T, ctx context.Context, path string, width int64, scheme string) (seen, []byte) {
	t.Helper()
	check := func(err error) {
		if err != nil {
			t.Fatal(err)
		}
	}
	_, err := chromedp.Run(ctx, chromedp.EmulateViewport(width, 900))
	check(err)
	_, err = chromedp.Call(ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
		Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}})
	check(err)
	_, err = chromedp.Run(ctx, chromedp.Navigate("file://"+path))
	check(err)
	got, err := chromedp.Run(ctx, chromedp.Evaluate[seen](look))
	check(err)
	shot, err := chromedp.Run(ctx, chromedp.FullScreenshot(100))
	check(err)
	return got, shot
}
