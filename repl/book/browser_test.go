package book

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// startBrowser starts a headless browser, or skips where there is none, and under -short.
func startBrowser(t *testing.T) context.Context {
	t.Helper()
	if testing.Short() {
		t.Skip("the report is looked at in a browser without -short")
	}
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
	ctx, cancel := context.WithTimeout(t.Context(), 3*time.Minute)
	t.Cleanup(cancel)
	ctx, cancel = chromedp.NewExecAllocator(ctx, options...)
	t.Cleanup(cancel)
	ctx, cancel = chromedp.NewContext(ctx)
	t.Cleanup(cancel)
	return ctx
}

// screens are those that a report is looked at on: a phone, a tablet, a desk.
var screens = []struct {
	name          string
	width, height int64
}{{"phone", 360, 800}, {"tablet", 768, 1024}, {"desk", 1280, 800}}

// papers are the backgrounds in light and in dark.
var papers = map[string]string{"light": "rgb(252, 251, 248)", "dark": "rgb(27, 26, 24)"}

// seen is what a browser makes of a page.
type seen struct {
	Overflow  int      `json:"overflow"`  // pixels the page is wider than the screen
	Images    int      `json:"images"`    // pictures on it
	Broken    int      `json:"broken"`    // pictures not loaded, without words, or not within their figure
	Same      int      `json:"same"`      // pictures whose words are their caption
	Scrolling int      `json:"scrolling"` // tables that scroll by themselves
	Focus     []string `json:"focus"`     // tables that scroll and the keyboard cannot reach, or the reverse
	Nameless  int      `json:"nameless"`  // tables without a name
	Requests  int      `json:"requests"`  // things loaded from elsewhere
	Paper     string   `json:"paper"`     // the background
	Lead      int      `json:"lead"`      // where the main finding ends, in pixels from the top
	Picture   int      `json:"picture"`   // where the first picture ends
	Headless  []string `json:"headless"`  // entries without a heading, and headings that skip a level
	Errors    []string `json:"-"`         // that the browser told of
}

const look = `(() => {
	const all = (of) => [...document.querySelectorAll(of)];
	const first = (of) => {
		const e = document.querySelector(of);
		return e ? Math.ceil(e.getBoundingClientRect().bottom + scrollY) : 0;
	};
	const lead = first(".lead"), picture = first(".front figure img");
	const outside = (i) => {
		const b = i.closest("figure").getBoundingClientRect(), r = i.getBoundingClientRect();
		return r.left < b.left - 1 || r.right > b.right + 1;
	};
	all("details").forEach(d => d.open = true);
	// Whether a table scrolls is told from its characters beforehand, whose widths differ from typeface to typeface:
	// one that only just fits may take the keyboard.
	const narrowest = (d) => {
		const t = d.firstElementChild;
		t.style.width = "min-content";
		const w = t.offsetWidth;
		t.style.width = "";
		return w;
	};
	const room = (d) => {
		const most = getComputedStyle(d).maxWidth;
		return most.endsWith("px") ? parseFloat(most) : d.parentElement.clientWidth;
	};
	const scrolls = (d) => d.scrollWidth > d.clientWidth;
	let level = 0;
	const skipping = all("h1, h2, h3, h4, h5, h6").filter(h => {
		const n = +h.tagName[1], skips = n > level + 1;
		level = n;
		return skips;
	});
	const broken = (i) => !i.complete || i.naturalWidth < 100 || i.alt === "" || i.width > innerWidth || outside(i);
	const caption = (i) => i.closest("figure").querySelector("figcaption")?.textContent;
	const headless = (d) => !d.querySelector("summary > h3, summary > h4") || !d.querySelector("[id^=entry-]");
	return {
		overflow: document.documentElement.scrollWidth - document.documentElement.clientWidth,
		images: document.images.length,
		broken: [...document.images].filter(broken).length,
		same: [...document.images].filter(i => caption(i)?.includes(i.alt)).length,
		scrolling: all(".scroll").filter(scrolls).length,
		focus: all(".scroll").filter(d => {
			const takes = d.tabIndex === 0 && getComputedStyle(d).visibility === "visible";
			return scrolls(d) ? !takes : takes && narrowest(d) < 0.95 * room(d);
		})
			.map(d => d.clientWidth + " of " + d.scrollWidth + ": " + d.textContent.slice(0, 60)),
		nameless: all("table").filter(t => !t.getAttribute("aria-label")).length,
		requests: performance.getEntriesByType("resource").filter(r => !r.name.startsWith("data:")).length,
		paper: getComputedStyle(document.body).backgroundColor,
		lead, picture,
		headless: all("details.entry").filter(headless)
			.concat(skipping).map(e => e.textContent.slice(0, 40)),
	}
})()`

// In a browser the page is never wider than the screen, a wide table scrolls by
// itself, and every picture is there with words for those who cannot see it. The main finding and its
// picture are on the first screen. Screenshots go to the folder BREAKBOOK_SCREENSHOTS, if that is set.
func TestReportInABrowser(t *testing.T) {
	path := filepath.Join(t.TempDir(), "report.html")
	if err := writeReport(path, sampleDocument()); err != nil {
		t.Fatal(err)
	}
	lookedAt(t, path, "sample", func(screen string, got seen) {
		if got.Images != 1 {
			t.Errorf("%s: %d pictures, want 1", screen, got.Images)
		}
		if strings.HasPrefix(screen, "phone") && got.Scrolling == 0 {
			t.Errorf("%s: no table scrolls, so the sample is too narrow to test that", screen)
		}
	})
}

// lookedAt opens a report on every screen, on a desk in dark too, holds it to what every report is held to, and
// hands on what was seen.
func lookedAt(t *testing.T, path, name string, more func(screen string, got seen)) {
	t.Helper()
	ctx := startBrowser(t)
	for _, s := range screens {
		for _, scheme := range []string{"light", "dark"} {
			if scheme == "dark" && s.name != "desk" {
				continue // only colours differ
			}
			screen := fmt.Sprintf("%s %s", s.name, scheme)
			got, shot := open(t, ctx, path, s.width, s.height, scheme)
			if got.Overflow > 0 {
				t.Errorf("%s: the page is %d px wider than the screen", screen, got.Overflow)
			}
			if got.Broken != 0 || got.Same != 0 {
				t.Errorf("%s: %d pictures are broken, of %d the words are the caption", screen, got.Broken, got.Same)
			}
			if len(got.Focus) != 0 || got.Nameless != 0 || len(got.Headless) != 0 {
				t.Errorf("%s: wrong for the keyboard %q; %d tables without a name; no heading or a skipped level: %q",
					screen, got.Focus, got.Nameless, got.Headless)
			}
			if got.Requests != 0 || len(got.Errors) != 0 {
				t.Errorf("%s: the page loads %d other things; errors %q", screen, got.Requests, got.Errors)
			}
			if got.Paper != papers[scheme] {
				t.Errorf("%s: paper is %s, want %s", screen, got.Paper, papers[scheme])
			}
			if height := int(s.height); got.Lead == 0 || got.Lead > height || got.Picture == 0 || got.Picture > height {
				t.Errorf("%s: the main finding ends at %d px and its picture at %d px of %d", screen, got.Lead,
					got.Picture, height)
			}
			more(screen, got)
			if dir := os.Getenv("BREAKBOOK_SCREENSHOTS"); dir != "" {
				if err := os.WriteFile(filepath.Join(dir, name+"-"+s.name+"-"+scheme+".png"), shot, 0o644); err != nil {
					t.Fatal(err)
				}
			}
		}
	}
}

// open shows the page at path on a screen of that size and looks at it.
func open(t *testing.T, ctx context.Context, path string, width, height int64, scheme string) (seen, []byte) {
	t.Helper()
	check := func(err error) {
		if err != nil {
			t.Fatal(err)
		}
	}
	ctx, cancel := chromedp.NewContext(ctx) // a tab of its own, whose events are heard no longer than this
	defer cancel()
	var guard sync.Mutex
	var errors []string
	check(chromedp.Listen(ctx, func(event any) {
		guard.Lock()
		defer guard.Unlock()
		switch e := event.(type) {
		case *log.EventEntryAdded:
			errors = append(errors, e.Entry.Text)
		case *runtime.EventExceptionThrown:
			errors = append(errors, e.ExceptionDetails.Text)
		}
	}))
	_, err := chromedp.Call(ctx, log.Enable, cdp.Empty{})
	check(err)
	_, err = chromedp.Run(ctx, chromedp.EmulateViewport(width, height))
	check(err)
	_, err = chromedp.Call(ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
		Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}})
	check(err)
	_, err = chromedp.Run(ctx, chromedp.Navigate("file://"+path))
	check(err)
	var shot []byte
	if os.Getenv("BREAKBOOK_SCREENSHOTS") != "" {
		shot, err = chromedp.Run(ctx, chromedp.FullScreenshot(100))
		check(err)
	}
	got, err := chromedp.Run(ctx, chromedp.Evaluate[seen](look))
	check(err)
	got.Errors = audit(t, ctx)
	guard.Lock()
	got.Errors = append(got.Errors, errors...)
	guard.Unlock()
	return got, shot
}

// The specimens can be kept as a file from the page itself, under its strict policy.
func TestSpecimensAreKeptFromThePage(t *testing.T) {
	ctx := startBrowser(t)
	dir := t.TempDir()
	path := filepath.Join(dir, "report.html")
	d := sampleDocument()
	if err := writeReport(path, d); err != nil {
		t.Fatal(err)
	}
	if _, err := chromedp.Run(ctx, chromedp.Navigate("file://"+path)); err != nil {
		t.Fatal(err)
	}
	if _, err := chromedp.Call(ctx, browser.SetDownloadBehavior, browser.SetDownloadBehaviorParams{Behavior: "allow",
		DownloadPath: dir}); err != nil {
		t.Fatal(err)
	}
	const click = `document.querySelectorAll("details").forEach(d => d.open = true);
		document.querySelector("a[download]").click(); 0`
	if _, err := chromedp.Run(ctx, chromedp.Evaluate[int](click)); err != nil {
		t.Fatal(err)
	}
	kept := filepath.Join(dir, "gates.csv")
	for range 100 {
		if got, err := os.ReadFile(kept); err == nil && string(got) == string(d.Series[0].CSV) {
			return
		}
		time.Sleep(50 * time.Millisecond)
	}
	got, err := os.ReadFile(kept)
	t.Errorf("kept is %q (%v), want %q", got, err, d.Series[0].CSV)
}

// audit is what an accessibility checker has against a page with every fold open: the one whose script BREAKBOOK_AXE
// names (the file axe.min.js of the package axe-core), if that is set.
func audit(t *testing.T, ctx context.Context) []string {
	t.Helper()
	path := os.Getenv("BREAKBOOK_AXE")
	if path == "" {
		return nil
	}
	script, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	const run = `axe.run().then(r => r.violations.flatMap(v => v.nodes.map(n => v.id + ": " + n.html.slice(0, 120))))`
	if _, err := chromedp.Run(ctx, chromedp.Evaluate[any](string(script)+"; 0")); err != nil {
		t.Fatal(err)
	}
	found, err := chromedp.Run(ctx, chromedp.Evaluate[[]string](run, chromedp.EvalAwaitPromise))
	if err != nil {
		t.Fatal(err)
	}
	return found
}
