package repl_test

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"breakbook/repl"
)

// entry is one line of what a session gives with --json.
type entry struct {
	Input    string
	OK       bool
	Findings []string
	Cautions []string
	Values   map[string]any
	Tables   []struct {
		ID      string
		Columns []struct{ ID string }
		Rows    [][]any
	}
	Error *struct{ Code, Message, Hint string }
}

// session types commands into a whole program, with these files in its folder, and gives
// its entries. Tests that use it hold for whatever way a command takes through the code.
func session(t *testing.T, files map[string]string, commands string) []entry {
	t.Helper()
	folder := t.TempDir()
	for name, text := range files {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	t.Chdir(folder)
	out, err := os.Create(filepath.Join(folder, "out.jsonl"))
	if err != nil {
		t.Fatal(err)
	}
	screen := os.Stdout
	os.Stdout = out
	repl.Main([]string{"--json", "--quiet", "type", commands})
	os.Stdout = screen
	if err := out.Close(); err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile(out.Name())
	if err != nil {
		t.Fatal(err)
	}
	var all []entry
	for line := range strings.Lines(string(text)) {
		var e entry
		if err := json.Unmarshal([]byte(line), &e); err != nil {
			t.Fatalf("%q: %v", line, err)
		}
		if !e.OK {
			t.Fatalf("%s: %+v", e.Input, *e.Error)
		}
		all = append(all, e)
	}
	return all
}

// want is one thing that an entry must tell; testdata/reference/answers.py says where its
// figures are from.
type want struct {
	Entry   int
	In      string   // findings or cautions
	Match   string   // the sentence it is about
	Times   int      // so many sentences match; 0: one at least
	Numbers []string // every number of the sentence in its order; "*" is any
	Strip   string   // what is no number of the sentence
	Words   []string // what else it says
	Not     string   // and what it does not
	First   string   // the first sentence
	Absent  string   // no sentence says so

	Table, Column string
	Row           []any // the first cells
	Count         *int  // of rows
	Name          string
	Value         any
	Digits        float64
}

func TestAnswersAgainstReference(t *testing.T) {
	text, err := os.ReadFile(filepath.FromSlash("../testdata/reference/answers.json"))
	if err != nil {
		t.Fatal(err)
	}
	var reference struct {
		Cases []struct {
			Name, Commands string
			Files          map[string]string
			Want           []want
		}
	}
	if err := json.Unmarshal(text, &reference); err != nil {
		t.Fatal(err)
	}
	for _, c := range reference.Cases {
		t.Run(c.Name, func(t *testing.T) {
			entries := session(t, c.Files, c.Commands)
			for _, w := range c.Want {
				if w.Entry > len(entries) {
					t.Fatalf("no entry %d", w.Entry)
				}
				e := entries[w.Entry-1]
				if why := w.missing(e); why != "" {
					t.Errorf("entry %d, %s: %s", w.Entry, e.Input, why)
				}
			}
		})
	}
}

// missing says what of a want an entry does not hold, or "".
func (w want) missing(e entry) string {
	switch {
	case w.In != "":
		return w.unsaid(e)
	case w.Name != "":
		return agrees(w.Name, e.Values[w.Name], w.Value, w.Digits)
	}
	for _, t := range e.Tables {
		if t.ID != w.Table {
			continue
		}
		if w.Count != nil {
			if len(t.Rows) != *w.Count {
				return fmt.Sprintf("table %s has %d rows, want %d: %v", t.ID, len(t.Rows), *w.Count, t.Rows)
			}
			return ""
		}
		at := slices.IndexFunc(t.Columns, func(c struct{ ID string }) bool { return c.ID == w.Column })
		for _, row := range t.Rows {
			if at >= 0 && slices.Equal(row[:len(w.Row)], w.Row) {
				return agrees(fmt.Sprint(t.ID, w.Row, " ", w.Column), row[at], w.Value, w.Digits)
			}
		}
		return fmt.Sprintf("table %s has no %v, %s: %v", t.ID, w.Row, w.Column, t.Rows)
	}
	return "no table " + w.Table
}

// unsaid says what of a want no sentence tells.
func (w want) unsaid(e entry) string {
	said := map[string][]string{"findings": e.Findings, "cautions": e.Cautions}[w.In]
	all := strings.Join(said, "\n  ")
	switch {
	case w.Absent != "":
		if regexp.MustCompile(w.Absent).MatchString(all) {
			return fmt.Sprintf("%q is said:\n  %s", w.Absent, all)
		}
		return ""
	case w.First != "":
		if len(said) == 0 || !regexp.MustCompile(w.First).MatchString(said[0]) {
			return fmt.Sprintf("the first is not %q:\n  %s", w.First, all)
		}
		return ""
	}
	about := regexp.MustCompile(w.Match)
	var close string
	times := 0
	for _, s := range said {
		if !about.MatchString(s) {
			continue
		}
		times++
		why := w.differs(s)
		if why == "" && w.Times == 0 {
			return ""
		}
		close += "\n  " + s + "\n    " + why
	}
	if w.Times > 0 && times == w.Times {
		return ""
	}
	if close == "" {
		return fmt.Sprintf("no sentence has %q:\n  %s", w.Match, all)
	}
	return close
}

// differs says how a sentence is not as wanted, or "".
func (w want) differs(sentence string) string {
	for _, words := range w.Words {
		if !regexp.MustCompile(words).MatchString(sentence) {
			return "does not say " + words
		}
	}
	if w.Not != "" && regexp.MustCompile(w.Not).MatchString(sentence) {
		return "says " + w.Not
	}
	if w.Strip != "" {
		sentence = regexp.MustCompile(w.Strip).ReplaceAllString(sentence, "")
	}
	stated, _, _ := strings.Cut(sentence, " Type: ") // what is offered to type tells no figure
	got := numbersIn(stated)
	if w.Numbers != nil && !slices.EqualFunc(got, w.Numbers, func(a, b string) bool { return a == b || b == "*" }) {
		return fmt.Sprintf("numbers are %v, want %v", got, w.Numbers)
	}
	return ""
}

var oneNumber = regexp.MustCompile(`−?\d+(?:\.\d+)?`)

// numbersIn are the numbers of a sentence as they are written, without those of units.
func numbersIn(sentence string) []string {
	return oneNumber.FindAllString(strings.ReplaceAll(sentence, "kg/m3", ""), -1)
}

// agrees says how a value is not as wanted to so many significant digits, or "".
func agrees(what string, got, want any, digits float64) string {
	x, number := got.(float64)
	y, figure := want.(float64)
	if number && figure {
		if math.Abs(x-y) <= 0.5*math.Pow(10, 1-digits)*math.Max(math.Abs(x), math.Abs(y)) {
			return ""
		}
	} else if got == want {
		return ""
	}
	return fmt.Sprintf("%s is %v, want %v", what, got, want)
}
