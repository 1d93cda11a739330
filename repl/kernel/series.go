package kernel

import (
	"cmp"
	"context"
	"math"
	"slices"
	"strconv"
	"strings"

	"breakbook/frames"
	"breakbook/frames/units"
	"breakbook/models/parallel"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
)

// showSeries lists the open series.
func showSeries(k *call) (*Session, error) {
	t := page.Table{ID: "series", Title: page.Say("Open series"), Columns: []page.Column{
		{ID: "series"}, {ID: "specimens", Style: page.Count}, {ID: "columns", Style: page.Count}, {ID: "file"}, {ID: "current"},
	}}
	for _, o := range k.s.opened {
		current := page.Cell{Kind: page.Truth}
		if o.name == k.s.current {
			current.Num = 1
		}
		t.Rows = append(t.Rows, []page.Cell{page.T(o.name), page.N(float64(o.frame.Len())),
			page.N(float64(len(o.frame.Columns()))), page.T(o.frame.Source().Path), current})
	}
	k.e.Findings = []page.Sentence{say.Counted(len(t.Rows), "series is open", "series are open")}
	k.e.Tables = []page.Table{t}
	return nil, nil
}

// showResults lists what has been fitted and compared.
func showResults(k *call) (*Session, error) {
	t := page.Table{ID: "results", Title: page.Say("Results"),
		Columns: []page.Column{{ID: "name"}, {ID: "kind"}, {ID: "series"}}}
	for _, r := range k.s.results.all() {
		t.Rows = append(t.Rows, []page.Cell{page.T(r.name), page.T(r.kind), page.T(r.series)})
	}
	k.e.Findings = []page.Sentence{say.Counted(len(t.Rows), "result so far", "results so far")}
	k.e.Tables = []page.Table{t}
	return nil, nil
}

// switchTo makes another open series the current one.
func switchTo(k *call) (*Session, error) {
	name := k.c.Slots["series"].(phrase.Name).Text
	f, _ := k.s.frame(name)
	n := k.s.clone()
	n.current = name
	k.e.Series = name
	k.e.Findings = []page.Sentence{page.Say("Now working on "+name+", ", f.Len(), " specimens.")}
	return n, nil
}

// look describes every column, or the ones named.
func look(k *call) (*Session, error) {
	name, f, err := k.frame()
	if err != nil {
		return nil, err
	}
	columns := f.Columns()
	if list, ok := k.c.Slots["columns"].(phrase.Columns); ok {
		columns = nil
		for _, r := range list.List {
			c, _ := f.Column(r.Column)
			columns = append(columns, c)
		}
	}
	k.e.Findings = []page.Sentence{page.Say(name+": ", f.Len(), " specimens, ", len(f.Columns()), " columns.")}
	k.e.Tables = []page.Table{columnTable(k.ctx, f, columns)}
	if reading, ok := k.readingTable(name, f); ok && k.c.Slots["columns"] == nil {
		k.e.Tables = append(k.e.Tables, reading)
	}
	return nil, nil
}

// columnTable says of each column what it holds.
func columnTable(ctx context.Context, f *frames.Frame, columns []frames.Column) page.Table {
	extents := make([]frames.Extent, len(columns))
	// Where ctx ends, Run gives nothing of the entry away.
	_ = parallel.Each(ctx, len(columns), func(ctx context.Context, i int) error {
		extents[i] = f.Extent(ctx, columns[i].Name)
		return nil
	})
	return extentTable(f.Len(), columns, extents)
}

// extentTable is columnTable for columns whose extents are known.
func extentTable(rows int, columns []frames.Column, extents []frames.Extent) page.Table {
	t := page.Table{ID: "columns", Title: page.Say("Columns"), Columns: []page.Column{
		{ID: "column"}, {ID: "kind"}, {ID: "unit"}, {ID: "role"}, {ID: "present", Style: page.Count, Wide: true},
		{ID: "missing", Style: page.Count}, {ID: "least", Style: page.Exact}, {ID: "most", Style: page.Exact}, {ID: "levels"},
		{ID: "header", Wide: true},
	}}
	for i, c := range columns {
		e := extents[i]
		t.Rows = append(t.Rows, []page.Cell{page.T(c.Name), page.T(c.Kind.String()), maybe(c.Unit.String()), maybe(string(c.Role)),
			page.N(float64(rows - e.Missing)), page.N(float64(e.Missing)), page.N(e.Least), page.N(e.Most), maybe(levelList(c)), page.T(c.Header)})
	}
	return t
}

// maybe is a text cell, or an empty one for no text.
func maybe(s string) page.Cell {
	if s == "" {
		return page.Cell{}
	}
	return page.T(s)
}

// levelList names the levels of a category, the first few where there are many.
func levelList(c frames.Column) string {
	const most = 6
	out := ""
	for i, l := range c.Levels {
		if i == most {
			return out + ", … (" + strconv.Itoa(len(c.Levels)) + " in all)"
		}
		if i > 0 {
			out += ", "
		}
		out += l
	}
	return out
}

// extent is the least and the largest of the values that exist.
func extent(v []float64) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, x := range v {
		if x == x {
			lo, hi = min(lo, x), max(hi, x)
		}
	}
	return lo, hi
}

// rows shows specimens as read, with their line in the file.
func rows(k *call) (*Session, error) {
	name, f, err := k.frame()
	if err != nil {
		return nil, err
	}
	shown := make([]bool, f.Len())
	for i := range shown {
		shown[i] = true
	}
	if c := k.c.Clauses.For; c != nil {
		if shown, err = where(f, c); err != nil {
			return nil, err
		}
	}
	ext, limited := k.c.Slots["extent"].(phrase.Extent)
	if !limited {
		ext = phrase.Extent{First: 1, Last: 20}
	}
	columns := f.Columns()
	t := page.Table{ID: "rows", Title: page.Say("Specimens of " + name), Columns: []page.Column{{ID: "row", Style: page.Count}, {ID: "line", Style: page.Count}}}
	numbers := make([][]float64, len(columns))
	for i, c := range columns {
		col := page.Column{ID: c.Name, Unit: c.Unit.String()}
		if c.Kind == frames.Number {
			col.Style = page.Exact
			if numbers[i], err = f.Numbers(c.Name); err != nil {
				return nil, err
			}
		}
		t.Columns = append(t.Columns, col)
	}
	picked := 0
	for row := range f.Len() {
		parallel.LookAt(k.ctx, row)
		if !shown[row] {
			continue
		}
		picked++
		if picked < ext.First || picked > ext.Last {
			continue
		}
		cells := []page.Cell{page.N(float64(row + 1)), page.N(float64(f.Line(row)))}
		for i, c := range columns {
			if numbers[i] != nil {
				cells = append(cells, page.N(numbers[i][row]))
				continue
			}
			text, _ := f.Cell(c.Name, row)
			cells = append(cells, maybe(text))
		}
		t.Rows = append(t.Rows, cells)
	}
	if picked == 0 {
		p := &page.Problem{Code: "no-specimens", Message: "no specimen of " + name + " is left by this condition"}
		if c := k.c.Clauses.For; c != nil {
			p.At, p.Hint = c.Place(), "widen the condition after `for`"
		}
		return nil, p
	}
	if len(t.Rows) == 0 {
		return nil, &page.Problem{Code: "no-specimens", At: ext.At,
			Message: name + " has only " + strconv.Itoa(picked) + " specimens to show", Hint: "rows " + strconv.Itoa(min(picked, 10))}
	}
	k.e.Findings = []page.Sentence{page.Say("Showing ", len(t.Rows), " of ", picked, " specimens.")}
	k.e.Tables = []page.Table{t}
	return nil, nil
}

// shape applies a change to the current series and shows the column as it now is.
func (k *call) shape(column string, change func(*frames.Frame) (*frames.Frame, error)) (*Session, error) {
	name, f, err := k.frame()
	if err != nil {
		return nil, err
	}
	next, err := change(f)
	if err != nil {
		return nil, placed(err, k.column("column").At)
	}
	return k.reshape(name, next, column), nil
}

// mark says what a column is for.
func mark(k *call) (*Session, error) {
	c, role := k.column("column").Column, k.choice("role")
	if err := k.suits(k.column("column"), role); err != nil {
		return nil, err
	}
	k.e.Findings = []page.Sentence{page.Say(c + " is now the " + role + " column.")}
	if _, f, err := k.frame(); err == nil && frames.Role(role) == frames.Block {
		for _, other := range f.Columns() { // the one role that several columns may have
			if other.Role == frames.Block && other.Name != c {
				k.e.Findings = []page.Sentence{page.Say(c + " is now a block column, beside " + other.Name + ".")}
			}
		}
	}
	return k.shape(c, func(f *frames.Frame) (*frames.Frame, error) { return f.SetRole(c, frames.Role(role)) })
}

// suits refuses a mark that could not be used: loads and weights are numbers, and a way of
// breaking is a level.
func (k *call) suits(column phrase.ColumnRef, role string) error {
	_, f, err := k.frame()
	if err != nil {
		return err
	}
	c, _ := f.Column(column.Column)
	p := &page.Problem{Code: "wrong-kind", At: column.At}
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
			p.Hint = "treat " + c.Name + " as number"
		case len(numbers) > 0:
			p.Hint = "number columns are " + strings.Join(numbers, ", ")
		}
		return p
	case role == "failure" && c.Kind == frames.Number:
		p.Message = c.Name + " is a number column; a way of breaking is a level"
		p.Hint = "treat " + c.Name + " as category"
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

// unit says what unit a column is in; no number changes.
func unit(k *call) (*Session, error) {
	c := k.column("column").Column
	ref := k.c.Slots["unit"].(phrase.UnitRef)
	u, ok := units.Parse(ref.Unit)
	if !ok {
		return nil, &page.Problem{Code: "unknown-unit", Message: ref.Unit + " is not a unit known here", At: ref.At}
	}
	k.e.Findings = []page.Sentence{page.Say(c + " is taken to be in " + u.String() + "; no number was changed.")}
	next, err := k.shape(c, func(f *frames.Frame) (*frames.Frame, error) { return f.SetUnit(c, u) })
	if err != nil {
		return nil, err
	}
	now, _ := next.column(k.e.Series, c)
	k.e.Cautions = append(k.e.Cautions, massAsForce(now, u)...)
	return next, nil
}

// treat changes what kind of column it is.
func treat(k *call) (*Session, error) {
	c := k.column("column").Column
	kind := map[string]frames.Kind{"number": frames.Number, "category": frames.Category, "text": frames.Text}[k.choice("kind")]
	var lost []frames.Lost
	next, err := k.shape(c, func(f *frames.Frame) (*frames.Frame, error) {
		n, l, err := f.SetKind(k.ctx, c, kind)
		lost = l
		return n, err
	})
	if err != nil {
		return nil, err
	}
	k.e.Findings = []page.Sentence{say.Treated(c, kind.String())}
	k.e.Cautions = append(say.LostCells(c, lost), k.e.Cautions...)
	return next, nil
}

// levels gives the order of a category's levels, the baseline first.
func levels(k *call) (*Session, error) {
	c := k.column("column").Column
	list := k.c.Slots["levels"].(phrase.Levels)
	var order []string
	for _, l := range list.List {
		if slices.Contains(order, l.Level) {
			return nil, &page.Problem{Code: "level-twice", Message: l.Level + " is named twice", At: l.At}
		}
		order = append(order, l.Level)
	}
	k.e.Findings = []page.Sentence{page.Say("The levels of " + c + " now begin with " + cmp.Or(order...) + ", its baseline: the others are set against it.")}
	return k.shape(c, func(f *frames.Frame) (*frames.Frame, error) { return f.SetLevels(c, order) })
}
