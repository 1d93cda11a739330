package main

import (
	"encoding/json"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

// object is one line of what --json writes.
type object map[string]any

// read takes the objects from the standard output of the last command.
func read(text string) ([]object, error) {
	var all []object
	for line := range strings.Lines(text) {
		var o object
		if err := json.Unmarshal([]byte(line), &o); err != nil {
			return nil, fmt.Errorf("%.80q is no JSON object: %w", line, err)
		}
		all = append(all, o)
	}
	return all, nil
}

// entries checks that the last command wrote this many JSON objects, each of the
// shape the contract gives an entry: entries 3.
func entries(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: entries N")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	all, err := read(ts.ReadFile("stdout"))
	ts.Check(err)
	ts.Check(valid(ts.ReadFile("stdout")))
	if len(all) != want {
		ts.Fatalf("%d entries, want %d", len(all), want)
	}
	for _, o := range all {
		if why := shape(o); why != "" {
			ts.Fatalf("entry %v (%v): %s", o["entry"], o["input"], why)
		}
	}
}

// shape says what in an entry is not as the contract has it, or "".
func shape(o object) string {
	must := []string{"entry", "input", "ok", "kind", "findings", "tables", "values", "value_units", "figures",
		"cautions"}
	may := []string{"name", "series", "specimens", "doubts", "next"}
	if o["ok"] == false {
		must, may = []string{"entry", "input", "ok", "error"}, nil
	}
	for _, key := range must {
		if v, there := o[key]; !there || v == nil {
			return "no " + key
		}
	}
	for key := range o {
		if !slices.Contains(must, key) && !slices.Contains(may, key) {
			return "unknown key " + key
		}
	}
	if e, isError := o["error"].(map[string]any); isError {
		if e["code"] == "" || e["message"] == "" {
			return "an error without code or message"
		}
		if strings.Contains(fmt.Sprint(e["message"], e["hint"]), "\n") {
			return "an error of more than one line"
		}
	}
	tables, _ := o["tables"].([]any)
	for _, t := range tables {
		table := t.(map[string]any)
		columns, _ := table["columns"].([]any)
		rows, _ := table["rows"].([]any)
		for i, row := range rows {
			if cells, ok := row.([]any); !ok || len(cells) != len(columns) {
				return fmt.Sprintf("row %d of table %v does not fill its %d columns", i+1, table["id"], len(columns))
			}
		}
	}
	return ""
}

// holds checks one thing in what --json wrote:
//
//	holds 3 values/explained 0.61 12       a number, to 12 significant digits (6 if not said)
//	holds 3 'tables/terms/pins: pair/effect' 118.5
//	holds 3 'tables/differences/none, pair/answer' differs
//	holds 3 'tables/terms/row 1/p' null
//	! holds 4 ok true
//
// A row of a table goes by its first cell, by its first cells with ", " between, or by
// `row` and its number. Lists go by number from 1.
func holds(ts *testscript.TestScript, neg bool, args []string) {
	if len(args) != 3 && len(args) != 4 {
		ts.Fatalf("usage: holds ENTRY PATH WANT [DIGITS]")
	}
	digits := 6.0
	if len(args) == 4 {
		var err error
		digits, err = strconv.ParseFloat(args[3], 64)
		ts.Check(err)
	}
	got := at(ts, args[0], args[1])
	if same, how := matches(got, args[2], digits); same == neg {
		ts.Fatalf("entry %s, %s is %v, want %s%s", args[0], args[1], got, args[2], how)
	}
}

// near checks a number by its absolute error, for values printed with few decimals:
//
//	near 4 'tables/sources/residual/sum_of_squares' 17.452 0.001
func near(ts *testscript.TestScript, neg bool, args []string) {
	if len(args) != 4 {
		ts.Fatalf("usage: near ENTRY PATH WANT TOLERANCE")
	}
	want, err := strconv.ParseFloat(args[2], 64)
	ts.Check(err)
	within, err := strconv.ParseFloat(args[3], 64)
	ts.Check(err)
	got, ok := at(ts, args[0], args[1]).(float64)
	if !ok {
		ts.Fatalf("entry %s, %s is no number", args[0], args[1])
	}
	if close := math.Abs(got-want) <= within; close == neg {
		ts.Fatalf("entry %s, %s is %v, want %v within %v", args[0], args[1], got, want, within)
	}
}

// says checks words by a regular expression: says 3 findings/1 'differs\.$'. Of a list,
// one item has to match.
func says(ts *testscript.TestScript, neg bool, args []string) {
	if len(args) != 3 {
		ts.Fatalf("usage: says ENTRY PATH REGEXP")
	}
	words, err := regexp.Compile(args[2])
	ts.Check(err)
	got := at(ts, args[0], args[1])
	list, isList := got.([]any)
	if !isList {
		list = []any{got}
	}
	said := slices.ContainsFunc(list, func(v any) bool {
		text, ok := v.(string)
		return ok && words.MatchString(text)
	})
	if said == neg {
		ts.Fatalf("entry %s, %s is %q, want %s", args[0], args[1], got, args[2])
	}
}

// at is what stands at a path of an entry that the last command wrote.
func at(ts *testscript.TestScript, entry, path string) any {
	all, err := read(ts.ReadFile("stdout"))
	ts.Check(err)
	ts.Check(valid(ts.ReadFile("stdout")))
	i := slices.IndexFunc(all, func(o object) bool { return fmt.Sprint(o["entry"]) == entry })
	if i < 0 {
		ts.Fatalf("no entry %s", entry)
	}
	got, err := find(map[string]any(all[i]), strings.Split(path, "/"))
	ts.Check(err)
	return got
}

// find follows a path into an entry.
func find(v any, path []string) (any, error) {
	if len(path) == 0 {
		return v, nil
	}
	switch in := v.(type) {
	case map[string]any:
		if rows, isTable := in["rows"].([]any); isTable && in[path[0]] == nil && len(path) == 2 {
			return cellOf(in, rows, path[0], path[1])
		}
		next, ok := in[path[0]]
		if !ok {
			return nil, fmt.Errorf("there is no %s", path[0])
		}
		return find(next, path[1:])
	case []any:
		for _, t := range in {
			if table, ok := t.(map[string]any); ok && table["id"] == path[0] {
				return find(table, path[1:])
			}
		}
		i, err := strconv.Atoi(path[0])
		if err != nil || i < 1 || i > len(in) {
			return nil, fmt.Errorf("there is no %s in a list of %d", path[0], len(in))
		}
		return find(in[i-1], path[1:])
	}
	return nil, fmt.Errorf("nothing under %s", path[0])
}

func cellOf(table map[string]any, rows []any, row, column string) (any, error) {
	columns := table["columns"].([]any)
	c := slices.IndexFunc(columns, func(c any) bool { return c.(map[string]any)["id"] == column })
	if c < 0 {
		return nil, fmt.Errorf("table %v has no column %s", table["id"], column)
	}
	for i, r := range rows {
		cells := r.([]any)
		name := ""
		for k, cell := range cells {
			if name += fmt.Sprint(cell); name == row || row == "row "+strconv.Itoa(i+1) {
				return cells[c], nil
			}
			if k < len(cells)-1 {
				name += ", "
			}
		}
	}
	return nil, fmt.Errorf("table %v has no row %s", table["id"], row)
}

// matches compares a value with what is wanted; numbers by their relative error, or,
// where nothing is wanted, by the absolute one.
func matches(got any, want string, digits float64) (same bool, how string) {
	number, isNumber := got.(float64)
	wanted, err := strconv.ParseFloat(want, 64)
	if !isNumber || err != nil {
		if got == nil {
			return want == "null", ""
		}
		return fmt.Sprint(got) == want, ""
	}
	apart := math.Abs(number - wanted)
	if wanted != 0 {
		apart /= math.Abs(wanted)
	}
	return apart <= math.Pow(10, -digits), fmt.Sprintf(" to %v digits", digits)
}

func TestHoldsTellsTrueFromFalse(t *testing.T) {
	all, err := read(`{"entry":3,"ok":true,"values":{"n":38,"explained":0.61},"cautions":["a","b"],"tables":[` +
		`{"id":"terms","columns":[{"id":"term"},{"id":"effect"}],"rows":[["baseline",412.1],["pins: pair",null]]},` +
		`{"id":"differences","columns":[{"id":"first"},{"id":"second"},{"id":"percent"}],"rows":[["none","pair",` +
		`28.5]]}]}` +
		"\n")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		path, want string
		digits     float64
		same       bool
	}{
		{"values/n", "38", 6, true},
		{"values/explained", "0.6100001", 6, true},
		{"values/explained", "0.6100001", 9, false},
		{"values/explained", "0.62", 2, false},
		{"tables/terms/baseline/effect", "412.1", 15, true},
		{"tables/terms/baseline/effect", "null", 6, false},
		{"tables/terms/pins: pair/effect", "null", 6, true},
		{"tables/terms/row 2/effect", "0", 6, false},
		{"tables/differences/none, pair/percent", "28.5", 6, true},
		{"cautions/2", "b", 6, true},
		{"ok", "true", 6, true},
		{"ok", "false", 6, false},
	} {
		got, err := find(map[string]any(all[0]), strings.Split(c.path, "/"))
		if err != nil {
			t.Errorf("%s: %v", c.path, err)
			continue
		}
		if same, _ := matches(got, c.want, c.digits); same != c.same {
			t.Errorf("%s is %v: taken for %s to %v digits: %v", c.path, got, c.want, c.digits, same)
		}
	}
	for _, path := range []string{"values/m", "tables/terms/none/effect", "tables/terms/baseline/low",
		"tables/means/a/b", "cautions/3"} {
		if got, err := find(map[string]any(all[0]), strings.Split(path, "/")); err == nil {
			t.Errorf("%s is %v, though there is nothing", path, got)
		}
	}
}
