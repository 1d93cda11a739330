package main

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

// A golden session asserts what matters in what it prints, against figures from outside where there are numbers. All
// of what it prints is kept beside it, so that no other sentence or number changes unnoticed: -update writes it anew,
// and the change is read before it is committed.

// printed is what the commands of one golden session printed.
type printed struct {
	strings.Builder
	folder string // of the session, which is another each time
}

// keeps begins to note what a session prints, and holds it to what is kept when the session is over. What two sessions
// at once print depends on which comes first, and what somebody may not read on who they are.
func keeps(t *testing.T, env *testscript.Env, kept string) {
	name := strings.TrimPrefix(filepath.Base(env.WorkDir), "script-")
	if slices.Contains([]string{"files_at_once", "bad_files", "replay_outside"}, name) {
		return
	}
	p := &printed{folder: env.WorkDir}
	env.Values[keptKey{}] = p
	env.Defer(func() {
		file := filepath.Join(kept, name+".txt")
		if *update {
			if err := os.WriteFile(file, []byte(p.String()), 0o666); err != nil {
				t.Error(err)
			}
			return
		}
		text, err := os.ReadFile(file)
		if err != nil {
			t.Errorf("what %s prints is not kept, -update keeps it: %v", name, err)
			return
		}
		if where := otherwise(string(text), p.String()); where != "" {
			t.Errorf("%s prints something else than is kept; if that is meant, -update keeps it.\n%s", name, where)
		}
	})
}

type keptKey struct{}

// note keeps what a command printed: JSON with a line for each finding, table and row.
func note(ts *testscript.TestScript, args []string, stdout string) {
	p, ok := ts.Value(keptKey{}).(*printed)
	if !ok || slices.Contains(args, "schema") { // which is held to the tables it is made of
		return
	}
	if strings.HasPrefix(stdout, "{") {
		stdout = breaks.Replace(stdout)
	}
	stdout = strings.ReplaceAll(stdout, p.folder, "$WORK")
	fmt.Fprintf(p, "$ %s\n%s\n", strings.ReplaceAll(strings.Join(args, " "), p.folder, "$WORK"),
		figure.ReplaceAllStringFunc(stdout, func(s string) string {
			if x, err := strconv.ParseFloat(s, 64); err == nil && len(s) > 12 {
				return strconv.FormatFloat(x, 'g', 9, 64)
			}
			return s
		}))
}

var (
	breaks = strings.NewReplacer(`],[`, "],\n[", `},{`, "},\n{", `,"findings":`, ",\n\"findings\":", `,"tables":`,
		",\n\"tables\":", `,"rows":[`, ",\"rows\":[\n", `,"cautions":`, ",\n\"cautions\":")
	figure = regexp.MustCompile(`-?\d+(\.\d+)?(e[-+]?\d+)?`)
)

// otherwise shows the first line that is not as it was kept; "" where all are. Numbers may differ by a millionth, which
// other processors make of the same sums.
func otherwise(was, now string) string {
	a, b := strings.Split(was, "\n"), strings.Split(now, "\n")
	for i := range max(len(a), len(b)) {
		var before, after string
		if i < len(a) {
			before = a[i]
		}
		if i < len(b) {
			after = b[i]
		}
		if !alike(before, after) || i >= len(a) || i >= len(b) {
			from := 0 // the first letter that differs, and some before it
			for from < min(len(before), len(after)) && before[from] == after[from] {
				from++
			}
			from = max(0, from-80)
			return fmt.Sprintf("line %d was: %s\nand now is: %s", i+1, before[from:], after[from:])
		}
	}
	return ""
}

// alike reports whether two lines have the same words, and numbers within a millionth.
func alike(a, b string) bool {
	if a == b {
		return true
	}
	if figure.ReplaceAllString(a, "0") != figure.ReplaceAllString(b, "0") {
		return false
	}
	xs, ys := figure.FindAllString(a, -1), figure.FindAllString(b, -1)
	for i := range xs {
		x, err := strconv.ParseFloat(xs[i], 64)
		y, other := strconv.ParseFloat(ys[i], 64)
		if err != nil || other != nil || !(math.Abs(x-y) <= 1e-6*math.Abs(x)+1e-12) {
			return false
		}
	}
	return true
}

func TestAlike(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want bool
	}{
		{"load 12.3456789 N", "load 12.3456790 N", true},
		{"load 12.345678 N", "load 12.34578 N", false},
		{"load 12 N", "load 13 N", false},
		{"load 12 N", "load 12 mm", false},
		{"p 1e-17", "p -2e-16", true},
		{"p 1.5e-7", "p 1.6e-7", false},
		{"", "", true},
	} {
		if got := alike(c.a, c.b); got != c.want {
			t.Errorf("%q and %q: %v", c.a, c.b, got)
		}
	}
	if got := otherwise("a\nb\n", "a\nb\nc\n"); got != "line 3 was: \nand now is: c" {
		t.Errorf("%q", got)
	}
}
