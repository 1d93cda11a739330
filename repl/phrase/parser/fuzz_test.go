package parser

import (
	"reflect"
	"strings"
	"testing"

	"breakbook/repl/phrase"
)

func FuzzParse(f *testing.F) {
	for _, e := range phrase.Table {
		f.Add(e.Example)
	}
	f.Add(`compare load by glue against "größe; a, b", for (load > 3 kN or not pins among pair, none) worth 10 %`)
	k := newBench()
	f.Fuzz(func(t *testing.T, line string) {
		pieces, _, err := phrase.Split(line)
		for _, p := range pieces {
			c, perr := Parse(p, k)
			checkParsed(t, p, c, perr)
			Complete(line, len(p.Text), k, Disk{})
		}
		if err != nil && len(pieces) > 0 {
			t.Errorf("%q: pieces beside an error", line)
		}
	})
}

// checkParsed holds every answer of Parse to what it promises about places.
func checkParsed(t *testing.T, p phrase.Piece, c *phrase.Command, err error) {
	n := len([]rune(p.Text))
	if e, ok := err.(*phrase.Error); ok {
		if e.At < 1 || e.At > n+1 || e.Message == "" || e.Code == "" {
			t.Errorf("%q: %+v", p.Text, e)
		}
		return
	}
	if err != nil || c == nil {
		t.Fatalf("%q: %v, %v", p.Text, c, err)
	}
	phrase.Walk(reflect.ValueOf(c.Do).Elem(), func(v reflect.Value) bool {
		if v.Kind() == reflect.Interface {
			v = v.Elem()
		}
		if v.Kind() == reflect.Struct {
			if at := v.FieldByName("At"); at.IsValid() && (at.Int() < 0 || at.Int() > int64(n)) {
				t.Errorf("%q: %s stands at %d", p.Text, v.Type(), at.Int())
			}
		}
		return false
	})
	checkWritten(t, c)
}

// checkWritten holds a command to reading back as it was read.
func checkWritten(t *testing.T, c *phrase.Command) {
	line := c.String()
	again, err := Parse(phrase.Piece{Text: line, At: 1}, newBench())
	if err != nil {
		t.Fatalf("%q is written %q, which does not read back: %v", c.Input, line, err)
	}
	if !reflect.DeepEqual(stripped(again.Do), stripped(c.Do)) {
		t.Errorf("%q is written %q and reads back as %+v, not %+v", c.Input, line, again.Do, c.Do)
	}
}

func FuzzCondition(f *testing.F) {
	for _, s := range []string{"pins is none", "not (load > 3 N and glue is hide hot) or board is missing",
		"thickness among 34 mm, 4.4 cm", "((((", "not not not"} {
		f.Add(s)
	}
	k := newBench()
	f.Fuzz(func(t *testing.T, s string) {
		p := phrase.Piece{Text: "rows for " + s, At: 1}
		c, err := Parse(p, k)
		checkParsed(t, p, c, err)
		if err == nil && c.Clauses().For == nil && !strings.HasPrefix(strings.TrimSpace(s), "from") {
			t.Errorf("%q: no condition", s)
		}
	})
}
