package repl

import (
	"fmt"
	"runtime"
	"strings"
	"testing"
	"unicode/utf8"
)

// longLines are lines with something wrong in them that are n characters long.
func longLines(n int) map[string]string {
	some := func(s string) string { return strings.Repeat(s, n/len(s)+1) }
	return map[string]string{
		"one word":              some("x"),
		"one unknown column":    "average load by " + some("x"),
		"many columns":          "fit load on " + strings.TrimSuffix(some("dense, "), ", "),
		"good columns, bad end": "fit load on " + strings.TrimSuffix(some("density, "), ", ") + ", dense",
		"many words":            "compare load by pins " + some("pair "),
		"an open quote":         "note " + some("x ") + `"`,
		"open quotes":           "note " + some(`a "" b"c `) + ` "`,
		"brackets":              "rows for " + some("("),
		"nots":                  "rows for " + some("not "),
		"conditions":            "rows for " + some("pins is none and ") + "dense",
		"levels":                "rows for pins among " + some("none, ") + "nonsense",
		"numbers":               "band density at " + some("500, ") + "x",
		"a sum":                 "work out y = load" + some("+load") + "+dense",
		"wide characters":       "average load by " + some("木"),
		"marks":                 "average load by " + some("e\u0301\u0301"),
		"blanks":                "average load" + some(" ") + "by dense",
		"commands":              some("nonsense; "),
		"files":                 "read curves " + some("a ") + "by dense",
		"dots and glue":         "average load by " + some("a.1b-"),
		"a number":              "rows " + some("9"),
		"a unit":                "worth 10 " + some("kg"),
		"predictions":           "predict fit1 given " + some("density 600 or ") + "x",
		"results":               "rivals " + some("fit1, ") + "fat",
		"options":               "compare load by pins " + some("ranked "),
	}
}

// measuredBench is a harness with a series to make mistakes on.
func measuredBench(t testing.TB) *harness {
	b := benchOf(t)
	if !b.feed(t.Context(),
		linesOf(strings.NewReader("open ../testdata/demo/gates.csv as gates; fit load on density\n")), true, false) {
		t.Fatal(b.err.String())
	}
	b.out.Reset()
	return b
}

// BenchmarkErrorOnALongLine is how long an error takes to come back, by the kind and the
// length of the line.
func BenchmarkErrorOnALongLine(b *testing.B) {
	for _, n := range []int{10_000, 40_000, 1_000_000} {
		for name, line := range longLines(n) {
			b.Run(fmt.Sprintf("%s/%d", name, n), func(b *testing.B) {
				h := measuredBench(b)
				for b.Loop() {
					h.feed(b.Context(), linesOf(strings.NewReader(line+"\n")), true, true)
					h.out.Reset()
					h.err.Reset()
				}
			})
		}
	}
}

// An error shows a screen of the line and no more, the place in it, whatever the length.
func TestAnErrorOnALongLineIsAScreen(t *testing.T) {
	lengths := []int{10_000, 1_000_000}
	if testing.Short() {
		lengths = lengths[:1]
	}
	for _, n := range lengths {
		for name, line := range longLines(n) {
			b := measuredBench(t)
			if name == "commands" { // of which each is an error of its own
				continue
			}
			b.feed(t.Context(), linesOf(strings.NewReader(line+"\n")), true, false)
			said := b.err.String()
			if b.failed == false || said == "" {
				t.Errorf("%s of %d characters: no error", name, n)
			}
			if len(said) > 5000 {
				t.Errorf("%s of %d characters: the error is %d bytes long", name, n, len(said))
			}
			for l := range strings.Lines(said) {
				if w := utf8.RuneCountInString(l); w > 90 && strings.Contains(l, "^") {
					t.Errorf("%s of %d characters: the caret stands at %d", name, n, w)
				}
			}
		}
	}
}

// Four times as long a line costs about four times as much memory, and not sixteen times.
func TestAnErrorOnALongLineCostsWhatTheLineDoes(t *testing.T) {
	if testing.Short() {
		t.Skip("what a line costs is no matter of races")
	}
	spent := func(line string) float64 {
		b := measuredBench(t)
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		b.feed(t.Context(), linesOf(strings.NewReader(line+"\n")), true, true)
		runtime.ReadMemStats(&after)
		return float64(after.TotalAlloc - before.TotalAlloc)
	}
	long := longLines(80_000)
	for name, line := range longLines(20_000) {
		once, fourfold := spent(line), spent(long[name])
		if fourfold > 8*once+1e6 {
			t.Errorf("%s: %.0f bytes for 20,000 characters, %.0f for 80,000", name, once, fourfold)
		}
	}
}

// A command is read up to 100,000 characters; a note is as long as it is.
func TestACommandTooLongToRead(t *testing.T) {
	b := measuredBench(t)
	b.typed(t, "note "+strings.Repeat("oak ", 50_000), true)
	if b.failed {
		t.Errorf("a long note: %s", b.err.String())
	}
	b.typed(t, "fit load on "+strings.Repeat("density, ", 20_000)+"pins", true)
	if !b.failed || !strings.Contains(b.err.String(), "more than 100,000 characters") {
		t.Errorf("a long command: %q", b.err.String())
	}
}
