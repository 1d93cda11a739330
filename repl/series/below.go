package series

import (
	"errors"
	"slices"
	"strings"

	"breakbook/frames"
	"breakbook/models/lists"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// blockRow is one of the blocks that were put one below the other.
type blockRow struct {
	Block     string `id:"block"`
	Columns   string `id:"columns"`
	Specimens int    `id:"specimens"`
	Empty     int    `id:"empty"`
}

// PutBelow puts blocks of columns of the current series one below the other.
func PutBelow(k *session.Call, cmd *phrase.PutBelow) (*session.Outcome, error) {
	columns := append([]phrase.Columns{cmd.First}, cmd.More.List...)
	blocks := make([][]string, len(columns))
	for i, list := range columns {
		for _, c := range list.List {
			blocks[i] = append(blocks[i], c.Column)
		}
	}
	name := cmd.Name.Text
	if k.Session.NameTaken(name) {
		return nil, nameTaken(name, cmd.Name.At)
	}
	from := k.Session.Current()
	f, ok := k.Session.Frame(from)
	if !ok {
		return nil, page.Refuse(page.CodeNoSeries, cmd.First.At, "no series is open", "")
	}
	next, met, err := f.PutBelow(k.Context, blocks)
	if err != nil {
		return nil, unfitBelow(f, columns, err)
	}
	k.Entry.Series = name
	k.Entry.Findings = []page.Sentence{putBelow(name, next.Len(), len(next.Columns()), met)}
	k.Entry.Cautions = belowCautions(f, met)
	if c, n := namesShared(next); n > 0 {
		k.Entry.Warn(page.Say(n, say.Plural(n, " value", " values")+" of "+c+" "+say.Plural(n, "stands", "stand")+
			" for more than one specimen now, so a specimen cannot be named by "+c+" alone."))
	}
	var rows []blockRow
	for i, n := range met.Names {
		rows = append(rows, blockRow{n, strings.Join(blocks[i], ", "), met.Kept[i], len(met.Empty[i])})
	}
	k.Entry.Tables = []page.Table{page.Filled(page.Table{ID: "blocks", Title: page.Say("Blocks of " + from)}, rows,
		nil), columnTable(k.Context, next, next.Columns())}
	return session.Becomes(k.Session.WithFrame(name, next)), nil
}

// unfitBelow puts its place in the line to what does not fit, and the line that helps.
func unfitBelow(f *frames.Frame, columns []phrase.Columns, err error) error {
	var e *frames.Error
	if !errors.As(err, &e) {
		return err
	}
	p := page.Refuse(page.Code(e.Code), columns[0].At, e.Detail, e.Hint)
	for _, list := range columns { // the last one: of a column that is named twice
		for _, c := range list.List {
			if c.Column == e.Column {
				p.At = c.At
			}
		}
	}
	switch e.Code {
	case "kinds-differ":
		kind := "number"
		if c, _ := f.Column(e.Word); c.Kind == frames.Number {
			kind = "text"
		}
		p.Hint = phrase.Line(&phrase.Treat{Column: phrase.ColumnRef{Column: e.Word}, Kind: phrase.Choice{Word: kind}})
	case "columns-differ":
		p.Hint = "name as many columns after each below, in the order of the first"
	}
	return p
}

// putBelow tells what came of the blocks.
func putBelow(name string, specimens, columns int, s *frames.Stacked) page.Sentence {
	kept := func(n int) page.Sentence { return page.Say(n) }
	n := len(s.Shared)
	return page.Say(name+": ", specimens, say.Plural(specimens, " specimen", " specimens")+" in ", columns,
		say.Plural(columns, " column", " columns")+"; ", len(s.Kept), " blocks of "+strings.Join(s.Columns, ", ")+
			" stand one below the other (", page.Joined(s.Kept, ", ", kept), " specimens)",
		page.If(n > 0, "; "+say.ShortList(s.Shared)+say.Plural(n, " goes", " go")+" with every row"),
		page.If(s.Group != "", "; "+s.Group+" says which block a specimen is from"), ".")
}

// belowCautions tells of rows that a block leaves empty, and of units that changed.
func belowCautions(f *frames.Frame, s *frames.Stacked) []page.Sentence {
	var out []page.Sentence
	var blocks []string
	empty, first := 0, 0
	for i, rows := range s.Empty {
		if len(rows) == 0 {
			continue
		}
		if blocks = append(blocks, s.Names[i]); empty == 0 {
			first = f.Line(rows[0])
		}
		empty += len(rows)
	}
	if empty > 0 {
		out = append(out, page.Say(empty, say.Plural(empty, " row has", " rows have")+" nothing in block "+
			strings.Join(blocks, ", ")+" and "+say.Plural(empty, "was", "were")+" left out there; the first is line ",
			first, "."))
	}
	for _, t := range s.Turned {
		if t.From.None() {
			out = append(out, page.Say(t.Column+" has no unit and is taken to be in "+t.To.String()+"."))
			continue
		}
		out = append(out, page.Say(t.Column+" was turned from "+t.From.String()+" into "+t.To.String()+"."))
	}
	return out
}

// sideBySide tells of blocks that a file has side by side, and offers the line that puts
// them one below the other; nothing where there are none.
func sideBySide(k *session.Call, series string, f *frames.Frame, r *frames.Reading) []page.Sentence {
	if len(r.Blocks) == 0 {
		return nil
	}
	specimens := 0
	for _, block := range r.Blocks {
		specimens += rowsWithAny(f, block)
	}
	first := r.Blocks[0]
	var columns []phrase.Columns
	for _, block := range r.Blocks {
		var list phrase.Columns
		for _, c := range block {
			list.List = append(list.List, phrase.ColumnRef{Column: c})
		}
		columns = append(columns, list)
	}
	shared := outside(f, r.Blocks)
	return []page.Sentence{page.Say("The "+say.Plural(len(first), "header ", "headers ")+
		strings.Join(first, ", ")+say.Plural(len(first), " stands ", " stand "),
		len(r.Blocks), " times side by side in line ", r.HeaderLine, ": ", specimens,
		" specimens in ", len(r.Blocks), " blocks, of which these columns hold the first ", rowsWithAny(f, first),
		page.If(len(shared) > 0, "; "+say.ShortList(shared)+say.Plural(len(shared), " goes", " go")+" with each"),
		". To put the blocks one below the other, type: "+phrase.Line(&phrase.PutBelow{First: columns[0],
			More: phrase.Stack{List: columns[1:]}, Name: phrase.Name{Text: freeName(k, series+"_all")}}))}
}

// rowsWithAny counts the rows that have a value in any of the columns.
func rowsWithAny(f *frames.Frame, columns []string) int {
	any := make([]bool, f.Len())
	for _, c := range columns {
		missing, err := f.MissingIn(c)
		if err != nil {
			continue
		}
		for row, gone := range missing {
			any[row] = any[row] || !gone
		}
	}
	return lists.Count(any, func(has bool) bool { return has })
}

// outside are the columns in none of the blocks.
func outside(f *frames.Frame, blocks [][]string) []string {
	var out []string
	for _, c := range f.Columns() {
		if !slices.ContainsFunc(blocks, func(b []string) bool { return slices.Contains(b, c.Name) }) {
			out = append(out, c.Name)
		}
	}
	return out
}
