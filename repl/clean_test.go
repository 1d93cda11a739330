//go:build linux

package repl

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"unicode"

	"breakbook/repl/phrase/parser"
)

// orders are characters that a screen obeys instead of showing: clear, set the title,
// fill the clipboard, in seven and in eight bits; and such as turn or hide what stands
// beside them.
const orders = "\x1b[2J\x1b]52;c;cm0gLXJmIH4=\x07\x1b]0;mine\x1b\\\u009b2J" +
	"\u009d52;c;eA==\u009c\x7f\u202e\u2066\u200f\u061c\u2060\U000e0041"

// shownSafely fails for every character of a text that a screen could obey.
func shownSafely(t *testing.T, what string, text []byte) {
	t.Helper()
	if bytes.ContainsRune(text, '\x1b') || bytes.ContainsRune(text, '\u009b') {
		t.Errorf("%s: an escape code", what)
	}
	for i, r := range string(text) {
		if r != '\n' && (unicode.IsControl(r) || unicode.Is(unicode.Cf, r)) {
			t.Errorf("%s: %U at %d: %q", what, r, i, text[max(0, i-40):min(len(text), i+20)])
			return
		}
	}
}

// called runs the program in a folder and gives what it wrote.
func called(t *testing.T, folder, input string, args ...string) (out, complaints []byte) {
	t.Helper()
	program, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	c := exec.CommandContext(t.Context(), program, args...)
	c.Dir = folder
	c.Env = []string{"BREAKBOOK_AT_THE_PROMPT=1", "TERM=xterm", "HOME=" + folder}
	c.Stdin = strings.NewReader(input)
	var stdout, stderr bytes.Buffer
	c.Stdout, c.Stderr = &stdout, &stderr
	_ = c.Run() // many of these are meant to fail
	return stdout.Bytes(), stderr.Bytes()
}

func writeFile(t *testing.T, folder, name, text string) {
	t.Helper()
	if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
}

// hostile is a folder with a series and a book whose names, headers, levels, titles and
// texts are full of orders.
func hostile(t *testing.T) (folder, book string) {
	t.Helper()
	folder = t.TempDir()
	series := "Specimen@,Break load@ (N),pins,remark\nA@1,410,no@ne,\nA2,395,no@ne,\nA3,402,no@ne,\n" +
		"A4,520,pair,\nA5,498,pair,\nA6,511,pair,\nA7,900,pair," + strings.Repeat("a knot ", 500) + "\n"
	writeFile(t, folder, "ga"+orders+"tes.csv", strings.ReplaceAll(series, "@", orders))
	const sum = " 6 rows sha256 9f86d081884c7d659f86d081884c7d659f86d081884c7d659f86d081884c7d65\n"
	book = "# file " + strconv.Quote("ga"+orders+"tes.csv") + sum + "# file " + strconv.Quote("/dev/../dev/zero") +
		sum +
		strings.ReplaceAll(`open "ga@tes.csv" as "s@eries"
look
rows
heading "Pins @ here"
note "Written @ by hand"
rename pins to "p@ins"
treat "p@ins" as category
set aside specimen 7 because "a kn@ot"
show aside
average "Break load@" by "p@ins"
draw "Break load@" by "p@ins" titled "Pi@ns" to "pic@ture.svg"
draw "Break load@" by "p@ins"
sketch "Break load@" by "p@ins"
fit "Break load@" on "p@ins" as "f@it"
compare "p@ins" of "f@it"
show results
show series
write "wr@itten.csv"
report "rep@ort.md"
report "rep@ort.html"
undo
help "he@lp"
`, "@", orders)
	return folder, book
}

func TestNothingOfABookReachesTheScreenAsAnOrder(t *testing.T) {
	folder, book := hostile(t)
	writeFile(t, folder, "h"+orders+".brk", book+"crash "+strings.ReplaceAll(orders, ";", "")+"\n")
	var last []byte
	for _, flags := range [][]string{nil, {"--json"}} {
		out, complaints := called(t, folder, "", append(flags, "replay", "h"+orders+".brk")...)
		shownSafely(t, "results", out)
		shownSafely(t, "complaints", complaints)
		last = complaints
		if !bytes.Contains(complaints, []byte("stops at line")) {
			t.Errorf("%v: the book did not run to its end:\n%s", flags, complaints)
		}
	}
	written := 0
	for _, ending := range []string{"md", "html", "svg"} {
		found, err := filepath.Glob(filepath.Join(folder, "*."+ending))
		if err != nil {
			t.Fatal(err)
		}
		for _, path := range found {
			text, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			shownSafely(t, "a file in "+ending, bytes.ReplaceAll(text, []byte("\t"), nil))
			written++
		}
	}
	if written < 4 { // two reports, the named figure, those of the report in Markdown
		t.Errorf("only %d files were written; it stopped so:\n%s", written, last)
	}
}

func TestJSONKeepsWhatTheScreenDoesNotShow(t *testing.T) {
	folder := t.TempDir()
	out, _ := called(t, folder, "note \"Written "+orders+" by hand\"\n", "--json")
	shownSafely(t, "JSON", out)
	var e struct{ Input string }
	if err := json.Unmarshal(out, &e); err != nil || e.Input != "note \"Written "+orders+" by hand\"" {
		t.Errorf("read back as %q, %v", e.Input, err)
	}
}

// Each line that a book stops at is shown with what is wrong, as is each call.
func TestErrorsReachTheScreenWithoutOrders(t *testing.T) {
	folder, book := hostile(t)
	opening := strings.Join(strings.SplitAfter(book, "\n")[2:3], "")
	for _, line := range strings.Split(strings.ReplaceAll(`open "no@where.csv"
replay "no@where.brk"
save book "no@where/x.brk"
write "x@.txt"
write "no@where/x.csv"
draw break_load by pins to "x@.gif"
report "x@.doc"
average "lo@ad" by pins
average break_load by pins for pins is "no@"
average break_load by pins titled "x@"
levels of pins are "no@"
as as@is
forget "f@"
set aside specimen "x@" because "y"
work out "x@" = break_load + "@"
unit break_load is "kg@f"
help "x@"
"@`, "@", orders), "\n") {
		out, complaints := called(t, folder, opening+line+"\n")
		shownSafely(t, "results of "+line, out)
		shownSafely(t, "complaints of "+line, complaints)
		if len(complaints) == 0 && !strings.HasPrefix(line, "work out") {
			t.Errorf("%q was not refused", line)
		}
	}
	writeFile(t, folder, "ok.brk", "note a\n")
	writeFile(t, folder, "o"+orders+".jsonl", `{"entry":1,"input":"note `+"\u009b2J"+`b","ok":true}`+"\n")
	for _, args := range [][]string{{"repl" + orders}, {"--ou" + orders}, {"replay", "x" + orders},
		{"replay", "ok.brk", "--check", "x" + orders},
		{"replay", "ok.brk", "--check", "o" + orders + ".jsonl"}, {"help", "x" + orders}, {"completion", orders},
		{"demo", "--out", "ok.brk/" + orders}, {"x" + orders + ".csv"}} {
		out, complaints := called(t, folder, "", args...)
		shownSafely(t, "results of "+strings.Join(args, " "), out)
		shownSafely(t, "complaints of "+strings.Join(args, " "), complaints)
		if len(complaints)+len(out) == 0 {
			t.Errorf("%q said nothing", args)
		}
	}
}

func TestThePromptHoldsNoOrders(t *testing.T) {
	folder, _ := hostile(t)
	t.Chdir(folder)
	b := newHarness(t)
	if !b.typed(t, `open "ga`+orders+`tes.csv" as "s`+orders+`eries"`, true) {
		t.Fatal(b.err.String())
	}
	shownSafely(t, "the prompt", []byte(b.prompt(false)))
	_, offered := parser.Complete(`open "g`, 7, b.session, onDisk)
	for _, one := range offered {
		shownSafely(t, "a completion", []byte(one))
	}
	if found := pathsToShow("g"); len(found) != 0 {
		t.Errorf("offers %q", found)
	}
}
