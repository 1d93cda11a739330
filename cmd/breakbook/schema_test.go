package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"breakbook/repl/bench"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/render"
)

// schema is what `breakbook schema` prints, ready to hold entries against.
var schema = sync.OnceValues(func() (*jsonschema.Schema, error) {
	text, err := render.Schema(bench.Contracts(), phrase.Kinds())
	if err != nil {
		return nil, err
	}
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		return nil, err
	}
	c := jsonschema.NewCompiler()
	c.DefaultDraft(jsonschema.Draft2020)
	if err := c.AddResource("entry.json", doc); err != nil {
		return nil, err
	}
	return c.Compile("entry.json")
})

// validated are the lines that were held against the schema already.
var validated sync.Map

// valid says which line of what --json wrote is not as the schema has it.
func valid(text string) error {
	s, err := schema()
	if err != nil {
		return err
	}
	for line := range strings.Lines(text) {
		if _, known := validated.Load(line); known {
			continue
		}
		entry, err := jsonschema.UnmarshalJSON(strings.NewReader(line))
		if err != nil {
			return fmt.Errorf("%.80q is no JSON: %w", line, err)
		}
		if err := s.Validate(entry); err != nil {
			return fmt.Errorf("%.200s…\nis not as the schema has it: %w", line, err)
		}
		validated.Store(line, true)
	}
	return nil
}

// unseen are the tables and values of the contract that no validated line had, one
// representative a table.
func unseen() ([]string, error) {
	seen := map[string]bool{}
	var err error
	validated.Range(func(line, _ any) bool {
		var e struct {
			Kind   string
			Tables []struct{ ID string }
			Values map[string]any
		}
		if err = json.Unmarshal([]byte(line.(string)), &e); err != nil {
			return false
		}
		for _, t := range e.Tables {
			seen[e.Kind+", table "+t.ID] = true
			seen[", table "+t.ID] = true // for what any kind may have
		}
		for id := range e.Values {
			seen[e.Kind+", value "+id] = true
		}
		return true
	})
	var out []string
	for _, c := range bench.Contracts() {
		want := []string{}
		for _, t := range c.Tables {
			want = append(want, c.Kind+", table "+t.ID)
		}
		if c.Values != nil {
			for _, f := range page.Fields(c.Values) {
				if !strings.Contains(f.ID, "{") {
					want = append(want, c.Kind+", value "+f.ID)
				}
			}
		}
		for _, w := range want {
			if !seen[w] && !slices.Contains(out, w) {
				out = append(out, w)
			}
		}
	}
	return out, err
}

const compared = `{"entry":3,"input":"compare load by pins","ok":true,"kind":"compare","findings":["a"],` +
	`"tables":[{"id":"overall","title":"t",` +
	`"columns":[{"id":"test"},{"id":"statistic"},{"id":"df"},{"id":"p"}],"rows":[["F test",3.2,1,null]]}],` +
	`"values":{"df_against":4,"critical":2.8,"worth":30},"value_units":{"worth":"kgf"},"figures":[],"cautions":[]}`

const checkedJSON = `{"entry":4,"input":"check of fit1","ok":true,"kind":"check","findings":[],` +
	`"doubts":[{"code":"bend","about":"density","text":"x"}],` +
	`"tables":[],"values":{"spread_by_pins_df_against":12,"odd_specimens":0},"value_units":{},"figures":[],` +
	`"cautions":[]}`

const eachJSON = `{"entry":5,"input":"compare load by pins each of day","ok":true,"kind":"compare","findings":[],` +
	`"tables":[` +
	`{"id":"each","title":"","columns":[{"id":"day"},{"id":"name"},{"id":"used"},{"id":"set_aside"},` +
	`{"id":"missing"},{"id":"critical"}],"rows":[["monday",null,9,0,0,2.4]]},` +
	`{"id":"overall","title":"","columns":[{"id":"day"},{"id":"test"},{"id":"statistic"},{"id":"df"},{"id":"p"}],` +
	`"rows":[["monday","F",1,2,0.5]]}],` +
	`"values":{},"value_units":{},"figures":[],"cautions":[]}`

const sharedJSON = `{"entry":7,"input":"share out load on pins","ok":true,"kind":"shares","findings":[],"tables":[],` +
	`"values":{"explained":0.5,"n":40,"resamples":2000,"reshuffles":999},"value_units":{"explained":"fraction"},` +
	`"figures":[],"cautions":[]}`

const failedJSON = `{"entry":6,"input":"fit x","ok":false,"error":{"code":"unknown-column","message":"no x","at":5,` +
	`"hint":"look"}}`

// The schema takes entries as they are, and none with a single thing wrong.
func TestSchemaTellsRightFromWrong(t *testing.T) {
	for _, c := range []struct{ entry, old, now string }{
		{compared, "", ""}, {checkedJSON, "", ""}, {eachJSON, "", ""}, {failedJSON, "", ""},
		{sharedJSON, "", ""},
		{sharedJSON, `"explained":"fraction"`, `"explained":"percent"`},
		{compared, `"worth":"kgf"`, `"worth":""`},
		{compared, `"worth":"kgf"`, `"critical":"kgf"`},
		{compared, `"critical":2.8,`, ``},
		{compared, `"critical":2.8`, `"critical":"2.8"`},
		{compared, `"critical":2.8`, `"critical":2.8,"tail":1`},
		{compared, `"kind":"compare",`, ``},
		{failedJSON, `"ok":false`, `"ok":null`},
		{eachJSON, `"kind":"compare"`, `"kind":"comparing"`},
		{compared, `"id":"overall"`, `"id":"whole"`},
		{compared, `"value_units":{"worth":"kgf"},`, ``},
		{compared, `{"id":"statistic"},{"id":"df"}`, `{"id":"df"},{"id":"statistic"}`},
		{compared, `{"id":"statistic"}`, `{"id":"statistic","unit":"kgf"}`},
		{compared, `,{"id":"p"}]`, `]`},
		{compared, `3.2,1,null`, `3.2,1`},
		{compared, `3.2,1,null`, `"3.2",1,null`},
		{compared, `3.2,1,null`, `3.2,1,null,7`},
		{compared, `"cautions":[]`, `"cautions":[3]`},
		{compared, `"cautions":[]`, `"cautions":[],"notes":[]`},
		{compared, `"entry":3`, `"entry":0`},
		{checkedJSON, `"spread_by_pins_df_against"`, `"spread_of_pins_df_against"`},
		{checkedJSON, `"code":"bend"`, `"code":"bent"`},
		{eachJSON, `"columns":[{"id":"day"},{"id":"test"}`, `"columns":[{"id":"test"}`},
		{eachJSON, `"values":{}`, `"values":{"critical":1}`},
		{failedJSON, `"ok":false`, `"ok":true`},
		{failedJSON, `"message":"no x",`, ``},
		{failedJSON, `no x`, `no\nx`},
	} {
		changed := strings.Replace(c.entry, c.old, c.now, 1)
		err := valid(changed + "\n")
		if c.old == "" && err != nil {
			t.Errorf("%v", err)
		}
		if c.old != "" && (changed == c.entry || err == nil) {
			t.Errorf("%q for %q passes the schema:\n%s", c.now, c.old, changed)
		}
	}
}
