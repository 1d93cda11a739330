package book

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"maps"
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"breakbook/models/lists"
	"breakbook/repl/page"
	"breakbook/repl/render"
)

// Difference is one thing an entry gave otherwise than in an earlier run.
type Difference struct {
	Entry    int    // its number now; in the earlier run where it is gone
	Input    string // its command
	Where    string // "values explained", "tables 1 rows 2 3"; "" for the whole entry
	Old, New string // as in the JSON; "" where there is none
}

// Compare says what differs between an earlier run, given as JSON lines, and now.
// Entries are matched by their commands in order, whatever their numbers. Numbers
// are equal when they differ by no more than within, relative to the larger (0:
// exactly equal); words must be the same; of a figure's path only the file name
// counts. An error names the line of old that is no JSON.
func Compare(old io.Reader, now []page.Entry, within float64, o render.Options) ([]Difference, error) {
	before, err := readLines(old)
	if err != nil {
		return nil, err
	}
	after := make([]record, len(now))
	for i, e := range now {
		line, err := render.JSON(e, o)
		if err != nil {
			return nil, err
		}
		if after[i], err = readRecord(line); err != nil {
			return nil, err
		}
	}
	c := comparison{within: within}
	c.entries(before, after)
	return c.found, nil
}

// record is one entry as JSON holds it.
type record map[string]any

func (r record) number() int {
	n, _ := r["entry"].(json.Number)
	i, _ := strconv.Atoi(n.String())
	return i
}

func (r record) input() string {
	s, _ := r["input"].(string)
	return s
}

func readRecord(line []byte) (record, error) {
	d := json.NewDecoder(bytes.NewReader(line))
	d.UseNumber()
	var r record
	err := d.Decode(&r)
	return r, err
}

func readLines(old io.Reader) ([]record, error) {
	var out []record
	r := bufio.NewReader(old)
	for no := 1; ; no++ {
		line, err := r.ReadBytes('\n')
		if len(bytes.TrimSpace(line)) > 0 {
			one, bad := readRecord(line)
			if bad != nil {
				return nil, fmt.Errorf("line %d is no JSON object: %v", no, bad)
			}
			out = append(out, one)
		}
		if err == io.EOF {
			return out, nil
		}
		if err != nil {
			return nil, err
		}
	}
}

type comparison struct {
	within  float64
	current record
	found   []Difference
}

func (c *comparison) report(where, old, now string) {
	c.found = append(c.found, Difference{c.current.number(), c.current.input(), where, old, now})
}

// entries walks both runs along the commands they have in common.
func (c *comparison) entries(before, after []record) {
	i, k := 0, 0
	upTo := func(nextI, nextK int) {
		for ; i < nextI; i++ {
			c.current = before[i]
			c.report("", before[i].input(), "")
		}
		for ; k < nextK; k++ {
			c.current = after[k]
			c.report("", "", after[k].input())
		}
	}
	for _, m := range matched(inputs(before), inputs(after)) {
		upTo(m.before, m.after)
		c.current = after[k]
		c.pair(before[i], after[k])
		i, k = i+1, k+1
	}
	upTo(len(before), len(after))
}

func inputs(rs []record) []string {
	return lists.Mapped(rs, func(r record) string { return r.input() })
}

// pair compares an entry with itself. Where it worked in one run alone, that and
// the failure are all there is to say.
func (c *comparison) pair(old, now record) {
	if old["ok"] != now["ok"] {
		c.report("ok", outcome(old), outcome(now))
		return
	}
	was, is := without(old), without(now)
	// written before there were any: no answer is another for that
	for _, later := range []string{"value_units", "doubts"} {
		if !has(was, later) {
			delete(is, later)
		}
	}
	c.value("", was, is)
}

// outcome is true for an entry that worked, or its failure.
func outcome(r record) string {
	if e, failed := r["error"]; failed {
		return text(e)
	}
	return text(r["ok"])
}

// without is the record less what may differ between two runs of the same book.
func without(r record) map[string]any {
	out := maps.Clone(r)
	delete(out, "entry")
	delete(out, "input")
	return out
}

func (c *comparison) value(where string, old, now any) {
	switch a := old.(type) {
	case map[string]any:
		if b, ok := now.(map[string]any); ok {
			c.object(where, a, b)
			return
		}
	case []any:
		if b, ok := now.([]any); ok {
			c.list(where, a, b)
			return
		}
	case json.Number:
		if b, ok := now.(json.Number); ok && c.same(a, b) {
			return
		}
	default:
		if old == now {
			return
		}
	}
	c.report(where, text(old), text(now))
}

func (c *comparison) object(where string, old, now map[string]any) {
	all := maps.Clone(old)
	maps.Copy(all, now)
	for _, k := range slices.Sorted(maps.Keys(all)) {
		a, b := old[k], now[k]
		if k == "path" {
			a, b = fileName(a), fileName(b)
		}
		c.member(join(where, k), a, b, has(old, k), has(now, k))
	}
}

func (c *comparison) list(where string, old, now []any) {
	for i := range max(len(old), len(now)) {
		var a, b any
		if i < len(old) {
			a = old[i]
		}
		if i < len(now) {
			b = now[i]
		}
		c.member(join(where, strconv.Itoa(i+1)), a, b, i < len(old), i < len(now))
	}
}

// member compares what both have and reports what only one has.
func (c *comparison) member(where string, old, now any, inOld, inNow bool) {
	switch {
	case inOld && inNow:
		c.value(where, old, now)
	case inOld:
		c.report(where, text(old), "")
	default:
		c.report(where, "", text(now))
	}
}

func (c *comparison) same(a, b json.Number) bool {
	x, _ := a.Float64() // infinite where it is too large
	y, _ := b.Float64()
	return x == y || math.Abs(x-y) <= c.within*math.Max(math.Abs(x), math.Abs(y))
}

func has(m map[string]any, key string) bool {
	_, ok := m[key]
	return ok
}

func fileName(v any) any {
	if s, ok := v.(string); ok {
		return filepath.Base(s)
	}
	return v
}

func join(where, part string) string {
	if where == "" {
		return part
	}
	return where + " " + part
}

func text(v any) string {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		return ""
	}
	return strings.TrimSpace(b.String())
}
