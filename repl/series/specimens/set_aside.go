package specimens

import (
	"context"
	"strconv"
	"strings"

	"breakbook/frames"
	"breakbook/models/parallel"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
	"breakbook/repl/session"
)

// SetAside leaves specimens out of what follows, with the reason.
func SetAside(k *session.Call, cmd *phrase.SetAside) (*session.Outcome, error) {
	series, f, mask, err := chosen(k, cmd.Which)
	if err != nil {
		return nil, err
	}
	reason := strings.TrimSpace(cmd.Reason.Text)
	if reason == "" {
		return nil, page.Refuse(page.CodeExpectedText, cmd.Reason.At,
			"a specimen is set aside for a reason, so that the report can give it", "")
	}
	already := 0
	var names []string
	for row, in := range mask {
		if _, aside := f.Aside(row); in && aside {
			mask[row] = false
			already++
		} else if in {
			names = append(names, f.SpecimenName(row))
		}
	}
	if len(names) == 0 {
		return nil, page.Refuse(page.CodeAlreadyAside, cmd.Which.At,
			"every one of these is set aside already", "show aside")
	}
	next := f.SetAside(mask, reason)
	remaining := next.Len() - AsideIn(next)
	k.Entry.Findings = []page.Sentence{page.Say(len(names), say.Plural(len(names), " specimen is", " specimens are")+
		" set aside (“"+reason+"”): "+say.ShortList(names)+"; ", remaining, " of ", next.Len(), " take part.")}
	k.Entry.Find(page.If(already > 0, already, say.Plural(already, " was", " were")+" set aside before and "+
		say.Plural(already, "keeps its", "keep their")+" reason."))
	k.Entry.Warn(page.If(remaining == 0, "No specimen of "+series+" is left to take part."))
	k.Entry.Tables = []page.Table{asideTable(k.Context, next)}
	return session.Becomes(k.Session.WithFrame(series, next)), nil
}

// BringBack takes specimens in again.
func BringBack(k *session.Call, cmd *phrase.BringBack) (*session.Outcome, error) {
	series, f, mask, err := chosen(k, cmd.Which)
	if err != nil {
		return nil, err
	}
	var names []string
	for row, in := range mask {
		if _, aside := f.Aside(row); in && aside {
			names = append(names, f.SpecimenName(row))
		}
	}
	if len(names) == 0 {
		return nil, page.Refuse(page.CodeNotAside, cmd.Which.At, "none of these is set aside", "show aside")
	}
	next := f.BringBack(mask)
	k.Entry.Findings = []page.Sentence{page.Say(len(names), say.Plural(len(names), " specimen takes",
		" specimens take")+" part again: "+say.ShortList(names)+"; ", next.Len()-AsideIn(next), " of ", next.Len(),
		" now do.")}
	k.Entry.Tables = []page.Table{asideTable(k.Context, next)}
	return session.Becomes(k.Session.WithFrame(series, next)), nil
}

// ShowAside lists the specimens that are set aside, with the reasons.
func ShowAside(k *session.Call, cmd *phrase.ShowAside) (*session.Outcome, error) {
	name, f, err := k.Frame()
	if err != nil {
		return nil, err
	}
	n := AsideIn(f)
	k.Entry.Find(page.If(n == 0, "No specimen of "+name+" is set aside."),
		page.If(n > 0, n, " of ", f.Len(), " specimens of "+name+say.Plural(n, " is", " are")+" set aside."))
	k.Entry.Tables = []page.Table{asideTable(k.Context, f)}
	if all := f.Corrections(); len(all) > 0 {
		k.Entry.Find(page.Say(len(all), say.Plural(len(all), " value is", " values are")+
			" not as first read, but corrected or filled in."))
		k.Entry.Tables = append(k.Entry.Tables, correctedTable(f))
	}
	return nil, nil
}

// asideRow is one specimen that is set aside.
type asideRow struct {
	Specimen string `id:"specimen"`
	Row      int    `id:"row" wide:"yes"`
	Line     int    `id:"line" wide:"yes"`
	Reason   string `id:"reason" blank:"yes"`
}

func asideTable(ctx context.Context, f *frames.Frame) page.Table {
	var rows []asideRow
	for row := range f.Len() {
		parallel.LookAt(ctx, row)
		if reason, aside := f.Aside(row); aside {
			rows = append(rows, asideRow{f.SpecimenName(row), row + 1, f.Line(row), reason})
		}
	}
	return page.Filled(page.Table{ID: "aside", Title: page.Say("Set aside")}, rows, nil)
}

// AsideIn counts the specimens set aside.
func AsideIn(f *frames.Frame) int {
	n := 0
	for row := range f.Len() {
		if _, is := f.Aside(row); is {
			n++
		}
	}
	return n
}

// chosen are the rows of the current series that the command names or describes.
func chosen(k *session.Call, which phrase.Which) (series string, f *frames.Frame, mask []bool, err error) {
	if series, f, err = k.Frame(); err != nil {
		return series, f, nil, err
	}
	if which.Condition != nil {
		if mask, err = session.Where(k.Context, f, which.Condition); err != nil {
			return series, f, nil, err
		}
		for _, in := range mask {
			if in {
				return series, f, mask, nil
			}
		}
		return series, f, nil, page.Refuse(page.CodeNoSpecimens, which.Condition.Place(), "no specimen of "+series+
			" is so", "")
	}
	mask = make([]bool, f.Len())
	for _, n := range which.Rows {
		if n.Value > f.Len() {
			return series, f, nil, noRow(f, n.Value, n.At)
		}
		mask[n.Value-1] = true
	}
	for _, t := range which.Specimens {
		row, err := specimen(f, t)
		if err != nil {
			return series, f, nil, err
		}
		mask[row] = true
	}
	return series, f, mask, nil
}

// specimen finds the one that is called so in the specimen column, else by its row
// number where the series has no names.
func specimen(f *frames.Frame, t phrase.Text) (int, error) {
	var rows []int
	column, named := f.RoleColumn(frames.Specimen)
	if named {
		mask, err := f.Is(column.Name, []string{t.Text})
		for row, is := range mask {
			if is && err == nil {
				rows = append(rows, row)
			}
		}
	}
	if row, err := strconv.Atoi(t.Text); err == nil && len(rows) == 0 && row >= 1 && row <= f.Len() {
		if _, has := f.Cell(column.Name, row-1); !named || !has {
			rows = []int{row - 1}
		}
	}
	switch len(rows) {
	case 0:
		return 0, unknown(f, t)
	case 1:
		return rows[0], nil
	}
	p := &page.Problem{Code: page.CodeAmbiguousSpecimen, At: t.At,
		Message: strconv.Itoa(len(rows)) + " specimens are called " + t.Text,
		Hint:    "say which with row " + strconv.Itoa(rows[0]+1) + " or row " + strconv.Itoa(rows[1]+1)}
	if _, pooled := f.Column(frames.SeriesColumn); pooled {
		from, _ := f.Cell(frames.SeriesColumn, rows[0])
		p.Hint = "say which with for " + phrase.ConditionText(phrase.And{Left: session.IsOf(column.Name, t.Text),
			Right: session.IsOf(frames.SeriesColumn, from)})
	}
	return 0, p
}

// unknown says that a series has no specimen called so, and what they go by.
func unknown(f *frames.Frame, t phrase.Text) *page.Problem {
	hint := "no column is marked as specimen, so they go by their row, 1 to " + strconv.Itoa(f.Len())
	if column, named := f.RoleColumn(frames.Specimen); named {
		hint = "specimens go by " + column.Name + ", such as " + f.SpecimenName(0)
	}
	return page.Refuse(page.CodeUnknownSpecimen, t.At, "there is no specimen "+t.Text, hint)
}

// noRow says that a series has not that many rows.
func noRow(f *frames.Frame, row, at int) *page.Problem {
	return page.Refuse(page.CodeUnknownSpecimen, at, "there is no row "+strconv.Itoa(row),
		"rows are 1 to "+strconv.Itoa(f.Len()))
}
