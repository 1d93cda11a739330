package kernel

import (
	"reflect"
	"slices"
	"strconv"

	"breakbook/frames"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
)

// perform runs the command, once for each level where `each of COLUMN` asks for it.
func (k *call) perform(run handler) (*Session, error) {
	if k.c.Clauses.Each == nil {
		next, err := run(k)
		if err == nil {
			k.cautions()
		}
		return next, err
	}
	return k.eachLevel(run)
}

// turn is one level's run of the command.
type turn struct {
	level string
	entry page.Entry
}

// eachLevel runs the command on the specimens of each level in turn and makes one entry
// of it: findings and cautions name their level, tables that have the same columns
// become one with the level in the first, and the values of the turns stand in a table
// `each`. A level for which the command fails is a caution, unless it fails for all.
func (k *call) eachLevel(run handler) (*Session, error) {
	ref := *k.c.Clauses.Each
	levels, err := k.levelsLeft(ref)
	if err != nil {
		return nil, err
	}
	session, turns := k.s, []turn{}
	var failed []page.Sentence
	var first error
	endings := nameEndings(levels)
	for i, level := range levels {
		sub := k.only(session, ref, level, endings[i])
		next, err := sub.perform(run)
		if cancelled := k.ctx.Err(); cancelled != nil {
			return nil, cancelled
		}
		if err != nil {
			if first == nil {
				first = err
			}
			failed = append(failed, say.LevelFails(ref.Column, level, sub.problem(err).Message))
			continue
		}
		if next != nil {
			session = next
		}
		turns = append(turns, turn{level, *sub.e})
	}
	if len(turns) == 0 {
		return nil, first
	}
	k.gather(ref.Column, turns)
	k.e.Cautions = append(k.e.Cautions, failed...)
	return session, nil
}

// levelsLeft are the levels that have a specimen under the command's condition.
func (k *call) levelsLeft(ref phrase.ColumnRef) ([]string, error) {
	name, f, err := k.frame()
	if err != nil {
		return nil, err
	}
	mask := make([]bool, f.Len())
	for row := range mask {
		mask[row] = true
	}
	if c := k.c.Clauses.For; c != nil {
		if mask, err = where(f, c); err != nil {
			return nil, err
		}
	}
	for row := range mask {
		if _, aside := f.Aside(row); aside {
			mask[row] = false
		}
	}
	c, _ := f.Subset(k.ctx, mask).Column(ref.Column)
	if len(c.Levels) == 0 {
		return nil, &page.Problem{Code: "no-specimens", At: ref.At, Message: "no specimen of " + name + " is left to work with"}
	}
	return c.Levels, nil
}

// nameEndings are what the levels' results are called by: the level made plain, or its
// number where that is nothing or another's.
func nameEndings(levels []string) []string {
	out := make([]string, len(levels))
	for i, level := range levels {
		if out[i] = frames.PlainName(level); out[i] == "" || slices.Contains(out[:i], out[i]) {
			out[i] = strconv.Itoa(i + 1)
		}
	}
	return out
}

// only is the call for the specimens of one level.
func (k *call) only(s *Session, ref phrase.ColumnRef, level, ending string) *call {
	c := *k.c
	c.Clauses.Each = nil
	is := phrase.Condition(phrase.Is{Column: ref, Values: []phrase.Value{{Text: level, At: ref.At}}, At: ref.At})
	if c.Clauses.For != nil {
		is = phrase.And{Left: c.Clauses.For, Right: is, At: c.Clauses.For.Place()}
	}
	c.Clauses.For = is
	if as := c.Clauses.As; as != nil {
		c.Clauses.As = &phrase.Name{Text: as.Text + "_" + ending, At: as.At}
	}
	return &call{ctx: k.ctx, s: s, c: &c, all: k.all, e: &page.Entry{Number: k.e.Number, Input: k.e.Input, Kind: k.e.Kind}}
}

// gather makes one entry of the turns.
func (k *call) gather(column string, turns []turn) {
	k.e.Specimens = &page.Specimens{}
	for _, t := range turns {
		lead := page.Say(column + " " + t.level + ": ")
		for _, f := range t.entry.Findings {
			k.e.Findings = append(k.e.Findings, append(slices.Clip(lead), f...))
		}
		if n := t.entry.Specimens; n != nil {
			k.e.Specimens.Used += n.Used
			k.e.Specimens.SetAside += n.SetAside
			k.e.Specimens.Missing += n.Missing
		}
	}
	k.e.Tables = append([]page.Table{eachTable(column, turns)}, gatherTables(column, turns)...)
	k.e.Cautions = gatherCautions(column, turns)
}

// eachTable has a row a level: the result's name, who took part, and the values.
func eachTable(column string, turns []turn) page.Table {
	t := page.Table{ID: "each", Title: page.Say("Each of " + column), Columns: []page.Column{{ID: column}, {ID: "name"},
		{ID: "used", Style: page.Count}, {ID: "set_aside", Style: page.Count, Wide: true}, {ID: "missing", Style: page.Count, Wide: true}}}
	var values []page.Value
	for _, turn := range turns {
		for _, v := range turn.entry.Values {
			if !slices.ContainsFunc(values, func(w page.Value) bool { return w.ID == v.ID }) {
				values = append(values, v)
				t.Columns = append(t.Columns, page.Column{ID: v.ID, Label: v.Label, Unit: v.Unit, Style: v.Style, Wide: true})
			}
		}
	}
	for _, turn := range turns {
		n := page.Specimens{}
		if turn.entry.Specimens != nil {
			n = *turn.entry.Specimens
		}
		row := []page.Cell{page.T(turn.level), maybe(turn.entry.Name), page.N(float64(n.Used)), page.N(float64(n.SetAside)), page.N(float64(n.Missing))}
		for _, v := range values {
			cell := page.Cell{}
			if i := slices.IndexFunc(turn.entry.Values, func(w page.Value) bool { return w.ID == v.ID }); i >= 0 {
				cell = turn.entry.Values[i].Cell
				if u := turn.entry.Values[i].Unit; u != v.Unit {
					cell.Unit = u
				}
			}
			row = append(row, cell)
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// gatherTables puts the tables of one id and the same columns together, the level first.
func gatherTables(column string, turns []turn) []page.Table {
	var out []page.Table
	var titles [][]page.Sentence // of each table of out, by turn
	for _, turn := range turns {
		for _, t := range turn.entry.Tables {
			i := slices.IndexFunc(out, func(o page.Table) bool { return o.ID == t.ID && slices.Equal(o.Columns[1:], t.Columns) })
			if i < 0 {
				i = len(out)
				titles = append(titles, nil)
				out = append(out, page.Table{ID: t.ID, Title: t.Title, Columns: append([]page.Column{{ID: column}}, t.Columns...), Note: t.Note})
			}
			titles[i] = append(titles[i], append(page.Say(turn.level+": "), t.Title...))
			if !reflect.DeepEqual(out[i].Title, t.Title) {
				out[i].Title = nil
			}
			for _, row := range t.Rows {
				out[i].Rows = append(out[i].Rows, append([]page.Cell{page.T(turn.level)}, row...))
			}
		}
	}
	for i := range out {
		if out[i].Title != nil {
			out[i].Title = append(slices.Clip(out[i].Title), page.Word(", each of "+column))
			continue
		}
		out[i].Title = page.Say("Each of " + column)
		for _, title := range titles[i] { // what differs between the levels, such as the baseline
			if len(out[i].Note) > 0 {
				out[i].Note = append(slices.Clip(out[i].Note), page.Word("; "))
			}
			out[i].Note = append(slices.Clip(out[i].Note), title...)
		}
	}
	return out
}

// gatherCautions names the levels of each caution; one that all share stands once.
func gatherCautions(column string, turns []turn) []page.Sentence {
	var out []page.Sentence
	var levels [][]string
	for _, turn := range turns {
		for _, c := range turn.entry.Cautions {
			i := slices.IndexFunc(out, func(o page.Sentence) bool { return reflect.DeepEqual(o, c) })
			if i < 0 {
				i = len(out)
				out, levels = append(out, c), append(levels, nil)
			}
			levels[i] = append(levels[i], turn.level)
		}
	}
	for i := range out {
		if len(levels[i]) < len(turns) {
			out[i] = append(say.OfLevels(column, levels[i]), out[i]...)
		}
	}
	return out
}
