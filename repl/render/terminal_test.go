package render

import (
	"bytes"
	"strings"
	"testing"

	"breakbook/repl/page"
)

func screen(t *testing.T, e page.Entry, o Options) string {
	t.Helper()
	var b bytes.Buffer
	if err := Terminal(&b, e, o); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// wholeFit is the sample with everything it has.
func wholeFit() page.Entry {
	e := sampleFit()
	e.Whole = true
	return e
}

// Laid out by hand from the numbers in sampleFit.
const fitAt80 = `A pair of pins carries 412 N more than none, 95 % interval from 251 N to 573 N,
p < 0.0001: differs.

Density: +3.2 N per kg/m³, p = 0.031.
The terms explain 61 % of the variation.

  Saved as fit1; 38 specimens of gates, 2 set aside, 1 left out for a missing
  value.

  Expected load of a baseline specimen (pins: none) and what changes it
  term            effect      low      high  unit             t         p
  ───────────────────────────────────────────────────────────────────────
  baseline      2512      2302     2723      N            24.30  < 0.0001
  pins: pair     412       251      573      N             5.20  < 0.0001
  pins: single   −35      −190      120      N            −0.46    0.647
  density          3.214     0.31     6.119  N per kg/m³   2.25    0.031
  Number columns are measured from their mean.
  No room for the columns standard error, degrees of freedom; a report has them
  all.

  specimens    38         F  17.9
  residual sd  251.3 N    p  < 0.0001
  explained    61 %

Caution: 6 boards: specimens of one board are alike; fit load on density, pins
  blocked by board takes that in.

Drawn: out/figure-1.png
`

func TestTerminal(t *testing.T) {
	if got := screen(t, wholeFit(), Options{}); got != fitAt80 {
		t.Errorf("got:\n%s\nwant:\n%s", got, fitAt80)
	}
}

// Laid out by hand: what stands first, and the line to all of it.
const shortFitAt80 = `A pair of pins carries 412 N more than none, 95 % interval from 251 N to 573 N,
p < 0.0001: differs.

Density: +3.2 N per kg/m³, p = 0.031.
The terms explain 61 % of the variation.

  Saved as fit1 (whole: show fit1); 38 specimens of gates, 2 set aside, 1 left
  out for a missing value.

  Expected load of a baseline specimen (pins: none) and what changes it
  term            effect      low      high  unit             t         p
  ───────────────────────────────────────────────────────────────────────
  baseline      2512      2302     2723      N            24.30  < 0.0001
  pins: pair     412       251      573      N             5.20  < 0.0001
  pins: single   −35      −190      120      N            −0.46    0.647
  density          3.214     0.31     6.119  N per kg/m³   2.25    0.031

Caution: 6 boards: specimens of one board are alike; fit load on density, pins
  blocked by board takes that in.

Drawn: out/figure-1.png

Next: compare pins of fit1; draw effects of fit1
`

func TestAResultIsShortFirst(t *testing.T) {
	e := sampleFit()
	e.Next = []string{"compare pins of fit1", "draw effects of fit1"}
	if got := screen(t, e, Options{}); got != shortFitAt80 {
		t.Errorf("got:\n%s\nwant:\n%s", got, shortFitAt80)
	}
}

// The finding that answers is never left out, nor are doubts about it, however long.
func TestTheFirstFindingIsAlwaysThere(t *testing.T) {
	e := sampleFit()
	long := strings.Repeat("a long finding ", 200) + "ends here."
	e.Findings = append([]page.Sentence{page.Say(long)}, e.Findings...)
	got := screen(t, e, Options{})
	if !strings.Contains(strings.Join(strings.Fields(got), " "), "ends here. … 3 more findings: show fit1") {
		t.Errorf("the first finding is cut:\n%s", got)
	}
}

// A lower terminal gets a shorter result, and the line that shows it whole.
func TestAResultIsAsLowAsTheTerminal(t *testing.T) {
	e := sampleFit()
	for _, c := range []struct{ height, most int }{{0, 24}, {40, 24}, {16, 16}, {3, 14}} {
		got := screen(t, e, Options{Height: c.height})
		if n := strings.Count(got, "\n"); n > c.most {
			t.Errorf("at a height of %d it takes %d lines:\n%s", c.height, n, got)
		}
		if c.height == 16 && !strings.Contains(got, "more findings: show fit1") {
			t.Errorf("nothing leads to the rest:\n%s", got)
		}
	}
}

// What is kept in a file shows its first rows, and what is taller than a screen a line a caution; shown
// whole, nothing is left out.
func TestTallEntries(t *testing.T) {
	e := wholeFit()
	e.Whole, e.Name, e.Values, e.Findings = false, "", nil, e.Findings[:2]
	e.Numbered = []page.CautionNumber{{N: 4}}
	if got := screen(t, e, Options{}); !strings.Contains(got, "blocked by board takes that in.") {
		t.Errorf("what fits a screen cuts its caution:\n%s", got)
	}
	rows := e.Tables[0].Rows
	for range 40 {
		e.Tables[0].Rows = append(e.Tables[0].Rows, rows[0])
	}
	if got := screen(t, e, Options{}); !strings.Contains(got, "… (show caution 4)\n") ||
		strings.Contains(got, "more row") {
		t.Errorf("what is taller than a screen:\n%s", got)
	}
	e.Tables[0].Rest = "in fits.csv"
	if got := screen(t, e, Options{}); !strings.Contains(got, "… 37 more rows: in fits.csv\n") {
		t.Errorf("a table that is in a file:\n%s", got)
	}
	e.Whole = true
	if got := screen(t, e, Options{}); strings.Contains(got, "more row") || strings.Contains(got, "show caution") {
		t.Errorf("shown whole:\n%s", got)
	}
}

func TestTerminalWidths(t *testing.T) {
	numbers := []string{"2512", "−190", "6.119", "24.30", "0.647", "251.3 N"}
	for _, width := range []int{40, 80, 120} {
		got := screen(t, wholeFit(), Options{Width: width})
		for _, line := range strings.Split(got, "\n") {
			if screenWidth(line) > width {
				t.Errorf("width %d: %q is %d wide", width, line, screenWidth(line))
			}
			if strings.HasSuffix(line, " ") {
				t.Errorf("width %d: blank at the end of %q", width, line)
			}
		}
		for _, n := range numbers {
			if !strings.Contains(got, n) {
				t.Errorf("width %d: %s is gone", width, n)
			}
		}
	}
	if wide := screen(t, wholeFit(), Options{Width: 120}); strings.Contains(wide, "Not shown") ||
		!strings.Contains(wide, "103.4") {
		t.Errorf("120 columns have room for every column:\n%s", wide)
	}
	narrow := screen(t, wholeFit(), Options{Width: 40})
	if n := strings.Count(narrow, "baseline "); n != 4 { // the title and three parts of the table
		t.Errorf("at 40 columns the first column stands %d times, want 4:\n%s", n, narrow)
	}
}

func TestTerminalWideCharacters(t *testing.T) {
	e := page.Entry{Tables: []page.Table{{Columns: []page.Column{{ID: "holzart"}, {ID: "n", Style: page.Count}},
		Rows: [][]page.Cell{{page.T("落葉松"), page.N(12)}, {page.T("Lärche"), page.N(8)}, {page.T("e\u0301"), {}}}}}}
	want := "  holzart   n\n" +
		"  ───────────\n" +
		"  落葉松   12\n" +
		"  Lärche    8\n" +
		"  e\u0301         –\n"
	if got := screen(t, e, Options{}); got != want {
		t.Errorf("got:\n%s\nwant:\n%s", got, want)
	}
}

func TestTerminalFoldsWords(t *testing.T) {
	long := "the spread of the residuals grows with the fitted load, so intervals are too narrow at the top"
	e := page.Entry{Tables: []page.Table{{Columns: []page.Column{{ID: "test"}, {ID: "p", Style: page.P},
		{ID: "meaning"}}, Rows: [][]page.Cell{{page.T("spread"), page.N(0.004), page.T(long)}}}}}
	got := screen(t, e, Options{Width: 50})
	if strings.Join(strings.Fields(got[strings.LastIndex(got, "─")+3:]), " ") != "spread 0.004 "+long {
		t.Errorf("words changed:\n%s", got)
	}
}

func TestTerminalColour(t *testing.T) {
	got := screen(t, wholeFit(), Options{Color: true})
	if !strings.HasPrefix(got, "\x1b[1mA pair") || !strings.Contains(got, "\x1b[1;35mCaution:\x1b[0m 6 boards") {
		t.Errorf("colours are not where they belong:\n%q", got)
	}
	for _, code := range []string{bold, faint, caution, failure, plain} {
		got = strings.ReplaceAll(got, code, "")
	}
	if got != fitAt80 {
		t.Errorf("colour changes the text:\n%s", got)
	}
}

func TestTerminalIsSafe(t *testing.T) {
	e := page.Entry{Findings: []page.Sentence{page.Say("level \x1b[2Jx\u202ey\nz")},
		Tables: []page.Table{{Columns: []page.Column{{ID: "a\x07"}}, Rows: [][]page.Cell{{page.T("b\x1b]0;t\x07")}}}}}
	got := screen(t, e, Options{})
	for _, bad := range []string{"\x1b", "\x07", "\u202e"} {
		if strings.Contains(got, bad) {
			t.Errorf("%q reached the screen: %q", bad, got)
		}
	}
	if !strings.HasPrefix(got, "level \ufffd[2Jx\ufffdy z\n") {
		t.Errorf("the text around is not kept: %q", got)
	}
}

func TestFewValuesMakeALine(t *testing.T) {
	e := page.Entry{Values: []page.Value{{ID: "explained", Cell: page.N(0.61), Style: page.Fraction},
		{ID: "p", Cell: page.N(0.00001), Style: page.P}, {ID: "aicc", Cell: page.N(page.None)}}}
	if got, want := screen(t, e, Options{}), "  Also: explained 61 %; p < 0.0001; aicc –.\n"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

func TestProseOnScreen(t *testing.T) {
	if got := screen(t, page.Entry{Kind: "note", Prose: "Second gauge from here."},
		Options{}); got != "Second gauge from here.\n" {
		t.Errorf("got %q", got)
	}
}

func TestColumnsOfNumbers(t *testing.T) {
	for _, c := range []struct {
		style page.Style
		xs    []float64
		want  []string
	}{
		{page.Plain, []float64{2412, 812, 96}, []string{"2412", "812", "96"}},
		{page.Plain, []float64{24.13, 8.5, 0.0312}, []string{"24.130", "8.500", "0.031"}},
		{page.Plain, []float64{100.5, 3e-13}, []string{"100.5", "3 × 10⁻¹³"}},
		{page.Plain, []float64{2e-7, 3.5e-6}, []string{"2 × 10⁻⁷", "3.5 × 10⁻⁶"}},
		{page.Ratio, []float64{12.31, -0.518}, []string{"12.31", "−0.52"}},
		{page.Ratio, []float64{24.297, 5.195, 2.249}, []string{"24.30", "5.20", "2.25"}},
		{page.Ratio, []float64{1234.5, 0.0003}, []string{"1234.50", "0.00"}},
		{page.Quotient, []float64{2.35, 0.0028, 0.0141}, []string{"2.35", "0.003", "0.01"}},
		{page.Quotient, []float64{1007776, 0.0008, 3.4e-7}, []string{"1007776", "0.0008", "3 × 10⁻⁷"}},
		{page.P, []float64{0.03112, 0.52, 2e-9}, []string{"0.031", "0.520", "< 0.0001"}},
		{page.P, []float64{0.00031, 0.52}, []string{"0.0003", "0.5200"}},
		{page.Fraction, []float64{0.612, 0.053, 0}, []string{"61.2", "5.3", "0.0"}},
		{page.Fraction, []float64{0.61, 0.39, 1e-6}, []string{"61", "39", "< 0.01"}},
		{page.Percent, []float64{-12, 110}, []string{"−12", "110"}},
		{page.DF, []float64{12, 23.417}, []string{"12.0", "23.4"}},
		{page.Count, []float64{12, 8}, []string{"12", "8"}},
		{page.Exact, []float64{0.125, 3}, []string{"0.125", "3.000"}},
	} {
		f := common(c.xs, c.style, Options{})
		for i, x := range c.xs {
			if got := soft(f.text(x)); got != c.want[i] {
				t.Errorf("style %d column %v: %v shows as %q, want %q", c.style, c.xs, x, got, c.want[i])
			}
		}
	}
}

// A percentage shows two significant digits less than a measured quantity, and the decimals
// it may have grow with them.
func TestColumnsOfSharesFollowDigits(t *testing.T) {
	xs := []float64{0.612345678, 0.0531}
	for digits, want := range map[int][]string{
		0: {"61.2", "5.3"},
		3: {"61", "5"},
		5: {"61.2", "5.3"},
		6: {"61.23", "5.31"},
		7: {"61.235", "5.310"},
		8: {"61.2346", "5.3100"},
	} {
		for style, scale := range map[page.Style]float64{page.Fraction: 1, page.Percent: 100} {
			f := common(scaled(xs, scale), style, Options{Digits: digits})
			for i, x := range xs {
				if got := soft(f.text(x * scale)); got != want[i] {
					t.Errorf("style %d with %d digits: %v shows as %q, want %q", style, digits, x*scale, got, want[i])
				}
			}
		}
	}
}
