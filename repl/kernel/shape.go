package kernel

import (
	"context"
	"slices"
	"strings"
	"unicode"

	"breakbook/frames"
	"breakbook/frames/units"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
)

// newName reads the name of a column to come: as typed for its label, and made plain.
func (k *call) newName(slot string) (name, label string, err error) {
	t, _ := k.c.Slots[slot].(phrase.Text)
	name = frames.PlainName(t.Text)
	if name == "" || !unicode.IsLetter([]rune(name)[0]) {
		return "", "", &page.Problem{Code: "expected-name", At: t.At, Message: "a column needs a name that starts with a letter, not “" + t.Text + "”"}
	}
	return name, strings.Join(strings.Fields(strings.ReplaceAll(t.Text, "_", " ")), " "), nil
}

func (k *call) slotPlace(slot string) int {
	if n := k.c.Slots[slot]; n != nil {
		return n.Place()
	}
	return 0
}

// reshape books a change of the current series, and shows the columns it is about.
func (k *call) reshape(series string, next *frames.Frame, columns ...string) *Session {
	var shown []frames.Column
	for _, name := range columns {
		c, _ := next.Column(name)
		shown = append(shown, c)
	}
	k.e.Tables = append(k.e.Tables, columnTable(k.ctx, next, shown))
	k.e.Cautions = append(k.e.Cautions, densityCautions(next, shown)...)
	before, _ := k.s.frame(series)
	for _, c := range shown {
		if held := losesWord(before, next, c); held != "" {
			k.e.Cautions = append(k.e.Cautions, say.WordTaken(c.Name, held))
		}
	}
	return k.s.withFrame(series, next)
}

// losesWord is the column that a role's word stood for, where a new column takes that word
// for its name; else "".
func losesWord(before, next *frames.Frame, c frames.Column) string {
	held, marked := next.RoleColumn(frames.Role(c.Name))
	if _, there := before.Column(c.Name); there || !marked || held.Name == c.Name || !slices.Contains(phrase.RoleWords(), c.Name) {
		return ""
	}
	return held.Name
}

// workOut makes a new column of an expression.
func workOut(k *call) (*Session, error) {
	series, f, err := k.frame()
	if err != nil {
		return nil, err
	}
	name, label, err := k.newName("name")
	if err != nil {
		return nil, err
	}
	v := &evaluator{ctx: k.ctx, frame: f}
	x, err := v.of(k.c.Slots["expression"].(phrase.Expression))
	if err != nil {
		return nil, err
	}
	next, impossible, err := f.WithVector(k.ctx, name, label, x)
	if err != nil {
		return nil, placed(err, k.slotPlace("name"))
	}
	c, _ := next.Column(name)
	k.e.Findings = append([]page.Sentence{say.WorkedOut(c, present(next, name), next.Len())}, v.notes...)
	for _, i := range impossible {
		k.e.Cautions = append(k.e.Cautions, say.NotWorkedOut(name, string(i.Reason), i.Count, next.SpecimenName(i.Row)))
	}
	return k.reshape(series, next, name), nil
}

// present counts the specimens that have a value in a column.
func present(f *frames.Frame, column string) int {
	n := f.Len()
	missing, _ := f.MissingIn(column) // the caller knows the column
	for _, gone := range missing {
		if gone {
			n--
		}
	}
	return n
}

// convert turns a column's numbers into another unit.
func convert(k *call) (*Session, error) {
	series, f, err := k.frame()
	if err != nil {
		return nil, err
	}
	ref := k.c.Slots["unit"].(phrase.UnitRef)
	u, _ := units.Parse(ref.Unit)
	column := k.column("column").Column
	was, _ := f.Column(column)
	next, err := f.Convert(k.ctx, column, u)
	if err != nil {
		return nil, placed(err, ref.At)
	}
	k.e.Findings = []page.Sentence{page.Say(column + " is turned from " + was.Unit.String() + " into " + u.String() + ".")}
	return k.reshape(series, next, column), nil
}

// merge makes one level of several.
func merge(k *call) (*Session, error) {
	series, f, err := k.frame()
	if err != nil {
		return nil, err
	}
	column := k.column("column").Column
	list := k.c.Slots["levels"].(phrase.Levels)
	var levels []string
	for _, l := range list.List {
		levels = append(levels, l.Level)
	}
	into := k.text("into")
	if strings.TrimSpace(into) == "" {
		return nil, &page.Problem{Code: "expected-text", At: k.slotPlace("into"), Message: "a level needs a name"}
	}
	next, err := f.Merge(k.ctx, column, levels, into)
	if err != nil {
		return nil, placed(err, list.At)
	}
	was, _ := f.Column(column)
	now, _ := next.Column(column)
	k.e.Findings = []page.Sentence{say.Merged(column, levels, into, counts(k.ctx, next, column)[slices.Index(now.Levels, into)], now.Levels)}
	if was.Levels[0] != now.Levels[0] {
		k.e.Findings = append(k.e.Findings, page.Say("The baseline of "+column+" is now "+now.Levels[0]+"."))
	}
	return k.reshape(series, next, column), nil
}

// counts are how many specimens each level of a category has, in the order of its levels.
func counts(ctx context.Context, f *frames.Frame, column string) []int {
	c, _ := f.Column(column)
	n := make([]int, len(c.Levels))
	codes, _ := f.Codes(ctx, column) // the caller knows the column
	for _, code := range codes {
		if code >= 0 {
			n[code]++
		}
	}
	return n
}

// bandInto cuts a number column into levels with about as many specimens each.
func bandInto(k *call) (*Session, error) {
	_, f, err := k.frame()
	if err != nil {
		return nil, err
	}
	n := k.c.Slots["n"].(phrase.Count)
	if err := fewBands(n, k.column("column").Column); err != nil {
		return nil, err
	}
	cuts, err := f.Cuts(k.ctx, k.column("column").Column, n.Value)
	if err != nil {
		return nil, placed(err, n.At)
	}
	return k.band(cuts, n.At)
}

// bandAt cuts a number column at the values named.
func bandAt(k *call) (*Session, error) {
	_, f, err := k.frame()
	if err != nil {
		return nil, err
	}
	c, _ := f.Column(k.column("column").Column)
	list := k.c.Slots["cuts"].(phrase.Amounts)
	var cuts []float64
	for _, a := range list.List {
		u, err := unitOf(a)
		if err != nil {
			return nil, err
		}
		x := a.Value
		if !u.None() {
			if x, err = units.Convert(x, u, c.Unit); err != nil {
				return nil, placed(err, a.At)
			}
		}
		cuts = append(cuts, x)
	}
	return k.band(cuts, list.At)
}

// band adds the column of bands: called by `as`, else after the column that was cut.
func (k *call) band(cuts []float64, at int) (*Session, error) {
	series, f, err := k.frame()
	if err != nil {
		return nil, err
	}
	c, _ := f.Column(k.column("column").Column)
	name, label := c.Name+"_band", c.Label+" band"
	if as := k.c.Clauses.As; as != nil {
		name, label = frames.PlainName(as.Text), as.Text
		at = as.At
	}
	next, err := f.Band(k.ctx, c.Name, cuts, name, label)
	if err != nil {
		p := placed(err, at).(*page.Problem)
		if p.Code == "name-taken" {
			p.Hint = "choose another name after as"
		}
		return nil, p
	}
	b, _ := next.Column(name)
	t := page.Table{ID: "bands", Title: page.Say("Specimens by " + name), Columns: []page.Column{{ID: name, Unit: b.Unit.String()}, {ID: "n", Style: page.Count}}}
	for i, n := range counts(k.ctx, next, name) {
		t.Rows = append(t.Rows, []page.Cell{page.T(b.Levels[i]), page.N(float64(n))})
	}
	k.e.Findings = []page.Sentence{say.Banded(c.Name, name, b.Levels)}
	k.e.Tables = []page.Table{t}
	return k.reshape(series, next, name), nil
}
