package series

import (
	"cmp"
	"context"
	"slices"
	"strconv"
	"strings"

	"breakbook/frames"
	"breakbook/frames/units"
	"breakbook/models/lists"
	"breakbook/models/parallel"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// counted is "3 series are open.", with the word for one.
func counted(n int, one, many string) page.Sentence {
	return page.Say(n, " "+say.Plural(n, one, many)+".")
}

// lostCells lists the cells that became missing when a column was made a number column; nil of none.
func lostCells(column string, lost []frames.Lost) page.Sentence {
	const most = 5
	n := len(lost)
	shown := func(l frames.Lost) page.Sentence { return page.Say("line ", l.Line, " “"+l.Word+"”") }
	return page.If(n > 0, n, say.Plural(n, " cell of ", " cells of ")+column+" held no number and "+say.Plural(n, "is",
		"are")+" now missing: ", page.Joined(lost[:min(n, most)], ", ", shown), page.If(n > most, " and more"), ".")
}

// Treated tells what kind a column is now.
func Treated(column, kind string) page.Sentence {
	article := "a "
	if kind == "text" {
		article = ""
	}
	return page.Say(column + " is now treated as " + article + kind + ".")
}

// seriesRow is one open series.
type seriesRow struct {
	Series    string `id:"series"`
	Specimens int    `id:"specimens"`
	Columns   int    `id:"columns"`
	File      string `id:"file" blank:"yes"`
	Current   bool   `id:"current"`
}

// ShowSeries lists the open series.
func ShowSeries(k *session.Call, cmd *phrase.ShowSeries) (*session.Outcome, error) {
	var rows []seriesRow
	for _, name := range k.Session.SeriesNames() {
		f, _ := k.Session.Frame(name)
		rows = append(rows, seriesRow{name, f.Len(), len(f.Columns()), f.Source().Path, name == k.Session.Current()})
	}
	k.Entry.Findings = []page.Sentence{counted(len(rows), "series is open", "series are open")}
	k.Entry.Tables = []page.Table{page.Filled(page.Table{ID: "series", Title: page.Say("Open series")}, rows, nil)}
	return nil, nil
}

type resultRow struct {
	Name   string `id:"name"`
	Kind   string `id:"kind"`
	Series string `id:"series" blank:"yes"`
}

// ShowResults lists what has been fitted and compared.
func ShowResults(k *session.Call, cmd *phrase.ShowResults) (*session.Outcome, error) {
	var rows []resultRow
	for _, r := range k.Session.Results() {
		rows = append(rows, resultRow{r.Name, r.Kind, r.Series})
	}
	k.Entry.Findings = []page.Sentence{counted(len(rows), "result so far", "results so far")}
	k.Entry.Tables = []page.Table{page.Filled(page.Table{ID: "results", Title: page.Say("Results")}, rows, nil)}
	return nil, nil
}

// SwitchTo makes another open series the current one.
func SwitchTo(k *session.Call, cmd *phrase.SwitchTo) (*session.Outcome, error) {
	name := cmd.Series.Text
	f, _ := k.Session.Frame(name)
	k.Entry.Series = name
	k.Entry.Findings = []page.Sentence{page.Say("Now working on "+name+", ", f.Len(), " specimens.")}
	return session.Becomes(k.Session.SwitchedTo(name)), nil
}

// Look describes every column, or the ones named.
func Look(k *session.Call, cmd *phrase.Look) (*session.Outcome, error) {
	name, f, err := k.Frame()
	if err != nil {
		return nil, err
	}
	columns := f.Columns()
	if list := cmd.Columns; list != nil {
		columns = nil
		for _, r := range list.List {
			c, _ := f.Column(r.Column)
			columns = append(columns, c)
		}
	}
	k.Entry.Findings = []page.Sentence{page.Say(name+": ", specimensOf(k, f), " specimens, ", len(f.Columns()),
		" columns.")}
	k.Entry.Tables = []page.Table{columnTable(k.Context, f, columns)}
	if reading, ok := readingTable(k, name, f); ok && cmd.Columns == nil {
		k.Entry.Tables = append(k.Entry.Tables, reading)
	}
	return nil, nil
}

// columnTable says of each column what it holds.
func columnTable(ctx context.Context, f *frames.Frame, columns []frames.Column) page.Table {
	f, columns = specimensAlone(ctx, f, columns)
	extents := make([]frames.Extent, len(columns))
	// Where ctx ends, Run gives nothing of the entry away.
	_ = parallel.Each(ctx, len(columns), func(_ context.Context, i int) error {
		extents[i] = f.Extent(ctx, columns[i].Name)
		return nil
	})
	return extentTable(f.Len(), columns, extents, oddLevels(ctx, f))
}

// columnRow is what one column holds.
type columnRow struct {
	Column  string        `id:"column"`
	Kind    string        `id:"kind"`
	Unit    string        `id:"unit"`
	Role    string        `id:"role"`
	Present int           `id:"present" wide:"yes"`
	Missing int           `id:"missing"`
	Least   page.Quantity `id:"smallest" style:"exact" apart:"yes"`
	Most    page.Quantity `id:"largest" style:"exact" apart:"yes"`
	Levels  string        `id:"levels"`
	Header  string        `id:"header" wide:"yes" blank:"yes"`
}

// extentTable is columnTable for columns whose extents are known, of odd the columns with all their levels.
func extentTable(rows int, columns []frames.Column, extents []frames.Extent, odd map[string]bool) page.Table {
	list := make([]columnRow, len(columns))
	for i, c := range columns {
		e := extents[i]
		list[i] = columnRow{c.Name, c.Kind.String(), c.Unit.String(), string(c.Role), rows - e.Missing,
			e.Missing, page.Quantity{Value: e.Least, Step: c.Step}, page.Quantity{Value: e.Most, Step: c.Step},
			levelList(c, odd[c.Name]), c.Header}
	}
	return page.Filled(page.Table{ID: "columns", Title: page.Say("Columns")}, list, nil)
}

// levelList names the levels of a category, the first few where there are many and none looks odd.
func levelList(c frames.Column, all bool) string {
	const most = 6
	out := ""
	for i, l := range c.Levels {
		if i == most && !all {
			return out + ", … (" + strconv.Itoa(len(c.Levels)) + " in all)"
		}
		if i > 0 {
			out += ", "
		}
		out += l
	}
	return out
}

// specimenRow is one specimen as read, with the columns of its series.
type specimenRow struct {
	Row     int       `id:"row"`
	Line    int       `id:"line"`
	Columns page.Many `id:"{columns}"`
}

// Rows shows specimens as read, with their line in the file.
func Rows(k *session.Call, cmd *phrase.Rows) (*session.Outcome, error) {
	name, f, err := k.Frame()
	if err != nil {
		return nil, err
	}
	shown := slices.Repeat([]bool{true}, f.Len())
	if c := k.Command.Clauses().For; c != nil {
		if shown, err = session.Where(k.Context, f, c); err != nil {
			return nil, err
		}
	}
	ext := phrase.Extent{First: 1, Last: 20}
	if cmd.Extent != nil {
		ext = *cmd.Extent
	}
	columns := f.Columns()
	heads := make([]page.Column, len(columns))
	var rows []specimenRow
	numbers := make([][]float64, len(columns))
	for i, c := range columns {
		heads[i] = page.Column{ID: c.Name, Unit: c.Unit.String(), Given: true}
		if c.Kind == frames.Number {
			heads[i].Style = page.Exact
			if numbers[i], err = f.Numbers(c.Name); err != nil {
				return nil, err
			}
		}
	}
	picked := 0
	for row := range f.Len() {
		parallel.LookAt(k.Context, row)
		if !shown[row] {
			continue
		}
		picked++
		if picked < ext.First || picked > ext.Last {
			continue
		}
		cells := make([]page.Cell, len(columns))
		for i, c := range columns {
			if numbers[i] != nil {
				cells[i] = page.N(numbers[i][row])
				cells[i].Step = c.Step
				continue
			}
			text, _ := f.Cell(c.Name, row)
			cells[i] = page.Maybe(text)
		}
		rows = append(rows, specimenRow{row + 1, f.Line(row), page.Many{Columns: heads, Cells: cells}})
	}
	if picked == 0 {
		p := page.Refuse(page.CodeNoSpecimens, 0, "no specimen of "+name+" is left by this condition", "")
		if c := k.Command.Clauses().For; c != nil {
			p.At, p.Hint = c.Place(), "widen the condition after `for`"
		}
		return nil, p
	}
	if len(rows) == 0 {
		return nil, page.Refuse(page.CodeNoSpecimens, ext.At, name+" has only "+strconv.Itoa(picked)+
			" specimens to show", phrase.Line(&phrase.Rows{Extent: &phrase.Extent{First: 1, Last: min(picked, 10)}}))
	}
	k.Entry.Findings = []page.Sentence{page.Say("Showing ", len(rows), " of ", picked, " specimens.")}
	k.Entry.Tables = []page.Table{page.Filled(page.Table{ID: "rows", Title: page.Say("Specimens of " + name)}, rows,
		nil)}
	return nil, nil
}

// shape applies a change to the current series and shows the column as it now is.
func shape(k *session.Call, column phrase.ColumnRef,
	change func(*frames.Frame) (*frames.Frame, error)) (*session.Outcome, error) {
	name, f, err := k.Frame()
	if err != nil {
		return nil, err
	}
	next, err := change(f)
	if err != nil {
		return nil, session.WithPlace(err, column.At)
	}
	return session.Becomes(reshape(k, name, next, column.Column)), nil
}

// Mark says what a column is for.
func Mark(k *session.Call, cmd *phrase.Mark) (*session.Outcome, error) {
	c, role := cmd.Column.Column, cmd.Role.Word
	if err := suits(k, cmd.Column, role); err != nil {
		return nil, err
	}
	said := c + " is now the " + role + " column."
	switch frames.Role(role) {
	case frames.Given:
		said = c + " is now marked as given: the blank has it before it is chosen for anything."
	case frames.Result:
		said = c + " is now marked as a result: it came out of the test, so it is never a factor."
	case frames.Block: // several columns may be blocks
		_, f, err := k.Frame()
		if err != nil {
			return nil, err
		}
		for _, other := range f.Columns() {
			if other.Role == frames.Block && other.Name != c {
				said = c + " is now a block column, beside " + other.Name + "."
			}
		}
	}
	k.Entry.Findings = []page.Sentence{page.Say(said)}
	return shape(k, cmd.Column, func(f *frames.Frame) (*frames.Frame, error) { return f.SetRole(c, frames.Role(role)) })
}

// suits refuses a mark that could not be used: loads and weights are numbers, and a way of breaking is a level.
func suits(k *session.Call, column phrase.ColumnRef, role string) error {
	_, f, err := k.Frame()
	if err != nil {
		return err
	}
	c, _ := f.Column(column.Column)
	p := &page.Problem{Code: page.CodeWrongKind, At: column.At}
	switch {
	case (role == "load" || role == "weight") && c.Kind != frames.Number:
		p.Message = c.Name + " is a " + c.Kind.String() + " column; a " + role + " is a number"
		var numbers []string
		for _, other := range f.Columns() {
			if other.Kind == frames.Number {
				numbers = append(numbers, other.Name)
			}
		}
		switch {
		case allNumbers(c.Levels):
			p.Hint = phrase.Line(&phrase.Treat{Column: column, Kind: phrase.Choice{Word: "number"}})
		case len(numbers) > 0:
			p.Hint = "number columns are " + strings.Join(lists.Mapped(numbers, phrase.Spelled), ", ")
		}
		return p
	case role == "failure" && c.Kind == frames.Number:
		p.Message = c.Name + " is a number column; a way of breaking is a level"
		p.Hint = phrase.Line(&phrase.Treat{Column: column, Kind: phrase.Choice{Word: "category"}})
		return p
	}
	return nil
}

// allNumbers reports whether there are levels and each is a number.
func allNumbers(levels []string) bool {
	return len(levels) > 0 && !slices.ContainsFunc(levels, func(l string) bool {
		_, err := strconv.ParseFloat(l, 64)
		return err != nil
	})
}

// Unit says what unit a column is in; no number changes.
func Unit(k *session.Call, cmd *phrase.SetUnit) (*session.Outcome, error) {
	c := cmd.Column.Column
	ref := cmd.Unit
	u, ok := units.Parse(ref.Unit)
	if !ok {
		return nil, page.Refuse(page.CodeUnknownUnit, ref.At, ref.Unit+" is not a unit known here", "")
	}
	k.Entry.Findings = []page.Sentence{page.Say(c+" is taken to be in ", page.Unit(u.String()),
		"; no number was changed.")}
	next, err := shape(k, cmd.Column, func(f *frames.Frame) (*frames.Frame, error) { return f.SetUnit(c, u) })
	if err != nil {
		return nil, err
	}
	now, _ := next.Next.Column(k.Entry.Series, c)
	k.Entry.Warn(session.MassAsForce(now, u)...)
	return next, nil
}

// Treat changes what kind of column it is.
func Treat(k *session.Call, cmd *phrase.Treat) (*session.Outcome, error) {
	c := cmd.Column.Column
	kind := map[string]frames.Kind{"number": frames.Number, "category": frames.Category,
		"text": frames.Text}[cmd.Kind.Word]
	k.Entry.Findings = []page.Sentence{Treated(c, kind.String())}
	return shape(k, cmd.Column, func(f *frames.Frame) (*frames.Frame, error) {
		next, lost, err := f.SetKind(k.Context, c, kind)
		k.Entry.Warn(lostCells(c, lost))
		return next, err
	})
}

// Levels gives the order of a category's levels, the baseline first.
func Levels(k *session.Call, cmd *phrase.OrderLevels) (*session.Outcome, error) {
	c := cmd.Column.Column
	list := cmd.Levels
	var order []string
	for _, l := range list.List {
		if slices.Contains(order, l.Level) {
			return nil, page.Refuse(page.CodeLevelTwice, l.At, l.Level+" is named twice", "")
		}
		order = append(order, l.Level)
	}
	k.Entry.Findings = []page.Sentence{page.Say("The levels of " + c + " now begin with " + cmp.Or(order...) +
		", its baseline: the others are compared with it.")}
	return shape(k, cmd.Column, func(f *frames.Frame) (*frames.Frame, error) { return f.SetLevels(c, order) })
}
