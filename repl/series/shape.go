package series

import (
	"context"
	"reflect"
	"slices"
	"strings"
	"unicode"

	"breakbook/frames"
	"breakbook/frames/notation"
	"breakbook/frames/units"
	"breakbook/frames/vectors"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/series/specimens"
	"breakbook/repl/session"
)

// workedOut tells what a new column holds.
func workedOut(c frames.Column, present, specimens int) page.Sentence {
	unit := page.Unit(c.Unit.String())
	what := page.Say(", in ", unit)
	switch {
	case c.Kind != frames.Number:
		what = page.Say(", a category with the levels " + say.ShortList(c.Levels))
	case c.Difference:
		what = page.Say(", a difference of temperatures in ", unit)
	case c.Unit.None():
		what = page.Say(", a number without a unit")
	}
	return page.Say(c.Name+" is worked out for ", present, " of ", specimens, " specimens", what, ".")
}

// remembered says what it means that a column holds logarithms.
func remembered(c frames.Column) page.Sentence {
	u := c.LnOf.Unit
	return page.Say(c.Name+" is kept as the logarithm of "+session.Unlogged(c).Name+
		": its differences are told in percent, its levels as medians", page.If(!u.None(), " in ",
		page.Unit(u.String())), ".")
}

// newName reads the name of a column to come: as typed for its label, and made plain.
func newName(t phrase.Text) (name, label string, err error) {
	name = notation.PlainName(t.Text)
	if name == "" || !unicode.IsLetter([]rune(name)[0]) {
		return "", "", page.Refuse(page.CodeExpectedName, t.At,
			"a column needs a name that starts with a letter, not “"+t.Text+"”", "")
	}
	return name, strings.Join(strings.Fields(strings.ReplaceAll(t.Text, "_", " ")), " "), nil
}

// reshape books a change of the current series, and shows the columns it is about.
func reshape(k *session.Call, series string, next *frames.Frame, columns ...string) *session.Session {
	var shown []frames.Column
	for _, name := range columns {
		c, _ := next.Column(name)
		shown = append(shown, c)
	}
	k.Entry.Tables = append(k.Entry.Tables, columnTable(k.Context, next, shown))
	k.Entry.Warn(specimens.DensityCautions(next, shown)...)
	before, _ := k.Session.Frame(series)
	for _, c := range shown {
		if held := losesWord(before, next, c); held != "" {
			k.Entry.Warn(page.Say("From here on " + c.Name +
				" means this new column, no longer " + held + ", which is marked as " + c.Name + ": type " + held +
				" by its own name, or give the new column another with rename " + c.Name + " to …"))
		}
	}
	return k.Session.WithFrame(series, next)
}

// losesWord is the column that a role's word stood for, where a new column takes that word for its name; else "".
func losesWord(before, next *frames.Frame, c frames.Column) string {
	held, marked := next.RoleColumn(frames.Role(c.Name))
	if _, there := before.Column(c.Name); there || !marked || held.Name == c.Name ||
		!slices.Contains(phrase.RoleWords(), c.Name) {
		return ""
	}
	return held.Name
}

// WorkOut makes a new column of an expression.
func WorkOut(k *session.Call, cmd *phrase.WorkOut) (*session.Outcome, error) {
	series, f, err := k.Frame()
	if err != nil {
		return nil, err
	}
	name, label, err := newName(cmd.Name)
	if err != nil {
		return nil, err
	}
	v := &evaluator{ctx: k.Context, frame: f}
	x, err := v.of(cmd.Expression)
	if err != nil {
		return nil, err
	}
	next, impossible, err := vectors.Added(k.Context, f, name, label, x)
	if err != nil {
		return nil, session.WithPlace(err, cmd.Name.At)
	}
	c, _ := next.Column(name)
	k.Entry.Findings = append([]page.Sentence{workedOut(c, present(next, name), next.Len())}, v.notes...)
	if c.LnOf != nil {
		k.Entry.Find(remembered(c))
	}
	if next, err = derived(k, next, name, columnsOf(cmd.Expression)); err != nil {
		return nil, session.WithPlace(err, cmd.Name.At)
	}
	for _, i := range impossible {
		specimens := page.Say(i.Count, " specimens, the first of them "+next.SpecimenName(i.Row))
		if i.Count == 1 {
			specimens = page.Say("specimen " + next.SpecimenName(i.Row))
		}
		k.Entry.Warn(page.Say(name+" is missing for ", specimens, ": it would be "+string(i.Reason)+"."))
	}
	return session.Becomes(reshape(k, series, next, name)), nil
}

// columnsOf are the columns that an expression names.
func columnsOf(e phrase.Expression) []string {
	var out []string
	phrase.EachPart(reflect.ValueOf(e), func(ref phrase.ColumnRef) { out = append(out, ref.Column) })
	return out
}

// derived notes what a new column was made of, and marks it as a result, and says so, where one of these came out of
// the test: what is made of a load says as little as the load does about how a specimen was made.
func derived(k *session.Call, f *frames.Frame, name string, of []string) (*frames.Frame, error) {
	f, err := f.DerivedFrom(name, of)
	if err != nil {
		return nil, err
	}
	for _, source := range of {
		c, _ := f.Column(source) // the new column was made of it
		why := session.OutOfTest(c)
		if why == "" {
			continue
		}
		given := phrase.Line(&phrase.Mark{Column: phrase.ColumnRef{Column: name}, Role: phrase.Choice{Word: "given"}})
		k.Entry.Find(page.Say(name+" is marked as a result, never a factor: it is made of "+c.Name,
			page.If(c.Role != frames.NoRole, ", which came out of the test."),
			page.If(c.Role == frames.NoRole, ", and "+why+". If this one did not, type: "+given)))
		return f.SetRole(name, frames.Result)
	}
	return f, nil
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

// Convert turns a column's numbers into another unit.
func Convert(k *session.Call, cmd *phrase.Convert) (*session.Outcome, error) {
	u, _ := units.Parse(cmd.Unit.Unit)
	column := cmd.Column.Column
	return shape(k, phrase.ColumnRef{Column: column, At: cmd.Unit.At}, func(f *frames.Frame) (*frames.Frame, error) {
		was, _ := f.Column(column)
		k.Entry.Find(page.Say(column+" is turned from ", page.Unit(was.Unit.String()), " into ",
			page.Unit(u.String()), "."))
		return f.Convert(k.Context, column, u)
	})
}

// Merge makes one level of several.
func Merge(k *session.Call, cmd *phrase.MergeLevels) (*session.Outcome, error) {
	series, f, err := k.Frame()
	if err != nil {
		return nil, err
	}
	column := cmd.Column.Column
	list := cmd.Levels
	var levels []string
	for _, l := range list.List {
		if slices.Contains(levels, l.Level) {
			return nil, page.Refuse(page.CodeLevelTwice, l.At, l.Level+" is named twice", "")
		}
		levels = append(levels, l.Level)
	}
	into := cmd.Into.Text
	if strings.TrimSpace(into) == "" {
		return nil, page.Refuse(page.CodeExpectedText, cmd.Into.At, "a level needs a name", "")
	}
	next, err := f.Merge(k.Context, column, levels, into)
	if err != nil {
		return nil, session.WithPlace(err, list.At)
	}
	was, _ := f.Column(column)
	now, _ := next.Column(column)
	n := counts(k.Context, next, column)[slices.Index(now.Levels, into)]
	k.Entry.Findings = []page.Sentence{page.Say(say.ShortList(levels)+say.Plural(len(levels), " is", " are")+
		" now "+into+" in "+column+", ", n, say.Plural(n, " specimen", " specimens")+"; its levels are "+
		say.ShortList(now.Levels)+".")}
	if was.Levels[0] != now.Levels[0] {
		k.Entry.Find(page.Say("The baseline of " + column + " is now " + now.Levels[0] + "."))
	}
	return session.Becomes(reshape(k, series, next, column)), nil
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

// Band cuts a number column into levels.
func Band(k *session.Call, cmd *phrase.Band) (*session.Outcome, error) {
	switch by := cmd.Subject.(type) {
	case phrase.BandInto:
		return bandInto(k, cmd.Column, by.N)
	case phrase.BandAt:
		return bandAt(k, cmd.Column, by.Cuts)
	}
	return nil, k.Unhandled()
}

// bandInto cuts a number column into levels with about as many specimens each.
func bandInto(k *session.Call, column phrase.ColumnRef, n phrase.Count) (*session.Outcome, error) {
	_, f, err := k.Frame()
	if err != nil {
		return nil, err
	}
	if err := session.FewBands(n, column.Column); err != nil {
		return nil, err
	}
	cuts, err := f.Cuts(k.Context, column.Column, n.Value)
	if err != nil {
		return nil, session.WithPlace(err, n.At)
	}
	return band(k, column, cuts, n.At)
}

// bandAt cuts a number column at the values named.
func bandAt(k *session.Call, column phrase.ColumnRef, list phrase.Amounts) (*session.Outcome, error) {
	_, f, err := k.Frame()
	if err != nil {
		return nil, err
	}
	c, _ := f.Column(column.Column)
	var cuts []float64
	for _, a := range list.List {
		x, err := amountIn(a, c.Unit, units.Change.Apply)
		if err != nil {
			return nil, err
		}
		cuts = append(cuts, x)
	}
	return band(k, column, cuts, list.At)
}

// bandRow is one level of a new column of bands.
type bandRow struct {
	Band string `id:"{column}" unit:"{unit}"`
	N    int    `id:"n"`
}

// band adds the column of bands: called by `as`, else after the column that was cut.
func band(k *session.Call, column phrase.ColumnRef, cuts []float64, at int) (*session.Outcome, error) {
	series, f, err := k.Frame()
	if err != nil {
		return nil, err
	}
	c, _ := f.Column(column.Column)
	name, label := c.Name+"_band", c.Label+" band"
	if as := k.Command.Clauses().As; as != nil {
		name, label = notation.PlainName(as.Text), as.Text
		at = as.At
	}
	next, err := f.Band(k.Context, c.Name, cuts, name, label)
	if err != nil {
		err = session.WithPlace(err, at)
		if p, ok := err.(*page.Problem); ok && p.Code == "name-taken" {
			p.Hint = "choose another name after as"
		}
		return nil, err
	}
	b, _ := next.Column(name)
	var rows []bandRow
	for i, n := range counts(k.Context, next, name) {
		rows = append(rows, bandRow{b.Levels[i], n})
	}
	k.Entry.Findings = []page.Sentence{page.Say(c.Name + " is cut into " + name + ": " + say.ShortList(b.Levels) + ".")}
	if next, err = derived(k, next, name, []string{c.Name}); err != nil {
		return nil, session.WithPlace(err, at)
	}
	k.Entry.Tables = []page.Table{page.Filled(page.Table{ID: "bands", Title: page.Say("Specimens by " + name)}, rows,
		page.Names{"column": name, "unit": b.Unit.String()})}
	return session.Becomes(reshape(k, series, next, name)), nil
}
