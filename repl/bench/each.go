package bench

import (
	"reflect"
	"slices"
	"strconv"
	"strings"

	"breakbook/frames/notation"
	"breakbook/repl/bench/doubting"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/session"
)

// perform runs the command, once for each level where `each of COLUMN` asks for it.
func perform(k *session.Call, run session.Handler) (*session.Session, error) {
	if k.Command.Clauses().Each != nil {
		return eachLevel(k, run)
	}
	o, err := run(k)
	if err != nil {
		return nil, err
	}
	next, err := apply(k, o)
	if err != nil {
		return nil, err
	}
	if o != nil && o.Next != nil && k.Back == nil {
		k.Entry.Find(worthMoved(k, k.Session, next)...)
	}
	if o != nil && o.Analysis != nil {
		k.Analysis = o.Analysis
		known, allowed := doubting.Question(k, o, doubting.Bench{Carry: carry, Apply: apply})
		cautions(k, known)
		if allowed {
			next = next.WithNotice(k.Entry.Series, session.BlocksAllowed)
		}
		if o.Keeps != nil && len(k.Entry.Doubts) > 0 {
			next = next.Doubted(k.Entry.Doubts)
		}
	}
	tellLoss(k, o)
	tellNext(k, next)
	return next, nil
}

type turn struct {
	level string
	entry page.Entry
}

// eachLevel runs the command on the specimens of each level in turn and makes one entry
// of it: findings and cautions name their level, tables that have the same columns
// become one with the level in the first, and the values of the turns stand in a table
// `each`. A level for which the command fails is a caution, unless it fails for all.
func eachLevel(k *session.Call, run session.Handler) (*session.Session, error) {
	ref := *k.Command.Clauses().Each
	levels, err := levelsLeft(k, ref)
	if err != nil {
		return nil, err
	}
	session, turns := k.Session, []turn{}
	var failed []page.Sentence
	var first error
	endings := nameEndings(levels)
	for i, level := range levels {
		sub := k.ForLevel(session, ref, level, endings[i])
		next, err := perform(sub, run)
		if cancelled := k.Context.Err(); cancelled != nil {
			return nil, cancelled
		}
		if err != nil {
			if first == nil {
				first = err
			}
			failed = append(failed, page.Say(ref.Column+" "+level+" is left out: "+sub.Problem(err).Message+"."))
			continue
		}
		session = next
		turns = append(turns, turn{level, *sub.Entry})
	}
	if len(turns) == 0 {
		return nil, first
	}
	gather(k, ref.Column, turns)
	k.Entry.Warn(failed...)
	return session, nil
}

// levelsLeft are the levels that have a specimen under the command's condition.
func levelsLeft(k *session.Call, ref phrase.ColumnRef) ([]string, error) {
	name, f, err := k.Frame()
	if err != nil {
		return nil, err
	}
	mask := slices.Repeat([]bool{true}, f.Len())
	if c := k.Command.Clauses().For; c != nil {
		if mask, err = session.Where(k.Context, f, c); err != nil {
			return nil, err
		}
	}
	for row := range mask {
		if _, aside := f.Aside(row); aside {
			mask[row] = false
		}
	}
	c, _ := f.Subset(k.Context, mask).Column(ref.Column)
	if len(c.Levels) == 0 {
		return nil, page.Refuse(page.CodeNoSpecimens, ref.At, "no specimen of "+name+" is left to work with", "")
	}
	return c.Levels, nil
}

// nameEndings are what the levels' results are called by: the level made plain, or its
// number where that is nothing or another's.
func nameEndings(levels []string) []string {
	out := make([]string, len(levels))
	for i, level := range levels {
		if out[i] = notation.PlainName(level); out[i] == "" || slices.Contains(out[:i], out[i]) {
			out[i] = strconv.Itoa(i + 1)
		}
	}
	return out
}

func gather(k *session.Call, column string, turns []turn) {
	k.Entry.Specimens = &page.Specimens{}
	for _, t := range turns {
		lead := page.Say(column + " " + t.level + ": ")
		for _, f := range t.entry.Findings {
			k.Entry.Find(append(slices.Clip(lead), answersAt(column+" "+t.level, f)...))
		}
		for _, d := range t.entry.Doubts {
			d.Text = append(slices.Clip(lead), d.Text...)
			k.Entry.Doubts = append(k.Entry.Doubts, d)
		}
		if n := t.entry.Specimens; n != nil {
			k.Entry.Specimens.Used += n.Used
			k.Entry.Specimens.SetAside += n.SetAside
			k.Entry.Specimens.Missing += n.Missing
		}
	}
	k.Entry.Tables = append([]page.Table{eachTable(column, turns)}, gatherTables(column, turns)...)
	k.Entry.Cautions = gatherCautions(column, turns)
}

// answersAt is a finding whose answers say of which level they are, since every level has answers of the same names.
func answersAt(level string, f page.Sentence) page.Sentence {
	out := slices.Clone(f)
	for i, part := range out {
		if v, ok := part.(page.Verdict); ok && v.Of != "" {
			v.Of = level + ", " + v.Of
			out[i] = v
		}
	}
	return out
}

// eachRow is what came of one level: the result's name, who took part, and the values.
type eachRow struct {
	Level    string    `id:"{column}"`
	Name     string    `id:"name"`
	Used     int       `id:"used"`
	SetAside int       `id:"set_aside" wide:"yes"`
	Missing  int       `id:"missing" wide:"yes"`
	Values   page.Many `id:"{values}"`
}

// eachTable has a row a level.
func eachTable(column string, turns []turn) page.Table {
	var values []page.Value
	var heads []page.Column
	for _, turn := range turns {
		for _, v := range turn.entry.Values {
			if !slices.ContainsFunc(values, func(w page.Value) bool { return w.ID == v.ID }) {
				values = append(values, v)
				heads = append(heads, page.Column{ID: v.ID, Label: v.Label, Unit: v.Unit, Style: v.Style, Wide: true})
			}
		}
	}
	var rows []eachRow
	for _, turn := range turns {
		n := page.Specimens{}
		if turn.entry.Specimens != nil {
			n = *turn.entry.Specimens
		}
		cells := make([]page.Cell, len(values))
		for j, v := range values {
			if i := slices.IndexFunc(turn.entry.Values, func(w page.Value) bool { return w.ID == v.ID }); i >= 0 {
				cells[j] = turn.entry.Values[i].Cell
				if u := turn.entry.Values[i].Unit; u != v.Unit {
					cells[j].Unit = u
				}
			}
		}
		rows = append(rows, eachRow{turn.level, turn.entry.Name, n.Used, n.SetAside, n.Missing,
			page.Many{Columns: heads, Cells: cells}})
	}
	return page.Filled(page.Table{ID: "each", Title: page.Say("Each of " + column)}, rows, page.Names{"column": column})
}

// gatherTables puts the tables of one id and the same columns together, the level first.
func gatherTables(column string, turns []turn) []page.Table {
	var out []page.Table
	var titles [][]page.Sentence // of each table of out, by turn
	for _, turn := range turns {
		for _, t := range turn.entry.Tables {
			i := slices.IndexFunc(out, func(o page.Table) bool {
				return o.ID == t.ID && slices.Equal(o.Columns[1:], t.Columns)
			})
			if i < 0 {
				i = len(out)
				titles = append(titles, nil)
				out = append(out, page.Table{ID: t.ID, Title: t.Title,
					Columns: append([]page.Column{{ID: column}}, t.Columns...), Note: t.Note})
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
			out[i] = page.Say(column+" "+strings.Join(levels[i], ", ")+": ", out[i])
		}
	}
	return out
}
