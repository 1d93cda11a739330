package render

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"

	"breakbook/models/parallel"
	"breakbook/repl/page"
)

// The order of these fields is the order of the keys.
type entryJSON struct {
	Entry     int            `json:"entry"`
	Input     string         `json:"input"`
	OK        bool           `json:"ok"`
	Kind      string         `json:"kind"`
	Name      string         `json:"name,omitempty"`
	Series    string         `json:"series,omitempty"`
	Specimens *specimensJSON `json:"specimens,omitempty"`
	Findings  []string       `json:"findings"`
	Doubts    []doubtJSON    `json:"doubts"`
	Tables    []tableJSON    `json:"tables"`
	Values    valuesJSON     `json:"values"`
	Units     unitsJSON      `json:"value_units"`
	Figures   []figureJSON   `json:"figures"`
	Cautions  []string       `json:"cautions"`
	Next      []string       `json:"next,omitempty"`
}

type doubtJSON struct {
	Code       string `json:"code"`
	About      string `json:"about"`
	Text       string `json:"text"`
	AnswerThen string `json:"answer_then,omitempty"`
	Try        string `json:"try,omitempty"`
}

type specimensJSON struct {
	Used     int `json:"used"`
	SetAside int `json:"set_aside"`
	Missing  int `json:"missing"`
}

type tableJSON struct {
	ID      string       `json:"id"`
	Title   string       `json:"title"`
	Columns []columnJSON `json:"columns"`
	Rows    [][]any      `json:"rows"`
	Note    string       `json:"note,omitempty"`
}

type columnJSON struct {
	ID   string `json:"id"`
	Unit string `json:"unit,omitempty"`
}

type figureJSON struct {
	Path string `json:"path"`
	Alt  string `json:"alt"`
}

type failureJSON struct {
	Entry int         `json:"entry"`
	Input string      `json:"input"`
	OK    bool        `json:"ok"`
	Error problemJSON `json:"error"`
}

type problemJSON struct {
	Code    page.Code `json:"code"`
	Message string    `json:"message"`
	At      int       `json:"at,omitempty"`
	Hint    string    `json:"hint,omitempty"`
}

// JSON is the entry as one JSON object without a line break. Numbers carry the
// shortest digits that read back as the same number; one that does not exist, or
// is endless, is null. `value_units` says of each value that has one what it is in: a unit,
// `fraction` or `percent`. The text of a note or heading is its finding. It is an
// error when two values of an entry share an id, or when o.Context has ended.
func JSON(e page.Entry, o Options) (text []byte, err error) {
	defer parallel.Catch(&err)
	if p := e.Problem; p != nil {
		return compact(failureJSON{e.Number, e.Input, false, problemJSON(*p)})
	}
	out := entryJSON{Entry: e.Number, Input: e.Input, OK: true, Kind: e.Kind, Name: e.Name, Series: e.Series,
		Specimens: (*specimensJSON)(e.Specimens), Findings: []string{}, Doubts: []doubtJSON{}, Tables: []tableJSON{},
		Values: e.Values, Units: e.Values, Figures: []figureJSON{}, Cautions: []string{}}
	for _, f := range e.Findings {
		out.Findings = append(out.Findings, Sentence(f, o))
	}
	for _, d := range e.Doubts {
		out.Doubts = append(out.Doubts, doubtJSON{d.Code, clean(d.About), Sentence(d.Text, o), clean(d.AnswerThen),
			clean(d.Try)})
	}
	if e.Prose != "" && len(out.Findings) == 0 {
		out.Findings = append(out.Findings, e.Prose)
	}
	for _, t := range e.Tables {
		out.Tables = append(out.Tables, jsonTable(t, o))
	}
	for _, f := range e.Figures {
		out.Figures = append(out.Figures, figureJSON{f.Path, Sentence(f.Alt, o)})
	}
	for _, text := range distinctCautions(e, o) {
		out.Cautions = append(out.Cautions, soft(text))
	}
	for _, line := range e.Next {
		out.Next = append(out.Next, clean(line))
	}
	return compact(out)
}

func jsonTable(t page.Table, o Options) tableJSON {
	out := tableJSON{ID: t.ID, Title: Sentence(t.Title, o), Note: Sentence(t.Note, o),
		Columns: []columnJSON{}, Rows: make([][]any, len(t.Rows))}
	for _, c := range t.Columns {
		out.Columns = append(out.Columns, columnJSON{c.ID, c.Unit})
	}
	for r, row := range t.Rows {
		o.look(r)
		out.Rows[r] = make([]any, len(t.Columns))
		for c := range t.Columns {
			out.Rows[r][c] = jsonCell(cell(row, c))
		}
	}
	return out
}

func jsonCell(c page.Cell) any {
	switch c.Kind {
	case page.Number:
		if c.Num-c.Num != 0 {
			return nil
		}
		return c.Num + 0 // a negative zero becomes a plain one
	case page.Text:
		return c.Text
	case page.Truth:
		return c.Num == 1
	}
	return nil
}

// valuesJSON keeps the values in the order of the entry.
type valuesJSON []page.Value

func (vs valuesJSON) MarshalJSON() ([]byte, error) {
	return inOrder(vs, func(v page.Value) any { return jsonCell(v.Cell) })
}

// unitsJSON is what the values are in, in the order of the entry; those of no unit are left out.
type unitsJSON []page.Value

func (vs unitsJSON) MarshalJSON() ([]byte, error) {
	without := func(v page.Value) bool { return valueUnit(v) == "" }
	return inOrder(slices.DeleteFunc(slices.Clone(vs), without), func(v page.Value) any { return valueUnit(v) })
}

// valueUnit is the unit of a value, or that it is a fraction or a percentage.
func valueUnit(v page.Value) string {
	switch {
	case v.Cell.Unit != "":
		return v.Cell.Unit
	case v.Unit != "":
		return v.Unit
	case v.Style == page.Fraction:
		return "fraction"
	case v.Style == page.Percent:
		return "percent"
	}
	return ""
}

// inOrder is a JSON object with a key a value, in the order of the values.
func inOrder(vs []page.Value, is func(page.Value) any) ([]byte, error) {
	var b bytes.Buffer
	seen := map[string]bool{}
	b.WriteByte('{')
	for i, v := range vs {
		if seen[v.ID] {
			return nil, fmt.Errorf("value %q is given twice", v.ID)
		}
		seen[v.ID] = true
		if i > 0 {
			b.WriteByte(',')
		}
		id, err := compact(v.ID)
		if err != nil {
			return nil, err
		}
		text, err := compact(is(v))
		if err != nil {
			return nil, err
		}
		b.Write(id)
		b.WriteByte(':')
		b.Write(text)
	}
	b.WriteByte('}')
	return b.Bytes(), nil
}

// compact is v as JSON on one line, with <, > and & as they are.
func compact(v any) ([]byte, error) {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		return nil, err
	}
	return escaped(bytes.TrimRight(b.Bytes(), "\n")), nil
}
