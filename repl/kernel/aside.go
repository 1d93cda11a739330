package kernel

import (
	"strconv"
	"strings"

	"breakbook/frames"
	"breakbook/repl/page"
	"breakbook/repl/phrase"
	"breakbook/repl/say"
)

// setAside leaves specimens out of what follows, with the reason.
func setAside(k *call, cmd *phrase.SetAside) (*outcome, error) {
	series, f, mask, err := k.chosen(cmd.Which)
	if err != nil {
		return nil, err
	}
	reason := strings.TrimSpace(cmd.Reason.Text)
	if reason == "" {
		return nil, &page.Problem{Code: "expected-text", At: cmd.Reason.At, Message: "a specimen is set aside for a reason, so that the report can give it"}
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
		return nil, &page.Problem{Code: "already-aside", At: cmd.Which.At, Message: "every one of these is set aside already", Hint: "show aside"}
	}
	next := f.SetAside(mask, reason)
	left := next.Len() - asideIn(next)
	k.e.Findings = []page.Sentence{say.SetAside(names, reason, left, next.Len())}
	if already > 0 {
		k.e.Findings = append(k.e.Findings, say.AsideBefore(already))
	}
	if left == 0 {
		k.e.Cautions = append(k.e.Cautions, page.Say("No specimen of "+series+" is left to take part."))
	}
	k.e.Tables = []page.Table{asideTable(next)}
	return becomes(k.s.withFrame(series, next)), nil
}

// bringBack takes specimens in again.
func bringBack(k *call, cmd *phrase.BringBack) (*outcome, error) {
	series, f, mask, err := k.chosen(cmd.Which)
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
		return nil, &page.Problem{Code: "not-aside", At: cmd.Which.At, Message: "none of these is set aside", Hint: "show aside"}
	}
	next := f.BringBack(mask)
	k.e.Findings = []page.Sentence{say.BroughtBack(names, next.Len()-asideIn(next), next.Len())}
	k.e.Tables = []page.Table{asideTable(next)}
	return becomes(k.s.withFrame(series, next)), nil
}

// showAside lists the specimens that are set aside, with the reasons.
func showAside(k *call, cmd *phrase.ShowAside) (*outcome, error) {
	name, f, err := k.frame()
	if err != nil {
		return nil, err
	}
	k.e.Findings = []page.Sentence{say.Aside(name, asideIn(f), f.Len())}
	k.e.Tables = []page.Table{asideTable(f)}
	return nil, nil
}

func asideTable(f *frames.Frame) page.Table {
	t := page.Table{ID: "aside", Title: page.Say("Set aside"), Columns: []page.Column{
		{ID: "specimen"}, {ID: "row", Style: page.Count, Wide: true}, {ID: "line", Style: page.Count, Wide: true}, {ID: "reason"}}}
	for row := range f.Len() {
		if reason, aside := f.Aside(row); aside {
			t.Rows = append(t.Rows, []page.Cell{page.T(f.SpecimenName(row)), page.N(float64(row + 1)), page.N(float64(f.Line(row))), page.T(reason)})
		}
	}
	return t
}

// chosen are the rows of the current series that the command names or describes.
func (k *call) chosen(which phrase.Which) (series string, f *frames.Frame, mask []bool, err error) {
	if series, f, err = k.frame(); err != nil {
		return series, f, nil, err
	}
	if which.Condition != nil {
		if mask, err = where(f, which.Condition); err != nil {
			return series, f, nil, err
		}
		for _, in := range mask {
			if in {
				return series, f, mask, nil
			}
		}
		return series, f, nil, &page.Problem{Code: "no-specimens", At: which.Condition.Place(), Message: "no specimen of " + series + " is so"}
	}
	mask = make([]bool, f.Len())
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
	switch {
	case len(rows) == 1:
		return rows[0], nil
	case len(rows) > 1:
		p := &page.Problem{Code: "ambiguous-specimen", At: t.At, Hint: "say which with for " + phrase.ConditionText(isOf(column.Name, t.Text)) + " and …"}
		p.Message = strconv.Itoa(len(rows)) + " specimens are called " + t.Text
		if _, pooled := f.Column(frames.SeriesColumn); pooled {
			from, _ := f.Cell(frames.SeriesColumn, rows[0])
			p.Hint = "say which with for " + phrase.ConditionText(phrase.And{Left: isOf(column.Name, t.Text), Right: isOf(frames.SeriesColumn, from)})
		}
		return 0, p
	}
	p := &page.Problem{Code: "unknown-specimen", At: t.At, Message: "there is no specimen " + t.Text}
	if named {
		p.Hint = "specimens go by " + column.Name + ", such as " + f.SpecimenName(0)
	} else {
		p.Hint = "no column is marked as specimen, so they go by their row, 1 to " + strconv.Itoa(f.Len())
	}
	return 0, p
}
